using Keyline.Layout.Even;
using Keyline.Layout.Parallels;

namespace Keyline.Layout;

/// <summary>One plan of a price list.</summary>
/// <param name="Ease">The balance it was made with, as of <see cref="LayoutPrices.Eased"/>.</param>
/// <param name="LeastFall">Least fall toward the ridge that was wished for, percent; the even pattern takes it.</param>
/// <param name="Prices">The prices that this makes; the parallel pattern takes them.</param>
/// <param name="Layout">The plan.</param>
public sealed record PricedLayout(double Ease, double LeastFall, LayoutPrices Prices, RipLayout Layout);

/// <summary>Lays out rip lines: graded guides chosen so that the grade limit holds and water drifts toward the ridges,
/// and true parallels of them.</summary>
/// <remarks>
/// <para>Units: metres, percent. Missing: the field must lie on known ground; beyond it heights are continued.</para>
/// <para>Each connected part of the workable ground has guides of its own; pinned guides and their parallels come first;
/// levels through keypoints are candidates that cost nothing.</para>
/// <para>Promises: parallels lie at multiples of the spacing from their guide, measured level; no two lines cross; nothing
/// lies outside the field less headland, in an avoided area's setback or on land steeper than asked for; same input, same
/// plan. The grade limit is aimed at, not promised: the figures and findings say where it could not be kept.</para>
/// <para>Cost: about candidate levels times working cells; docs/performance.md has the times.</para>
/// <para>Source: first-order law of offset grade in docs/concepts.md; the method in docs/decisions.</para>
/// </remarks>
public static class RipLayoutDesigner
{
    private static readonly double[] Eases = [0.25, 0.5, 1, 2, 4, 8, 16, 32];
    private static readonly double[] EvenEases = [0.25, 0.5, 1, 2, 4];

    /// <summary>Lays out a field.</summary>
    /// <param name="survey">The field, made ready.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static RipLayout Design(FieldSurvey survey, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(survey);
        LayoutOptions options = survey.Options;
        bool isUsual = options.Pattern is LinePattern.Straight or LinePattern.OneKeyline;
        if (isUsual && survey.Field.PinnedGuides.Count > 0)
        {
            throw new GroundDataException("Pinned lines can be held by the even and the parallel pattern alone: leave them out, or choose one of these.");
        }

        PatternLines lines = Lines(survey, options.Prices, options.DriftWorth, options.LeastFall, progress, cancellationToken);
        if (isUsual || !(lines.MeanLength < options.LeastMeanLength))
        {
            return LayoutFinish.Finish(survey, lines, progress, cancellationToken, advises: !isUsual);
        }

        // Drift is given up step by step; the longest lines stand where even the last step does not do.
        PatternLines longest = lines;
        double eased = 1;
        foreach (double ease in Eases.Where(e => e > 1))
        {
            lines = Lines(survey, options.Prices.Eased(ease), options.DriftWorth / ease, options.LeastFall, progress, cancellationToken);
            if (lines.MeanLength > longest.MeanLength)
            {
                (longest, eased) = (lines, ease);
            }

            if (longest.MeanLength >= options.LeastMeanLength)
            {
                break;
            }
        }

        string said = longest.MeanLength >= options.LeastMeanLength
            ? FormattableString.Invariant($"For lines of {options.LeastMeanLength:F0} m on the mean drift was weighed {eased:0} times less than asked for.")
            : FormattableString.Invariant($"Lines of {options.LeastMeanLength:F0} m on the mean cannot be had on this ground: the longest come to {longest.MeanLength:F0} m.");
        return LayoutFinish.Finish(survey, longest with { Said = [.. longest.Said, said] }, progress, cancellationToken, advises: true);
    }

    private static PatternLines Lines(FieldSurvey survey, LayoutPrices prices, double driftWorth, double leastFall, IProgress<PlanProgress>? progress, CancellationToken cancellationToken) =>
        survey.Options.Pattern switch
        {
            LinePattern.Even => EvenPlan.On(survey, driftWorth, leastFall, progress, cancellationToken),
            LinePattern.Straight => StraightLines.On(survey, survey.Options.Bearing, cancellationToken).Lines,
            LinePattern.OneKeyline => KeylineParallels.On(survey, cancellationToken).Lines,
            _ => ParallelPattern.On(survey).Chosen(prices, progress, cancellationToken),
        };

    /// <summary>A price list: plans from the most drift to the fewest guides (parallel pattern) or lines (even pattern), none of
    /// them beaten in both by another.</summary>
    /// <param name="survey">The field, made ready; its pattern is the one that is priced.</param>
    /// <param name="middle">The prices in the middle of the list, for the parallel pattern; null for the defaults.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Layouts by falling number of guides or lines. On simple ground, where one plan is best at any price, only that one.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A price that no guide can be chosen by.</exception>
    public static IReadOnlyList<PricedLayout> PriceList(FieldSurvey survey, LayoutPrices? middle = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(survey);
        LayoutPrices prices = middle ?? new LayoutPrices();
        prices.Validate();
        bool even = survey.Options.Pattern == LinePattern.Even;
        (double Ease, double Fall)[] asked = even
            ? [.. EvenEases.SelectMany(e => (double[])[survey.Options.LeastFall, 0], (e, f) => (e, f)).Distinct()]
            : survey.Options.Pattern == LinePattern.Parallel ? [.. Eases.Select(e => (e, survey.Options.LeastFall))] : [(1, survey.Options.LeastFall)];
        StageProgress stage = new(progress, "price list", asked.Length);
        List<PricedLayout> plans = [];
        foreach ((double ease, double fall) in asked)
        {
            LayoutPrices eased = prices.Eased(ease);
            plans.Add(new PricedLayout(ease, fall, eased, LayoutFinish.Finish(survey, Lines(survey, eased, survey.Options.DriftWorth / ease, fall, null, cancellationToken), null, cancellationToken)));
            stage.Step();
        }

        return [.. plans.Where(p => !plans.Exists(q => Beats(q.Layout, p.Layout))).DistinctBy(p => (Count(p.Layout), Drift(p.Layout))).OrderByDescending(p => Count(p.Layout)).ThenByDescending(p => Drift(p.Layout))];

        int Count(RipLayout layout) => even ? layout.Lines.Count : layout.Guides.Count;

        // Where nothing drifts, drift does not count. Even lines may be level on purpose, so there it is the share of all the length.
        double Drift(RipLayout layout) => double.IsNaN(layout.Figures.ToRidgeShare) ? 1 : even ? layout.Figures.ToRidgeShare * layout.Figures.DriftingShare : layout.Figures.ToRidgeShare;

        // Better in one of the two and no worse in the other.
        bool Beats(RipLayout a, RipLayout b) =>
            Count(a) <= Count(b) && Drift(a) >= Drift(b) && (Count(a) < Count(b) || Drift(a) > Drift(b));
    }
}
