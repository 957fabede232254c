namespace Keyline.Formats;

/// <summary>The step between an ellipsoid's longitude and latitude and those of WGS 84 by seven parameters.</summary>
/// <remarks>
/// <para>Units: degrees in and out; shifts in metres, rotations in arc-seconds (position vector sense), scale in parts per million.</para>
/// <para>Promises: the height is taken as 0 on the ellipsoid the step starts from. With all parameters zero nothing is moved,
/// whatever the two ellipsoids, as the published null transformations intend. Back and forth returns within 1e-11 degrees.</para>
/// <para>Source: IOGP Guidance Note 7-2, sections 4.1.1 (geographic and geocentric) and 4.2.4 (position vector, EPSG method 9606);
/// the way back from geocentric by iteration on the latitude rather than a closed approximation, which is what costs
/// millimetres elsewhere.</para>
/// </remarks>
internal sealed class DatumShift
{
    private const double Wgs84SemiMajor = 6378137.0;
    private const double Wgs84InverseFlattening = 298.257223563;
    private const double ArcSecond = Math.PI / 648000.0;
    private readonly double[] _p;
    private readonly bool _isNull;

    /// <summary>Makes the step.</summary>
    /// <param name="semiMajor">Semi-major axis of the ellipsoid, metres.</param>
    /// <param name="inverseFlattening">Inverse flattening; 0 for a sphere.</param>
    /// <param name="parameters">Three shifts, three rotations, scale; as TOWGS84 in OGC WKT 1.</param>
    public DatumShift(double semiMajor, double inverseFlattening, double[] parameters)
    {
        SemiMajor = semiMajor;
        InverseFlattening = inverseFlattening;
        _p = parameters;
        _isNull = Array.TrueForAll(parameters, v => v == 0);
    }

    /// <summary>Semi-major axis, metres.</summary>
    public double SemiMajor { get; }

    /// <summary>Inverse flattening; 0 for a sphere.</summary>
    public double InverseFlattening { get; }

    /// <summary>The seven parameters.</summary>
    public double[] Parameters => _p;

    /// <summary>Whether nothing is moved.</summary>
    public bool IsNull => _isNull;

    /// <summary>To WGS 84.</summary>
    public (double Longitude, double Latitude) ToWgs84(double longitude, double latitude)
    {
        if (_isNull)
        {
            return (longitude, latitude);
        }

        (double x, double y, double z) = ToGeocentric(longitude, latitude, SemiMajor, InverseFlattening);
        double m = 1 + (_p[6] * 1e-6);
        double rx = _p[3] * ArcSecond, ry = _p[4] * ArcSecond, rz = _p[5] * ArcSecond;
        return FromGeocentric(
            (m * (x - (rz * y) + (ry * z))) + _p[0],
            (m * ((rz * x) + y - (rx * z))) + _p[1],
            (m * ((-ry * x) + (rx * y) + z)) + _p[2],
            Wgs84SemiMajor,
            Wgs84InverseFlattening);
    }

    /// <summary>From WGS 84: the exact inverse of <see cref="ToWgs84"/>, found by correcting a first guess.</summary>
    public (double Longitude, double Latitude) FromWgs84(double longitude, double latitude)
    {
        if (_isNull)
        {
            return (longitude, latitude);
        }

        // Both ways drop the height, so an inverse of the parameters alone would return some millimetres aside.
        double lon = longitude, lat = latitude;
        for (int i = 0; i < 6; i++)
        {
            (double toLon, double toLat) = ToWgs84(lon, lat);
            double dLon = longitude - toLon;
            dLon -= 360.0 * Math.Round(dLon / 360.0);
            double dLat = latitude - toLat;
            lon += dLon;
            lat += dLat;
            if (Math.Abs(dLon) < 1e-13 && Math.Abs(dLat) < 1e-13)
            {
                break;
            }
        }

        return (lon, lat);
    }

    private static double EccentricitySquared(double inverseFlattening)
    {
        double f = inverseFlattening == 0 ? 0 : 1 / inverseFlattening;
        return f * (2 - f);
    }

    private static (double X, double Y, double Z) ToGeocentric(double longitude, double latitude, double a, double inverseFlattening)
    {
        double e2 = EccentricitySquared(inverseFlattening);
        (double sinLat, double cosLat) = Math.SinCos(latitude * Math.PI / 180);
        (double sinLon, double cosLon) = Math.SinCos(longitude * Math.PI / 180);
        double n = a / Math.Sqrt(1 - (e2 * sinLat * sinLat));
        return (n * cosLat * cosLon, n * cosLat * sinLon, n * (1 - e2) * sinLat);
    }

    private static (double Longitude, double Latitude) FromGeocentric(double x, double y, double z, double a, double inverseFlattening)
    {
        double e2 = EccentricitySquared(inverseFlattening);
        double p = Math.Sqrt((x * x) + (y * y));
        double lat = Math.Atan2(z, p * (1 - e2));
        for (int i = 0; i < 12; i++)
        {
            double sin = Math.Sin(lat);
            double n = a / Math.Sqrt(1 - (e2 * sin * sin));
            double next = Math.Atan2(z + (e2 * n * sin), p);
            double step = Math.Abs(next - lat);
            lat = next;
            if (step < 1e-15)
            {
                break;
            }
        }

        return (Math.Atan2(y, x) * 180 / Math.PI, lat * 180 / Math.PI);
    }
}
