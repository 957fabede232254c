namespace Keyline.Report.Tests;

/// <summary>The decimal comma of Spanish in metric units.</summary>
public sealed class NumberMarkTests
{
    [Theory]
    [InlineData("3.05 m, 51.6 km", "3,05 m, 51,6 km")]
    [InlineData("-6.66 a +2.27 %", "-6,66 a +2,27 %")]
    [InlineData("(38.726442, -98.860875)", "(38.726442, -98.860875)")]
    [InlineData("512505.3", "512505.3")]
    [InlineData("Keyline 0.2.0.", "Keyline 0.2.0.")]
    [InlineData("dem_2.5.tif", "dem_2.5.tif")]
    [InlineData("1.2m", "1.2m")]
    [InlineData("0.2 L/s.", "0,2 L/s.")]
    [InlineData("Termina 0.5.", "Termina 0,5.")]
    public void In_MarksQuantities_AndLeavesCoordinatesAndNames(string text, string marked)
    {
        Assert.Equal(marked, NumberMark.In(text, UnitSystem.Metric));
        Assert.Equal(text, NumberMark.In(text, UnitSystem.Us));
    }
}
