using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Report.Tests;

/// <summary>A plan of a square field on a bare slope with nothing in it, so that only its boundary is drawn dark.</summary>
internal static class SquareField
{
    public static KeylinePlan Make(double side)
    {
        int cells = (int)(side / 2) + 100;
        GridFrame frame = new(cells, cells, 2, 500_000, 4_200_000);
        float[] heights = [.. from row in Enumerable.Range(0, cells) from column in Enumerable.Range(0, cells) select 100 + (0.03f * row)];
        ElevationGrid ground = ElevationGrid.Copy(frame, heights);
        double west = 500_100, north = 4_199_900;
        FieldArea field = new((Polygon)GeometryFactory.Default.ToGeometry(new Envelope(west, west + side, north - side, north)), [], "Square & bare");
        LayoutOptions options = new() { Spacing = 3, Headland = 0 };
        LandformReading landform = new([], [], [], [], [], new Grid<float>(frame, heights));
        RipLayout layout = new(field.Boundary, GeometryFactory.Default.CreatePolygon(), new LayoutFigures
        {
            LineCount = 0, TotalLength = 0, MeanLength = 0, WithinGradeShare = 1, MedianGrade = 0, Grade95 = 0, ToRidgeShare = double.NaN, DriftingShare = 0, MedianSpacing = double.NaN,
            SpacingWithinShare = double.NaN, SpacingWithin10Share = double.NaN, SpacingWithin25Share = double.NaN, Coverage = 0, MinimumRadius = double.NaN, TightShare = 0, Crossings = 0,
        });
        return new KeylinePlan(field, options, new GroundReading(ground, ground, 3, landform), layout);
    }
}
