using Keyline.Elevation;
using Keyline.Water.Tests.Overland;
using NetTopologySuite.Geometries;
using static Keyline.Water.Tests.Overland.Grounds;

namespace Keyline.Water.Tests.Plans;

public sealed class WaterFindingTests
{
    private const double Rain = 0.03;
    private const double Gathers = 4.9;
    private static readonly Rip Rip = new() { FurrowDepth = 0.12, RidgeHeight = 0.05, AirShare = 0 };

    // A line above which 4 m of sealed ground fall to it at 6 %, and which falls itself.
    private static ElevationGrid Strip(double fall) => Of(10, 220, 1, (x, y) => (0.06 * y) + (fall * (220 - x)));

    private static (IReadOnlyList<WaterFinding> Found, StormResult Run) Found(double fall, params WaterLine[] lines) => On(Strip(fall), lines);

    private static (IReadOnlyList<WaterFinding> Found, StormResult Run) On(ElevationGrid ground, WaterLine[] lines, params WaterOutlet[] outlets)
    {
        StormResult run = StormRun.Run(ground, Sealed, DesignStorms.Steady(Rain, 3600), lines, [], new StormOptions { Rip = Rip, SurfaceStorage = 0, Recession = 600, Outlets = outlets });
        Assert.InRange(Math.Abs(run.Balance.Error), 0, 1e-9);
        return (WaterFindings.Of(lines, run, Rip), run);
    }

    private static WaterLine Whole(string id = "L") => Line(id, 10, 5.5, 210, 5.5);

    /// <summary>200 m gather 4 m of ground above and their own row at 30 mm an hour: 8.2 L/s at 1 %. Manning's equation for the V says what that runs at; the end is where it is found.</summary>
    [Fact]
    public void End_ThatRunsFast_IsFoundAtItsPlaceWithItsFigures()
    {
        (IReadOnlyList<WaterFinding> found, StormResult run) = Found(0.01, Whole());
        WaterFinding end = Assert.Single(found);
        Assert.Equal((WaterFindingKind.EndRunsFast, "L", true), (end.Kind, end.LineId, end.BreaksLimit));
        Assert.Equal((210, 5.5, 200), (end.X, end.Y, end.At));
        double gathers = Rain / 3600 * Gathers;
        Assert.Equal(1, end.Flow / (gathers * 200), 0.03);
        RipPlace middle = run.Along[0][100];
        // It deepens along its way, so its surface falls 3 % less than the ground.
        FurrowFlow even = SafeLine.Carrying(middle.Flow, 0.01);
        Assert.Equal((1, 1), (middle.Speed / even.Speed, middle.Shear / even.MeanShear), (a, b) => Math.Abs(a.Item1 - b.Item1) < 0.02 && Math.Abs(a.Item2 - b.Item2) < 0.035);
        Assert.InRange(end.Speed, 0.3, even.Speed);
        Assert.InRange(end.Grade, 0.0099, 0.03);
        Assert.Equal(199, end.Run, 2.0);
        Assert.Equal(210, end.Stretch!.EndPoint.X, 1.5);
        Assert.InRange(end.Stretch.Length, 60, 199);
        Assert.InRange(end.Times, 1, 1.2);

        // The same turned round: the start is the low end.
        WaterFinding turned = Assert.Single(Found(0.01, Line("L", 210, 5.5, 10, 5.5)).Found);
        Assert.Equal((210, 5.5, 0), (turned.X, turned.Y, turned.At));
        Assert.Equal(end.Flow, turned.Flow, 1e-5);
        Assert.Equal(end.Breaks.Select(b => b.X), turned.Breaks.Select(b => b.X), (a, b) => Math.Abs(a - b) < 1.5);
    }

