namespace Keyline.Water.Tests.Plans;

public sealed class WhenNotTests
{
    private const double MmPerHour = 1 / 3.6e6;

    private static SoilColumn Tight { get; } = SoilColumn.Uniform("tight", 3 * MmPerHour, 0.21, 0.2);

    [Fact]
    public void Reasons_OfGroundThatGains_AreNone() => Assert.Empty(WhenNot.Reasons(Tight, new Rip(), 0.02, 0.008, new SoilTraits { ExchangeableSodium = 5.9 }));

    [Fact]
    public void Reasons_OfAStormWithoutRunoff_SayThereIsNothingToCatch()
    {
        Assert.Contains("Only 0.4 mm run off as it is", Assert.Single(WhenNot.Reasons(Tight, new Rip(), 0.0004, 0)), StringComparison.Ordinal);
        Assert.Contains("keep 0.5 mm more: nothing that pays", Assert.Single(WhenNot.Reasons(Tight, new Rip(), 0.02, 0.0005)), StringComparison.Ordinal);
    }

    /// <summary>Sand: cropping sands gain in yield, but they take their water in without rips; 50 mm/h is a judgement.</summary>
    [Fact]
    public void Reasons_OfSand_SayThatItNeedsNone()
    {
        Assert.Contains("takes in 118 mm/h when wet", Assert.Single(WhenNot.Reasons(TextureTable.Soil(SoilTexture.Sand, 0.5), new Rip(), 0.02, 0.008)), StringComparison.Ordinal);
        Assert.Empty(WhenNot.Reasons(SoilColumn.Uniform("x", 49 * MmPerHour, 0.1, 0.3), new Rip(), 0.02, 0.008));
    }

    [Fact]
    public void Reasons_OfATipAboveThePan_SayThatItStands()
    {
        SoilColumn over = Tight.Over(SoilColumn.Uniform("pan", 0.3 * MmPerHour, 0.3, 0.1), 0.45);
        Assert.Contains("ends at 0.40 m, above the tighter layer at 0.45 m (0.3 mm/h)", Assert.Single(WhenNot.Reasons(over, new Rip(), 0.02, 0.008)), StringComparison.Ordinal);
        Assert.Empty(WhenNot.Reasons(over, new Rip { Depth = 0.5 }, 0.02, 0.008));
    }

    /// <summary>Poorly drained: slit hay fields in Georgia let 4.8 mm an event more run off (Franklin and others 2007).</summary>
    [Fact]
    public void Reasons_OfSoilThatIsFull_SayThatItMayHarm() =>
        Assert.Contains("Franklin and others 2007", Assert.Single(WhenNot.Reasons(SoilColumn.Uniform("wet", 3 * MmPerHour, 0.21, 0.04), new Rip(), 0.02, 0.008)), StringComparison.Ordinal);

    [Theory]
    [InlineData(5.99, false)]
    [InlineData(6, true)]
    [InlineData(18, true)]
    [InlineData(double.NaN, false)]
    public void Reasons_OfSodicSoil_BeginAtSixPercent(double sodium, bool said) =>
        Assert.Equal(said, WhenNot.Reasons(Tight, new Rip(), 0.02, 0.008, new SoilTraits { ExchangeableSodium = sodium }).Any(r => r.Contains("Northcote and Skene 1972", StringComparison.Ordinal)));

    [Fact]
    public void Reasons_OfCrackingClay_NameTheSource() =>
        Assert.Contains("loosens itself", Assert.Single(WhenNot.Reasons(Tight, new Rip(), 0.02, 0.008, new SoilTraits { IsCracking = true })), StringComparison.Ordinal);

    /// <summary>Shallow is less than 0.5 m to rock: Soil Survey Manual, Agriculture Handbook 18, 2017 (from memory). A tenth of a metre between tip and rock is a judgement.</summary>
    [Theory]
    [InlineData(0.3, 0.4, "0.30 m down: above the tip at 0.40 m")]
    [InlineData(0.4, 0.4, "0.40 m down: above the tip at 0.40 m")]
    [InlineData(0.49, 0.4, "0.49 m down: close below the tip")]
    [InlineData(0.49, 0.3, "0.49 m down: shallow soil")]
    [InlineData(0.5, 0.4, null)]
    [InlineData(0.65, 0.6, "0.65 m down: close below the tip at 0.60 m")]
    [InlineData(0.71, 0.6, null)]
    [InlineData(double.NaN, 0.6, null)]
    public void Reasons_OfShallowRock_SayWhereItLies(double rock, double tip, string? said)
    {
        IReadOnlyList<string> reasons = WhenNot.Reasons(Tight, new Rip { Depth = tip }, 0.02, 0.008, new SoilTraits { RockDepth = rock });
        Assert.Equal(said is null ? 0 : 1, reasons.Count);
        Assert.All(reasons, r => Assert.Contains(said!, r, StringComparison.Ordinal));
    }

    /// <summary>What holds for a part of the field is told with its share.</summary>
    [Fact]
    public void Reasons_OfAPartOfTheField_TellItsShare()
    {
        SoilTraits part = new() { ExchangeableSodium = 9, SodicShare = 0.25, IsCracking = true, CrackingShare = 0.4, RockDepth = 0.3, RockShare = 0.126 };
        IReadOnlyList<string> reasons = WhenNot.Reasons(Tight, new Rip(), 0.02, 0.008, part);
        Assert.Equal(3, reasons.Count);
        Assert.Contains("is 9 % at its most, and 25 % of the field is sodic, from 6 % on", reasons[0], StringComparison.Ordinal);
        Assert.Contains("The soil of 40 % of the field is a cracking clay", reasons[1], StringComparison.Ordinal);
        Assert.Contains("0.30 m down at its least; on 13 % of the field it is in the way", reasons[2], StringComparison.Ordinal);
        Assert.DoesNotContain(WhenNot.Reasons(Tight, new Rip(), 0.02, 0.008, part with { SodicShare = 1, CrackingShare = 1, RockShare = 1 }), r => r.Contains("of the field", StringComparison.Ordinal));
    }
}
