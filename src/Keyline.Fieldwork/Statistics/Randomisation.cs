namespace Keyline.Fieldwork;

/// <summary>What a randomisation test found.</summary>
/// <param name="P">Share of arrangements with a mean difference at least as far from 0.</param>
/// <param name="POneSided">Share with one at least as far in the same direction.</param>
/// <param name="Arrangements">How many were looked at.</param>
/// <param name="IsExact">Whether these were all there are.</param>
public sealed record RandomisationResult(double P, double POneSided, int Arrangements, bool IsExact)
{
    /// <summary>The least p-value these arrangements could give.</summary>
    public double LeastP => IsExact ? 2.0 / Arrangements : 1.0 / (Arrangements + 1);
}

/// <summary>Tests that take nothing for granted but the randomisation itself.</summary>
/// <remarks>
/// <para>Units: those of the values. Promises: every arrangement where they are few, else a fixed number drawn from a seed, the one that was
/// observed counted among them.</para>
/// <para>Cost: arrangements times values. Source: Fisher 1935, "The Design of Experiments", section 21; Phipson and Smyth 2010 for drawn arrangements.</para>
/// </remarks>
public static class Randomisation
{
    /// <summary>Most arrangements that are all looked at.</summary>
    public const int MostExact = 200_000;

    /// <summary>Arrangements drawn where there are more.</summary>
    public const int Draws = 19_999;

    // Sums of the same numbers in another order differ in their last digits only.
    private const double Alike = 1e-9;

    /// <summary>Signs of one difference a block, flipped in every way: the treatments could have fallen the other way round in each.</summary>
    /// <param name="differences">One for each block.</param>
    /// <param name="seed">For drawn arrangements.</param>
    public static RandomisationResult SignFlips(IReadOnlyList<double> differences, ulong seed = 1)
    {
        ArgumentNullException.ThrowIfNull(differences);
        int n = differences.Count;
        double observed = differences.Sum(), slack = Alike * differences.Sum(Math.Abs);
        bool exact = n < 31 && 1L << n <= MostExact;
        Tally tally = new(observed, slack);
        SeededDraws draws = new(seed);
        int count = exact ? 1 << n : Draws;
        for (int k = 0; k < count; k++)
        {
            double sum = 0;
            for (int i = 0; i < n; i++)
            {
                bool flip = exact ? ((k >> i) & 1) == 1 : draws.Bits() >> 63 == 1;
                sum += flip ? -differences[i] : differences[i];
            }

            tally.Add(sum);
        }

        return tally.Result(count, exact);
    }

    /// <summary>Two samples mixed and parted again in every way.</summary>
    /// <param name="first">As the control.</param>
    /// <param name="second">As the treated.</param>
    /// <param name="seed">For drawn arrangements.</param>
    public static RandomisationResult Splits(IReadOnlyList<double> first, IReadOnlyList<double> second, ulong seed = 1)
    {
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        double[] all = [.. first, .. second];
        int n = all.Length, m = second.Count;
        double mean = all.Average(), slack = Alike * all.Sum(v => Math.Abs(v - mean));
        for (int i = 0; i < n; i++)
        {
            all[i] -= mean;
        }

        // With the mean taken off, the sum over the second sample orders the arrangements as the mean difference does.
        double observed = all.Skip(first.Count).Sum();
        long ways = Ways(n, m);
        bool exact = n <= 62 && ways <= MostExact;
        Tally tally = new(observed, slack);
        if (exact && m > 0)
        {
            ulong mask = (1UL << m) - 1, end = 1UL << n;
            while (mask < end)
            {
                double sum = 0;
                for (ulong rest = mask; rest != 0; rest &= rest - 1)
                {
                    sum += all[System.Numerics.BitOperations.TrailingZeroCount(rest)];
                }

                tally.Add(sum);
                ulong low = mask & (~mask + 1), ripple = mask + low;
                mask = (((ripple ^ mask) >> 2) / low) | ripple;
            }

            return tally.Result((int)ways, true);
        }

        SeededDraws draws = new(seed);
        for (int k = 0; k < Draws; k++)
        {
            draws.Shuffle(all);
            double sum = 0;
            for (int i = 0; i < m; i++)
            {
                sum += all[i];
            }

            tally.Add(sum);
        }

        return tally.Result(Draws, false);
    }

    private static long Ways(int n, int m)
    {
        double ways = 1;
        for (int i = 1; i <= m; i++)
        {
            ways = Math.Round(ways * (n - m + i) / i);
        }

        return ways > 1e15 ? long.MaxValue : (long)ways;
    }

    private struct Tally(double observed, double slack)
    {
        private int _far;
        private int _farther;

        public void Add(double sum)
        {
            _far += Math.Abs(sum) >= Math.Abs(observed) - slack ? 1 : 0;
            _farther += (observed >= 0 ? sum >= observed - slack : sum <= observed + slack) ? 1 : 0;
        }

        public readonly RandomisationResult Result(int count, bool exact) => exact
            ? new RandomisationResult(_far / (double)count, _farther / (double)count, count, true)
            : new RandomisationResult((_far + 1) / (count + 1.0), (_farther + 1) / (count + 1.0), count, false);
    }
}
