using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Planar;

/// <summary>Parallels of guides whose parallels are known: straight lines, circles, and what other pieces of a level cut away.</summary>
public sealed class ParallelLinesTests
{
    private static SegmentBins Level(params LinePath[] pieces)
    {
        SegmentBins bins = new(new Envelope(-120, 120, -120, 120), 8);
        for (int i = 0; i < pieces.Length; i++)
        {
            bins.Add(pieces[i], i);
        }

        return bins;
    }

    private static LinePath Straight(double y = 0, int from = -40, int to = 40) => new([.. Enumerable.Range(from, to - from + 1).Select(i => new XY(i, y))], false);

    private static LinePath Circle(double radius, int points = 300) =>
        new([.. Enumerable.Range(0, points).Select(i => new XY(radius * Math.Cos(2 * Math.PI * i / points), radius * Math.Sin(2 * Math.PI * i / points)))], true);

    [Theory]
    [InlineData(3)]
    [InlineData(-4.5)]
    public void OfAStraightLine_LiesSoFarToTheLeft(double distance)
    {
        LinePath found = Assert.Single(ParallelLines.Offset(Straight(), distance, Level(Straight())));
        Assert.False(found.Closed);
        Assert.Equal(81, found.Count);
        Assert.All(found.Points.Select((p, i) => (p, i)), q => Assert.Equal(0, (q.p - new XY(q.i - 40, distance)).Norm, 1e-9));
    }

    // Left of a ring that runs counterclockwise is inside. Chords over 2 m are parted: outside at 150 m, radius 50 m and 300 points give 200 m and
    // chords of 4.19 m, so three pieces each, whose points lie on the circle as the guide's cubic does.
    [Theory]
    [InlineData(10, 40, 300)]
    [InlineData(-10, 60, 300)]
    [InlineData(-44, 94, 300)]
    [InlineData(-46, 96, 600)]
    [InlineData(-150, 200, 900)]
    public void OfACircle_IsTheCircle(double distance, double radius, int points)
    {
        LinePath found = Assert.Single(ParallelLines.Offset(Circle(50), distance, Level(Circle(50))));
        Assert.True(found.Closed);
        Assert.Equal(points, found.Count);
        Assert.All(found.Points, p => Assert.Equal(radius, p.Norm, 2e-4));
        for (int i = 0; i < points; i++)
        {
            Assert.Equal(2 * radius * Math.Sin(Math.PI / points), (found.End(i) - found.Points[i]).Norm, 2e-3);
        }
    }

    // An ellipse's outward normals are known: (cos t / a, sin t / b). Every point of the parallel lies at the distance from the ellipse along one.
    [Fact]
    public void OfAnEllipse_WhereChordsAreParted_LiesAtTheDistance()
    {
        const int n = 400;
        LinePath guide = new([.. Enumerable.Range(0, n).Select(i => new XY(70 * Math.Cos(2 * Math.PI * i / n), 45 * Math.Sin(2 * Math.PI * i / n)))], true);
        SegmentBins level = Level(guide);
        LinePath found = Assert.Single(ParallelLines.Offset(guide, -90, level));
        Assert.InRange(found.Count, 550, 900);
        Assert.All(found.Points, p => Assert.Equal(90, Math.Sqrt(Enumerable.Range(0, n).Min(i => SegmentBins.SquareDistance(p, guide.Points[i], guide.End(i)))), 0.004));
        Assert.All(Enumerable.Range(0, found.Count), i => Assert.InRange((found.End(i) - found.Points[i]).Norm, 0.5, 2.01));
    }

    // Another piece of the level 10 m off, beside a part of the guide: what lies nearer to it than the distance is its, exactly to the tolerance.
    [Fact]
    public void GroundNearerToAnotherPiece_IsLeftOut()
    {
        LinePath guide = Straight(), other = Straight(10, -5, 8);
        List<LinePath> found = ParallelLines.Offset(guide, 6, Level(guide, other));
        Assert.Equal(2, found.Count);

        // 4 m below the other piece's ends at x = -5 and 8: out where nearer than 5.98 m, so within sqrt(5.98^2 - 4^2) = 4.445 m of the ends.
        Assert.Equal((-40.0, -10.0), (found[0].Points[0].X, found[0].Points[^1].X));
        Assert.Equal((13.0, 40.0), (found[1].Points[0].X, found[1].Points[^1].X));
        Assert.Empty(ParallelLines.Offset(guide, 6, Level(guide, Straight(12, -60, 60)), _ => false));
    }

