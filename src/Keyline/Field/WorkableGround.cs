using Keyline.Elevation;
using Keyline.Planar;
using Keyline.Terrain;
using NetTopologySuite.Algorithm;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Utilities;
using NetTopologySuite.Operation.OverlayNG;

namespace Keyline.Field;

/// <summary>What of the field can be worked: less headland, avoided areas and steep land.</summary>
/// <remarks>
/// <para>Units: metres. Slope is that of the land a machine stands on (<see cref="MachineSlope"/>). Steep patches smaller than <see cref="LeastPatch"/> are
/// worked over, and gentle patches smaller than that inside steep land are left out with it.</para>
/// </remarks>
internal sealed class WorkableGround
{
    /// <summary>Patches of steep or gentle land smaller than this count as the land around them, square metres: a square of 20 m, in which a machine hardly
    /// turns. Ours, no source.</summary>
    public const double LeastPatch = 400;

    private WorkableGround(Geometry workable, Geometry steep, double smallSteepArea)
    {
        Workable = workable;
        Steep = steep;
        SmallSteepArea = smallSteepArea;
    }

    public Geometry Workable { get; }

    public Geometry Steep { get; }

    /// <summary>Area of the steep patches that are worked over, square metres.</summary>
    public double SmallSteepArea { get; }

    public static WorkableGround Create(GridFrame frame, double[] landSlope, Geometry boundary, IReadOnlyList<AvoidedArea> avoided, double headland, double steepestLand)
    {
        Geometry inner = headland > 0 ? AreaInset.Of(boundary, -headland) : boundary.Copy();
        (Geometry steepLand, double small) = SteepLand(frame, landSlope, boundary, steepestLand);
        Geometry workable = Subtract(inner, steepLand);
        foreach (AvoidedArea area in avoided)
        {
            workable = Subtract(workable, area.KeptClear);
        }

        Geometry steep = steepLand.IsEmpty ? steepLand : OverlayNGRobust.Overlay(steepLand, boundary, NetTopologySuite.Operation.Overlay.SpatialFunction.Intersection);
        return new WorkableGround(Areas(workable), Areas(steep), small);
    }

    /// <summary>The ground of far-apart pieces of one field together.</summary>
    public static WorkableGround Join(IReadOnlyList<WorkableGround> pieces) => pieces.Count == 1
        ? pieces[0]
        : new WorkableGround(Together(pieces.Select(p => p.Workable)), Together(pieces.Select(p => p.Steep)), pieces.Sum(p => p.SmallSteepArea));

    private static MultiPolygon Together(IEnumerable<Geometry> areas) =>
        Areas(areas.First().Factory.CreateGeometryCollection([.. areas.SelectMany(a => Enumerable.Range(0, a.NumGeometries).Select(a.GetGeometryN))]));

    /// <summary>The same from ground smoothed at the length of a machine; null where there is none of it.</summary>
    public static WorkableGround Create(ElevationGrid? land, FieldArea field, double headland, double steepestLand)
    {
        if (land is null)
        {
            return Create(new GridFrame(2, 2, 1, 0, 0), new double[4], field.Boundary, field.Avoided, headland, steepestLand);
        }

        GridFrame frame = land.Frame;
        double[] slope = new double[frame.CellCount];
        Parallel.For(0, frame.Rows, WorkThreads.Options(CancellationToken.None), r =>
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                slope[(r * frame.Columns) + c] = 100 * MachineSlope.Gradient(land, new XY(frame.CentreX(c), frame.CentreY(r))).Norm;
            }
        });
        return Create(frame, slope, field.Boundary, field.Avoided, headland, steepestLand);
    }

    private static Geometry Subtract(Geometry a, Geometry b) =>
        a.IsEmpty || b.IsEmpty ? a : OverlayNGRobust.Overlay(a, b, NetTopologySuite.Operation.Overlay.SpatialFunction.Difference);

    private static MultiPolygon Areas(Geometry geometry)
    {
        List<Polygon> parts = [];
        for (int i = 0; i < geometry.NumGeometries; i++)
        {
            if (geometry.GetGeometryN(i) is Polygon { IsEmpty: false } polygon)
            {
                parts.Add(polygon);
            }
        }

        return geometry.Factory.CreateMultiPolygon([.. parts]);
    }

    private static (Geometry Land, double Small) SteepLand(GridFrame frame, double[] landSlope, Geometry boundary, double steepest)
    {
        double[] excess = new double[landSlope.Length];
        for (int r = 0; r < frame.Rows; r++)
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                bool rim = r == 0 || c == 0 || r == frame.Rows - 1 || c == frame.Columns - 1;

                // Steep land that goes on over the rim or over missing ground ends there, so that its outline closes.
                double over = landSlope[(r * frame.Columns) + c] - steepest;
                excess[(r * frame.Columns) + c] = rim || double.IsNaN(over) ? -1 : over;
            }
        }

        GeometryFactory factory = boundary.Factory;
        Geometry land = factory.CreatePolygon();
        double small = 0;

        // Rings run with the steep land on their left: counter-clockwise around steep land, clockwise around gentle
        // holes. Taken from the largest down, each ring adds or removes its inside.
        List<(Geometry Inside, bool Steep)> rings = [];
        foreach (ContourPath path in ContourTracer.Trace(excess, frame, 0))
        {
            if (!path.Closed || path.Points.Length < 4)
            {
                continue;
            }

            LinearRing ring = factory.CreateLinearRing(path.Points);
            if (!ring.EnvelopeInternal.Intersects(boundary.EnvelopeInternal))
            {
                continue;
            }

            // A ring that touches itself, as where two patches meet in one cell exactly at the limit, is mended, not dropped.
            Polygon drawn = factory.CreatePolygon(ring);
            Geometry inside = drawn.IsValid ? drawn : GeometryFixer.Fix(drawn);
            bool steep = Area.OfRingSigned(path.Points) < 0;
            if (inside.Area < LeastPatch)
            {
                small += steep && boundary.Intersects(inside) ? boundary.Intersection(inside).Area : 0;
                continue;
            }

            rings.Add((inside, steep));
        }

        foreach ((Geometry inside, bool steep) in rings.OrderByDescending(r => r.Inside.Area))
        {
            land = steep
                ? OverlayNGRobust.Overlay(land, inside, NetTopologySuite.Operation.Overlay.SpatialFunction.Union)
                : Subtract(land, inside);
        }

        return (land, small);
    }
}
