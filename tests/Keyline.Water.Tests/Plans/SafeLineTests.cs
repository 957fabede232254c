namespace Keyline.Water.Tests.Plans;

public sealed class SafeLineTests
{
    private const double Excess = 20 / 3.6e6;

    /// <summary>A V of 2:1, n 0.03, lines 3 m apart, 20 mm/h of excess: flow in L/s and longest line at 0.3 m/s, then by 2.3 Pa of mean shear.
    /// Manning's equation worked here by an independent script.</summary>
    [Theory]
    [InlineData(0.002, 24.4514, 1467.1, 1.771, 2944)]
    [InlineData(0.005, 6.1858, 371.1, 2.227, 404.3)]
    [InlineData(0.01, 2.1870, 131.2, 2.649, 90.1)]
    [InlineData(0.02, 0.7732, 46.4, 3.150, 20.1)]
    public void Longest_IsMannings(double grade, double litres, double bySpeed, double shear, double byShear)
    {
        FurrowFlow flow = SafeLine.AtSpeed(0.3, grade);
        Assert.Equal(litres, 1000 * flow.Flow, 6e-5);
        Assert.Equal(shear, flow.MeanShear, 6e-4);
        Assert.Equal(0.3, flow.Speed, 1e-12);
        Assert.Equal(bySpeed, SafeLine.Longest(grade, 3, Excess, shear: 1e9), 0.06);
        Assert.Equal(byShear, SafeLine.Longest(grade, 3, Excess, speed: 1e9), byShear > 1000 ? 0.6 : 0.06);
        Assert.Equal(Math.Min(bySpeed, byShear), SafeLine.Longest(grade, 3, Excess), 0.06);
    }

    /// <summary>The same furrow where the soil stands 0.45 and 0.6 m/s, and at 4 %: worked by the same script.</summary>
    [Theory]
    [InlineData(0.45, 0.002, 7427)]
    [InlineData(0.45, 0.005, 1878.9)]
    [InlineData(0.45, 0.01, 664.3)]
    [InlineData(0.45, 0.02, 234.9)]
    [InlineData(0.45, 0.04, 83.0)]
    [InlineData(0.60, 0.002, 23473)]
    [InlineData(0.60, 0.01, 2099.5)]
    [InlineData(0.60, 0.005, 5938)]
    [InlineData(0.60, 0.02, 742.3)]
    [InlineData(0.60, 0.04, 262.4)]
    [InlineData(0.30, 0.04, 16.4)]
    public void Longest_AtOtherSpeeds(double speed, double grade, double metres) => Assert.Equal(metres, SafeLine.Longest(grade, 3, Excess, speed, 1e9), metres > 1000 ? 0.6 : 0.06);

    /// <summary>At 2.3 Pa the water runs slower the steeper the furrow: worked by the same script.</summary>
    [Theory]
    [InlineData(0.002, 0.357)]
    [InlineData(0.005, 0.307)]
    [InlineData(0.01, 0.273)]
    [InlineData(0.02, 0.243)]
    public void Speed_AtTheShearThatIsStood(double grade, double speed) => Assert.Equal(speed, SafeLine.AtShear(2.3, grade).Speed, 6e-4);

    [Fact]
    public void Longest_FollowsItsPowers()
    {
        double one = SafeLine.Longest(0.01, 3, Excess, shear: 1e9);
        Assert.Equal(16, SafeLine.Longest(0.01, 3, Excess, speed: 0.6, shear: 1e9) / one, 1e-9);
        Assert.Equal(0.4, SafeLine.Longest(0.01, 3, 2.5 * Excess, shear: 1e9) / one, 1e-9);
        Assert.Equal(8, SafeLine.Longest(0.01, 3, Excess, shear: 1e9, roughness: 0.06) / one, 1e-9);
        Assert.Equal(double.PositiveInfinity, SafeLine.Longest(0, 3, Excess));
    }
}
