using Keyline.SetOut;

namespace Keyline.Tests.SetOut;

/// <summary>Levelled stakes against the plan, reckoned by hand.</summary>
public sealed class LevelCheckTests
{
    private static LevelledStake Stake(string line, double station, double planned, double measured) => new($"{line}-{station}", line, station, planned, measured);

    // Differences 0.9, 0.1, 0 and 0.3: the median lies between 0.1 and 0.3.
    [Fact]
    public void Common_IsTheMedian_OfEachLineByItself()
    {
        LevelCheckResult found = LevelCheck.Run(
            [Stake("A", 0, 10, 10.9), Stake("A", 60, 8, 8.3), Stake("A", 20, 9, 9.1), Stake("A", 40, 8.5, 8.5), Stake("B", 0, 5, 4), Stake("B", 20, 5, 3.5), Stake("B", 40, 5, 4.5)], 0.1);
        Assert.Equal([("A", 0.2), ("B", -1.0)], found.Lines.Select(l => (l.Id, Math.Round(l.Common, 9))));
        Assert.Equal([0.7, -0.1, -0.2, 0.1, 0, -0.5, 0.5], found.Stakes.Select(s => Math.Round(s.Difference, 9)));
        Assert.Equal([0.0, 20, 40, 60, 0, 20, 40], found.Stakes.Select(s => s.Stake.Station));
        Assert.Equal(Math.Sqrt((0.49 + 0.01 + 0.04 + 0.01 + 0 + 0.25 + 0.25) / 7), found.RootMeanSquare, 1e-9);
        Assert.Equal(0.1, found.Tolerance);
        Assert.Equal([9.0, 3, 1], found.Stakes.Take(3).Select(s => Math.Round(s.GradeToNext, 9)));
        Assert.Equal([5.0, 2.5, 2.5], found.Stakes.Take(3).Select(s => Math.Round(s.PlannedGradeToNext, 9)));
        Assert.True(double.IsNaN(found.Stakes[3].GradeToNext) && double.IsNaN(found.Stakes[3].PlannedGradeToNext) && double.IsNaN(found.Stakes[6].GradeToNext));
    }

    [Theory]
    [InlineData(0.125, true)]
    [InlineData(0.124, false)]
    public void ADifferenceOfJustTheTolerance_IsWithin(double tolerance, bool within)
    {
        LevelCheckResult found = LevelCheck.Run([Stake("A", 0, 3, 3), Stake("A", 20, 2, 2), Stake("A", 40, 1, 1.125)], tolerance);
        Assert.Equal(within, found.Stakes[2].IsWithin);
        Assert.Equal(within, found.Holds);
    }

    // Over 100 m, planned and found falls in percent: reversed where both are steeper than 0.1 % and of other signs. Then nothing holds, however wide the tolerance.
    [Theory]
    [InlineData(0.5, -0.2, true)]
    [InlineData(-0.5, 0.2, true)]
    [InlineData(0.5, 0.2, false)]
    [InlineData(-0.5, -0.2, false)]
    [InlineData(0.5, -0.1, false)]
    [InlineData(0.1, -0.5, false)]
    [InlineData(0.5, 0, false)]
    [InlineData(0, -0.5, false)]
    public void AFallThatRunsTheOtherWay_IsReversed(double planned, double found, bool reversed)
    {
        LevelCheckResult result = LevelCheck.Run([Stake("A", 0, planned, found), Stake("A", 100, 0, 0)], 9);
        Assert.Equal((found, planned), (Math.Round(result.Stakes[0].GradeToNext, 9), Math.Round(result.Stakes[0].PlannedGradeToNext, 9)));
        Assert.Equal(reversed, result.Stakes[0].IsReversed);
        Assert.Equal(!reversed, result.Holds);
        Assert.True(result.Stakes[0].IsWithin);
    }

    [Fact]
    public void TwoStakesInOnePlace_HaveNoFallBetweenThem()
    {
        LevelCheckResult result = LevelCheck.Run([Stake("A", 20, 5, 5), Stake("A", 20, 4, 4)]);
        Assert.True(double.IsNaN(result.Stakes[0].GradeToNext) && double.IsNaN(result.Stakes[0].PlannedGradeToNext));
    }

    [Fact]
    public void NoStakesAndNoTolerance_AreRefused()
    {
        Assert.Equal("There is no levelled stake to hold against the plan.", Assert.Throws<GroundDataException>(() => LevelCheck.Run([])).Message);
        Assert.Throws<ArgumentOutOfRangeException>(() => LevelCheck.Run([Stake("A", 0, 1, 1)], 0));
        Assert.Throws<ArgumentNullException>(() => LevelCheck.Run(null!));
    }
}
