using Keyline.Check;
using Keyline.Elevation;
using Keyline.Landform;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.OverlayNG;
using NetTopologySuite.Triangulate;

namespace Keyline.Layout;

/// <summary>The field as it is laid out by hand: a guide for each valley and one for each ridge, and everything nearer to that valley
/// or ridge than to another worked parallel to its guide.</summary>
/// <remarks>
/// <para>Units: metres. A valley's guide is the contour through its keypoint, or, where it has none in the field, the contour three
/// quarters up its ground, so that most of it is worked down from the guide; a ridge's is the contour a tenth up its ground, so that it is
/// worked up. Valleys and ridges with less than a hectare go with their neighbours; where none is left the field is one piece around one contour.</para>
/// <para>Cost: a Voronoi diagram of the lines' points, and one layout.</para>
/// <para>Source: parallels of a valley's keyline and of a contour low on the ridge, P. A. Yeomans, The Keyline Plan, 1954, chapter 6; the shares
/// of height are common practice, no source.</para>
/// </remarks>
internal static class ValleysAndRidges
{
    private const double PointEvery = 12;
    private const double LeastGround = 1e4;
    private const double ValleyLevel = 0.75;
    private const double RidgeLevel = 0.1;

    /// <summary>The blocks of a field's pieces on one raster, each with its one guide.</summary>
    /// <param name="survey">The field.</param>
    /// <param name="raster">Working cells.</param>
    /// <param name="area">The workable ground on them.</param>
    /// <param name="valleys">Counts valleys worked from a keypoint, from a contour, and ridges.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static IEnumerable<GuideBlock> Blocks(FieldSurvey survey, LayoutRaster raster, Geometry area, ref (int Keypoints, int Valleys, int Ridges) valleys, CancellationToken cancellationToken)
    {
        LandformReading landform = survey.Reading.Landform;
        List<(LineString Line, int Valley)> lines =
        [
            .. landform.Valleys.Select(v => (v.Line, v.Number)).Concat(landform.Ridges.Select(r => (r.Line, 0))).Where(l => raster.Frame.Extent.Intersects(l.Line.EnvelopeInternal)),
        ];
        IReadOnlyList<Geometry> zones = Zones([.. lines.Select(l => l.Line)], area, cancellationToken);
        while (zones.Any(z => z.Area < LeastGround) && lines.Count > 0)
        {
            // The smallest goes first, since what it leaves may be enough for its neighbour.
            int least = Enumerable.Range(0, zones.Count).MinBy(i => zones[i].Area);
            lines = zones[least].IsEmpty ? [.. lines.Where((_, i) => !zones[i].IsEmpty)] : [.. lines.Where((_, i) => i != least)];
            zones = Zones([.. lines.Select(l => l.Line)], area, cancellationToken);
        }

        List<GuideBlock> blocks = [];
        if (lines.Count == 0)
        {
            blocks.Add(Block(survey, raster, area, null, 0.5, cancellationToken));
        }

        for (int i = 0; i < lines.Count; i++)
        {
            int number = lines[i].Valley;
            Keypoint? keypoint = number == 0 ? null : landform.Keypoints.FirstOrDefault(k => k.ValleyNumber == number && survey.Field.Boundary.Covers(k.Location));
            valleys = (valleys.Keypoints + (keypoint is null ? 0 : 1), valleys.Valleys + (keypoint is null && number > 0 ? 1 : 0), valleys.Ridges + (number == 0 ? 1 : 0));
            blocks.Add(Block(survey, raster, zones[i], keypoint, number > 0 ? ValleyLevel : RidgeLevel, cancellationToken));
        }

        return blocks;
    }

    /// <summary>The part of an area that lies nearest each line, empty where there is none.</summary>
    /// <param name="lines">The lines; of what two share the first has it.</param>
    /// <param name="area">The area, parted without a gap.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    internal static IReadOnlyList<Geometry> Zones(IReadOnlyList<LineString> lines, Geometry area, CancellationToken cancellationToken)
    {
        if (lines.Count < 2)
        {
            return [.. lines.Select(_ => area)];
        }

        // Whole metres, so that points are either one or well apart; the diagram reaches beyond them all.
        GeometryFactory factory = area.Factory;
        Dictionary<Coordinate, int> owner = [];
        Envelope reach = area.EnvelopeInternal.Copy();
        for (int i = 0; i < lines.Count; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            foreach (XY p in SampledLine.PathOf(lines[i]).Resample(PointEvery).Points)
            {
                Coordinate site = new(Math.Round(p.X), Math.Round(p.Y));
                owner.TryAdd(site, i);
                reach.ExpandToInclude(site);
            }
        }

        reach.ExpandBy(Math.Max(reach.Width, reach.Height));
        VoronoiDiagramBuilder builder = new() { ClipEnvelope = reach };
        builder.SetSites([.. owner.Keys]);
        List<Geometry>[] cells = [.. lines.Select(_ => new List<Geometry>())];
        foreach (Geometry cell in builder.GetDiagram(factory))
        {
            cancellationToken.ThrowIfCancellationRequested();
            cells[owner[(Coordinate)cell.UserData]].Add(cell);
        }

        return [.. cells.Select(c => c.Count == 0 ? factory.CreatePolygon() : OverlayNGRobust.Overlay(OverlayNGRobust.Union(c, factory), area, NetTopologySuite.Operation.Overlay.SpatialFunction.Intersection))];
    }

    private static GuideBlock Block(FieldSurvey survey, LayoutRaster raster, Geometry zone, Keypoint? keypoint, double share, CancellationToken cancellationToken)
    {
        bool[] inside = GuideBlock.Mask(raster.Frame, zone, cancellationToken);
        double[] heights = [.. raster.Heights.Where((_, i) => inside[i]).Order()];
        heights = heights.Length > 0 ? heights : [raster.Heights[raster.Heights.Length / 2]];
        double level = keypoint is null ? heights[(int)(share * (heights.Length - 1))] : GridSampling.Bilinear(raster.Heights, raster.Frame, keypoint.Location.X, keypoint.Location.Y);
        bool[] everywhere = new bool[raster.Heights.Length];
        Array.Fill(everywhere, true);
        double radius = survey.Options.MinimumRadius;
        CandidateGuide traced = CandidateGuide.Trace(raster.Heights, raster.Frame, level, everywhere, radius, 4 * radius);
        LinePath? guide = traced.Pieces.MaxBy(p => keypoint is null
            ? p.Points.Count(q => raster.Frame.NearestCellAt(q.X, q.Y) is (int r, int c) && inside[(r * raster.Frame.Columns) + c])
            : -p.Points.Min(q => (q - new XY(keypoint.Location.X, keypoint.Location.Y)).Norm));
        CandidateGuide[] levels = [new(heights[0] - 1, []), new(level, guide is null ? [] : [guide]), new(heights[^1] + 1, [])];
        return GuideBlock.WithGuides(raster, GuideSurface.Of(raster.Heights), zone, levels, survey.Options, survey.Field.OutletDistance, cancellationToken);
    }
}
