using Keyline.Check;
using Keyline.Planar;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>What lies next to a place on a line, by closed forms.</summary>
public sealed class LineIndexTests
{
    private static readonly LineString East = FieldGround.Line((-20, 0), (20, 0));

    private static NextLines Around(XY direction, double reach, params LineString[] others)
    {
        LineIndex index = new([new CheckedLine("L1", "", East), .. others.Select((l, i) => new CheckedLine($"L{i + 2}", "", l))], 3);
        return index.Around(0, 20, new XY(0, 0), direction, reach, []);
    }

    // Sides of the cone run 0.6 along for 1 across and are opened by 0.3 m: 3 m across a line counts that begins up to 2.1 m ahead or behind.
    [Theory]
    [InlineData(2.05, true)]
    [InlineData(2.15, false)]
    [InlineData(-2.05, true)]
    [InlineData(-2.15, false)]
    public void ALineCounts_FromTheConesSideOn(double begins, bool counts)
    {
        foreach (int side in new[] { 1, -1 })
        {
            foreach (int way in new[] { 1, -1 })
            {
                LineString other = FieldGround.Line((begins, 3 * side), (begins + (Math.Sign(begins) * 15), 3 * side));
                NextLines next = Around(new XY(way, 0), 9, other);
                double far = Math.Sqrt((begins * begins) + 9);
                Assert.Equal(far, next.Any, 1e-9);
                Assert.Equal(counts ? far : double.PositiveInfinity, side * way > 0 ? next.Left : next.Right, 1e-9);
                Assert.Equal(double.PositiveInfinity, side * way > 0 ? next.Right : next.Left);
                Assert.Equal(counts ? 1 : -1, side * way > 0 ? next.LeftLine : next.RightLine);
            }
        }
    }

    // From (10, 1) to (0, 11), as x = 10 - t, y = 1 + t: in the cone where 10 - t <= 0.6 (1 + t) + 0.3, so from t = 9.1 / 1.6 on. The foot at t = 4.5
    // lies outside, so that the nearest in it is the point on the cone's side. Run the other way it is the same.
    [Fact]
    public void OfALineAcrossTheCone_WhatLiesInItCounts()
    {
        double t = 9.1 / 1.6, expected = Math.Sqrt(Math.Pow(10 - t, 2) + Math.Pow(1 + t, 2));
        foreach (int ahead in new[] { 1, -1 })
        {
            Assert.Equal(expected, Around(new XY(1, 0), 12, FieldGround.Line((10 * ahead, 1), (0, 11))).Left, 1e-9);
            Assert.Equal(expected, Around(new XY(1, 0), 12, FieldGround.Line((0, 11), (10 * ahead, 1))).Left, 1e-9);
            Assert.Equal(expected, Around(new XY(1, 0), 12, FieldGround.Line((0, -11), (10 * ahead, -1))).Right, 1e-9);
        }

        // One that crosses the place's own height: on each side what lies there.
        NextLines crossing = Around(new XY(1, 0), 9, FieldGround.Line((0.1, -4), (0.1, 4)));
        Assert.Equal((0.1, 0.1), (Math.Round(crossing.Left, 9), Math.Round(crossing.Right, 9)));
    }

    [Fact]
    public void BeyondTheReach_NothingCounts_AndOfTwoAsNearTheFirstIsNamed()
    {
        LineString at4 = FieldGround.Line((-10, 4), (10, 4)), alike = FieldGround.Line((10, 4), (-10, 4)), below = FieldGround.Line((-10, -2), (10, -2));
        Assert.Equal((4.0, 1), (Around(new XY(1, 0), 4, at4).Left, Around(new XY(1, 0), 4, at4).LeftLine));
        NextLines short_ = Around(new XY(1, 0), 3.99, at4);
        Assert.Equal((double.PositiveInfinity, double.PositiveInfinity, -1), (short_.Left, short_.Any, short_.LeftLine));
        NextLines three = Around(new XY(1, 0), 9, alike, at4, below);
        Assert.Equal((4.0, 1, 2.0, 3, 2.0), (three.Left, three.LeftLine, three.Right, three.RightLine, three.Any));
    }

    [Fact]
    public void SameGuide_IsOfThatGuideAlone()
    {
        CheckedLine[] lines = [new("L1", "G1", East), new("L2", "G2", FieldGround.Line((-10, 2), (10, 2))), new("L3", "G1", FieldGround.Line((-10, -5), (10, -5)))];
        NextLines next = new LineIndex(lines, 3).Around(0, 20, new XY(0, 0), new XY(1, 0), 9, []);
        Assert.Equal((2.0, 5.0), (next.Any, next.SameGuide));
    }

    // A hairpin, out 40 m, 3 m across, and back: its way back begins at station 43. It is the line's own neighbour from more than five spacings, and no less
    // than 15 m, along itself.
    [Theory]
    [InlineData(3, 27.9, true)]
    [InlineData(3, 28.1, false)]
    [InlineData(2, 28.1, false)]
    [InlineData(4, 22.9, true)]
    [InlineData(4, 23.1, false)]
    [InlineData(double.NaN, 27.9, true)]
    [InlineData(double.NaN, 28.1, false)]
    public void ALinesOwnWayBack_CountsFarEnoughAlong(double spacing, double x, bool counts)
    {
        LineIndex index = new([new CheckedLine("L1", "", FieldGround.Line((0, 0), (40, 0), (40, 3), (0, 3)))], spacing);
        NextLines next = index.Around(0, x, new XY(x, 0), new XY(1, 0), 9, []);
        Assert.Equal(counts ? 3 : double.PositiveInfinity, next.Left);
        Assert.Equal(double.PositiveInfinity, next.Any);

        // From the way back the way out is on its left, as far along; the station of the place there is 43 + 40 - x.
        NextLines back = index.Around(0, 83 - x, new XY(x, 3), new XY(-1, 0), 9, []);
        Assert.Equal(83 - x - 40 > (double.IsNaN(spacing) ? 15 : Math.Max(15, 5 * spacing)) ? 3 : double.PositiveInfinity, back.Left);
    }

    // Round a closed line the shorter way counts: a rectangle of 60 by 3 m, whose long sides are neighbours but near its ends.
    [Fact]
    public void OfAClosedLine_TheShorterWayRoundCounts()
    {
        LineString ring = FieldGround.Line((0, 0), (20, 0), (40, 0), (60, 0), (60, 3), (40, 3), (20, 3), (0, 3), (0, 0));
        LineIndex index = new([new CheckedLine("L1", "", ring)], 3);
        double Left(double x) => index.Around(0, x, new XY(x, 0), new XY(1, 0), 3.01, []).Left;

        // From x the stretch that ends at (0, 3) is x + 3 m back round, that which ends at (20, 3) x + 23; the one from (60, 3) on is 63 - x ahead.
        Assert.Equal([double.PositiveInfinity, 3.0, 3.0, 3.0, double.PositiveInfinity], new[] { 11.9, 12.1, 30, 47.9, 48.1 }.Select(Left));
    }
}
