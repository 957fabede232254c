namespace Keyline.Fieldwork;

/// <summary>Differences of two means, and ratios through logarithms.</summary>
/// <remarks>
/// <para>Units: those of the samples; ratios as natural logarithms, to be turned back with <see cref="Math.Exp"/>, interval ends too.</para>
/// <para>Promises: the sign is second less first wherever two samples are named. Whether the values are independent is the caller's business:
/// in a trial they are blocks, never rings or years.</para>
/// <para>Cost: linear. Source: Welch 1947 (Satterthwaite's freedom); Hedges, Gurevitch and Curtis 1999 (log response ratio);
/// Zhou, Gao and Hui 1997 (ratio of two lognormal means).</para>
/// </remarks>
public static class MeanDifference
{
    /// <summary>Two samples whose spreads may differ.</summary>
    /// <param name="first">As the control.</param>
    /// <param name="second">As the treated.</param>
    public static Estimate Welch(IReadOnlyList<double> first, IReadOnlyList<double> second)
    {
        (double m1, double v1) = Moments(first, 2);
        (double m2, double v2) = Moments(second, 2);
        double a = v1 / first.Count, b = v2 / second.Count;
        double freedom = (a + b) * (a + b) / ((a * a / (first.Count - 1)) + (b * b / (second.Count - 1)));
        return new Estimate(m2 - m1, Math.Sqrt(a + b), double.IsNaN(freedom) ? first.Count + second.Count - 2 : freedom);
    }

    /// <summary>Two samples of one spread.</summary>
    /// <param name="first">As the control.</param>
    /// <param name="second">As the treated.</param>
    public static Estimate Pooled(IReadOnlyList<double> first, IReadOnlyList<double> second)
    {
        (double m1, double v1) = Moments(first, 1);
        (double m2, double v2) = Moments(second, 1);
        int freedom = first.Count + second.Count - 2;
        ArgumentOutOfRangeException.ThrowIfLessThan(freedom, 1, nameof(second));
        double pooled = ((v1 * (first.Count - 1)) + (v2 * (second.Count - 1))) / freedom;
        return new Estimate(m2 - m1, Math.Sqrt(pooled * ((1.0 / first.Count) + (1.0 / second.Count))), freedom);
    }

    /// <summary>The mean of one difference a block: what a trial in blocks is judged by.</summary>
    /// <param name="differences">One for each block.</param>
    /// <returns>An estimate without standard error where there is only one block.</returns>
    public static Estimate OfBlocks(IReadOnlyList<double> differences)
    {
        (double mean, double variance) = Moments(differences, 1);
        return differences.Count < 2 ? new Estimate(mean, double.NaN, double.NaN) : new Estimate(mean, Math.Sqrt(variance / differences.Count), differences.Count - 1);
    }

    /// <summary>Samples paired in order.</summary>
    /// <param name="first">As the control.</param>
    /// <param name="second">As the treated.</param>
    public static Estimate Paired(IReadOnlyList<double> first, IReadOnlyList<double> second)
    {
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        ArgumentOutOfRangeException.ThrowIfNotEqual(second.Count, first.Count);
        return OfBlocks([.. first.Zip(second, (a, b) => b - a)]);
    }

    /// <summary>Natural logarithm of the ratio of arithmetic means, by the delta method, with a normal interval.</summary>
    /// <param name="first">As the control; mean above 0.</param>
    /// <param name="second">As the treated; mean above 0.</param>
    public static Estimate LogRatioOfMeans(IReadOnlyList<double> first, IReadOnlyList<double> second)
    {
        (double m1, double v1) = Moments(first, 2);
        (double m2, double v2) = Moments(second, 2);
        return new Estimate(Math.Log(m2 / m1), Math.Sqrt((v1 / (first.Count * m1 * m1)) + (v2 / (second.Count * m2 * m2))), double.PositiveInfinity);
    }

    /// <summary>Natural logarithm of the ratio of two lognormal means, with a normal interval.</summary>
    /// <param name="first">As the control; every value above 0.</param>
    /// <param name="second">As the treated; every value above 0.</param>
    public static Estimate LogRatioOfLognormalMeans(IReadOnlyList<double> first, IReadOnlyList<double> second)
    {
        (double m1, double v1) = Moments(Logs(first), 2);
        (double m2, double v2) = Moments(Logs(second), 2);
        double variance = (v1 / first.Count) + (v2 / second.Count) + (v1 * v1 / (2 * (first.Count - 1))) + (v2 * v2 / (2 * (second.Count - 1)));
        return new Estimate(m2 - m1 + ((v2 - v1) / 2), Math.Sqrt(variance), double.PositiveInfinity);
    }

    /// <summary>Natural logarithms.</summary>
    /// <param name="values">Every one above 0.</param>
    /// <exception cref="ArgumentException">One is not.</exception>
    public static double[] Logs(IReadOnlyList<double> values)
    {
        ArgumentNullException.ThrowIfNull(values);
        return values.All(v => v > 0) ? [.. values.Select(v => Math.Log(v))] : throw new ArgumentException("A ratio needs every value above 0.", nameof(values));
    }

    internal static (double Mean, double Variance) Moments(IReadOnlyList<double> values, int least)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (values.Count < least)
        {
            throw new ArgumentException($"At least {least} values are needed.", nameof(values));
        }

        double mean = values.Average();
        return (mean, values.Count < 2 ? double.NaN : values.Sum(v => (v - mean) * (v - mean)) / (values.Count - 1));
    }
}
