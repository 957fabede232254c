using MathNet.Numerics.LinearAlgebra;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>Polynomials that take longitude and latitude to a map's metres and back, near enough for a phone's position.</summary>
/// <remarks>
/// <para>Units: metres from the map's origin; thousandths of a degree from a middle. Terms: 1, a, b, aa, ab, bb.</para>
/// <para>Promises: within some millimetres over a few kilometres in the projections that plans are made in; <see cref="Error"/> says how near.</para>
/// <para>Source: least squares on a lattice of nine by nine places, computed here.</para>
/// </remarks>
internal sealed class LonLatFit
{
    private const int Side = 9;
    private const double PerDegree = 1000;

    public LonLatFit(Envelope window, Coordinate origin, Func<double, double, (double Longitude, double Latitude)> toLonLat)
    {
        List<(double X, double Y, double Lon, double Lat)> places = [];
        for (int i = 0; i < Side; i++)
        {
            for (int j = 0; j < Side; j++)
            {
                double x = window.MinX + (window.Width * i / (Side - 1)), y = window.MinY + (window.Height * j / (Side - 1));
                (double lon, double lat) = toLonLat(x, y);
                places.Add((x - origin.X, y - origin.Y, lon, lat));
            }
        }

        (_, _, MiddleLongitude, MiddleLatitude) = places[places.Count / 2];
        (double, double)[] angles = [.. places.Select(p => (PerDegree * Math.IEEERemainder(p.Lon - MiddleLongitude, 360), PerDegree * (p.Lat - MiddleLatitude)))];
        double scale = Math.Max(window.Width, window.Height) / 2;
        (double, double)[] metres = [.. places.Select(p => (p.X / scale, p.Y / scale))];
        (East, North) = (Fit(angles, [.. places.Select(p => p.X)]), Fit(angles, [.. places.Select(p => p.Y)]));
        Scale = scale;
        (Longitude, Latitude) = (Fit(metres, [.. angles.Select(a => a.Item1)]), Fit(metres, [.. angles.Select(a => a.Item2)]));
        Error = places.Select((p, i) => Math.Max(Math.Abs(Value(East, angles[i]) - p.X), Math.Abs(Value(North, angles[i]) - p.Y))).Max();
    }

    /// <summary>Middle, degrees.</summary>
    public double MiddleLongitude { get; }

    /// <summary>Middle, degrees.</summary>
    public double MiddleLatitude { get; }

    /// <summary>Metres that the way back is scaled by.</summary>
    public double Scale { get; }

    /// <summary>Terms that give metres east of the origin.</summary>
    public double[] East { get; }

    /// <summary>Terms that give metres north of the origin.</summary>
    public double[] North { get; }

    /// <summary>Terms that give thousandths of a degree east of the middle.</summary>
    public double[] Longitude { get; }

    /// <summary>Terms that give thousandths of a degree north of the middle.</summary>
    public double[] Latitude { get; }

    /// <summary>Greatest miss at the lattice, metres.</summary>
    public double Error { get; }

    private static double Value(double[] terms, (double A, double B) at) =>
        terms[0] + (terms[1] * at.A) + (terms[2] * at.B) + (terms[3] * at.A * at.A) + (terms[4] * at.A * at.B) + (terms[5] * at.B * at.B);

    private static double[] Fit((double A, double B)[] at, double[] values)
    {
        Matrix<double> rows = Matrix<double>.Build.Dense(at.Length, 6, (r, c) => c switch
        {
            0 => 1,
            1 => at[r].A,
            2 => at[r].B,
            3 => at[r].A * at[r].A,
            4 => at[r].A * at[r].B,
            _ => at[r].B * at[r].B,
        });
        return rows.QR().Solve(Vector<double>.Build.Dense(values)).ToArray();
    }
}
