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

    // Every order and sense of six lines tried: 46 080 of them.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(6)]
    public void Find_SixLines_IsNearTheBestOfAllOrders(int seed)
    {
        Random random = new(seed);
        LinePath[] lines = [.. Enumerable.Range(0, 6).Select(_ =>
        {
            XY p = new(random.NextDouble() * 60, random.NextDouble() * 60);
            (double s, double c) = Math.SinCos(random.NextDouble() * 2 * Math.PI);
            return new LinePath([p, p + (new XY(c, s) * 30)], false);
        })];
        double best = Enumerable.Range(0, 12).Min(first => Best(lines, 1 << (first / 2), first));
        DrivingOrder order = DrivingOrder.Find(lines, null, 8, TestContext.Current.CancellationToken);
        Assert.InRange(order.Plan.TurningLength, best - 1e-6, 1.35 * best);
    }

    // The nearest line first is the plain way; turning stretches around must gain on it.
    [Fact]
    public void Find_GainsOnTheNearestLineFirst()
    {
        double found = 0;
        double plain = 0;
        for (int seed = 1; seed <= 5; seed++)
        {
            Random random = new(seed);
            LinePath[] lines = [.. Enumerable.Range(0, 60).Select(i => new LinePath([new XY(random.NextDouble() * 120, 3 * i), new XY(150 + (random.NextDouble() * 120), 3 * i)], false))];
            found += DrivingOrder.Find(lines, null, 8, TestContext.Current.CancellationToken).Plan.TurningLength;
            plain += NearestFirst(lines);
        }

        Assert.InRange(found / plain, 0.4, 0.93);
    }

    private static double Way(LinePath[] lines, int entered, int next)
    {
        LinePath a = lines[entered / 2], b = lines[next / 2];
        XY along = (a.Points[^1] - a.Points[0]).Unit(), ahead = (b.Points[^1] - b.Points[0]).Unit();
        return entered % 2 == 0
            ? ShortestTurn.Length(a.Points[^1], along, b.Points[next % 2 == 0 ? 0 : ^1], next % 2 == 0 ? ahead : ahead * -1, 8)
            : ShortestTurn.Length(a.Points[0], along * -1, b.Points[next % 2 == 0 ? 0 : ^1], next % 2 == 0 ? ahead : ahead * -1, 8);
    }

    private static double Best(LinePath[] lines, int done, int entered) => done == (1 << lines.Length) - 1
        ? 0
        : Enumerable.Range(0, 2 * lines.Length).Where(e => (done & (1 << (e / 2))) == 0).Min(e => Way(lines, entered, e) + Best(lines, done | (1 << (e / 2)), e));

    private static double NearestFirst(LinePath[] lines)
    {
        HashSet<int> left = [.. Enumerable.Range(0, lines.Length)];
        int entered = 2 * left.MinBy(l => lines[l].Points[0].X - lines[l].Points[0].Y);
        double sum = 0;
        for (left.Remove(entered / 2); left.Count > 0; left.Remove(entered / 2))
        {
            int next = left.SelectMany(l => (int[])[2 * l, (2 * l) + 1]).MinBy(e => Way(lines, entered, e));
            sum += Way(lines, entered, next);
            entered = next;
        }

        return sum;
    }
}
