using Keyline.Elevation;
using Keyline.Landform;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>One keyline, or one contour where the land has none, paralleled both ways across everything.</summary>
/// <remarks>
/// <para>Units: metres. The keypoint is the clearest of the field.</para>
/// <para>Source: P. A. Yeomans, The Keyline Plan, 1954, chapter 6.</para>
/// </remarks>
internal static class KeylineParallels
{
    /// <summary>Lays them.</summary>
    /// <param name="survey">The field.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static (PatternLines Lines, string Detail) On(FieldSurvey survey, CancellationToken cancellationToken)
    {
        List<string> through = [];
        List<GuideBlock> blocks = GivenGuides.Blocks(survey, (raster, area) =>
        {
            Keypoint? keypoint = survey.Reading.Landform.Keypoints.Where(k => survey.Field.Boundary.Covers(k.Location) && raster.Frame.Extent.Contains(k.Location.Coordinate))
                .OrderBy(k => k.Class).ThenByDescending(k => k.FStatistic).FirstOrDefault();
            through.Add(keypoint is null ? "one contour; no keypoint in the field" : FormattableString.Invariant($"through the keypoint of valley {keypoint.ValleyNumber}"));
            double[] inside = [.. GuideBlock.Mask(raster.Frame, area, cancellationToken).Select((m, i) => m ? raster.Heights[i] : double.NaN).Where(z => !double.IsNaN(z)).Order()];
            inside = inside.Length > 0 ? inside : [raster.Heights[raster.Heights.Length / 2]];
            double level = keypoint is null ? inside[inside.Length / 2] : GridSampling.Bilinear(raster.Heights, raster.Frame, keypoint.Location.X, keypoint.Location.Y);
            bool[] everywhere = new bool[raster.Heights.Length];
            Array.Fill(everywhere, true);
            CandidateGuide traced = CandidateGuide.Trace(raster.Heights, raster.Frame, level, everywhere, survey.Options.MinimumRadius, 4 * survey.Options.MinimumRadius);
            LinePath? one = keypoint is null
                ? traced.Pieces.MaxBy(p => p.Length())
                : traced.Pieces.MinBy(p => p.Points.Min(q => (q - new XY(keypoint.Location.X, keypoint.Location.Y)).Norm));
            CandidateGuide[] levels = [new(inside[0] - 1, []), new(level, one is null ? [] : [one]), new(inside[^1] + 1, [])];
            return GuideBlock.WithGuides(raster, GuideSurface.Of(raster.Heights), area, levels, survey.Options, survey.Field.OutletDistance, cancellationToken);
        });
        PatternLines lines = GivenGuides.OnBothSides(survey, blocks, cancellationToken);
        string detail = string.Join("; ", through);
        return (lines with { Guides = [.. lines.Guides.Select(g => g with { Reason = detail })] }, detail);
    }
}
