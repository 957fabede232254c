namespace Keyline.Fieldwork;

/// <summary>How an effect fades: exponentially from its first size.</summary>
/// <remarks>
/// <para>Units: time in the caller's unit, effects as given (logarithms of ratios where that is natural).</para>
/// <para>Promises: says "not fading" by a rate of 0 rather than making one up. Intervals leave out one block at a time, so that visits of one block are never taken for replicates.</para>
/// <para>Cost: some thousand evaluations. Source: least squares with the size solved for each rate (Golub and Pereyra 1973); jackknife after Tukey 1958 and Miller 1974.</para>
/// </remarks>
/// <param name="Initial">Effect at time 0.</param>
/// <param name="Rate">Share lost in a unit of time at the start, 0 or more.</param>
/// <param name="Residual">Sum of squares left over.</param>
public sealed record DecayFit(double Initial, double Rate, double Residual)
{
    private const int Steps = 400;

    /// <summary>Time in which half of it goes.</summary>
    public double HalfLife => Rate > 0 ? Math.Log(2) / Rate : double.PositiveInfinity;

    /// <summary>The effect at a time.</summary>
    /// <param name="time">When.</param>
    public double At(double time) => Initial * Math.Exp(-Rate * time);

    /// <summary>When the effect has shrunk to a size.</summary>
    /// <param name="size">Above 0.</param>
    /// <returns>0 where it never was as large; infinite where it does not fade.</returns>
    public double GoneAt(double size) => Math.Abs(Initial) <= size ? 0 : Rate > 0 ? Math.Log(Math.Abs(Initial) / size) / Rate : double.PositiveInfinity;

    /// <summary>Fits effects over time.</summary>
    /// <param name="times">Times since the work, 0 or more, at least two different ones.</param>
    /// <param name="effects">The effect at each.</param>
    public static DecayFit Of(IReadOnlyList<double> times, IReadOnlyList<double> effects)
    {
        ArgumentNullException.ThrowIfNull(times);
        ArgumentNullException.ThrowIfNull(effects);
        ArgumentOutOfRangeException.ThrowIfNotEqual(effects.Count, times.Count);
        double first = times.Min(), last = times.Max();
        if (!(last > first))
        {
            throw new ArgumentException("Fading needs effects of at least two times.", nameof(times));
        }

        // From rates that lose nothing between first and last to such that lose all of it.
        DecayFit best = With(0);
        double low = 1e-3 / (last - first), high = 60 / (last - first), factor = Math.Pow(high / low, 1.0 / Steps), at = 0;
        for (int i = 0; i <= Steps; i++)
        {
            DecayFit fit = With(low * Math.Pow(factor, i));
            if (fit.Residual < best.Residual)
            {
                (best, at) = (fit, fit.Rate);
            }
        }

        if (at == 0)
        {
            return best;
        }

        double from = at / factor, to = at * factor, golden = (Math.Sqrt(5) - 1) / 2;
        for (int i = 0; i < 80; i++)
        {
            double a = to - (golden * (to - from)), b = from + (golden * (to - from));
            (from, to) = With(a).Residual < With(b).Residual ? (from, b) : (a, to);
        }

        DecayFit fine = With((from + to) / 2);
        return fine.Residual <= best.Residual ? fine : best;

        DecayFit With(double rate)
        {
            double product = 0, square = 0, rest = 0;
            for (int i = 0; i < times.Count; i++)
            {
                double e = Math.Exp(-rate * (times[i] - first));
                product += e * effects[i];
                square += e * e;
            }

            double size = product / square;
            for (int i = 0; i < times.Count; i++)
            {
                double off = effects[i] - (size * Math.Exp(-rate * (times[i] - first)));
                rest += off * off;
            }

            return new DecayFit(size * Math.Exp(rate * first), rate, rest);
        }
    }

    /// <summary>When the effect is likely gone, with an interval from the blocks.</summary>
    /// <param name="times">Times of the visits.</param>
    /// <param name="effects">For each block the effect at each visit; NaN where it was not read.</param>
    /// <param name="size">What counts as gone.</param>
    /// <param name="level">Confidence, as 0.9.</param>
    /// <returns>The time and its interval; an end is infinite where the data do not set one.</returns>
    public static (DecayFit Fit, double Gone, double Low, double High) OfBlocks(IReadOnlyList<double> times, IReadOnlyList<IReadOnlyList<double>> effects, double size, double level)
    {
        ArgumentNullException.ThrowIfNull(effects);
        int n = effects.Count;
        DecayFit whole = Without(-1);
        double gone = whole.GoneAt(size);
        double[] logs = [.. Enumerable.Range(0, n).Select(b => Math.Log(Without(b).GoneAt(size)))];
        if (n < 3 || logs.Any(l => !double.IsFinite(l)) || !double.IsFinite(Math.Log(gone)))
        {
            return (whole, gone, 0, double.PositiveInfinity);
        }

        Estimate jackknife = MeanDifference.OfBlocks([.. logs.Select(l => (n * Math.Log(gone)) - ((n - 1) * l))]);
        (double low, double high) = (jackknife with { Value = Math.Log(gone) }).Between(level);
        return (whole, gone, Math.Exp(low), Math.Exp(high));

        DecayFit Without(int left)
        {
            double[] means = [.. times.Select((_, v) => effects.Where((e, b) => b != left && double.IsFinite(e[v])).Select(e => e[v]).DefaultIfEmpty(double.NaN).Average())];
            int[] known = [.. Enumerable.Range(0, means.Length).Where(v => double.IsFinite(means[v]))];
            return known.Select(v => times[v]).Distinct().Count() < 2 ? new DecayFit(double.NaN, 0, double.NaN) : Of([.. known.Select(v => times[v])], [.. known.Select(v => means[v])]);
        }
    }
}
