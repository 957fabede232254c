using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>Lengths and percents as people write them.</summary>
public sealed class QuantityTests
{
    // Exact factors: NIST Special Publication 811 (2008), appendix B.8: foot 3.048 E-01, foot (US survey) 3.048 006 E-01,
    // inch 2.54 E-02, yard 9.144 E-01.
    [Theory]
    [InlineData("10 ft", 3.048)]
    [InlineData("10ft", 3.048)]
    [InlineData("3 m", 3)]
    [InlineData("3m", 3)]
    [InlineData(" 3.5  metres ", 3.5)]
    [InlineData("120 in", 3.048)]
    [InlineData("30 cm", 0.3)]
    [InlineData("1500 mm", 1.5)]
    [InlineData("4 yd", 3.6576)]
    [InlineData("0.01 km", 10)]
    [InlineData("1e1 FT", 3.048)]
    [InlineData("-3 m", -3)]
    [InlineData("1 foot", 0.3048)]
    public void Length_IsInMetres(string text, double metres) => Assert.Equal(metres, Quantity.Length(text, "--spacing"), 12);

    [Fact]
    public void Length_SurveyFoot_DiffersFromTheFoot()
    {
        // 1200/3937 m: NIST SP 811 appendix B.6.
        Assert.Equal(0.304800609601, Quantity.Length("1 ftUS", "--spacing"), 12);
        Assert.NotEqual(Quantity.Length("1 ft", "--spacing"), Quantity.Length("1 ftUS", "--spacing"));
    }

    [Theory]
    [InlineData("2", 2)]
    [InlineData("2%", 2)]
    [InlineData("2 %", 2)]
    [InlineData("0.5 percent", 0.5)]
    public void Percent_TakesTheSignOrNot(string text, double percent) => Assert.Equal(percent, Quantity.Percent(text, "--fall"));

    [Theory]
    [InlineData("3")]
    [InlineData("3 parsec")]
    [InlineData("m")]
    [InlineData("")]
    [InlineData("3 5 m")]
    [InlineData("1.2.3 m")]
    [InlineData("Infinity m")]
    public void Length_Otherwise_IsRefusedByName(string text) =>
        Assert.Contains("--spacing", Assert.Throws<UsageException>(() => Quantity.Length(text, "--spacing")).Message, StringComparison.Ordinal);
}
