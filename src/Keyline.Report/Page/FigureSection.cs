using Keyline.Check;
using Keyline.Layout;

namespace Keyline.Report;

/// <summary>Figures with what each means and what would be usual; how they spread; the comparison with other ways.</summary>
internal static class FigureSection
{
    // Middle and range of the even pattern on thirteen fields: docs/layout-figures.md.
    private const double Foot = 0.3048;
    private const double ShortMean = 105, LongMean = 213, MiddleMean = 152, FewEnds = 3.5, ManyEnds = 11, MiddleEnds = 4.5;

    public static void Write(HtmlParts page, ReportContent content) => page.Section("figures", Phrases.Figures, p =>
    {
        p.Say(Phrases.FiguresIntro);
        p.Table([Phrases.FigureHead, Phrases.ValueHead, Phrases.MeaningHead, Phrases.UsualHead], Rows(content));
    });

    public static void WriteSpread(HtmlParts page, ReportContent content, CancellationToken cancellationToken) => page.Section("spread", Phrases.Histograms, p =>
    {
        KeylinePlan plan = content.Plan;
        if (plan.Layout.Lines.Count == 0)
        {
            return;
        }

        double limit = plan.Options.RowGrade?.Cap ?? plan.Options.MaximumGrade, spacing = plan.Options.Spacing;
        double[] grades = [.. Enumerable.Range(0, 13).Select(i => limit * i / 8), double.PositiveInfinity];
        // A bin about the spacing itself, and others beside it, each a tenth wide.
        double[] gaps = [.. Enumerable.Range(0, 15).Select(i => 55 + (i * 10.0)), double.PositiveInfinity];
        p.Add("<div class=\"cards three\">");
        Card(p, Phrases.HistogramGrade, new Statement(Phrases.HistogramGradeText, Measure.Percent(limit).Asked), Chart.Bars(
            Phrases.HistogramGrade, grades, Shares(plan.Layout.Lines.SelectMany(l => Weighted(LineFalls.Of(l.Line, plan.Ground), l.Measures.Length)), grades), v => Measure.Percent(v, 2), v => Measure.Share(v, 0), Phrases.HistogramShare, Phrases.HistogramGradeAcross, limit));
        Card(p, Phrases.HistogramSpacing, new Statement(Phrases.HistogramSpacingText, Measure.Length(spacing, 2).Asked), Chart.Bars(
            Phrases.HistogramSpacing, gaps, Shares(LineGaps.Of(plan.Layout.Lines, spacing, cancellationToken).Select(g => (100 * g / spacing, 1.0)), gaps), v => Measure.Percent(v, 0), v => Measure.Share(v, 0), Phrases.HistogramShare, Phrases.HistogramSpacingAcross, 100));
        Card(p, Phrases.HistogramLength, new Statement(Phrases.HistogramLengthText), Lengths(plan, "metric", 1) + Lengths(plan, "us", Foot));
        p.Add("</div>");
    });

    public static void WriteComparison(HtmlParts page, ReportContent content) => page.Section("comparison", Phrases.Comparison, p =>
    {
        if (content.Comparison.Count == 0)
        {
            p.Say(Phrases.ComparisonNone);
            return;
        }

        p.Say(Phrases.ComparisonIntro).Add("<div class=\"cards three\">");
        foreach (PatternLayout way in content.Comparison)
        {
            LayoutFigures f = way.Layout.Figures;
            Phrase name = way.Pattern switch
            {
                LayoutPattern.Straight => Phrases.WayStraight,
                LayoutPattern.OneKeyline => Phrases.WayOneKeyline,
                LayoutPattern.ValleysAndRidges => Phrases.WayValleysAndRidges,
                LayoutPattern.RowGradeContours => Phrases.WayContours,
                LayoutPattern.ChosenGuides => Phrases.WayGuides,
                _ => Phrases.WayEven,
            };
            p.Add("<figure class=\"card\">").Add(SmallMap.Draw(content.Plan.Field.Boundary, way.Layout, name)).Add("<figcaption>").Heading(name).Say(
                Phrases.ComparisonFigures, Measure.Share(f.WithinGradeShare), Measure.Share(f.ToRidgeShare), Measure.Share(f.Coverage), Measure.Share(f.SpacingWithin10Share), f.InnerEnds ?? 0, Measure.Distance(f.TotalLength)).Add("</figcaption></figure>");
        }

        p.Add("</div>");
    });

    // Bins that are round in the units they are shown in.
    private static string Lengths(KeylinePlan plan, string system, double unit)
    {
        double longest = plan.Layout.Lines.Max(l => l.Measures.Length), step = RoundStep.Near(Math.Max(longest / unit / 14, 1)) * unit;
        double[] edges = [.. Enumerable.Range(0, (int)(longest / step) + 2).Select(i => i * step)];
        return Chart.Bars(
            Phrases.HistogramLength, edges, Counts(plan.Layout.Lines.Select(l => (l.Measures.Length, 1.0)), edges), v => Measure.Length(v), v => Measure.Number(v), Phrases.HistogramCount, Phrases.HistogramLengthAcross, double.NaN, system);
    }

