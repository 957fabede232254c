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
        for (int trial = 0; trial < 300; trial++)
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
}
