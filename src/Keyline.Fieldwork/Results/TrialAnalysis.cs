namespace Keyline.Fieldwork;

/// <summary>Takes the readings of a trial and says what they mean: at block level, with what was there before taken off.</summary>
/// <remarks>
/// <para>Units: those of the measures. Promises: rings, quadrats and years are never taken for replicates; a claim stands on Holm's p-value over all measures and on an
/// interval that leaves nothing out; where neither a difference nor its absence can be shown it says "cannot tell".</para>
/// <para>Cost: linear, and a mixed model a measure. Source: before and after, control and treated after Stewart-Oaten, Murdoch and Parker 1986, with blocks as units;
/// Hurlbert 1984 on replicates; Holm 1979; Schuirmann 1987 on equivalence.</para>
/// </remarks>
public static class TrialAnalysis
{
    private const int DaysOfAVisit = 21;
    private const double DaysAYear = 365.25;
    private const double Claim = 0.05;
    private const double FadingLevel = 0.90;

    /// <summary>Analyses readings.</summary>
    /// <param name="plan">The trial.</param>
    /// <param name="readings">Values at points.</param>
    /// <param name="ripped">Day of the work; null where it is not done yet.</param>
    public static TrialResults Of(TrialPlan plan, IReadOnlyList<PlotReading> readings, DateOnly? ripped)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(readings);
        List<string> notes = [];
        DateOnly[] starts = Visits(readings, ripped);
        List<MeasureResult> results = [];
        List<TreatmentPair> pairs = [];
        foreach (IGrouping<TrialMeasure, PlotReading> group in readings.GroupBy(r => r.Measure).OrderBy(g => Rank(g.Key)).ThenBy(g => g.Key.Id, StringComparer.Ordinal))
        {
            PlotMean[] means = Means(plan, group.Key, group, starts, ripped);
            if (plan.Kind == TrialKind.Monitored)
            {
                results.Add(Change(group.Key, means));
                continue;
            }

            pairs.AddRange(TreatmentPairs.Of(plan, group.Key, means));
            results.AddRange(plan.Treatments.Where(t => !t.IsControl).Select(t => Compare(plan, group.Key, t.Id, means)).OfType<MeasureResult>());
            if (plan.Plots.Select(p => p.Split).Distinct().Where(s => s.Length > 0).Order(StringComparer.Ordinal).ToArray() is { Length: > 1 } levels)
            {
                notes.AddRange(levels.Skip(1).Select(l => SplitNote(plan, group.Key, group, levels[0], l)).OfType<string>());
            }
        }

        double[] adjusted = Multiplicity.Holm([.. results.Select(r => Math.Clamp(r.Overall.P, 0, 1))]);
        MeasureResult[] judged = [.. results.Select((r, i) => Judge(plan, r with { AdjustedP = plan.Kind == TrialKind.Monitored ? 1 : adjusted[i] }))];
        if (ripped is null)
        {
            notes.Insert(0, "The day of the work is not known: every visit counts as before it. Write it into record.json, or give it with --ripped.");
        }

