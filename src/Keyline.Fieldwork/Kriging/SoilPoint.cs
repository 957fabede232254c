namespace Keyline.Fieldwork;

/// <summary>A value measured at a place.</summary>
/// <param name="X">East, projected metres.</param>
/// <param name="Y">North, projected metres.</param>
/// <param name="Value">The value, in its own unit.</param>
public readonly record struct SoilPoint(double X, double Y, double Value);

/// <summary>How the mean of a value is taken to change over the land.</summary>
public enum KrigingTrend
{
    /// <summary>It is the same everywhere, and unknown: ordinary kriging.</summary>
    None,

    /// <summary>It rises or falls evenly across the land.</summary>
    Plane,

    /// <summary>It bends as a surface of the second order.</summary>
    Curved,
}

/// <summary>Measured values as they are mapped: finite, one at each place, with their middle and size.</summary>
/// <remarks>Units: projected metres and the value's own. Never changes. Cost: O(n).</remarks>
internal sealed class PointSet
{
    private PointSet(double[] x, double[] y, double[] values, int merged)
    {
        (X, Y, Values, Merged) = (x, y, values, merged);
        (double west, double east, double south, double north) = (x.Min(), x.Max(), y.Min(), y.Max());
        (MiddleX, MiddleY) = ((west + east) / 2, (south + north) / 2);
        Diagonal = Math.Sqrt(((east - west) * (east - west)) + ((north - south) * (north - south)));
    }

    public double[] X { get; }

    public double[] Y { get; }

    public double[] Values { get; }

    public int Count => X.Length;

    /// <summary>Readings that were joined with another at the same place.</summary>
    public int Merged { get; }

    public double MiddleX { get; }

    public double MiddleY { get; }

    /// <summary>Of the points' box, metres.</summary>
    public double Diagonal { get; }

    public double Mean => Values.Average();

    /// <summary>Takes points; several at one place become their mean.</summary>
    /// <exception cref="GroundDataException">A value or place that is no number, or no point at all.</exception>
    public static PointSet Of(IEnumerable<SoilPoint> points)
    {
        ArgumentNullException.ThrowIfNull(points);
        Dictionary<(double, double), int> places = [];
        List<(double X, double Y, double Sum, int Count)> found = [];
        int number = 0;
        foreach (SoilPoint p in points)
        {
            number++;
            if (!double.IsFinite(p.X) || !double.IsFinite(p.Y) || !double.IsFinite(p.Value))
            {
                throw new GroundDataException(FormattableString.Invariant($"Point {number} is {p.Value} at {p.X}, {p.Y}: place and value must be numbers; take it out or mend it."));
            }

            if (places.TryGetValue((p.X, p.Y), out int at))
            {
                found[at] = (p.X, p.Y, found[at].Sum + p.Value, found[at].Count + 1);
            }
            else
            {
                places.Add((p.X, p.Y), found.Count);
                found.Add((p.X, p.Y, p.Value, 1));
            }
        }

        return found.Count == 0 ? throw new GroundDataException("There is no point to map: give some.")
            : new PointSet([.. found.Select(f => f.X)], [.. found.Select(f => f.Y)], [.. found.Select(f => f.Sum / f.Count)], number - found.Count);
    }

    /// <summary>The terms of a trend at a place, about 1 in size.</summary>
    public void Terms(KrigingTrend trend, double x, double y, Span<double> terms)
    {
        terms[0] = 1;
        if (trend == KrigingTrend.None)
        {
            return;
        }

        double size = Diagonal > 0 ? Diagonal / 2 : 1;
        double u = (x - MiddleX) / size, v = (y - MiddleY) / size;
        (terms[1], terms[2]) = (u, v);
        if (trend == KrigingTrend.Curved)
        {
            (terms[3], terms[4], terms[5]) = (u * u, u * v, v * v);
        }
    }

    /// <summary>How many terms a trend has.</summary>
    public static int TermsOf(KrigingTrend trend) => trend switch { KrigingTrend.None => 1, KrigingTrend.Plane => 3, _ => 6 };
}
