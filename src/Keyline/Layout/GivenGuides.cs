using Keyline.Layout.Parallels;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>Blocks of all the workable ground for guides that are given and not chosen.</summary>
internal static class GivenGuides
{
    /// <summary>What of the workable ground lies on a raster.</summary>
    public static Geometry AreaOn(FieldSurvey survey, LayoutRaster raster) => survey.Rasters.Count == 1
        ? survey.Workable
        : survey.Workable.Factory.CreateMultiPolygon([.. Enumerable.Range(0, survey.Workable.NumGeometries).Select(survey.Workable.GetGeometryN).OfType<Polygon>().Where(p => ReferenceEquals(survey.RasterOf(p), raster))]);

    /// <summary>A block of all the ground on each raster that has any.</summary>
    public static List<GuideBlock> Blocks(FieldSurvey survey, Func<LayoutRaster, Geometry, GuideBlock> block) =>
        [.. survey.Rasters.Select(r => (Raster: r, Area: AreaOn(survey, r))).Where(r => !r.Area.IsEmpty).Select(r => block(r.Raster, r.Area))];

    /// <summary>Parallels on both sides of the one guide of each block.</summary>
    public static PatternLines OnBothSides(FieldSurvey survey, List<GuideBlock> blocks, CancellationToken cancellationToken) =>
        ParallelPattern.On(survey).Laid(blocks, _ => [(1, 0, 1), (1, 1, 2)], cancellationToken);
}
