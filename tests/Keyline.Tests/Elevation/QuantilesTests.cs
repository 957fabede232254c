using CsCheck;
using Keyline.Elevation;

namespace Keyline.Tests.Elevation;

/// <summary>Quantiles against the definition, counted out.</summary>
public sealed class QuantilesTests
{
    [Fact]
    public void Of_AnyValues_IsTheLeastThatTheShareDoesNotExceed() =>
        Gen.Double[-10, 10].Array[1, 60].Select(Gen.Int[1, 99]).Sample((values, percent) =>
        {
            double[] sorted = [.. values.Order()];
            double share = percent / 100.0;
            double found = Quantiles.Of(sorted, share);

            // Where the share is a whole number of values, as 14 % of 50, rounding may take the next one.
            Assert.Contains(found, (double[])[Least((share * values.Length) - 1e-9), Least((share * values.Length) + 1e-9)]);

            double Least(double count) => values.Where(v => values.Count(w => w <= v) >= count).Min();
        });

    [Fact]
    public void Median_OddAndEven_IsTheMiddleOrTheMeanOfTwo()
    {
        Assert.Equal(3, Quantiles.Median([1, 3, 40]));
        Assert.Equal(3.5, Quantiles.Median([1, 3, 4, 40]));
        Assert.Equal(3.5, Quantiles.Median([1f, 3f, 4f, 40f]));
        Assert.Equal(7, Quantiles.Median([7f]));
        Assert.True(double.IsNaN(Quantiles.Median(Array.Empty<double>())));
        Assert.True(double.IsNaN(Quantiles.Median(ReadOnlySpan<float>.Empty)));
        Assert.True(double.IsNaN(Quantiles.Of([], 0.5)));
    }
}
