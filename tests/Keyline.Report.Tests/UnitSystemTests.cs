namespace Keyline.Report.Tests;

public sealed class UnitSystemTests
{
    // NIST SP 811 (Thompson and Taylor 2008), appendix B.8: what one of these is in SI.
    [Theory]
    [InlineData(UnitKind.Length, "ft", 0.3048)]
    [InlineData(UnitKind.Way, "mi", 1609.344)]
    [InlineData(UnitKind.SmallLength, "in", 0.0254)]
    [InlineData(UnitKind.WaterDepth, "in", 0.0254)]
    [InlineData(UnitKind.Area, "ac", 4046.8564224)]
    [InlineData(UnitKind.SmallArea, "ft2", 0.09290304)]
    [InlineData(UnitKind.WaterVolume, "gal", 3.785411784e-3)]
    [InlineData(UnitKind.WaterForLength, "gal/ft", 0.01241933002)] // Gallon by foot.
    [InlineData(UnitKind.WaterSpeed, "ft/s", 0.3048)]
    [InlineData(UnitKind.MassForArea, "lb/ac", 1.12085116e-4)] // Pound by acre.
    [InlineData(UnitKind.WaterFlow, "ft3/s", 0.028316846592)]
    [InlineData(UnitKind.WaterRate, "in/h", 7.0555555555555556e-6)]
    [InlineData(UnitKind.Fuel, "gal", 3.785411784e-3)]
    [InlineData(UnitKind.FuelForArea, "gal/ac", 9.3539562e-7)] // Gallon by acre.
    [InlineData(UnitKind.Speed, "mph", 0.44704)]
    [InlineData(UnitKind.Force, "lbf", 4.4482216)]
    [InlineData(UnitKind.Power, "hp", 745.69987)]
    [InlineData(UnitKind.ForEachWay, "/mi", 6.2137119e-4)] // One over a mile.
    [InlineData(UnitKind.ForEachArea, "/ac", 2.4710538e-4)] // One over an acre.
    public void Us_Units_HaveTheirPublishedSize(UnitKind kind, string name, double size)
    {
        Assert.Equal(name, UnitSystem.Us.Symbol(kind));
        Assert.Equal(1, UnitSystem.Us.Size(kind) / size, 7);
        Assert.Equal(1, UnitSystem.Us.From(size, kind), 7);
    }

    [Fact]
    public void EveryKind_HasAUnitInBoth()
    {
        foreach (UnitKind kind in Enum.GetValues<UnitKind>())
        {
            Assert.NotEqual(UnitSystem.Metric.Symbol(kind), UnitSystem.Us.Symbol(kind));
            Assert.True(UnitSystem.Metric.Size(kind) > 0 && UnitSystem.Us.Size(kind) > 0);
        }

        Assert.Equal("12.5 m", UnitSystem.Metric.Text(12.5, UnitKind.Length, "0.0"));
        Assert.Equal("- ac", UnitSystem.Us.Text(double.NaN, UnitKind.Area, "0.0"));
    }

    // A number of metric words, rounded already: no digit more than it can bear. Working: 3.05 / 0.3048 = 10.0066; 24 / 0.3048 = 78.74; 0.26 x 2.47105 = 0.6425;
    // 10.3 / 1.609344 = 6.400; 2.0 / 2.54 = 0.787; 6 / 1.609344 = 3.728; 100 / 0.09290304 = 1076.4; 12 kN / 4.4482 N = 2697.7; 90 kW / 0.7457 = 120.7; 25 mm / 25.4 = 0.984;
    // 3.785411784 L = 1 gal; 9.3539576 L/ha = 1 gal/ac; 28.316847 L/s = 1 ft3/s; 1 to 3 m: 3.281, 9.843; 1859 m3 = 491,096 gal; 0.79 m/s = 2.592 ft/s; 16.6 ha = 41.02 ac, but 16.63 ha would be 41.09.
    [Theory]
    [InlineData("runs as far as 5.48 m from the next, along 24 m, where 3.05 m was asked for.", "runs as far as 18.0 ft from the next, along 79 ft, where 10 ft was asked for.")]
    [InlineData("where 3.0 m was asked for, 2.97 m is", "where 10 ft was asked for, 9.7 ft is")]
    [InlineData("within 6.10 m, turns of 8.0 m", "within 20 ft, turns of 26 ft")]
    [InlineData("0.26 ha of the field is steeper than 15 % and is left out.", "0.6 ac of the field is steeper than 15 % and is left out.")]
    [InlineData("62.6 km, 10.3 km of it", "38.9 mi, 6.4 mi of it")]
    [InlineData("given 2.0 cm of noise", "given 0.8 in of noise")]
    [InlineData("at 6 km/h and 100 m2", "at 3.7 mph and 1076 ft2")]
    [InlineData("take 12 kN and 90 kW", "take 2700 lbf and 121 hp")]
    [InlineData("lets 0.79 m/s go, 1859 m3 in all", "lets 2.6 ft/s go, 491100 gal in all")]
    [InlineData("25 mm of rain, 25.4 mm/h", "25 mm of rain, 25.4 mm/h", true)]
    [InlineData("25 mm of rain, 25.4 mm/h", "1 in of rain, 1.00 in/h")]
    [InlineData("3.785 L, 9.35 L/ha, 28.32 L/s", "1.000 gal, 1.000 gal/ac, 1.000 ft3/s")]
    [InlineData("from 1 to 3 m deep", "from 3.3 to 9.8 ft deep")]
    [InlineData("on 16.6 of 18.5 ha.", "on 41 of 46 ac.")]
    [InlineData("between 0.30 and 0.61 m", "between 1.0 and 2.0 ft")]
    [InlineData("Valley 3, 120 m down", "Valley 3, 394 ft down")]
    [InlineData("Ground: dem_2 m.tif, \"the 5 m strip\", EPSG:25832", "Ground: dem_2 m.tif, \"the 5 m strip\", EPSG:25832")]
    [InlineData("errors of +0.10 m and -0.10 m", "errors of +0.3 ft and -0.3 ft")]
    [InlineData("curvature up to 0.1 1/m, 3 minutes, 7 hard", "curvature up to 0.1 1/m, 3 minutes, 7 hard")]
    public void Reworded_Sentences(string metric, string expected, bool stays = false) =>
        Assert.Equal(expected, (stays ? UnitSystem.Metric : UnitSystem.Us).Reworded(metric));

