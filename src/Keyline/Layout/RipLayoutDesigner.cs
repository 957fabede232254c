using Keyline.Layout.Even;
using Keyline.Layout.Parallels;

namespace Keyline.Layout;

/// <summary>One plan of a price list.</summary>
/// <param name="Ease">The balance it was made with, as of <see cref="LayoutPrices.Eased"/>.</param>
/// <param name="Prices">The prices that this makes.</param>
/// <param name="Layout">The plan.</param>
public sealed record PricedLayout(double Ease, LayoutPrices Prices, RipLayout Layout);

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

    /// <summary>Lays out a field.</summary>
    /// <param name="survey">The field, made ready.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static RipLayout Design(FieldSurvey survey, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(survey);
        PatternLines lines = survey.Options.Pattern == LinePattern.Even ? EvenPlan.On(survey, progress, cancellationToken) : ParallelPattern.On(survey).Chosen(survey.Options.Prices, progress, cancellationToken);
        return LayoutFinish.Finish(survey, lines, progress, cancellationToken);
    }

    /// <summary>A price list: plans from the most drift to the fewest guides, none of them beaten in both by another.</summary>
    /// <param name="survey">The field, made ready.</param>
    /// <param name="middle">The prices in the middle of the list; null for the defaults.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Layouts by falling number of guides. On simple ground, where one plan is best at any price, only that one.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A price that no guide can be chosen by.</exception>
    public static IReadOnlyList<PricedLayout> PriceList(FieldSurvey survey, LayoutPrices? middle = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(survey);
        LayoutPrices prices = middle ?? new LayoutPrices();
        prices.Validate();
        StageProgress stage = new(progress, "price list", Eases.Length);
        List<PricedLayout> plans = [];
        foreach (double ease in Eases)
        {
            LayoutPrices eased = prices.Eased(ease);
            plans.Add(new PricedLayout(ease, eased, LayoutFinish.Finish(survey, ParallelPattern.On(survey).Chosen(eased, null, cancellationToken), null, cancellationToken)));
            stage.Step();
        }

        return [.. plans.Where(p => !plans.Exists(q => Beats(q.Layout, p.Layout))).DistinctBy(p => (p.Layout.Guides.Count, p.Layout.Figures.ToRidgeShare)).OrderByDescending(p => p.Layout.Guides.Count).ThenByDescending(p => p.Layout.Figures.ToRidgeShare)];
    }

    // Better in one of the two and no worse in the other; where nothing drifts, drift does not count.
    private static bool Beats(RipLayout a, RipLayout b)
    {
        double driftA = double.IsNaN(a.Figures.ToRidgeShare) ? 1 : a.Figures.ToRidgeShare;
        double driftB = double.IsNaN(b.Figures.ToRidgeShare) ? 1 : b.Figures.ToRidgeShare;
        return a.Guides.Count <= b.Guides.Count && driftA >= driftB && (a.Guides.Count < b.Guides.Count || driftA > driftB);
    }
}
