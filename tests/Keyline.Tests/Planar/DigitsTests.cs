using System.Globalization;
using Keyline.Planar;

namespace Keyline.Tests.Planar;

/// <summary>A value and its limit never read alike where they differ, nor the other way round.</summary>
public sealed class DigitsTests
{
    [Theory]
    [InlineData(2.04, 2.0, 1, null, "2.04", "2.00")]
    [InlineData(2.16, 2.0, 1, null, "2.2", "2.0")]
    [InlineData(15.003, 15, 2, "0.##", "15.003", "15.000")]
    [InlineData(15.5, 15, 2, "0.##", "15.50", "15")]
    [InlineData(7.96, 8, 1, null, "7.96", "8.00")]
    [InlineData(1.4, 1.3, 0, "0.#", "1.4", "1.3")]
    [InlineData(2, 2, 1, null, "2.0", "2.0")]
    public void Apart_GivesAsManyDecimalsAsItTakes(double value, double limit, int decimals, string? plain, string found, string held) =>
        Assert.Equal((found, held), Digits.Apart(value, limit, decimals, plain));

    [Fact]
    public void Apart_KeepsTheOrderOfAnyTwo()
    {
        for (int i = 1; i < 400; i++)
        {
            double limit = 0.013 * i, value = limit * (1 + (i % 2 == 0 ? 1e-6 : -1e-6));
            (string found, string held) = Digits.Apart(value, limit, i % 4, i % 3 == 0 ? "0.#" : null);
            Assert.Equal(value > limit, double.Parse(found, CultureInfo.InvariantCulture) > double.Parse(held, CultureInfo.InvariantCulture));
        }
    }
}
