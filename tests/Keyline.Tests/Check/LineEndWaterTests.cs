using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Check;

/// <summary>Ends that let water go above a drop or on wet ground, and those that do not.</summary>
public sealed class LineEndWaterTests
{
    private static readonly LineLimits Limits = new() { Spacing = 3, MaximumGrade = 5, MinimumLength = 0, MinimumRadius = 0, MaximumSlope = 15 };

    // Falls 1 % to the east; east of x = 150 a bank of so many percent for 10 m, then flat.
    private static ElevationGrid Bank(double percent) =>
        FieldGround.Of((x, _) => (-0.01 * Math.Min(x, 150)) - (percent / 100 * Math.Clamp(x - 150, 0, 10)), 300, 100);

    private static LayoutFinding[] Drops(ElevationGrid ground, LineString line, FieldArea? field = null, LineLimits? limits = null) =>
        [.. LayoutCheck.Run([new CheckedLine("L1", "", line)], ground, field, limits ?? Limits, null, TestContext.Current.CancellationToken).Findings.Where(f => f.Kind == FindingKind.EndsAboveDrop)];

    [Theory]
    [InlineData(146, true)]
    [InlineData(144, true)]
    [InlineData(125, false)]
    public void EndAboveABank_IsFoundWhereTheBankIsNear(double end, bool found)
    {
        LayoutFinding[] drops = Drops(Bank(60), FieldGround.Line((40, 50), (end, 50)));
        Assert.Equal(found ? 1 : 0, drops.Length);
        Assert.All(drops, d => Assert.Equal((end, 50.0, "L1", 15.0), (d.X, d.Y, d.LineId, d.Limit)));
        Assert.All(drops, d => Assert.InRange(d.Value, 30, 60.5));
        Assert.All(drops, d => Assert.Equal(end - 40, d.Length, 2.0));
    }

    // A step of 1 m within the metre from x = 150 on. Between cell centres it is 2 m wide, to x = 151.5, so that 12 m reach over the whole of it from
    // 140 m and over three quarters of it from 139 m: 21 % and 16 % over 5 m, where 1.25 times 15 % is a drop. Land a machine stands on hardly feels it.
    [Theory]
    [InlineData(140, true)]
    [InlineData(139, false)]
    public void TwelveMetresAreLooked_NoMoreAndNoLess(double end, bool found)
    {
        ElevationGrid ground = FieldGround.Of((x, _) => (-0.01 * x) - Math.Clamp(x - 150, 0, 1), 300, 100);
        LayoutFinding[] drops = Drops(ground, FieldGround.Line((40, 50), (end, 50)));
        Assert.Equal(found ? 1 : 0, drops.Length);
        Assert.All(drops, d => Assert.Equal(21, d.Value, 0.01));
        Assert.All(drops, d => Assert.Contains("7 m above", d.Sentence, StringComparison.Ordinal));
    }

    [Fact]
    public void TheOtherWayRound_ItIsTheOtherEnd() =>
        Assert.Equal(146, Assert.Single(Drops(Bank(60), FieldGround.Line((146, 50), (40, 50)))).X);

    [Fact]
    public void EndThatClimbsTowardTheBank_IsNotAccused()
    {
        // A rise of 1 % to the lip of the bank: the water leaves at the other end.
        ElevationGrid ground = FieldGround.Of((x, _) => (0.01 * Math.Min(x, 150)) - (0.6 * Math.Clamp(x - 150, 0, 10)), 300, 100);
        Assert.Empty(Drops(ground, FieldGround.Line((40, 50), (146, 50))));
    }

    [Theory]
    [InlineData(12, false)]
    [InlineData(25, true)]
    public void ABankThatCouldBeWorked_IsNone(double percent, bool found) =>
        Assert.Equal(found, Drops(Bank(percent), FieldGround.Line((40, 50), (146, 50))).Length > 0);

    [Fact]
    public void BehindARise_ADropTakesNoWater()
    {
        // A rim of 30 cm between the end and the bank.
        ElevationGrid ground = FieldGround.Of((x, _) => (-0.01 * Math.Min(x, 150)) + (x is > 147 and < 150 ? 0.3 : 0) - (0.6 * Math.Clamp(x - 150, 0, 10)), 300, 100, 0.5);
        Assert.Empty(Drops(ground, FieldGround.Line((40, 50), (144, 50)), limits: Limits with { MaximumSlope = 40, MaximumSideSlope = 40 }));
    }

    [Fact]
    public void AtAStableOutlet_TheWaterIsTakenOff()
    {
        FieldArea drained = new(FieldGround.Box(20, 20, 200, 80)) { Outlets = FieldGround.Line((147, 20), (147, 80)) };
        FieldArea far = new(FieldGround.Box(20, 20, 200, 80)) { Outlets = FieldGround.Line((155, 20), (155, 80)) };
        Assert.Empty(Drops(Bank(60), FieldGround.Line((40, 50), (146, 50)), drained));
        Assert.Single(Drops(Bank(60), FieldGround.Line((40, 50), (146, 50)), far));
    }

    [Fact]
    public void LandThatGrowsTooSteepBelowTheEnd_IsFoundOnTheWayOfTheWater()
    {
        // A contour line that falls gently east on land of 12 %, which east of x = 150 steepens to 18 % to the south.
        ElevationGrid ground = FieldGround.Of((x, y) => (x < 150 ? 0.12 : 0.18) * (y - 50) - (0.01 * x), 300, 100);
        Assert.Single(Drops(ground, FieldGround.Line((40, 50), (148, 50))));
        Assert.Empty(Drops(ground, FieldGround.Line((40, 50), (120, 50))));
    }

    [Fact]
    public void OnlyAnEndThatFallsTowardWetGround_LeadsWaterToIt()
    {
        ElevationGrid ground = FieldGround.Of((x, _) => -0.01 * x, 300, 100);
        FieldArea field = new(FieldGround.Box(10, 10, 290, 90), [new AvoidedArea(FieldGround.Box(100, 40, 120, 60), 0, "the seep", isWet: true)]);
        LayoutFinding[] Wet(params (double X, double Y)[] line) =>
            [.. LayoutCheck.Run([new CheckedLine("L1", "", FieldGround.Line(line))], ground, field, Limits, null, TestContext.Current.CancellationToken).Findings.Where(f => f.Kind == FindingKind.DrainsToWet)];
        LayoutFinding found = Assert.Single(Wet((30, 50), (96, 50)));
        Assert.Equal((96.0, 4.0, 6.0), (found.X, Math.Round(found.Value, 6), found.Limit));
        Assert.Empty(Wet((30, 50), (93.5, 50)));
        Assert.Empty(Wet((124, 50), (200, 50)));
        Assert.Single(Wet((96, 50), (30, 50)));
    }
}