    /// <summary>What is proposed is run: the line broken there, or at the fall that is proposed, is found no fault with; with half as many breaks, or twice the fall, it is.</summary>
    [Fact]
    public void Proposals_AreStoodWhenTheyAreRun()
    {
        WaterFinding end = Assert.Single(Found(0.01, Whole()).Found);
        Assert.InRange(end.LessFall, 0.002, 0.009);
        Assert.DoesNotContain(Found(end.LessFall, Whole()).Found, f => f.BreaksLimit);
        Assert.Contains(Found(Math.Min(2 * end.LessFall, 0.01), Whole()).Found, f => f.BreaksLimit);

        Assert.True(end.Pieces > 2 && end.Breaks.Count == end.Pieces - 1, $"{end.Pieces}");
        Assert.DoesNotContain(Found(0.01, Broken(end.Breaks)).Found, f => f.BreaksLimit);
        Assert.Contains(Found(0.01, Broken([.. end.Breaks.Where((_, i) => i % 2 == 0)])).Found, f => f.BreaksLimit);

        static WaterLine[] Broken(IReadOnlyList<Coordinate> breaks)
        {
            double[] at = [10 - 4, .. breaks.Select(b => b.X), 210];
            return [.. Enumerable.Range(1, at.Length - 1).Select(i => Line($"L{i}", at[i - 1] + 4, 5.5, at[i], 5.5))];
        }
    }

    /// <summary>Steepest fall and even flow are each other's reverse; by speed a flow goes with the power -3/2 of the grade, by shear with -13/6 (Manning).</summary>
    [Theory]
    [InlineData(0.002)]
    [InlineData(0.01)]
    [InlineData(0.04)]
    public void Steepest_IsWhereTheFlowIsJustStood(double grade)
    {
        double flow = Math.Min(SafeLine.AtSpeed(0.3, grade).Flow, SafeLine.AtShear(2.3, grade).Flow);
        Assert.Equal(grade, SafeLine.Steepest(flow), 1e-12);
        Assert.Equal(grade * Math.Pow(4, -2.0 / 3), SafeLine.Steepest(4 * SafeLine.AtSpeed(0.3, grade).Flow, shear: 1e9), 1e-12);
        Assert.Equal(grade * Math.Pow(4, -6.0 / 13), SafeLine.Steepest(4 * SafeLine.AtShear(2.3, grade).Flow, speed: 1e9), 1e-12);
        FurrowFlow even = SafeLine.Carrying(SafeLine.AtSpeed(0.3, grade).Flow, grade);
        Assert.Equal((0.3, SafeLine.AtSpeed(0.3, grade).MeanShear), (even.Speed, even.MeanShear), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-12 && Math.Abs(a.Item2 - b.Item2) < 1e-9);
    }

    /// <summary>Flow into an end does not depend on how long the storm's steps are: what it lets go does not come in gulps, nor runs back in.</summary>
    [Fact]
    public void End_LetsGoEvenly()
    {
        double[] flows = [.. new[] { 5, 0.5 }.Select(step => StormRun.Run(Strip(0.01), Sealed, DesignStorms.Steady(Rain, 3600), [Whole()], [], new StormOptions { Rip = Rip, SurfaceStorage = 0, Recession = 0, LongestStep = step }).Lines[0].EndFlow)];
        Assert.Equal(1, flows[0] / flows[1], 0.02);
    }

