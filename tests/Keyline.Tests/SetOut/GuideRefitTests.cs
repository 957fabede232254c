using Keyline.Elevation;
using Keyline.SetOut;
using Keyline.Tests.Support;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.SetOut;

/// <summary>Guides fitted to levelled heights on planes, where the move is the error over the slope.</summary>
public sealed class GuideRefitTests
{
    private const double Slope = 0.05;

    // Rises 5 % north; the guide runs east at y = 0, so that its left is uphill.
    private static ElevationGrid Ground(Func<double, bool>? missingAt = null, double fallEast = 0, double slope = Slope) =>
        FieldGround.Of((x, y) => missingAt?.Invoke(y) == true ? double.NaN : 100 + (slope * y) - (fallEast * x), 320, 120, 1, -10, -60);

    private static readonly LineString Guide = FieldGround.Line((0, 0), (150, 0), (300, 0));

    private static LevelledStake Stake(double station, double planned, double measured, double movedLeft = 0) => new("G1", "G1", station, planned, measured, movedLeft);

    private static LevelledStake[] Wrong(double by, double fallEast = 0) => [.. new[] { 300.0, 0, 120 }.Select(s => Stake(s, 100 - (fallEast * s), 100 - (fallEast * s) + by))];

    // Ground that is higher than the data has the planned height farther down, to the right, and the other way round.
    [Theory]
    [InlineData(0.7, -14)]
    [InlineData(-0.7, 14)]
    [InlineData(-0.012, 0.24)]
    [InlineData(1.24, -24.8)]
    [InlineData(-1.24, 24.8)]
    [InlineData(0, 0)]
    public void AnErrorAllAlong_MovesTheGuideByItOverTheSlope(double wrong, double move)
    {
        foreach (double fallEast in new[] { 0, 0.01 })
        {
            RefittedGuide found = GuideRefit.Fit(Guide, Wrong(wrong, fallEast), 0, Ground(fallEast: fallEast));
            Assert.Equal(151, found.Line.NumPoints);
            Assert.All(found.Line.Coordinates, c => Assert.Equal(move, c.Y, 1e-3));
            Assert.All(found.Line.Coordinates, c => Assert.Equal(100 - (fallEast * c.X), c.Z, 1e-3));
            Assert.Equal(Math.Abs(move), found.GreatestMove, 1e-3);
            Assert.Equal((0.0, 0.0), (Math.Round(found.Remaining, 3), found.Held));
        }
    }

    [Fact]
    public void WhatAllStakesHaveInCommon_IsTakenOff()
    {
        RefittedGuide found = GuideRefit.Fit(Guide, Wrong(3.2 + 0.5), 3.2, Ground());
        Assert.All(found.Line.Coordinates, c => Assert.Equal(-10, c.Y, 1e-3));
    }

    // Planned 0.3 m above what the data has there, and found as the data has it: the planned height lies 6 m uphill.
    [Fact]
    public void HeightsPlannedOffTheData_AreLookedFor()
    {
        RefittedGuide found = GuideRefit.Fit(Guide, [Stake(0, 100.3, 100), Stake(300, 100.3, 100)], 0, Ground());
        Assert.All(found.Line.Coordinates, c => Assert.Equal(6, c.Y, 1e-3));
    }

    // A stake moved 8 m uphill and found at the planned height there: the data, 0.4 m higher there, is 0.4 m too high all along.
    [Fact]
    public void AMovedStake_TellsOfTheGroundWhereItStands()
    {
        RefittedGuide found = GuideRefit.Fit(Guide, [Stake(0, 100, 100, 8), Stake(300, 100, 100, 8)], 0, Ground());
        Assert.All(found.Line.Coordinates, c => Assert.Equal(8, c.Y, 1e-3));
    }

    // East 150 m, then north, on ground that rises 5 % north and 3 % east. The stake at 100 m was moved uphill, across the leg it stands on, and found at
    // the planned height there: the data is 0.4 m too high, as at 280 m. On the first leg that is 8 m.
    [Fact]
    public void AMovedStake_WasMovedAcrossItsOwnLeg()
    {
        ElevationGrid ground = FieldGround.Of((x, y) => 100 + (0.05 * y) + (0.03 * x), 260, 260, 1, -40, -40);
        LineString bent = FieldGround.Line((0, 0), (150, 0), (150, 150));
        RefittedGuide found = GuideRefit.Fit(bent, [Stake(100, 103, 103, 8), Stake(280, 111, 110.6)], 0, ground);
        Assert.All(found.Line.Coordinates.Where(c => c.X is > 20 and < 100 && c.Y < 50), c => Assert.Equal(8, c.Y, 0.01));
        Assert.True(found.Line.Coordinates.Count(c => c.X is > 20 and < 100) > 30);
    }

    // Errors of 0.2 m at 100 m and 0.6 m at 200 m: 4 and 12 m, straight between, and as there before and beyond; calmed near the two.
    [Fact]
    public void BetweenStakes_TheErrorRunsStraight_BeyondThemItStays()
    {
        RefittedGuide found = GuideRefit.Fit(Guide, [Stake(200, 100, 100.6), Stake(100, 100, 100.2)], 0, Ground());
        foreach (Coordinate c in found.Line.Coordinates)
        {
            double expected = -4 - (0.08 * Math.Clamp(c.X - 100, 0, 100));
            Assert.Equal(expected, c.Y, Math.Min(Math.Abs(c.X - 100), Math.Abs(c.X - 200)) < 45 ? 0.4 : 1e-3);
        }
    }

