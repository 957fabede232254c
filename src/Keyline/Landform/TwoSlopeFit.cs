namespace Keyline.Landform;

/// <summary>Two straight slopes that meet, fitted to a profile, beside one straight slope and a plain curve.</summary>
/// <remarks>
/// <para>Units: metres; slopes as rise per metre along the profile, so a falling floor is negative.</para>
/// <para>Promises: the break is the sampled place with the least sum of squares, of equals the first.</para>
/// <para>Cost: O(n m) for n points and m places of the break.</para>
/// <para>Source: continuous two-phase regression, Hudson 1966 and Hinkley 1969.</para>
/// </remarks>
internal sealed class TwoSlopeFit
{
    /// <summary>Heights are never known better than this, metres; it keeps a perfect fit's statistic finite.</summary>
    private const double LeastError = 0.002;

    private TwoSlopeFit()
    {
    }

    /// <summary>Index of the break among the points.</summary>
    public int Break { get; private init; }

    public double SlopeBefore { get; private init; }

    public double SlopeAfter { get; private init; }

    /// <summary>Sum of squares for a break at each place; infinite where the break was not tried.</summary>
    public required double[] Squares { get; init; }

    /// <summary>Sum of squares of one slope.</summary>
    public double OneSlopeSquares { get; private init; }

    /// <summary>Sum of squares of a parabola, which has one constant bend and no break.</summary>
    public double ParabolaSquares { get; private init; }

    /// <summary>Sum of squares of the two slopes.</summary>
    public double TwoSlopeSquares => Squares[Break];

    /// <summary>Fits points from one index to another, both included; null where there is no room for a break.</summary>
    /// <param name="s">Distances, rising.</param>
    /// <param name="z">Heights.</param>
    /// <param name="from">First index.</param>
    /// <param name="to">Last index.</param>
    /// <param name="shortestAbove">Least distance from the first point to the break.</param>
    /// <param name="shortestBelow">Least distance from the break to the last point.</param>
    public static TwoSlopeFit? Fit(double[] s, double[] z, int from, int to, double shortestAbove, double shortestBelow)
    {
        double[] squares = new double[s.Length];
        Array.Fill(squares, double.PositiveInfinity);
        double floor = LeastError * LeastError * (to - from + 1);
        int best = -1;
        double before = 0;
        double after = 0;
        for (int b = from + 2; b <= to - 2; b++)
        {
            if (s[b] - s[from] < shortestAbove || s[to] - s[b] < shortestBelow)
            {
                continue;
            }

            double knot = s[b];
            (double rss, double slope, double change) = Solve(s, z, from, to, t => Math.Max(0, t - knot));
            squares[b] = rss + floor;
            if (best < 0 || squares[b] < squares[best])
            {
                best = b;
                before = slope;
                after = slope + change;
            }
        }

        if (best < 0)
        {
            return null;
        }

        double start = s[from];
        return new TwoSlopeFit
        {
            Break = best,
            SlopeBefore = before,
            SlopeAfter = after,
            Squares = squares,
            OneSlopeSquares = Solve(s, z, from, to, null).Squares + floor,
            ParabolaSquares = Solve(s, z, from, to, t => (t - start) * (t - start)).Squares + floor,
        };
    }

    /// <summary>Least squares of a constant, the distance and one more term.</summary>
    private static (double Squares, double Slope, double Extra) Solve(double[] s, double[] z, int from, int to, Func<double, double>? term)
    {
        int n = to - from + 1;
        double ms = 0, mz = 0, mt = 0;
        for (int i = from; i <= to; i++)
        {
            ms += s[i] / n;
            mz += z[i] / n;
            mt += (term?.Invoke(s[i]) ?? 0) / n;
        }

        double ss = 0, st = 0, tt = 0, sz = 0, tz = 0, zz = 0;
        for (int i = from; i <= to; i++)
        {
            double a = s[i] - ms;
            double t = (term?.Invoke(s[i]) ?? 0) - mt;
            double h = z[i] - mz;
            ss += a * a;
            st += a * t;
            tt += t * t;
            sz += a * h;
            tz += t * h;
            zz += h * h;
        }

        if (term is null)
        {
            return (Math.Max(0, zz - (sz * sz / ss)), sz / ss, 0);
        }

        double det = (ss * tt) - (st * st);
        double slope = ((sz * tt) - (tz * st)) / det;
        double extra = ((tz * ss) - (sz * st)) / det;
        return (Math.Max(0, zz - (slope * sz) - (extra * tz)), slope, extra);
    }
}
