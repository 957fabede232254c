using System.Globalization;
using NetTopologySuite.Geometries;
using ProjNet.CoordinateSystems;
using ProjNet.CoordinateSystems.Transformations;

namespace Keyline.Formats;

/// <summary>The coordinate system the ground is worked in, and the way from it to WGS 84 longitude and latitude and back.</summary>
/// <remarks>
/// <para>Units: metres east and north in the system's own grid, whatever unit its coordinates are published in (a
/// coordinate in feet times <see cref="MetresPerUnit"/>); longitude and latitude in degrees, longitude first.</para>
/// <para>Missing: a place the projection cannot reach comes back as NaN.</para>
/// <para>Promises: within 1 mm of PROJ inside the area a system is meant for, with the same datum shift. Datum shifts are
/// three or seven published numbers, no grids; <see cref="DatumNote"/> says which and how good. A datum whose shift to
/// WGS 84 is not known is refused: taking it for WGS 84 would put lines up to 200 m off without a word.</para>
/// <para>Cost: about 0.1 microsecond a point, 0.5 with a datum shift. Safe to use from several threads.</para>
/// <para>Source: projections by ProjNET; systems and shifts from the EPSG Geodetic Parameter Dataset v10.076.</para>
/// </remarks>
public sealed class GroundCrs
{
    /// <summary>The system of web maps: its metres are ground metres on the equator only, so elevation in it is resampled.</summary>
    internal const int WebMercatorCode = 3857;

    private readonly MathTransform? _unproject;
    private readonly MathTransform? _project;
    private readonly PlaneMapping _plane;
    private readonly DatumShift _shift;

    internal GroundCrs(string name, int? epsgCode, GeographicEntry geographic, PlaneMapping? plane, double metresPerUnit, string wkt, string datumNote)
    {
        Name = name;
        EpsgCode = epsgCode;
        DatumName = geographic.Datum;
        MetresPerUnit = metresPerUnit;
        Wkt = wkt;
        DatumNote = datumNote;
        _shift = geographic.Shift;
        Geographic = geographic;
        if (plane is { } mapping)
        {
            // The step to its own longitude and latitude only: the datum is ours to shift.
            ProjectedCoordinateSystem system = mapping.System;
            if (!system.GeographicCoordinateSystem.EqualParams(system.GeographicCoordinateSystem))
            {
                // Something in it is not a number; ProjNET would look forever for a system equal to it.
                throw new GroundDataException($"The coordinate system \"{name}\" has a parameter that is not a number: write it as EPSG:32610, or save the .prj file again.");
            }

            CoordinateTransformationFactory factory = new();
            _unproject = factory.CreateFromCoordinateSystems(system, system.GeographicCoordinateSystem).MathTransform;
            _project = factory.CreateFromCoordinateSystems(system.GeographicCoordinateSystem, system).MathTransform;
            _plane = mapping;
        }
    }

    /// <summary>The longitudes and latitudes it is projected from.</summary>
    internal GeographicEntry Geographic { get; }

    /// <summary>Name of the system.</summary>
    public string Name { get; }

    /// <summary>Its EPSG code, or null where none is known.</summary>
    public int? EpsgCode { get; }

    /// <summary>Name of its datum.</summary>
    public string DatumName { get; }

    /// <summary>One sentence on how its longitudes and latitudes were brought to WGS 84, and how good that is.</summary>
    public string DatumNote { get; }

    /// <summary>Metres in one unit of its published coordinates; 1 for metres and for degrees.</summary>
    public double MetresPerUnit { get; }

    /// <summary>True for a system of longitude and latitude, in which no layout can be made; an elevation file in it is resampled.</summary>
    public bool IsGeographic => _project is null;

    /// <summary>The system as OGC WKT 1, in its own unit.</summary>
    public string Wkt { get; }

