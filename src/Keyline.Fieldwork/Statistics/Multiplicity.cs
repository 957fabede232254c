namespace Keyline.Fieldwork;

/// <summary>p-values of several measures, made up for their being several.</summary>
/// <remarks>
/// <para>Promises: in the order given; none below its own p-value, none above 1.</para>
/// <para>Cost: that of sorting. Source: Holm 1979; Hochberg 1988; Benjamini and Hochberg 1995.</para>
/// </remarks>
public static class Multiplicity
{
    /// <summary>Holm's: keeps the chance of any false claim.</summary>
    /// <param name="p">p-values, 0 to 1.</param>
    public static double[] Holm(IReadOnlyList<double> p)
    {
        int[] order = Order(p);
        double[] result = new double[order.Length];
        double most = 0;
        for (int k = 0; k < order.Length; k++)
        {
            most = Math.Max(most, Math.Min(1, (order.Length - k) * p[order[k]]));
            result[order[k]] = most;
        }

        return result;
    }

    /// <summary>Hochberg's: as Holm's from the other end, for tests that are not negatively related.</summary>
    /// <param name="p">p-values, 0 to 1.</param>
    public static double[] Hochberg(IReadOnlyList<double> p) => FromTheEnd(p, (k, n) => n - k);

    /// <summary>Benjamini and Hochberg's: keeps the share of false claims among claims.</summary>
    /// <param name="p">p-values, 0 to 1.</param>
    public static double[] FalseDiscoveryRate(IReadOnlyList<double> p) => FromTheEnd(p, (k, n) => n / (k + 1.0));

    private static double[] FromTheEnd(IReadOnlyList<double> p, Func<int, int, double> factor)
    {
        int[] order = Order(p);
        double[] result = new double[order.Length];
        double least = 1;
        for (int k = order.Length - 1; k >= 0; k--)
        {
            least = Math.Min(least, factor(k, order.Length) * p[order[k]]);
            result[order[k]] = least;
        }

        return result;
    }

    private static int[] Order(IReadOnlyList<double> p)
    {
        ArgumentNullException.ThrowIfNull(p);
        return p.All(v => v is >= 0 and <= 1) ? [.. Enumerable.Range(0, p.Count).OrderBy(i => p[i])] : throw new ArgumentException("A p-value lies between 0 and 1.", nameof(p));
    }
}