    // Gaps of up to 6 m are joined: with points out from x = 0 to x = n - 1 the gap is n + 1 metres.
    [Theory]
    [InlineData(1, 1)]
    [InlineData(5, 1)]
    [InlineData(6, 2)]
    public void UnwantedPlaces_AreAGap_AndSixMetresAreBridged(int unwanted, int lines)
    {
        List<LinePath> found = ParallelLines.Offset(Straight(), 3, Level(Straight()), p => p.X < -0.5 || p.X > unwanted - 0.5);
        Assert.Equal(lines, found.Count);
        Assert.Equal(81 - unwanted, found.Sum(l => l.Count));
        Assert.All(found, l => Assert.False(l.Closed));
        Assert.Equal(new XY(-1, 3), found[0].Points[40 - 1]);
    }

    // On a ring of 50 m, 41 m inside of it is a ring of 9 m with points 0.188 m apart: a short gap leaves a ring, a long one an open line, two long
    // ones two lines; wherever the ring's first point lies.
    [Theory]
    [InlineData(0.5, true)]
    [InlineData(7, false)]
    public void AGapInARing_IsBridgedOrOpensIt(double gap, bool ring)
    {
        foreach (double place in new[] { 0, 1.9, Math.PI, 5.1 })
        {
            XY at = new(9 * Math.Cos(place), 9 * Math.Sin(place));
            LinePath found = Assert.Single(ParallelLines.Offset(Circle(50), 41, Level(Circle(50)), p => (p - at).Norm > gap));
            Assert.Equal(ring, found.Closed);
            Assert.Equal(Enumerable.Range(0, 300).Count(i => (new XY(9 * Math.Cos(2 * Math.PI * i / 300), 9 * Math.Sin(2 * Math.PI * i / 300)) - at).Norm > gap), found.Count);
            Assert.All(found.Points.SkipLast(1).Select((p, i) => (found.Points[i + 1] - p).Norm), d => Assert.InRange(d, 0.18, 0.2));
        }

        LinePath[] two = [.. ParallelLines.Offset(Circle(50), 10, Level(Circle(50)), p => Math.Abs(p.X) > 8)];
        Assert.Equal(2, two.Length);
        Assert.All(two, l => Assert.False(l.Closed));
    }

    // Two gaps, one across the first point of the ring bridged and one far from it: one line of two runs, the last leading into the first.
    [Fact]
    public void AShortGapAndALongOneInARing_AreOneOpenLine()
    {
        XY near = new(40, 0), far = new(-40, 0);
        LinePath found = Assert.Single(ParallelLines.Offset(Circle(50), 10, Level(Circle(50)), p => (p - near).Norm > 2 && (p - far).Norm > 8));
        Assert.False(found.Closed);
        Assert.InRange(found.Length(), (80 * Math.PI) - 18, (80 * Math.PI) - 15);
        Assert.Equal(0, (found.Points[0] + found.Points[^1] - new XY(2 * found.Points[0].X, 0)).Norm, 1e-6);
    }

    // Two arms of a blunt bend: the parallel inside has its corner on the bisector, distance / cos(half the turn) from the guide's corner.
    [Theory]
    [InlineData(50, 9)]
    [InlineData(-70, -9)]
    [InlineData(110, 5)]
    public void InsideABend_TheCornerLiesOnTheBisector(double degrees, double distance)
    {
        double turn = degrees * Math.PI / 180;
        LinePath guide = new([.. Enumerable.Range(-60, 121).Select(i => i <= 0 ? new XY(i, 0) : new XY(i * Math.Cos(turn), i * Math.Sin(turn)))], false);
        LinePath inside = Assert.Single(ParallelLines.Offset(guide, distance, Level(guide)));
        XY corner = new XY(-Math.Sin(turn / 2), Math.Cos(turn / 2)) * (distance / Math.Cos(turn / 2));
        Assert.InRange(inside.Points.Min(p => (p - corner).Norm), 0, 0.05);
        Assert.All(inside.Points, p => Assert.InRange(Enumerable.Range(0, 120).Min(i => SegmentBins.SquareDistance(p, guide.Points[i], guide.End(i))), Math.Pow(Math.Abs(distance) - ParallelLines.Tolerance, 2), 1e9));
    }
}