    /// <summary>The system of an EPSG code.</summary>
    /// <param name="code">The number, such as 32610.</param>
    /// <exception cref="GroundDataException">The code is not in the table carried here.</exception>
    public static GroundCrs FromEpsg(int code)
    {
        if (EpsgTable.Projected(code) is { } projected)
        {
            PlaneMapping plane = PlaneMapping.Of((ProjectedCoordinateSystem)WktCrs.Parse(projected.ToWkt(inMetres: true)));
            return new GroundCrs(projected.Name, code, projected.Geographic, plane, projected.MetresPerUnit, projected.ToWkt(inMetres: false), NoteOn(projected.Geographic));
        }

        if (EpsgTable.Geographic(code) is { } geographic)
        {
            return new GroundCrs(geographic.Name, code, geographic, null, 1.0, EpsgTable.GeographicWkt(geographic), NoteOn(geographic));
        }

        if (code == WebMercatorCode)
        {
            ProjectedCoordinateSystem web = ProjectedCoordinateSystem.WebMercator;
            GeographicEntry wgs84 = EpsgTable.Geographic(4326)!;
            return new GroundCrs("WGS 84 / Pseudo-Mercator", code, wgs84, new PlaneMapping(web, 1, 0, 0, 0), 1.0, web.WKT, NoteOn(wgs84));
        }

        throw new GroundDataException(FormattableString.Invariant(
            $"The coordinate system EPSG:{code} is not one this program can bring to WGS 84: reproject the elevation to the UTM zone of the field (WGS 84, NAD83 or ETRS89) and try again."));
    }

    /// <summary>The system of a WKT 1 text, as in a .prj file (OGC or ESRI flavour).</summary>
    /// <param name="wkt">The text.</param>
    /// <exception cref="GroundDataException">The text cannot be read, or its datum or projection cannot be brought to WGS 84.</exception>
    public static GroundCrs FromWkt(string wkt)
    {
        ArgumentNullException.ThrowIfNull(wkt);

        // The parser's memory grows with the square of a name's length; the longest of the EPSG's texts has a few thousand characters.
        return wkt.Length <= LongestWkt
            ? WktCrs.Read(wkt)
            : throw new GroundDataException(FormattableString.Invariant($"The coordinate system is a text of {wkt.Length} characters, longer than any is: give its .prj anew, or an EPSG code."));
    }

    private const int LongestWkt = 8192;

    /// <summary>The system a person named: "EPSG:32610", "32610" or a WKT text.</summary>
    /// <param name="text">What was typed.</param>
    /// <exception cref="GroundDataException">It is none of these, or names a system not known here.</exception>
    public static GroundCrs Parse(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        string trimmed = text.Trim();
        string digits = trimmed.StartsWith("EPSG:", StringComparison.OrdinalIgnoreCase) ? trimmed[5..] : trimmed;
        if (int.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out int code))
        {
            return FromEpsg(code);
        }

        if (trimmed.Contains('[', StringComparison.Ordinal))
        {
            return FromWkt(trimmed);
        }

