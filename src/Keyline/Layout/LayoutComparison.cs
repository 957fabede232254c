using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout.Even;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A way of laying out a field.</summary>
public enum LayoutPattern
{
    /// <summary>Straight lines at the single bearing that breaks the grade limit least.</summary>
    Straight,

    /// <summary>One keyline, or one contour where the land has none, paralleled across everything.</summary>
    OneKeyline,

    /// <summary>A guide for each valley, worked down, and one for each ridge, worked up.</summary>
    ValleysAndRidges,

    /// <summary>True contours with parallels below each, set anew where the row grade rule of contour farming is reached.</summary>
    RowGradeContours,

    /// <summary>Graded guides and working sides chosen for the field.</summary>
    ChosenGuides,

    /// <summary>Lines an even spacing apart all over the field, keylines among them.</summary>
    EvenLines,
}

/// <summary>A field laid out one way.</summary>
/// <param name="Pattern">The way.</param>
/// <param name="Detail">The bearing, the keyline or the number of guides, in a few words.</param>
/// <param name="Layout">The lines and what was measured on them.</param>
public sealed record PatternLayout(LayoutPattern Pattern, string Detail, RipLayout Layout);

/// <summary>The same field laid out the ways it is commonly done and the way of <see cref="RipLayoutDesigner"/>, all on the
/// same ground, spacing and limits and measured by the same check.</summary>
/// <remarks>
/// <para>Units: metres, percent. Cost: about six layouts.</para>
/// <para>Source: straight rows, common practice, no source; one keyline paralleled both ways, P. A. Yeomans, The Keyline Plan,
/// 1954, chapter 6; a new contour baseline where the row grade limit is reached, NRCS Conservation Practice
/// Standard 330, Contour Farming, national text of 1997 or later.</para>
/// </remarks>
public static class LayoutComparison
{
    /// <summary>Share (0 to 1) of a row that may be steeper than the rule before a new baseline is set.</summary>
    private const double MostOverRule = 0.1;
    private const int ContourLevels = 96;

    /// <summary>Lays a field out every way.</summary>
    /// <param name="survey">The field, made ready.</param>
    /// <param name="progress">Told of the share done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>One layout a pattern, in the order of <see cref="LayoutPattern"/>.</returns>
    public static IReadOnlyList<PatternLayout> Run(FieldSurvey survey, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(survey);
        StageProgress stage = new(progress, "comparison", 6);
        List<PatternLayout> patterns = [];
        foreach (Func<FieldSurvey, CancellationToken, PatternLayout> lay in (Func<FieldSurvey, CancellationToken, PatternLayout>[])[Straight, OneKeyline, ByValleysAndRidges, RowGradeContours, ChosenGuides, EvenLines])
        {
            patterns.Add(lay(survey, cancellationToken));
            stage.Step();
        }

        return patterns;
    }

    private static PatternLayout ChosenGuides(FieldSurvey survey, CancellationToken cancellationToken)
    {
        RipLayout chosen = LayoutFinish.Finish(survey, ParallelPattern.On(survey).Chosen(survey.Options.Prices, null, cancellationToken), null, cancellationToken);
        return new PatternLayout(LayoutPattern.ChosenGuides, Counted(chosen, "guide"), chosen);
    }

    private static PatternLayout EvenLines(FieldSurvey survey, CancellationToken cancellationToken)
    {
        RipLayout even = LayoutFinish.Finish(survey, EvenPlan.On(survey, survey.Options.DriftWorth, survey.Options.LeastFall, null, cancellationToken), null, cancellationToken);
        return new PatternLayout(LayoutPattern.EvenLines, FormattableString.Invariant($"{even.Guides.Count} of the keylines and pinned lines are lines of it"), even);
    }

    private static string Counted(RipLayout layout, string one) => FormattableString.Invariant(
        $"{layout.Guides.Count} {one}{(layout.Guides.Count == 1 ? "" : "s")} at {layout.GuideLevels} level{(layout.GuideLevels == 1 ? "" : "s")}");

