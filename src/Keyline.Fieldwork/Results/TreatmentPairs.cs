namespace Keyline.Fieldwork;

/// <summary>Two treatments of a measure, compared as one of all pairs there are.</summary>
/// <param name="Measure">The measure.</param>
/// <param name="First">One treatment.</param>
/// <param name="Second">The other.</param>
/// <param name="Difference">Second less first, on the measure's scale, with the error of what blocks and treatments leave.</param>
/// <param name="Treatments">How many treatments were looked at together.</param>
public sealed record TreatmentPair(TrialMeasure Measure, string First, string Second, Estimate Difference, int Treatments)
{
    /// <summary>p-value that holds for all pairs together.</summary>
    public double P => StudentizedRange.P(Difference, Treatments);

    /// <summary>It in a sentence.</summary>
    public string Sentence => ResultWords.Of(this);

    /// <summary>Interval such that those of all pairs hold together.</summary>
    /// <param name="level">Confidence, as 0.95.</param>
    public (double Low, double High) Between(double level) => StudentizedRange.Between(Difference, Treatments, level);
}

/// <summary>Compares every pair of treatments where a trial has three or more: which of several depths, not only whether any.</summary>
/// <remarks>
/// <para>Units: those of the measure's scale. Promises: a block counts only where every treatment was read in it at the same visits; the answer of a treatment against the
/// control does not rest on this. Nothing with two treatments, or with fewer than two such blocks.</para>
/// <para>Cost: linear, and a quantile a pair. Source: randomised blocks after Fisher 1935; <see cref="StudentizedRange"/> names Tukey's.</para>
/// </remarks>
public static class TreatmentPairs
{
    /// <summary>The pairs, in the order of the plan's treatments.</summary>
    /// <param name="plan">The trial.</param>
    /// <param name="measure">The measure.</param>
    /// <param name="means">Every plot's mean at every visit.</param>
    public static IReadOnlyList<TreatmentPair> Of(TrialPlan plan, TrialMeasure measure, IReadOnlyList<PlotMean> means)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(measure);
        ArgumentNullException.ThrowIfNull(means);
        string[] treatments = [.. plan.Treatments.Select(t => t.Id)];
        if (treatments.Length < 3)
        {
            return [];
        }

        bool hasBefore = means.Any(m => m.Years < 0);
        double[][] blocks = [.. means.GroupBy(m => m.Block).OrderBy(b => b.Key).Select(b => Block(b, treatments, hasBefore)).OfType<double[]>()];
        if (blocks.Length < 2)
        {
            return [];
        }

        int freedom = (blocks.Length - 1) * (treatments.Length - 1);
        double[] of = [.. treatments.Select((_, t) => blocks.Average(b => b[t]))];
        double all = of.Average();
        double rest = blocks.Sum(b => Enumerable.Range(0, of.Length).Sum(t => Square(b[t] - b.Average() - of[t] + all)));
        double error = Math.Sqrt(2 * rest / freedom / blocks.Length);
        return [.. Enumerable.Range(0, of.Length).SelectMany(i => Enumerable.Range(i + 1, of.Length - i - 1).Select(j => new TreatmentPair(measure, treatments[i], treatments[j], new Estimate(of[j] - of[i], error, freedom), of.Length)))];
    }

    // A block's treatments over the visits after the work at which all of them were read, what was there before taken off; null where that cannot be had.
    private static double[]? Block(IEnumerable<PlotMean> block, string[] treatments, bool hasBefore)
    {
        PlotMean[][] whole = [.. block.GroupBy(m => m.Date).Select(v => v.ToArray()).Where(v => Array.TrueForAll(treatments, t => v.Any(m => m.Treatment == t)))];
        PlotMean[][] after = [.. whole.Where(v => v[0].Years >= 0)], before = [.. whole.Where(v => v[0].Years < 0)];
        return after.Length == 0 || (hasBefore && before.Length == 0) ? null
            : [.. treatments.Select(t => Over(after, t) - (hasBefore ? Over(before, t) : 0))];
    }

    private static double Over(PlotMean[][] visits, string treatment) => visits.Average(v => v.Where(m => m.Treatment == treatment).Average(m => m.Mean));

    private static double Square(double value) => value * value;
}
