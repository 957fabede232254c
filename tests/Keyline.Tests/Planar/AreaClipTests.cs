using Keyline.Tests.Support;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Planar;

/// <summary>Cutting paths to an area against the general overlay of a reference library.</summary>
public sealed class AreaClipTests
{
    [Fact]
    public void Inside_HasTheLengthThatTheOverlayHas()
    {
        Random random = new(2);
        Geometry area = FieldGround.Box(0, 0, 100, 80)
            .Difference(FieldGround.Factory.CreatePoint(new Coordinate(40, 40)).Buffer(12))
            .Difference(FieldGround.Box(70, -5, 75, 60))
            .Union(FieldGround.Box(120, 10, 150, 60));
        AreaClip clip = new(area);
        for (int trial = 0; trial < 80; trial++)
        {
            XY[] points = new XY[random.Next(2, 40)];
            XY at = new(random.NextDouble() * 160, random.NextDouble() * 80);
            for (int i = 0; i < points.Length; i++)
            {
                points[i] = at;
                at += new XY((random.NextDouble() - 0.5) * 30, (random.NextDouble() - 0.5) * 30);
            }

            LineString line = FieldGround.Factory.CreateLineString([.. points.Select(p => new Coordinate(p.X, p.Y))]);
            double expected = 0;
            for (int i = 1; i < points.Length; i++)
            {
                // Segment by segment, because the overlay counts a stretch that is gone over twice once.
                expected += FieldGround.Line((points[i - 1].X, points[i - 1].Y), (points[i].X, points[i].Y)).Intersection(area).Length;
            }

            List<LinePath> pieces = clip.Inside(new LinePath(points, false), 0);
            Assert.InRange(pieces.Sum(p => p.Length()), expected - (0.01 * points.Length), expected + 1e-6);
            Assert.All(pieces, p => Assert.True(area.Buffer(1e-6).Covers(FieldGround.Factory.CreateLineString(p.ToCoordinates()))));
        }
    }

    [Fact]
    public void Inside_ClosedPath_StaysClosedWhereItIsWholeAndIsOnePieceWhereItIsCutOnce()
    {
        AreaClip clip = new(FieldGround.Box(0, 0, 100, 100));
        LinePath Ring(double x) => new([.. Enumerable.Range(0, 72).Select(i => new XY(x + (20 * Math.Cos(i * Math.PI / 36)), 50 + (20 * Math.Sin(i * Math.PI / 36))))], true);
        Assert.True(Assert.Single(clip.Inside(Ring(50), 0)).Closed);
        LinePath cut = Assert.Single(clip.Inside(Ring(10), 0));
        Assert.False(cut.Closed);
        Assert.InRange(cut.Length(), 80, 90);
        Assert.Empty(clip.Inside(Ring(300), 0));
        Assert.Empty(clip.Inside(Ring(10), 95));
    }

    // A square of 100 m with a hole of 20 m: pieces end 1 mm short of the rim, and are in the order and direction of the path.
    [Fact]
    public void Inside_PiecesInOrder_AMillimetreShortOfTheRim()
    {
        AreaClip clip = new(FieldGround.Box(0, 0, 100, 100).Difference(FieldGround.Box(40, 40, 60, 60)));
        XY[] Cut(params XY[] points) => [.. clip.Inside(new LinePath(points, false), 0).SelectMany(p => p.Points)];
        Equal([new(0.001, 50), new(39.999, 50), new(60.001, 50), new(99.999, 50)], Cut(new XY(-10, 50), new XY(110, 50)));
        Equal([new(99.999, 50), new(60.001, 50), new(39.999, 50), new(0.001, 50)], Cut(new XY(110, 50), new XY(-10, 50)));
        Equal([new(10, 20), new(10, 80), new(90, 80), new(99.999, 80)], Cut(new XY(10, 20), new XY(10, 80), new XY(90, 80), new XY(120, 80)));
        Equal([new(80, 99.999), new(80, 20), new(10, 20)], Cut(new XY(80, 130), new XY(80, 120), new XY(80, 20), new XY(10, 20)));
        Equal([new(10, 20), new(30, 20)], Cut(new XY(10, 20), new XY(30, 20)));
        Assert.Empty(Cut(new XY(45, 45), new XY(55, 55), new XY(45, 55)));
        Assert.Empty(Cut(new XY(-45, 5), new XY(-5, 55)));
        Assert.Equal((true, false, false), (clip.Covers(new XY(30, 50)), clip.Covers(new XY(50, 50)), clip.Covers(new XY(101, 50))));

        static void Equal(XY[] expected, XY[] found)
        {
            Assert.Equal(expected.Length, found.Length);
            Assert.All(expected.Zip(found), p => Assert.Equal(0, (p.First - p.Second).Norm, 1e-9));
        }
    }

    [Fact]
    public void Inside_LeavesOutWhatIsShorter()
    {
        AreaClip clip = new(FieldGround.Box(0, 0, 100, 100).Difference(FieldGround.Box(20, -1, 30, 101)));
        LinePath across = new([new(-5, 50), new(150, 50)], false), inside = new([new(40, 50), new(90, 50)], false);
        Assert.Equal([19.998, 69.998], clip.Inside(across, 0).Select(p => Math.Round(p.Length(), 6)));
        Assert.Equal([69.998], clip.Inside(across, 20).Select(p => Math.Round(p.Length(), 6)));
        Assert.Same(inside, Assert.Single(clip.Inside(inside, 50)));
        Assert.Empty(clip.Inside(inside, 50.001));
    }

    // A ring that begins inside and leaves twice: the run that begins at its first point goes on from the one that ends there.
    [Fact]
    public void Inside_ARingThatBeginsInside_IsJoinedOverItsFirstPoint()
    {
        AreaClip clip = new(FieldGround.Box(-100, -10, 100, 10));
        LinePath ring = new([.. Enumerable.Range(0, 360).Select(i => new XY(40 * Math.Cos(i * Math.PI / 180), 40 * Math.Sin(i * Math.PI / 180)))], true);
        List<LinePath> pieces = clip.Inside(ring, 0);
        double arc = 2 * 40 * Math.Asin(10 / 40.0);
        Assert.Equal(2, pieces.Count);
        Assert.All(pieces, p => Assert.Equal(arc, p.Length(), 0.01));
        Assert.All(pieces, p => Assert.False(p.Closed));
        LinePath over = Assert.Single(pieces, p => p.Points[0].X > 0);
        Assert.InRange(over.Points[0].Y, -10, -9.99);
        Assert.InRange(over.Points[^1].Y, 9.99, 10);
        Assert.Single(over.Points, p => p == ring.Points[0]);
    }
}