    private static List<IReadOnlyList<string>> Rows(ReportContent content)
    {
        KeylinePlan plan = content.Plan;
        LayoutFigures f = plan.Layout.Figures;
        LayoutOptions o = plan.Options;
        Measure limit = Measure.Percent(o.RowGrade?.Cap ?? o.MaximumGrade).Asked;
        DrivingFigures driving = plan.Layout.Driving;
        List<IReadOnlyList<string>> rows =
        [
            Row(Phrases.FigureLength, Measure.Distance(f.TotalLength), new(Phrases.FigureLengthMeans), new(Phrases.FigureLengthUsual, Measure.Distance(plan.Layout.Workable.Area / o.Spacing))),
            Row(Phrases.FigureMean, Measure.Length(f.MeanLength), new(Phrases.FigureMeanMeans), new(Phrases.FigureMeanUsual, Measure.Length(ShortMean), Measure.Length(LongMean), Measure.Length(MiddleMean))),
            Row(Phrases.FigureCoverage, Measure.Share(f.Coverage), new(Phrases.FigureCoverageMeans), new(Phrases.FigureCoverageUsual)),
            Row(Phrases.FigureGrade, Measure.Share(f.WithinGradeShare), new(Phrases.FigureGradeMeans, limit), new(Phrases.FigureGradeUsual)),
            Row(Phrases.FigureGrade95, Measure.Percent(f.Grade95, 2), new(Phrases.FigureGrade95Means, Measure.Length(LineMeasures.GradeBase)), new(Phrases.FigureGrade95Usual, limit)),
            Row(Phrases.FigureRidge, Measure.Share(f.ToRidgeShare), new(Phrases.FigureRidgeMeans), new(Phrases.FigureRidgeUsual)),
            Row(Phrases.FigureSpacing, Measure.Share(f.SpacingWithin10Share), new(Phrases.FigureSpacingMeans), new(Phrases.FigureSpacingUsual)),
            Row(Phrases.FigureRadius, Measure.Length(f.MinimumRadius, 1), new(Phrases.FigureRadiusMeans, Measure.Length(o.MinimumRadius, 1).Asked), new(Phrases.FigureRadiusUsual, Measure.Length(o.MinimumRadius, 1).Asked)),
            Row(Phrases.FigureSide, new Measure(Unit.Angle, f.SteepestSideSlope, 1), new(Phrases.FigureSideMeans), new(Phrases.FigureSideUsual)),
            Row(
                Phrases.FigureEnds,
                f.InnerEnds is { } ends && double.IsFinite(f.InnerEndsPerKm) ? PageText.Say(Phrases.FigureEndsValue, ends, new Measure(Unit.PerDistance, f.InnerEndsPerKm, 1)) : PageText.Say(Phrases.NotMeasured),
                new(Phrases.FigureEndsMeans),
                new(Phrases.FigureEndsUsual, new Measure(Unit.PerDistance, FewEnds, 1), new Measure(Unit.PerDistance, ManyEnds, 1), new Measure(Unit.PerDistance, MiddleEnds, 1))),
            Row(Phrases.FigureTurns, Measure.Distance(driving.TurningLength), new(Phrases.FigureTurnsMeans), new(Phrases.FigureTurnsUsual, Measure.Share(driving.DrivenLength > 0 ? driving.TurningLength / driving.DrivenLength : double.NaN, 0))),
        ];
        if (content.Certainty is { Noise: >= AnswerSection.UnseenError } sure)
        {
            rows.Add(Row(Phrases.FigureSure, Measure.Share(sure.SureLengthShare), new(Phrases.FigureSureMeans, new Measure(Unit.Depth, sure.Noise, 1)), new(Phrases.FigureSureUsual)));
        }

        return rows;
    }

    private static string[] Row(Phrase name, string value, Statement means, Statement usual) => [PageText.Say(name), value, PageText.Say(means), PageText.Say(usual)];

    private static string[] Row(Phrase name, Measure value, Statement means, Statement usual) =>
    [
        PageText.Say(name),
        double.IsFinite(value.Value) ? PageText.Quantity(value) : PageText.Say(name == Phrases.FigureRadius && double.IsPositiveInfinity(value.Value) ? Phrases.Straight : Phrases.NotMeasured),
        PageText.Say(means),
        PageText.Say(usual),
    ];

    private static void Card(HtmlParts page, Phrase title, Statement text, string chart) => page.Add("<figure class=\"card\">").Heading(title).Add(chart).Add($"<figcaption><p>{PageText.Say(text)}</p></figcaption></figure>");

    private static IEnumerable<(double, double)> Weighted(double[] values, double weight) => values.Select(v => (Math.Abs(v), weight / values.Length)).Where(v => double.IsFinite(v.Item1));

    private static double[] Shares(IEnumerable<(double, double)> values, double[] edges)
    {
        double[] counts = Counts(values, edges);
        double all = counts.Sum();
        return [.. counts.Select(c => all > 0 ? c / all : 0)];
    }

    // What lies below the first edge counts in the first bin, so that the bars add up to all.
    private static double[] Counts(IEnumerable<(double Value, double Weight)> values, double[] edges)
    {
        double[] counts = new double[edges.Length - 1];
        foreach ((double value, double weight) in values)
        {
            counts[Math.Clamp(Array.FindLastIndex(edges, e => e <= value), 0, counts.Length - 1)] += weight;
        }

        return counts;
    }
}
