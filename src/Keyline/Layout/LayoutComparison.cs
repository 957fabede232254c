using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
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

    /// <summary>True contours with parallels below each, set anew where the row grade rule of contour farming is reached.</summary>
    RowGradeContours,

    /// <summary>Graded guides and working sides chosen for the field.</summary>
    ChosenGuides,
}

/// <summary>A field laid out one way.</summary>
/// <param name="Pattern">The way.</param>
/// <param name="Detail">The bearing, the keyline or the number of guides, in a few words.</param>
/// <param name="Layout">The lines and what was measured on them.</param>
public sealed record PatternLayout(LayoutPattern Pattern, string Detail, RipLayout Layout);

/// <summary>The same field laid out the ways it is commonly done and the way of <see cref="RipLayoutDesigner"/>, all on the
/// same ground, spacing and limits and measured by the same check.</summary>
/// <remarks>
/// <para>Units: metres, percent. Cost: about four layouts.</para>
/// <para>Source: straight rows, common practice, no source; one keyline paralleled both ways, P. A. Yeomans, The Keyline Plan,
/// 1954, chapter 6; a new contour baseline where the row grade limit is reached, NRCS Conservation Practice
/// Standard 330, Contour Farming, national text of 1997 or later.</para>
/// </remarks>
public static class LayoutComparison
{
    /// <summary>Share (0 to 1) of a row that may be steeper than the rule before a new baseline is set.</summary>
    private const double MostOverRule = 0.1;
    private const int ContourLevels = 96;
    private const double CoarseBearing = Math.PI / 36;
    private const double FineBearing = Math.PI / 360;

    /// <summary>Lays a field out every way.</summary>
    /// <param name="ground">Heights as delivered, on which everything is measured.</param>
    /// <param name="smoothed">The same ground as the landform was read from.</param>
    /// <param name="landform">The landform read from it.</param>
    /// <param name="field">The field, in the same coordinates.</param>
    /// <param name="options">What to hold to.</param>
    /// <param name="progress">Told of stages.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>One layout a pattern, in the order of <see cref="LayoutPattern"/>.</returns>
    /// <exception cref="GroundDataException">Nothing in the field can be worked.</exception>
    public static IReadOnlyList<PatternLayout> Run(ElevationGrid ground, ElevationGrid smoothed, LandformReading landform, FieldArea field, LayoutOptions options, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        FieldSurvey work = FieldSurvey.Prepare(ground, smoothed, landform, field, options, progress, cancellationToken);
        progress?.Report(new PlanProgress("comparison", 0));
        PatternLayout straight = Straight(work, cancellationToken);
        progress?.Report(new PlanProgress("comparison", 0.25));
        PatternLayout keyline = OneKeyline(work, landform, cancellationToken);
        progress?.Report(new PlanProgress("comparison", 0.5));
        PatternLayout contours = RowGradeContours(work, cancellationToken);
        progress?.Report(new PlanProgress("comparison", 0.75));
        RipLayout chosen = work.Chosen(options.Prices, null, cancellationToken);
        return [straight, keyline, contours, new PatternLayout(LayoutPattern.ChosenGuides, FormattableString.Invariant($"{chosen.GuideLevels} guides"), chosen)];
    }

    private static PatternLayout Straight(FieldSurvey work, CancellationToken cancellationToken)
    {
        // The least share of ground whose line would break the limit, over all bearings in half degrees.
        bool[] inside = GuideBlock.Mask(work.Terrain.Frame, work.WorkGround.Workable);
        double best = 0;
        double least = double.PositiveInfinity;
        for (double bearing = 0; bearing < Math.PI - (CoarseBearing / 2); bearing += CoarseBearing)
        {
            Try(bearing);
        }

        double coarse = best;
        for (double turn = -CoarseBearing; turn <= CoarseBearing; turn += FineBearing)
        {
            Try(coarse + turn);
        }

        XY along = new(Math.Sin(best), Math.Cos(best));
        Envelope box = work.WorkGround.Workable.EnvelopeInternal;
        XY middle = new(box.Centre.X, box.Centre.Y);
        double reach = box.Diameter;
        LinePath line = new LinePath([middle - (along * reach), middle + (along * reach)], false).Resample(1);
        LayoutRaster across = work.Terrain.WithLevels((x, y, _) => (new XY(x, y) - middle).Dot(along.Left));
        CandidateGuide[] levels = [new(-reach, []), new(0, [line]), new(reach, [])];
        RipLayout layout = work.Laid(GuideBlock.WithGuides(across, work.WorkGround.Workable, levels, work.Options, work.Field.OutletDistance, cancellationToken), _ => [(1, 0, 1), (1, 1, 2)], cancellationToken);
        double degrees = ((best * 180 / Math.PI) + 180) % 180;
        return new PatternLayout(LayoutPattern.Straight, FormattableString.Invariant($"bearing {degrees:0.0} degrees"), layout);

        void Try(double bearing)
        {
            XY direction = new(Math.Sin(bearing), Math.Cos(bearing));
            double over = 0;
            for (int i = 0; i < inside.Length; i++)
            {
                if (inside[i])
                {
                    GridFrame frame = work.Terrain.Frame;
                    double grade = 100 * Math.Abs(work.Terrain.Gradient(i / frame.Columns, i % frame.Columns).Dot(direction));
                    double limit = work.Options.Limits.GradeLimitAt(work.Terrain.LandSlope[i], double.PositiveInfinity);
                    over += grade > limit ? 1 + (grade / 1e3) : 0;
                }
            }

            if (over < least)
            {
                (least, best) = (over, bearing);
            }
        }
    }

