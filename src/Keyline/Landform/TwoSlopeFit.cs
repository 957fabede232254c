namespace Keyline.Landform;

/// <summary>Two straight slopes that meet, fitted to a profile by least squares.</summary>
/// <param name="Knot">Distance at which they meet.</param>
/// <param name="SlopeBefore">Rise per metre before it; a falling floor is negative.</param>
/// <param name="SlopeAfter">Rise per metre after it.</param>
/// <param name="HeightAtKnot">Height where they meet.</param>
/// <param name="Squares">Sum of squares of what is left.</param>
internal readonly record struct TwoSlopes(double Knot, double SlopeBefore, double SlopeAfter, double HeightAtKnot, double Squares)
{
    public double At(double distance) => HeightAtKnot + ((distance < Knot ? SlopeBefore : SlopeAfter) * (distance - Knot));
}

/// <summary>Fits two straight slopes that meet, one straight slope, and a parabola.</summary>
/// <remarks>
/// <para>Units: metres; slopes as rise per metre along the profile.</para>
/// <para>Promises: the knot is the very place of the least sum of squares within its bounds, between points too.</para>
/// <para>Cost: O(n) for n points.</para>
/// <para>Source: continuous two-phase regression, D. J. Hudson 1966, J. Am. Stat. Assoc. 61, 1097-1129: between two points the
/// least squares lie where the two sides' own lines cross, if they cross there, and else at a point.</para>
/// </remarks>
internal static class TwoSlopeFit
{
    /// <summary>The best two slopes through points from one index to another, both included; null where there is no room.</summary>
    /// <param name="s">Distances, rising.</param>
    /// <param name="z">Heights.</param>
    /// <param name="from">First index.</param>
    /// <param name="to">Last index.</param>
    /// <param name="shortestBefore">Least distance from the first point to the knot.</param>
    /// <param name="shortestAfter">Least distance from the knot to the last point.</param>
    public static TwoSlopes? Best(ReadOnlySpan<double> s, ReadOnlySpan<double> z, int from, int to, double shortestBefore, double shortestAfter)
    {
        double low = s[from] + shortestBefore, high = s[to] - shortestAfter;
        Sums all = default;
        double s0 = s[from], z0 = z[from];
        for (int i = from; i <= to; i++)
        {
            all.Add(s[i] - s0, z[i] - z0);
        }

        TwoSlopes? best = null;
        Sums left = default;
        for (int i = from; i < to - 1; i++)
        {
            left.Add(s[i] - s0, z[i] - z0);
            if (i < from + 1)
            {
                continue;
            }

            Sums right = all.Less(left);
            if (s[i] >= low && s[i] <= high && At(left, right, s[i] - s0) is { } at && (best is null || at.Squares < best.Value.Squares))
            {
                best = at;
            }

            foreach (double end in (ReadOnlySpan<double>)[low, high])
            {
                if (end > s[i] && end < s[i + 1] && low <= high && At(left, right, end - s0) is { } edge && (best is null || edge.Squares < best.Value.Squares))
                {
                    best = edge;
                }
            }

            if (right.Count > 2 && Between(left, right) is { } between && between.Knot + s0 > Math.Max(low, s[i]) && between.Knot + s0 < Math.Min(high, s[i + 1])
                && (best is null || between.Squares < best.Value.Squares))
            {
                best = between;
            }
        }

        return best is { } b ? b with { Knot = b.Knot + s0, HeightAtKnot = b.HeightAtKnot + z0 } : null;
    }

    /// <summary>Slope and sum of squares of one straight slope.</summary>
    public static (double Slope, double Squares) One(ReadOnlySpan<double> s, ReadOnlySpan<double> z, int from, int to)
    {
        Sums all = default;
        for (int i = from; i <= to; i++)
        {
            all.Add(s[i] - s[from], z[i] - z[from]);
        }

        (double _, double slope, double squares) = all.Line();
        return (slope, squares);
    }

