using Keyline.Check;
using Keyline.Layout;

namespace Keyline.Tests.Check;

/// <summary>Row grade limits as the practice standards state them.</summary>
public sealed class RowGradeRuleTests
{
    // NRCS Conservation Practice Standard 330, Contour Farming, "Maximum Row Grade", national text of 1997 or later: the lesser of 2 % and half the land's slope; up to 3 % within
    // 150 ft (45.72 m) of a stable outlet.
    [Theory]
    [InlineData(6, double.PositiveInfinity, 2)]
    [InlineData(3, double.PositiveInfinity, 1.5)]
    [InlineData(6, 45.72, 3)]
    [InlineData(6, 45.73, 2)]
    [InlineData(3, 10, 3)]
    public void ContourFarming(double slope, double outlet, double limit) => Assert.Equal(limit, RowGradeRule.ContourFarming.LimitAt(slope, outlet), 12);

    // NRCS Conservation Practice Standard 331, "Row Grade", California, July 1996: the lesser of 10 % and half the slope; a quarter more within 150 ft of a stable outlet.
    [Theory]
    [InlineData(30, double.PositiveInfinity, 10)]
    [InlineData(12, double.PositiveInfinity, 6)]
    [InlineData(12, 40, 7.5)]
    public void ContourOrchard(double slope, double outlet, double limit) => Assert.Equal(limit, RowGradeRule.ContourOrchard.LimitAt(slope, outlet), 12);

    // NRCS Conservation Practice Standard 331, "Row Grade", national text after 1996: a cap of 4 % without cover.
    [Theory]
    [InlineData(12, double.PositiveInfinity, 4)]
    [InlineData(6, double.PositiveInfinity, 3)]
    [InlineData(12, 40, 5)]
    public void ContourOrchardBare(double slope, double outlet, double limit) => Assert.Equal(limit, RowGradeRule.ContourOrchardBare.LimitAt(slope, outlet), 12);

    [Fact]
    public void Fixed_IsTheSameEverywhere()
    {
        Assert.Equal(1.2, RowGradeRule.Fixed(1.2).LimitAt(0.1, 0));
        Assert.Equal(1.2, new LineLimits { MaximumGrade = 1.2 }.GradeLimitAt(0.1, 0));
    }
}