    private static PatternLayout OneKeyline(FieldSurvey work, LandformReading landform, CancellationToken cancellationToken)
    {
        Keypoint? keypoint = landform.Keypoints.Where(k => work.Field.Boundary.Covers(k.Location)).OrderBy(k => k.Class).ThenByDescending(k => k.FStatistic).FirstOrDefault();
        LayoutRaster contours = work.Terrain.WithLevels((_, _, i) => work.Terrain.Heights[i]);
        double[] inside = [.. GuideBlock.Mask(contours.Frame, work.WorkGround.Workable).Select((m, i) => m ? contours.Heights[i] : double.NaN).Where(z => !double.IsNaN(z)).Order()];
        double level = keypoint is null ? inside[inside.Length / 2] : GridSampling.Bilinear(contours.Heights, contours.Frame, keypoint.Location.X, keypoint.Location.Y);
        bool[] everywhere = new bool[contours.Heights.Length];
        Array.Fill(everywhere, true);
        CandidateGuide traced = CandidateGuide.Trace(contours.Heights, contours.Frame, level, everywhere, work.Options.MinimumRadius, 4 * work.Options.MinimumRadius);
        LinePath? one = keypoint is null
            ? traced.Pieces.MaxBy(p => p.Length())
            : traced.Pieces.MinBy(p => p.Points.Min(q => (q - new XY(keypoint.Location.X, keypoint.Location.Y)).Norm));
        CandidateGuide[] levels = [new(inside[0] - 1, []), new(level, one is null ? [] : [one]), new(inside[^1] + 1, [])];
        RipLayout layout = work.Laid(GuideBlock.WithGuides(contours, work.WorkGround.Workable, levels, work.Options, work.Field.OutletDistance, cancellationToken), _ => [(1, 0, 1), (1, 1, 2)], cancellationToken);
        return new PatternLayout(LayoutPattern.OneKeyline, keypoint is null ? "one contour; no keypoint in the field" : FormattableString.Invariant($"through the keypoint of valley {keypoint.ValleyNumber}"), layout);
    }

    private static PatternLayout RowGradeContours(FieldSurvey work, CancellationToken cancellationToken)
    {
        LayoutRaster contours = work.Terrain.WithLevels((_, _, i) => work.Terrain.Heights[i]);
        bool[] mask = GuideBlock.Mask(contours.Frame, work.WorkGround.Workable);
        double[] inside = [.. contours.Heights.Where((_, i) => mask[i]).Order()];
        double[] levels = [inside[0] - 1, .. Enumerable.Range(1, ContourLevels - 1).Select(k => inside[(int)((long)k * inside.Length / ContourLevels)]).Distinct(), inside[^1] + 1];
        LayoutOptions ruled = work.Options with { RowGrade = RowGradeRule.ContourFarming };
        GuideBlock part = GuideBlock.WithLevels(contours, work.WorkGround.Workable, levels, work.Margin, ruled, work.Field.OutletDistance, cancellationToken);
        RipLayout layout = work.Laid(part, p => Baselines(p, levels.Length), cancellationToken);
        return new PatternLayout(LayoutPattern.RowGradeContours, FormattableString.Invariant($"{layout.GuideLevels} baselines"), layout);
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