        return new TrialResults(plan, ripped, judged, notes) { Pairs = pairs };
    }

    // Infiltration first: it is what the work is for.
    private static int Rank(TrialMeasure measure) => measure.Id.StartsWith("infiltration", StringComparison.Ordinal) ? 0 : measure.Id.StartsWith("depth", StringComparison.Ordinal) ? 1 : measure.Id.StartsWith("soil-", StringComparison.Ordinal) ? 3 : 2;

    private static DateOnly[] Visits(IReadOnlyList<PlotReading> readings, DateOnly? ripped)
    {
        List<DateOnly> starts = [];
        foreach (DateOnly date in readings.Select(r => r.Date).Distinct().Order())
        {
            // The work parts visits however near they lie.
            if (starts.Count == 0 || date.DayNumber - starts[^1].DayNumber > DaysOfAVisit || (date >= ripped && starts[^1] < ripped))
            {
                starts.Add(date);
            }
        }

        return [.. starts];
    }

    private static PlotMean[] Means(TrialPlan plan, TrialMeasure measure, IEnumerable<PlotReading> readings, DateOnly[] starts, DateOnly? ripped)
    {
        Dictionary<string, TrialPlanPlot> plots = plan.Plots.ToDictionary(p => p.Id);
        return [.. readings
            .GroupBy(r => (Plot: Whole(plots[r.Plot]), Visit: starts.Last(s => s <= r.Date)))
            .Select(g =>
            {
                TrialPlanPlot plot = plots[g.First().Plot];
                // Parts of a plot count the same, however many points each has.
                double mean = g.GroupBy(r => r.Plot).Average(part => part.Average(r => measure.Scaled(r.Value)));
                double years = ripped is { } day ? (g.Key.Visit.DayNumber - day.DayNumber) / DaysAYear : -1;
                return new PlotMean(g.Key.Plot, plot.Block, plot.Treatment, g.Key.Visit, years, mean, g.Count());
            })
            .OrderBy(m => m.Date).ThenBy(m => m.Block).ThenBy(m => m.Plot, StringComparer.Ordinal)];
    }

    private static string Whole(TrialPlanPlot plot) => plot.Split.Length > 0 ? plot.Id[..^1] : plot.Id;

    private static MeasureResult? Compare(TrialPlan plan, TrialMeasure measure, string treatment, PlotMean[] means)
    {
        int[] blocks = [.. plan.Plots.Select(p => p.Block).Distinct().Order()];
        (DateOnly Date, double Years, double[] Differences)[] visits = [.. means.GroupBy(m => m.Date).Select(v => (v.Key, v.First().Years, blocks.Select(b => Difference(v, b)).ToArray()))];
        double Difference(IEnumerable<PlotMean> visit, int block) =>
            Mean(visit.Where(m => m.Block == block && m.Treatment == treatment).Select(m => m.Mean)) - Mean(visit.Where(m => m.Block == block && m.Treatment == plan.Control).Select(m => m.Mean));

        double[] before = [.. blocks.Select((_, b) => Mean(visits.Where(v => v.Years < 0).Select(v => v.Differences[b])))];
        bool after = visits.Any(v => v.Years >= 0 && v.Differences.Any(double.IsFinite));
        bool hasBefore = after && before.Any(double.IsFinite);
        if (visits.Length == 0 || !visits.Any(v => v.Differences.Any(double.IsFinite)))
        {
            return null;
        }

        VisitEffect[] effects = [.. visits.Select(v =>
        {
            double[] own = [.. v.Differences.Select((d, b) => v.Years >= 0 && hasBefore ? d - before[b] : d)];
            return new VisitEffect(v.Date, v.Years, Estimated(own), own);
        })];
        VisitEffect[] counted = [.. effects.Where(e => after ? e.Years >= 0 : e.Years < 0)];
        double[] overall = [.. blocks.Select((_, b) => Mean(counted.Select(e => e.Blocks[b])))], known = [.. overall.Where(double.IsFinite)];
        double control = Mean(means.Where(m => m.Treatment == plan.Control && (!after || m.Years >= 0)).Select(m => m.Mean));
        double margin = measure.OnRatio ? Math.Log(1 + MeasureResult.NoDifference) : Math.Max(MeasureResult.NoDifference * Math.Abs(control), 1e-9);
        Estimate estimate = Estimated(overall);
        return new MeasureResult
        {
            Measure = measure, Treatment = treatment, Means = means, Visits = effects, Overall = estimate, Blocks = overall, HasBefore = hasBefore, Margin = margin,
            Randomised = known.Length < 2 ? null : Randomisation.SignFlips(known, plan.Seed + 1),
            PEquivalent = after ? estimate.PEquivalent(-margin, margin) : 1,
            Mixed = after ? Mixed(plan, treatment, means, hasBefore) : null,
            Fading = after && estimate.P < Claim && counted.Length >= 3 ? Fading(counted, margin) : null,
        };
    }

    private static EffectFading? Fading(VisitEffect[] visits, double margin)
    {
        int blocks = visits[0].Blocks.Count;
        (DecayFit fit, double gone, double low, double high) = DecayFit.OfBlocks([.. visits.Select(v => v.Years)], [.. Enumerable.Range(0, blocks).Select(b => (IReadOnlyList<double>)[.. visits.Select(v => v.Blocks[b])])], margin, FadingLevel);
        return double.IsNaN(fit.Initial) ? null : new EffectFading(fit, gone, low, high);
    }

    // Plots as visited after the work, what each showed before taken off; random blocks and plots.
    private static Estimate? Mixed(TrialPlan plan, string treatment, PlotMean[] means, bool hasBefore)
    {
        Dictionary<string, double> before = means.Where(m => m.Years < 0).GroupBy(m => m.Plot).ToDictionary(g => g.Key, g => g.Average(m => m.Mean));
        PlotMean[] rows = [.. means.Where(m => m.Years >= 0 && (m.Treatment == treatment || m.Treatment == plan.Control) && (!hasBefore || before.ContainsKey(m.Plot))).OrderBy(m => m.Treatment == plan.Control ? 0 : 1)];
        if (rows.Select(r => r.Date).Distinct().Count() < 2 || rows.Select(r => r.Block).Distinct().Count() < 3 || rows.Select(r => r.Treatment).Distinct().Count() < 2)
        {
            return null;
        }

        try
        {
            MixedFit fit = MixedFit.Of(
                [.. rows.Select(r => r.Mean - (hasBefore ? before[r.Plot] : 0))],
                [ModelTerm.Factor("treatment", [.. rows.Select(r => r.Treatment)]), ModelTerm.Factor("visit", [.. rows.Select(r => r.Date.ToString("yyyyMMdd", System.Globalization.CultureInfo.InvariantCulture))])],
                [[.. rows.Select(r => FormattableString.Invariant($"{r.Block}"))], [.. rows.Select(r => r.Plot)]]);
            return fit.Estimates[$"treatment {treatment}"];
        }
        catch (ArgumentException)
        {
            // Too few rows for its columns: the block level stands alone.
            return null;
        }
    }

    private static MeasureResult Change(TrialMeasure measure, PlotMean[] means)
    {
        DateOnly first = means.Min(m => m.Date), last = means.Max(m => m.Date);
        string[] plots = [.. means.Select(m => m.Plot).Distinct()];
        double At(string plot, DateOnly date) => Mean(means.Where(m => m.Plot == plot && m.Date == date).Select(m => m.Mean));
        double[] changes = [.. plots.Select(p => first == last ? double.NaN : At(p, last) - At(p, first))];
        VisitEffect[] visits = [.. means.Select(m => (m.Date, m.Years)).Distinct().Select(v => (v.Date, v.Years, Own: plots.Select(p => At(p, v.Date) - At(p, first)).ToArray())).Select(v => new VisitEffect(v.Date, v.Years, Estimated(v.Own), v.Own))];
        return new MeasureResult { Measure = measure, Treatment = "since the first visit", Means = means, Visits = visits, Overall = Estimated(changes), Blocks = changes };
    }

    private static string? SplitNote(TrialPlan plan, TrialMeasure measure, IEnumerable<PlotReading> readings, string first, string second)
    {
        Dictionary<string, TrialPlanPlot> plots = plan.Plots.ToDictionary(p => p.Id);
        double[] blocks = [.. readings.GroupBy(r => plots[r.Plot].Block).Select(b => Mean(b.GroupBy(r => (Whole(plots[r.Plot]), r.Date)).Select(w => Part(w, second) - Part(w, first))))];
        double Part(IEnumerable<PlotReading> whole, string level) => Mean(whole.Where(r => plots[r.Plot].Split == level).Select(r => measure.Scaled(r.Value)));
        Estimate e = Estimated(blocks);
        return double.IsNaN(e.StandardError) ? null : $"{ResultWords.Capital(measure.Name)}, {second} against {first} within plots: {ResultWords.Effect(measure, e, first)}; p = {ResultWords.P(e.P)}, not made up for the number of measures.";
    }

    private static MeasureResult Judge(TrialPlan plan, MeasureResult r)
    {
        (double low, double high) = r.Overall.Between(0.95);
        bool after = r.Visits.Any(v => v.Years >= 0);
        TrialVerdict verdict = plan.Kind == TrialKind.Monitored || !after ? TrialVerdict.CannotTell
            : r.AdjustedP < Claim && low > 0 ? TrialVerdict.More
            : r.AdjustedP < Claim && high < 0 ? TrialVerdict.Less
            : r.PEquivalent < Claim ? TrialVerdict.Alike
            : TrialVerdict.CannotTell;
        MeasureResult judged = r with { Verdict = verdict, Fading = verdict is TrialVerdict.More or TrialVerdict.Less ? r.Fading : null };
        return judged with { Sentence = ResultWords.Of(plan, judged, after) };
    }

    private static Estimate Estimated(IEnumerable<double> blocks)
    {
        double[] known = [.. blocks.Where(double.IsFinite)];
        return known.Length == 0 ? new Estimate(double.NaN, double.NaN, double.NaN) : MeanDifference.OfBlocks(known);
    }

    private static double Mean(IEnumerable<double> values)
    {
        double[] known = [.. values.Where(double.IsFinite)];
        return known.Length == 0 ? double.NaN : known.Average();
    }
}
