using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report.Tests;

/// <summary>Metres on the ground to millimetres on paper, and what of a shape is drawn.</summary>
public sealed class PaperFrameTests
{
    // At 1 to 5000 a metre is 0.2 mm: 300 m east of the frame's corner and 150 m south of it are 60 mm to the right and 30 mm down.
    [Fact]
    public void At_CountsFromTheCorner_EastToTheRight_SouthDown()
    {
        PaperFrame frame = new(500_000, 4_000_000, 12, 20, 0.2);
        Assert.Equal((12.0, 20.0), frame.At(500_000, 4_000_000));
        Assert.Equal((72.0, 50.0), Rounded(frame.At(500_300, 3_999_850)));
        Assert.Equal((2.0, 0.0), Rounded(frame.At(499_950, 4_000_100)));
        Assert.Equal(0.2, frame.Scale);

        static (double, double) Rounded((double X, double Y) p) => (Math.Round(p.X, 9), Math.Round(p.Y, 9));
    }

    [Fact]
    public void Courses_AreRingsHolesAndLines()
    {
        GeometryFactory f = new();
        Polygon area = f.CreatePolygon(Ring(f, 0, 10), [Ring(f, 2, 3), Ring(f, 5, 7)]);
        LineString open = f.CreateLineString([new(0, 0), new(4, 4)]), closed = f.CreateLineString([new(0, 0), new(4, 4), new(4, 0), new(0, 0)]);
        Geometry all = f.CreateGeometryCollection([area, f.CreatePoint(new Coordinate(1, 1)), f.CreateMultiLineString([open, closed]), f.CreatePolygon(), f.CreateLineString(), f.CreateGeometryCollection([open])]);
        Assert.Equal(
            [(40.0, true), (4.0, true), (8.0, true), (Math.Sqrt(32), false), (8 + Math.Sqrt(32), true), (Math.Sqrt(32), false)],
            PaperFrame.Courses(all).Select(c => (c.Course.Length, c.IsClosed)));
        Assert.Empty(PaperFrame.Courses(f.CreatePoint(new Coordinate(1, 1))));
    }

    private static LinearRing Ring(GeometryFactory f, double from, double to) =>
        f.CreateLinearRing([new(from, from), new(to, from), new(to, to), new(from, to), new(from, from)]);

    [Fact]
    public void Thinned_KeepsEveryPlaceWithinItsReach_AndFewPointsOfASlowBend()
    {
        // A circle of 50 mm with points every tenth of a millimetre: a chord that lies 0.01 mm within it is 2 mm long.
        SKPoint[] points = [.. Enumerable.Range(0, 1000).Select(i => new SKPoint(50 * MathF.Cos(i * 0.002f), 50 * MathF.Sin(i * 0.002f)))];
        SKPoint[] thinned = MapView.Thinned(points);
        Assert.InRange(thinned.Length, 50, 140);
        Assert.Equal((points[0], points[^1]), (thinned[0], thinned[^1]));
        LineString drawn = new([.. thinned.Select(p => new Coordinate(p.X, p.Y))]);
        Assert.All(points, p => Assert.True(drawn.Distance(new Point(p.X, p.Y)) <= MapView.Thinning + 1e-4));

        // A corner stays, and so does the far point of a line that comes back on itself.
        SKPoint[] corner = [new(0, 0), new(5, 0), new(10, 0), new(10, 10), new(10, 4)];
        Assert.Equal([new(0, 0), new(10, 0), new(10, 10), new(10, 4)], MapView.Thinned(corner));
    }
}