    private static RipLayout Laid(FieldSurvey survey, List<GuideBlock> blocks, Func<GuideBlock, IReadOnlyList<(int Guide, int Low, int High)>> steps, CancellationToken cancellationToken) =>
        LayoutFinish.Finish(survey, ParallelPattern.On(survey).Laid(blocks, steps, cancellationToken), null, cancellationToken);

    private static PatternLayout Straight(FieldSurvey survey, CancellationToken cancellationToken)
    {
        (PatternLines lines, string detail) = StraightLines.On(survey, double.NaN, cancellationToken);
        return new PatternLayout(LayoutPattern.Straight, detail, LayoutFinish.Finish(survey, lines, null, cancellationToken));
    }

    private static PatternLayout OneKeyline(FieldSurvey survey, CancellationToken cancellationToken)
    {
        (PatternLines lines, string detail) = KeylineParallels.On(survey, cancellationToken);
        return new PatternLayout(LayoutPattern.OneKeyline, detail, LayoutFinish.Finish(survey, lines, null, cancellationToken));
    }

    private static PatternLayout ByValleysAndRidges(FieldSurvey survey, CancellationToken cancellationToken)
    {
        (int Keypoints, int Valleys, int Ridges) counts = default;
        List<GuideBlock> blocks = [];
        foreach (LayoutRaster raster in survey.Rasters)
        {
            Geometry area = GivenGuides.AreaOn(survey, raster);
            if (!area.IsEmpty)
            {
                blocks.AddRange(ValleysAndRidges.Blocks(survey, raster, area, ref counts, cancellationToken));
            }
        }

        string detail = FormattableString.Invariant($"{counts.Keypoints} from keypoints, {counts.Valleys} valleys without one, {counts.Ridges} ridges");
        return new PatternLayout(LayoutPattern.ValleysAndRidges, detail, Laid(survey, blocks, _ => [(1, 0, 1), (1, 1, 2)], cancellationToken));
    }

    private static PatternLayout RowGradeContours(FieldSurvey survey, CancellationToken cancellationToken)
    {
        LayoutOptions ruled = survey.Options with { RowGrade = RowGradeRule.ContourFarming };
        List<GuideBlock> blocks = GivenGuides.Blocks(survey, (raster, area) =>
        {
            bool[] mask = GuideBlock.Mask(raster.Frame, area, cancellationToken);
            double[] inside = [.. raster.Heights.Where((_, i) => mask[i]).Order()];
            inside = inside.Length > 0 ? inside : [raster.Heights[raster.Heights.Length / 2]];
            double[] levels = [inside[0] - 1, .. Enumerable.Range(1, ContourLevels - 1).Select(k => inside[(int)((long)k * inside.Length / ContourLevels)]).Distinct(), inside[^1] + 1];
            return GuideBlock.WithLevels(raster, GuideSurface.Of(raster.Heights), area, levels, survey.Margin, ruled, survey.Field.OutletDistance, cancellationToken);
        });
        RipLayout layout = Laid(survey, blocks, block => Baselines(block, block.Levels.Count), cancellationToken);
        return new PatternLayout(LayoutPattern.RowGradeContours, Counted(layout, "baseline"), layout);
    }

    // From the top down: each baseline is paralleled downhill until its rows break the rule, and there the next is set.
    private static List<(int Guide, int Low, int High)> Baselines(GuideBlock part, int count)
    {
        List<(int, int, int)> steps = [];
        int guide = count - 2;
        while (guide > 1 && part.Levels[guide].Pieces.Count == 0)
        {
            guide--;
        }

        steps.Add((guide, guide, count - 1));
        while (guide > 0)
        {
            int low = guide - 1;
            while (low > 0 && (part.Levels[low].Pieces.Count == 0 || part.Survey.SteepShare(guide, low - 1, low) <= MostOverRule))
            {
                low--;
            }

            steps.Add((guide, low, guide));
            guide = low;
        }

        return steps;
    }
}