    // 16.63 ha is 41.09 ac and 16.6 once rounded; 16.6 ha would be 41.0. 3.048 m is 10 ft; 3.05 would be 10.01.
    [Fact]
    public void Say_ConvertsTheNumber_NotItsDigits()
    {
        const string Name = "Field of 5 ha";
        double area = 16.63, all = 18.5, length = 51_540, spacing = 3.048, rain = 10.04;
        int whole = 2;
        FormattableString sentence = $"{Name}: {length / 1000:0.0} km, {spacing:0.00} m apart, on {area:0.0} of {all:0.0} ha; {rain:0.0} mm{(FormattableString)$", {spacing,7:0.0} m"}, {whole} m, {100 * 0.5:0} %, {{{area:0.#}}}, {"7"} m, {double.NaN:0} m.";
        Assert.Equal("Field of 5 ha: 51.5 km, 3.05 m apart, on 16.6 of 18.5 ha; 10.0 mm,     3.0 m, 2 m, 50 %, {16.6}, 7 m, NaN m.", UnitSystem.Metric.Say(sentence));
        Assert.Equal(sentence.ToString(System.Globalization.CultureInfo.InvariantCulture), UnitSystem.Metric.Say(sentence));
        Assert.Equal("Field of 5 ha: 32.0 mi, 10 ft apart, on 41.1 of 45.7 ac; 0.40 in,      10 ft, 6.6 ft, 50 %, {16.6}, 7 m, NaN ft.", UnitSystem.Us.Say(sentence));
        Assert.Equal(("10.0", "+10.0", "-", "0.40"), (UnitSystem.Us.Number(spacing, UnitKind.Length, "0.00"), UnitSystem.Us.Number(spacing, UnitKind.Length, "+0.00;-0.00;0.00"), UnitSystem.Us.Number(double.NaN, UnitKind.Area, "0"), UnitSystem.Us.Number(rain / 1000, UnitKind.WaterDepth, "0.0")));
    }

    [Fact]
    public void ThePage_TakesItsUnitsFromHere()
    {
        foreach ((string word, UnitKind kind, double si) in ((string, UnitKind, double)[])[("m", UnitKind.Length, 1), ("km", UnitKind.Way, 1), ("ha", UnitKind.Area, 1), ("mm", UnitKind.WaterDepth, 1), ("kmh", UnitKind.Speed, 1 / 3.6), ("l", UnitKind.Fuel, 1e-3), ("pha", UnitKind.ForEachArea, 1e-4)])
        {
            object[][] both = Measure.Units[word];
            Assert.Equal(UnitSystem.Metric.From(si, kind), (double)both[0][2], 1e-12);
            Assert.Equal(UnitSystem.Us.From(si, kind), (double)both[1][2], 1e-12);
            Assert.EndsWith(UnitSystem.Us.Symbol(kind), (string)both[1][0], StringComparison.Ordinal);
        }

        Assert.All(Measure.Units.Values, both => Assert.All(both, unit => Assert.Equal(4, unit.Length)));
    }
}
