using Keyline.Layout;
using Keyline.Planar;

namespace Keyline.Tests.Layout;

/// <summary>Ways between lines, and the order they are driven in.</summary>
public sealed class DrivingOrderTests
{
    private static readonly XY East = new(1, 0);

    // Closed forms of the shortest forward path (Dubins 1957): a line ahead, a half circle, a half circle and a line, and the
    // loop of three arcs into the row beside, whose middle arc turns by pi + 2 acos((2 r + d) / 4 r) ... written out below.
    [Theory]
    [InlineData(30, 0, 1, 30)]
    [InlineData(0, 16, -1, 8 * Math.PI)]
    [InlineData(0, 26, -1, (8 * Math.PI) + 10)]
    [InlineData(0, -16, -1, 8 * Math.PI)]
    public void TurnPath_HasTheKnownLength(double x, double y, int heading, double length) =>
        Assert.Equal(length, ShortestTurn.Length(default, East, new XY(x, y), East * heading, 8), 9);

    [Fact]
    public void TurnPath_IntoTheRowBeside_IsTheLoopOfThreeArcs()
    {
        // Away by the angle a, back around by pi + 2 a, and in by a, with cos a = (2 r + d) / (4 r): geometry of three circles.
        const double Radius = 8;
        const double Beside = 3;
        double a = Math.Acos(((2 * Radius) + Beside) / (4 * Radius));
        Assert.Equal(Radius * (Math.PI + (4 * a)), ShortestTurn.Length(default, East, new XY(0, Beside), East * -1, Radius), 9);
    }

    [Fact]
    public void TurnPath_IsNeverShorterThanTheStraightWay_AndTheSameBackwards()
    {
        Random random = new(5);
        for (int i = 0; i < 20_000; i++)
        {
            XY to = new((random.NextDouble() - 0.5) * 80, (random.NextDouble() - 0.5) * 80);
            (double s, double c) = Math.SinCos(random.NextDouble() * 2 * Math.PI);
            (double t, double d) = Math.SinCos(random.NextDouble() * 2 * Math.PI);
            XY out0 = new(c, s);
            XY in1 = new(d, t);
            double way = ShortestTurn.Length(default, out0, to, in1, 8);
            Assert.True(way >= to.Norm - 1e-9);
            Assert.Equal(way, ShortestTurn.Length(to, in1 * -1, default, out0 * -1, 8), 6);
        }
    }

    [Fact]
    public void Find_SkipsRows_WhereTheRadiusNeedsIt()
    {
        // Forty straight rows 3 m apart and a radius of 8 m: looping into the next row is longer than a half circle into the fifth.
        LinePath[] rows = [.. Enumerable.Range(0, 40).Select(i => new LinePath([new XY(0, 3 * i), new XY(100, 3 * i), new XY(200, 3 * i)], false))];
        DrivingOrder order = DrivingOrder.Find(rows, null, 8, TestContext.Current.CancellationToken);
        Assert.Equal(Enumerable.Range(0, 40), order.Stops.Select(s => s.Line).Order());
        double next = ShortestTurn.Length(default, East, new XY(0, 3), East * -1, 8);
        Assert.InRange(order.Plan.TurningLength, 39 * 8 * Math.PI * 0.95, 0.75 * 39 * next);
        Assert.Equal(40 * 200, order.Plan.WorkedLength, 6);
        Assert.Equal(39, order.Plan.Turns);
        Assert.Equal(order.Plan.WorkedLength + order.Plan.TurningLength, order.Plan.DrivenLength, 9);
        Assert.Equal(order.Plan.TurningLength / 2, order.Plan.TurningTime(2).TotalSeconds, 3);
    }

    [Fact]
    public void Find_StartsAndEndsNearTheGate()
    {
        LinePath[] rows = [.. Enumerable.Range(0, 20).Select(i => new LinePath([new XY(0, 3 * i), new XY(200, 3 * i)], false))];
        XY gate = new(210, 30);
        DrivingOrder order = DrivingOrder.Find(rows, gate, 8, TestContext.Current.CancellationToken);
        XY start = End(order.Stops[0].Line, order.Stops[0].Reversed);
        XY finish = End(order.Stops[^1].Line, !order.Stops[^1].Reversed);
        Assert.InRange((start - gate).Norm, 0, 40);
        Assert.InRange((finish - gate).Norm, 0, 40);

        XY End(int line, bool last) => last ? rows[line].Points[^1] : rows[line].Points[0];
    }

    [Fact]
    public void Find_ManyLines_BeatsTheNearestRule_AndIsTheSameTwice()
    {
        Random random = new(3);
        LinePath[] rows = [.. Enumerable.Range(0, 300).Select(i => new LinePath([new XY(random.NextDouble() * 60, 3 * i), new XY(200 + (random.NextDouble() * 60), 3 * i)], false))];
        DrivingOrder once = DrivingOrder.Find(rows, null, 8, TestContext.Current.CancellationToken);
        DrivingOrder twice = DrivingOrder.Find(rows, null, 8, TestContext.Current.CancellationToken);
        Assert.Equal(once.Stops, twice.Stops);
        Assert.InRange(once.Plan.TurningLength / once.Plan.Turns, 20, 45);
    }
}