    // 26 m to go, farther than is looked: the guide stays, all of it held, and 1.3 m remain.
    [Theory]
    [InlineData(1.3)]
    [InlineData(-1.3)]
    public void BeyondReach_TheGuideIsHeld(double wrong)
    {
        RefittedGuide found = GuideRefit.Fit(Guide, Wrong(wrong), 0, Ground());
        Assert.Equal((0.0, 1.3, 302.0), (found.GreatestMove, Math.Round(found.Remaining, 4), Math.Round(found.Held, 6)));
        Assert.All(found.Line.Coordinates, c => Assert.Equal(0, c.Y));
    }

    // Only beyond x = 200 is the error too great: held there, and moved as its neighbourhood was.
    [Fact]
    public void HeldInPart_ItFollowsItsNeighbourhood()
    {
        LevelledStake[] stakes = [Stake(0, 100, 100.5), Stake(199, 100, 100.5), Stake(201, 100, 103), Stake(300, 100, 103)];
        RefittedGuide found = GuideRefit.Fit(Guide, stakes, 0, Ground());
        Assert.InRange(found.Held, 98, 104);
        Assert.All(found.Line.Coordinates.Where(c => c.X < 170), c => Assert.Equal(-10, c.Y, 1e-3));
        Assert.All(found.Line.Coordinates.Where(c => c.X > 230), c => Assert.InRange(c.Y, -26, -10));

        // A third of the points lie 3 m off less 0.05 of the move: root mean square of those and of none.
        double[] off = [.. found.Line.Coordinates.Select(c => c.Z - 100)];
        Assert.Equal(Math.Sqrt(off.Sum(d => d * d) / off.Length), found.Remaining, 1e-9);
    }

    // Ground missing uphill from y = 5 on, or between 3 and 6: what lies downhill, and what lies beyond the gap, is found all the same.
    [Fact]
    public void MissingGround_IsPassedOver()
    {
        Assert.All(GuideRefit.Fit(Guide, Wrong(0.7), 0, Ground(y => y > 5)).Line.Coordinates, c => Assert.Equal(-14, c.Y, 1e-3));
        Assert.All(GuideRefit.Fit(Guide, Wrong(-0.7), 0, Ground(y => y < -5)).Line.Coordinates, c => Assert.Equal(14, c.Y, 1e-3));
        Assert.All(GuideRefit.Fit(Guide, Wrong(-0.7), 0, Ground(y => y is > 3 and < 6)).Line.Coordinates, c => Assert.Equal(14, c.Y, 1e-3));
        Assert.All(GuideRefit.Fit(Guide, Wrong(0.7), 0, Ground(y => y is < -3 and > -6)).Line.Coordinates, c => Assert.Equal(-14, c.Y, 1e-3));
        Assert.Equal(302, GuideRefit.Fit(Guide, Wrong(-0.7), 0, Ground(y => y > 5)).Held, 1e-6);
    }

    [Fact]
    public void OnLevelGround_NothingIsMoved()
    {
        RefittedGuide right = GuideRefit.Fit(Guide, Wrong(0), 0, Ground(slope: 0)), wrong = GuideRefit.Fit(Guide, Wrong(0.2), 0, Ground(slope: 0));
        Assert.Equal((0.0, 0.0, 0.0), (right.GreatestMove, right.Remaining, right.Held));
        Assert.Equal((0.0, 0.2, 302.0), (wrong.GreatestMove, Math.Round(wrong.Remaining, 4), wrong.Held));
    }

    [Fact]
    public void TooFewStakesOrHeights_AreRefusedInWords()
    {
        string Refusal(LineString guide, LevelledStake[] stakes, ElevationGrid ground) => Assert.Throws<GroundDataException>(() => GuideRefit.Fit(guide, stakes, 0, ground)).Message;
        Assert.Equal("A guide is fitted to two levelled stakes or more on ground with heights: level more of its stakes.", Refusal(Guide, Wrong(0)[..1], Ground()));
        Assert.Equal("A guide is fitted to two levelled stakes or more on ground with heights: level more of its stakes.", Refusal(Guide, Wrong(0), Ground(_ => true)));
        Assert.Equal(
            "The elevation has no height under any stake of the guide: give elevation that covers it.", Refusal(Guide, [Stake(0, 100, 100, 8), Stake(300, 100, 100, 8)], Ground(y => Math.Abs(y) < 3)));
        Assert.StartsWith("The guide has no length", Refusal(FieldGround.Line((0, 0), (0, 0)), Wrong(0), Ground()), StringComparison.Ordinal);
        Assert.NotNull(GuideRefit.Fit(Guide, Wrong(0)[..2], 0, Ground()));
        Assert.Throws<ArgumentNullException>(() => GuideRefit.Fit(null!, Wrong(0), 0, Ground()));
        Assert.Throws<ArgumentNullException>(() => GuideRefit.Fit(Guide, null!, 0, Ground()));
        Assert.Throws<ArgumentNullException>(() => GuideRefit.Fit(Guide, Wrong(0), 0, null!));
    }
}