    /// <summary>Sum of squares of a parabola, which has one constant bend and no break.</summary>
    public static double Parabola(ReadOnlySpan<double> s, ReadOnlySpan<double> z, int from, int to)
    {
        // On places brought to -1..1 the squares are taken free of constant and slope.
        double middle = (s[from] + s[to]) / 2, half = (s[to] - s[from]) / 2;
        int n = to - from + 1;
        double mt = 0, mz = 0, mu = 0;
        for (int i = from; i <= to; i++)
        {
            double t = (s[i] - middle) / half;
            mt += t / n;
            mu += t * t / n;
            mz += z[i] / n;
        }

        double tt = 0, tu = 0, uu = 0, tz = 0, uz = 0, zz = 0;
        for (int i = from; i <= to; i++)
        {
            double raw = (s[i] - middle) / half, t = raw - mt, u = (raw * raw) - mu, h = z[i] - mz;
            tt += t * t;
            tu += t * u;
            uu += u * u;
            tz += t * h;
            uz += u * h;
            zz += h * h;
        }

        double bend = ((uz * tt) - (tz * tu)) / ((uu * tt) - (tu * tu)), slope = (tz - (bend * tu)) / tt;
        return Math.Max(0, zz - (slope * tz) - (bend * uz));
    }

    // The knot at a point: constant, slope and change of slope, the last from the points after the knot alone.
    private static TwoSlopes? At(in Sums left, in Sums right, double knot)
    {
        Sums all = left.Plus(right);
        double t = right.S - (right.Count * knot), tt = right.SS - (2 * knot * right.S) + (right.Count * knot * knot);
        double st = right.SS - (knot * right.S), tz = right.SZ - (knot * right.Z), n = all.Count;
        double css = all.SS - (all.S * all.S / n), cst = st - (all.S * t / n), ctt = tt - (t * t / n);
        double csz = all.SZ - (all.S * all.Z / n), ctz = tz - (t * all.Z / n), czz = all.ZZ - (all.Z * all.Z / n);
        double det = (css * ctt) - (cst * cst);
        if (!(det > 1e-12 * css * ctt))
        {
            return null;
        }

        double slope = ((csz * ctt) - (ctz * cst)) / det, change = ((ctz * css) - (csz * cst)) / det;
        double constant = (all.Z - (slope * all.S) - (change * t)) / n;
        return new TwoSlopes(knot, slope, slope + change, constant + (slope * knot), Math.Max(0, czz - (slope * csz) - (change * ctz)));
    }

    private static TwoSlopes? Between(in Sums left, in Sums right)
    {
        (double a, double before, double first) = left.Line();
        (double b, double after, double second) = right.Line();
        double knot = (b - a) / (before - after);
        return double.IsFinite(knot) ? new TwoSlopes(knot, before, after, a + (before * knot), first + second) : null;
    }

    private struct Sums
    {
        public double Count;
        public double S;
        public double Z;
        public double SS;
        public double SZ;
        public double ZZ;

        public void Add(double s, double z)
        {
            Count++;
            S += s;
            Z += z;
            SS += s * s;
            SZ += s * z;
            ZZ += z * z;
        }

        public readonly Sums Less(in Sums o) => new() { Count = Count - o.Count, S = S - o.S, Z = Z - o.Z, SS = SS - o.SS, SZ = SZ - o.SZ, ZZ = ZZ - o.ZZ };

        public readonly Sums Plus(in Sums o) => new() { Count = Count + o.Count, S = S + o.S, Z = Z + o.Z, SS = SS + o.SS, SZ = SZ + o.SZ, ZZ = ZZ + o.ZZ };

        public readonly (double Constant, double Slope, double Squares) Line()
        {
            double ss = SS - (S * S / Count), sz = SZ - (S * Z / Count), zz = ZZ - (Z * Z / Count);
            double slope = sz / ss;
            return ((Z - (slope * S)) / Count, slope, Math.Max(0, zz - (slope * sz)));
        }
    }
}
