using MathNet.Numerics.Distributions;

namespace Keyline.Fieldwork;

/// <summary>What a test on ranks found.</summary>
/// <param name="Statistic">W, V, or chi-squared.</param>
/// <param name="P">Two-sided p-value.</param>
/// <param name="Shift">Median difference (Hodges and Lehmann); NaN where there is none.</param>
/// <param name="Low">Low end of its 95 % interval.</param>
/// <param name="High">High end.</param>
public sealed record RankResult(double Statistic, double P, double Shift = double.NaN, double Low = double.NaN, double High = double.NaN);

/// <summary>Tests on ranks, which no single wild reading can sway.</summary>
/// <remarks>
/// <para>Promises: exact for samples without ties; with ties the p-value is that of a randomisation test on mean ranks.</para>
/// <para>Cost: product of the sizes squared. Source: Wilcoxon 1945; Mann and Whitney 1947; Hodges and Lehmann 1963; Kruskal and Wallis 1952; Friedman 1937.</para>
/// </remarks>
public static class Ranks
{
    private const double Level = 0.95;

    /// <summary>Two samples; W counts the pairs in which the second is higher.</summary>
    /// <param name="first">As the control.</param>
    /// <param name="second">As the treated.</param>
    public static RankResult Sum(IReadOnlyList<double> first, IReadOnlyList<double> second)
    {
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        double[] ranks = Of([.. first, .. second], out double ties);
        int m = second.Count, n = first.Count;
        double w = ranks.Skip(n).Sum() - (m * (m + 1) / 2.0);
        double[] differences = [.. second.SelectMany(s => first.Select(f => s - f)).Order()];
        double[] counts = SplitCounts(m, n);
        double p = ties > 0 ? Randomisation.Splits([.. ranks.Take(n)], [.. ranks.Skip(n)]).P : Doubled(counts, w);
        (double low, double high) = Ends(differences, counts);
        return new RankResult(w, p, Middle(differences), low, high);
    }

    /// <summary>Differences of pairs, or of one sample from 0; V sums the ranks of those above 0.</summary>
    /// <param name="differences">One for each pair; zeros are left out.</param>
    public static RankResult Pairs(IReadOnlyList<double> differences)
    {
        ArgumentNullException.ThrowIfNull(differences);
        double[] d = [.. differences.Where(v => v != 0)];
        double[] ranks = Of([.. d.Select(Math.Abs)], out double ties);
        double v = ranks.Where((_, i) => d[i] > 0).Sum();
        double[] means = [.. Enumerable.Range(0, d.Length).SelectMany(i => Enumerable.Range(i, d.Length - i).Select(j => (d[i] + d[j]) / 2)).Order()];
        double[] counts = SignCounts(d.Length);
        double p = ties > 0 ? Randomisation.SignFlips([.. ranks.Select((r, i) => d[i] > 0 ? r : -r)]).P : Doubled(counts, v);
        (double low, double high) = Ends(means, counts);
        return new RankResult(v, p, Middle(means), low, high);
    }

    /// <summary>Several samples.</summary>
    /// <param name="samples">At least two.</param>
    public static RankResult Groups(IReadOnlyList<IReadOnlyList<double>> samples)
    {
        ArgumentNullException.ThrowIfNull(samples);
        double[] ranks = Of([.. samples.SelectMany(s => s)], out double ties);
        double n = ranks.Length, sum = 0;
        int at = 0;
        foreach (IReadOnlyList<double> sample in samples)
        {
            double own = ranks.Skip(at).Take(sample.Count).Sum();
            sum += own * own / sample.Count;
            at += sample.Count;
        }

        double h = ((12 / (n * (n + 1)) * sum) - (3 * (n + 1))) / (1 - (ties / ((n * n * n) - n)));
        return new RankResult(h, 1 - ChiSquared.CDF(samples.Count - 1, h));
    }

    /// <summary>Treatments within blocks.</summary>
    /// <param name="blocks">The treatments' values of each block, in one order.</param>
    public static RankResult Blocks(IReadOnlyList<IReadOnlyList<double>> blocks)
    {
        ArgumentNullException.ThrowIfNull(blocks);
        int b = blocks.Count, k = blocks[0].Count;
        double[] sums = new double[k];
        double ties = 0;
        foreach (IReadOnlyList<double> block in blocks)
        {
            double[] ranks = Of([.. block], out double own);
            ties += own;
            for (int j = 0; j < k; j++)
            {
                sums[j] += ranks[j];
            }
        }

        double mean = b * (k + 1) / 2.0;
        double chi = 12 * sums.Sum(s => (s - mean) * (s - mean)) / ((b * k * (k + 1)) - (ties / (k - 1)));
        return new RankResult(chi, 1 - ChiSquared.CDF(k - 1, chi));
    }

    private static double[] Of(double[] values, out double ties)
    {
        int[] order = [.. Enumerable.Range(0, values.Length).OrderBy(i => values[i])];
        double[] ranks = new double[values.Length];
        ties = 0;
        for (int from = 0, to; from < order.Length; from = to)
        {
            for (to = from + 1; to < order.Length && values[order[to]] == values[order[from]]; to++)
            {
            }

            double count = to - from;
            ties += (count * count * count) - count;
            for (int i = from; i < to; i++)
            {
                ranks[order[i]] = (from + 1 + to) / 2.0;
            }
        }

        return ranks;
    }

    // How many of the arrangements give each statistic: one more value at a time.
    private static double[] SplitCounts(int m, int n)
    {
        double[,][] ways = new double[m + 1, n + 1][];
        for (int i = 0; i <= m; i++)
        {
            for (int j = 0; j <= n; j++)
            {
                double[] own = ways[i, j] = new double[(i * j) + 1];
                if (i == 0 || j == 0)
                {
                    own[0] = 1;
                    continue;
                }

                for (int w = 0; w < own.Length; w++)
                {
                    own[w] = (w < ways[i, j - 1].Length ? ways[i, j - 1][w] : 0) + (w >= j && w - j < ways[i - 1, j].Length ? ways[i - 1, j][w - j] : 0);
                }
            }
        }

        return ways[m, n];
    }

    private static double[] SignCounts(int n)
    {
        double[] ways = new double[(n * (n + 1) / 2) + 1];
        ways[0] = 1;
        for (int rank = 1; rank <= n; rank++)
        {
            for (int v = ways.Length - 1; v >= rank; v--)
            {
                ways[v] += ways[v - rank];
            }
        }

        return ways;
    }

    private static double Doubled(double[] counts, double statistic)
    {
        int s = (int)Math.Round(statistic);
        double low = counts.Take(s + 1).Sum(), high = counts.Skip(s).Sum();
        return Math.Min(1, 2 * Math.Min(low, high) / counts.Sum());
    }

    private static (double Low, double High) Ends(double[] sorted, double[] counts)
    {
        double total = counts.Sum(), sum = 0, half = (1 - Level) / 2;
        int q = 0;
        while (q < counts.Length && (sum + counts[q]) / total < half)
        {
            sum += counts[q++];
        }

        q = Math.Max(q, 1);
        return sorted.Length < q ? (double.NegativeInfinity, double.PositiveInfinity) : (sorted[q - 1], sorted[^q]);
    }

    private static double Middle(double[] sorted) => sorted.Length == 0 ? double.NaN
        : sorted.Length % 2 == 1 ? sorted[sorted.Length / 2] : (sorted[(sorted.Length / 2) - 1] + sorted[sorted.Length / 2]) / 2;
}
