using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;

namespace Keyline.Layout;

/// <summary>One plan of a price list.</summary>
/// <param name="Ease">The balance it was made with, as of <see cref="LayoutPrices.Eased"/>.</param>
/// <param name="Layout">The plan.</param>
public sealed record PricedLayout(double Ease, RipLayout Layout);

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
    /// <param name="ground">Heights as delivered, on which everything is measured.</param>
    /// <param name="smoothed">The same ground as the landform was read from.</param>
    /// <param name="landform">The landform read from it.</param>
    /// <param name="field">The field, in the same coordinates.</param>
    /// <param name="options">What to hold to.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">Nothing in the field can be worked.</exception>
    public static RipLayout Design(ElevationGrid ground, ElevationGrid smoothed, LandformReading landform, FieldArea field, LayoutOptions options, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        FieldSurvey work = FieldSurvey.Prepare(ground, smoothed, landform, field, options, progress, cancellationToken);
        return work.Chosen(options.Prices, progress, cancellationToken);
    }

    /// <summary>A price list: plans from the most drift to the fewest guides, none of them beaten in both by another.</summary>
    /// <param name="ground">Heights as delivered, on which everything is measured.</param>
    /// <param name="smoothed">The same ground as the landform was read from.</param>
    /// <param name="landform">The landform read from it.</param>
    /// <param name="field">The field, in the same coordinates.</param>
    /// <param name="options">What to hold to; its prices are the middle of the list.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Layouts by falling number of guides. On simple ground, where one plan is best at any price, only that one.</returns>
    /// <exception cref="GroundDataException">Nothing in the field can be worked.</exception>
    public static IReadOnlyList<PricedLayout> PriceList(ElevationGrid ground, ElevationGrid smoothed, LandformReading landform, FieldArea field, LayoutOptions options, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        FieldSurvey work = FieldSurvey.Prepare(ground, smoothed, landform, field, options, progress, cancellationToken);
        List<PricedLayout> plans = [];
        for (int k = 0; k < Eases.Length; k++)
        {
            progress?.Report(new PlanProgress("price list", (double)k / Eases.Length));
            plans.Add(new PricedLayout(Eases[k], work.Chosen(options.Prices.Eased(Eases[k]), null, cancellationToken)));
        }

        return [.. plans.Where(p => !plans.Exists(q => Beats(q.Layout, p.Layout))).DistinctBy(p => (p.Layout.GuideLevels, p.Layout.Figures.ToRidgeShare)).OrderByDescending(p => p.Layout.GuideLevels).ThenByDescending(p => p.Layout.Figures.ToRidgeShare)];
    }

    // Better in one of the two and no worse in the other; where nothing drifts, drift does not count.
    private static bool Beats(RipLayout a, RipLayout b)
    {
        double driftA = double.IsNaN(a.Figures.ToRidgeShare) ? 1 : a.Figures.ToRidgeShare;
        double driftB = double.IsNaN(b.Figures.ToRidgeShare) ? 1 : b.Figures.ToRidgeShare;
        return a.GuideLevels <= b.GuideLevels && driftA >= driftB && (a.GuideLevels < b.GuideLevels || driftA > driftB);
    }
}