    /// <summary>A furrow of 5 cm: 8 L/s are deeper than that at any fall, so none is proposed alone. Together with breaks one is, and run so it is stood.</summary>
    [Fact]
    public void Fall_OfAFurrowThatIsTooShallow_IsNotProposed()
    {
        Rip shallow = Rip with { FurrowDepth = 0.05, RidgeHeight = 0.12 };
        StormResult run = StormRun.Run(Strip(0.005), Sealed, DesignStorms.Steady(Rain, 3600), [Whole()], [], new StormOptions { Rip = shallow, SurfaceStorage = 0, Recession = 0 });
        WaterFinding end = Assert.Single(WaterFindings.Of([Whole()], run, shallow));
        Assert.True(double.IsNaN(end.LessFall) || end.IsTogether, $"{end.LessFall}");
        StormResult steep = StormRun.Run(Strip(0.05), Sealed, DesignStorms.Steady(Rain, 3600), [Whole()], [], new StormOptions { Rip = shallow, SurfaceStorage = 0, Recession = 0 });
        WaterFinding both = Assert.Single(WaterFindings.Of([Whole()], steep, shallow));
        Assert.True(both.IsTogether && both.Pieces > 1, $"{both}");
        double[] at = [10 - 4, .. both.Breaks.Select(b => b.X), 210];
        WaterLine[] pieces = [.. Enumerable.Range(1, at.Length - 1).Select(i => Line($"L{i}", at[i - 1] + 4, 5.5, at[i], 5.5))];
        StormResult mended = StormRun.Run(Strip(both.LessFall), Sealed, DesignStorms.Steady(Rain, 3600), pieces, [], new StormOptions { Rip = shallow, SurfaceStorage = 0, Recession = 0 });
        Assert.DoesNotContain(WaterFindings.Of(pieces, mended, shallow), f => f.BreaksLimit);
    }

    [Fact]
    public void Line_OfWhichTheMiddleIsSteep_IsFoundThere()
    {
        // 0.3 %, then 3 % from 80 to 120 m, then 0.3 % again.
        ElevationGrid ground = Of(10, 220, 1, (x, y) => (0.06 * y) + (0.003 * (220 - x)) - (0.027 * Math.Clamp(x - 80, 0, 40)));
        IReadOnlyList<WaterFinding> found = On(ground, [Whole()]).Found;
        WaterFinding way = Assert.Single(found, f => f.Kind == WaterFindingKind.RunsFast);
        Assert.InRange(way.X, 100, 124);
        Assert.InRange(way.Stretch!.Length, 10, 60);
        Assert.DoesNotContain(found, f => f.Kind == WaterFindingKind.EndRunsFast);
    }

    [Fact]
    public void Line_WithASag_SpillsThere()
    {
        // Falls to x = 110 from both sides.
        ElevationGrid ground = Of(10, 220, 1, (x, y) => (0.06 * y) + (0.003 * Math.Abs(x - 110)));
        WaterFinding sag = Assert.Single(On(ground, [Whole()]).Found, f => f.Kind == WaterFindingKind.SpillsInOnePlace);
        Assert.Equal((110, 5.5), (sag.X, sag.Y), (a, b) => Math.Abs(a.Item1 - b.Item1) < 4 && a.Item2 == b.Item2);
        Assert.InRange(sag.Spilled, 8, Rain * Gathers * 200);
        Assert.False(sag.BreaksLimit);
        Assert.DoesNotContain(Found(0.003, Whole()).Found, f => f.Kind == WaterFindingKind.SpillsInOnePlace);
    }

    /// <summary>An end at an outlet is spared, and all its water is on the outlet's ground; one a little too far off is not.</summary>
    [Fact]
    public void End_AtAnOutlet_IsSpared()
    {
        Polygon waterway = new(new LinearRing([new(212, 0), new(219, 0), new(219, 10), new(212, 10), new(212, 0)]));
        (IReadOnlyList<WaterFinding> found, StormResult run) = On(Strip(0.01), [Whole()], new WaterOutlet("waterway", waterway));
        Assert.Empty(found);
        OutletDelivery at = Assert.Single(run.Deliveries);
        Assert.Equal(("L", false, "waterway"), (at.LineId, at.IsStart, at.Outlet));
        Assert.Equal(1, at.Volume / (Rain * Gathers * 200), 0.03);
        Assert.Equal(run.Lines[0].SpilledAtEnds, at.Volume, 1e-9);

        // Nothing stands before such an end, which elsewhere has the furrow's depth before it.
        Assert.InRange(run.Lines[0].Held, 0, 0.85 * Found(0.01, Whole()).Run.Lines[0].Held);
        Assert.NotEmpty(On(Strip(0.01), [Line("L", 10, 5.5, 205, 5.5)], new WaterOutlet("waterway", waterway)).Found);
    }
}
