using Keyline.Landform;

namespace Keyline.Tests.Landform;

/// <summary>The interval of a break's place against the same bootstrap written out plainly, and against what it promises.</summary>
public sealed class PlaceIntervalTests
{
    // A floor that breaks from 12 % to 4 % at 130 m, with errors of a given size that are the same over some points.
    private static (double[] S, double[] Z) Floor(double size, int alike, ulong seed)
    {
        double[] s = [.. Enumerable.Range(0, 61).Select(i => 5.0 * i)];
        double[] z = [.. s.Select((d, i) => 40 - (0.12 * Math.Min(d, 130)) - (0.04 * Math.Max(0, d - 130))
            + (size * Enumerable.Range(0, alike).Sum(k => Support.Noise.At(0, i + k, seed)) / Math.Sqrt(alike)))];
        return (s, z);
    }

    [Theory]
    [InlineData(0.1, 1)]
    [InlineData(0.5, 2)]
    [InlineData(1.5, 3)]
    public void Of_AnyFloor_IsThatOfThePlainBootstrap(double size, ulong seed)
    {
        (double[] s, double[] z) = Floor(size, 3, seed);
        TwoSlopes fit = TwoSlopeFit.Best(s, z, 0, 60, 30, 45)!.Value;
        (double low, double high) = Plain(s, z, fit, 30, 45);
        (double from, double to) = PlaceInterval.Of(s, z, 0, 60, fit, 30, 45);
        Assert.Equal(low, from, 1e-9);
        Assert.Equal(high, to, 1e-9);
    }

    // With independent errors the break lies in the interval 50 times in 60: somewhat less than the nine in ten that are aimed at.
    [Fact]
    public void Of_ManyFloors_MostlyHoldsTheBreak()
    {
        int held = 0, narrow = 0;
        for (ulong seed = 1; seed <= 60; seed++)
        {
            (double[] s, double[] z) = Floor(0.5, 1, 1000 * seed);
            TwoSlopes fit = TwoSlopeFit.Best(s, z, 0, 60, 30, 45)!.Value;
            (double from, double to) = PlaceInterval.Of(s, z, 0, 60, fit, 30, 45);
            Assert.InRange(fit.Knot, from, to);
            held += from <= 130 && to >= 130 ? 1 : 0;
            narrow += to - from < 60 ? 1 : 0;
        }

        Assert.InRange(held, 48, 58);
        Assert.InRange(narrow, 50, 60);
    }

    // 199 draws: blocks of 24 m of what the fit leaves, put side by side on the fit, up to a tenth left out at either end; and the
    // profile itself cut the same way. Of all knots found a twentieth lies below the interval and a twentieth above.
    private static (double From, double To) Plain(double[] s, double[] z, TwoSlopes fit, double before, double after)
    {
        int n = s.Length;
        double[] left = [.. s.Select((d, i) => z[i] - fit.At(d))];
        double mean = left.Aggregate(0.0, (sum, l) => sum + (l / n));
        ulong state = 0x5DEECE66D;
        double Next()
        {
            state += 0x9E3779B97F4A7C15;
            ulong x = state;
            x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9;
            x = (x ^ (x >> 27)) * 0x94D049BB133111EB;
            return ((x ^ (x >> 31)) >> 11) * (1.0 / (1UL << 53));
        }

        List<double> knots = [fit.Knot];
        for (int draw = 0; draw < 199; draw++)
        {
            List<double> drawn = [];
            while (drawn.Count < n)
            {
                int block = (int)(Next() * (n - 5 + 1));
                drawn.AddRange(Enumerable.Range(block, 5).Select(i => left[i] - mean));
            }

            double[] made = [.. s.Select((d, i) => fit.At(d) + drawn[i])];
            int first = (int)(Next() * 0.1 * n), last = n - 1 - (int)(Next() * 0.1 * n);
            foreach (double[] profile in new[] { made, z })
            {
                if (TwoSlopeFit.Best(s, profile, first, last, Math.Max(0, before - (s[first] - s[0])), Math.Max(0, after - (s[^1] - s[last]))) is { } found)
                {
                    knots.Add(found.Knot);
                }
            }
        }

        double low = knots.Where(k => knots.Count(o => o <= k) >= 0.05 * knots.Count).Min();
        double high = knots.Where(k => knots.Count(o => o <= k) >= 0.95 * knots.Count).Min();
        return (Math.Min(low, fit.Knot), Math.Max(high, fit.Knot));
    }
}