        throw new GroundDataException($"\"{trimmed}\" does not name a coordinate system: write it as EPSG:32610, or give a WKT text.");
    }

    /// <summary>The WGS 84 UTM zone a place lies in.</summary>
    /// <param name="longitude">Degrees east, any turn.</param>
    /// <param name="latitude">Degrees north, -80 to 84.</param>
    /// <exception cref="ArgumentOutOfRangeException">The latitude is outside UTM, or a value is not finite.</exception>
    public static GroundCrs UtmAt(double longitude, double latitude)
    {
        if (!double.IsFinite(longitude))
        {
            throw new ArgumentOutOfRangeException(nameof(longitude), longitude, "The longitude must be finite.");
        }

        if (!(latitude >= -80 && latitude <= 84))
        {
            throw new ArgumentOutOfRangeException(nameof(latitude), latitude, "UTM is defined from 80 degrees south to 84 degrees north.");
        }

        double turned = longitude - (360.0 * Math.Floor((longitude + 180.0) / 360.0));
        int zone = Math.Min((int)Math.Floor((turned + 180.0) / 6.0), 59) + 1;
        return FromEpsg((latitude < 0 ? 32700 : 32600) + zone);
    }

    /// <summary>Convergence: which way grid north points at a place.</summary>
    /// <param name="place">Projected metres.</param>
    /// <returns>Degrees from true north to grid north, clockwise above 0; NaN where the projection does not reach.</returns>
    /// <remarks>Taken from the way of a kilometre of grid north on the WGS 84 ellipsoid; good to a thousandth of a degree.</remarks>
    public double ConvergenceAt(Coordinate place)
    {
        ArgumentNullException.ThrowIfNull(place);
        const double half = 500, flatteningSquare = 6.69437999014e-3;
        (double west, double south) = ToLonLat(place.X, place.Y - half);
        (double east, double north) = ToLonLat(place.X, place.Y + half);
        double latitude = (south + north) / 2 * Math.PI / 180, w = 1 - (flatteningSquare * Math.Pow(Math.Sin(latitude), 2));
        // Radii of curvature across and along the meridian, as multiples of the ellipsoid's greater half axis.
        double across = 1 / Math.Sqrt(w), along = (1 - flatteningSquare) / Math.Pow(w, 1.5);
        return Math.Atan2(Math.IEEERemainder(east - west, 360) * across * Math.Cos(latitude), (north - south) * along) * 180 / Math.PI;
    }

    /// <summary>Longitude and latitude of a place.</summary>
    /// <param name="x">Metres east; degrees east in a geographic system.</param>
    /// <param name="y">Metres north; degrees north in a geographic system.</param>
    /// <returns>Degrees on WGS 84, longitude from -180 to 180; NaN where the projection does not reach.</returns>
    public (double Longitude, double Latitude) ToLonLat(double x, double y)
    {
        if (!double.IsFinite(x) || !double.IsFinite(y))
        {
            return (double.NaN, double.NaN);
        }

        (double lon, double lat) = (x, y);
        if (_unproject is not null)
        {
            (lon, lat) = Apply(_unproject, (x - _plane.East) / _plane.Scale, (y - _plane.North) / _plane.Scale);
        }

        (lon, lat) = _shift.ToWgs84(lon, lat);
        return double.IsFinite(lon) && double.IsFinite(lat) ? (lon - (360.0 * Math.Round(lon / 360.0)), lat) : (double.NaN, double.NaN);
    }

    /// <summary>The place of a longitude and latitude.</summary>
    /// <param name="longitude">Degrees east on WGS 84.</param>
    /// <param name="latitude">Degrees north on WGS 84, -90 to 90.</param>
    /// <returns>Metres; degrees in a geographic system; NaN where the projection does not reach.</returns>
    public (double X, double Y) FromLonLat(double longitude, double latitude)
    {
        if (!double.IsFinite(longitude) || !(Math.Abs(latitude) <= 90))
        {
            return (double.NaN, double.NaN);
        }

        (double lon, double lat) = _shift.FromWgs84(longitude, latitude);
        if (_project is null)
        {
            return (lon, lat);
        }

        // Counted from the central meridian, so that a zone works on both sides of the 180th.
        lon = _plane.Meridian + Math.IEEERemainder(lon - _plane.Meridian, 360.0);
        (double x, double y) = Apply(_project, lon, lat);
        return double.IsFinite(x) && double.IsFinite(y) ? (_plane.East + (x * _plane.Scale), _plane.North + (y * _plane.Scale)) : (double.NaN, double.NaN);
    }

    internal static string NoteOn(GeographicEntry g)
    {
        if (g.Code == 4326)
        {
            return "The elevation is on WGS 84, so longitudes and latitudes needed no shift.";
        }

        return g.Shift.IsNull
            ? FormattableString.Invariant($"Longitudes and latitudes are {g.Name} taken as WGS 84 without a shift (EPSG transformation {g.ShiftCode}, good to about {g.Accuracy:0.#} m): field, lines and map agree with each other, but a receiver on another datum can be that far off.")
            : FormattableString.Invariant($"Longitudes and latitudes were shifted from {g.Name} to WGS 84 by seven parameters (EPSG transformation {g.ShiftCode}, good to about {g.Accuracy:0.#} m): field, lines and map agree with each other, but a receiver on another datum can be that far off.");
    }

    private static (double X, double Y) Apply(MathTransform transform, double x, double y)
    {
        try
        {
            return transform.Transform(x, y);
        }
        catch (Exception e) when (e is ArgumentException or ArithmeticException or InvalidOperationException)
        {
            return (double.NaN, double.NaN);
        }
    }
}
