namespace Keyline.Water.Tests.Soils;

public sealed class SoilTests
{
    /// <summary>Wilting point, field capacity and saturation in percent and conductivity in mm/h at 2.5 % organic matter:
    /// Saxton and Rawls 2006, table 3 (printed to whole percents and tenths of mm/h; two decimals more computed here).</summary>
    [Theory]
    [InlineData(0.88, 0.05, 5.02, 10.28, 46.17, 108.148)]
    [InlineData(0.80, 0.05, 5.10, 12.02, 46.02, 96.675)]
    [InlineData(0.65, 0.10, 8.08, 17.92, 44.99, 50.305)]
    [InlineData(0.40, 0.20, 13.70, 27.96, 45.95, 15.476)]
    [InlineData(0.20, 0.15, 10.99, 30.52, 47.87, 16.120)]
    [InlineData(0.60, 0.25, 16.57, 26.70, 43.41, 11.259)]
    [InlineData(0.30, 0.35, 21.80, 35.79, 47.72, 4.324)]
    [InlineData(0.10, 0.35, 21.52, 38.18, 51.12, 5.684)]
    [InlineData(0.10, 0.45, 26.78, 40.91, 52.35, 3.672)]
    [InlineData(0.25, 0.50, 29.79, 42.06, 49.84, 1.145)]
    public void SaxtonRawls_IsThePapers(double sand, double clay, double wilt, double capacity, double full, double mmPerHour)
    {
        SoilHydraulics h = SaxtonRawls.Estimate(sand, clay, 2.5);
        Assert.Equal(wilt, 100 * h.WiltingPoint, 0.0051);
        Assert.Equal(capacity, 100 * h.FieldCapacity, 0.0051);
        Assert.Equal(full, 100 * h.Saturation, 0.0051);
        Assert.Equal(mmPerHour, h.Conductivity * 3.6e6, 5.1e-4);
    }

    /// <summary>Soil Conservation Service, Technical Release 55, example 4-1 (3.28 in), and values computed here from its equation.</summary>
    [Theory]
    [InlineData(6, 75, 3.2821)]
    [InlineData(6, 65, 2.3513)]
    [InlineData(2, 79, 0.5225)]
    [InlineData(2, 61, 0.0731)]
    [InlineData(4.3, 80, 2.2921)]
    [InlineData(0.4, 79, 0)]
    public void CurveNumber_Runoff_IsTheReleases(double rain, double number, double runoff) =>
        Assert.Equal(runoff, CurveNumber.Runoff(rain * 0.0254, number) / 0.0254, 5.1e-5);

    /// <summary>Chow, Maidment and Mays 1988, section 5.5.</summary>
    [Fact]
    public void CurveNumber_DryAndWet_AreChows()
    {
        Assert.Equal(61.24031, CurveNumber.Dry(79), 5e-6);
        Assert.Equal(89.63986, CurveNumber.Wet(79), 5e-6);
    }

    [Theory]
    [InlineData(70)]
    [InlineData(85)]
    public void CurveNumber_Soil_LetsAsMuchRunOff(double number)
    {
        Hyetograph storm = DesignStorms.Nrcs(StormType.TypeII, 0.08);
        SoilColumn soil = CurveNumber.Soil(number, storm);
        Assert.Equal(CurveNumber.Runoff(0.08, number), PointInfiltration.Run(storm, soil, 0, storm.Duration).Runoff, 1e-5);
    }

    [Fact]
    public void TextureTable_IsRawlsAndOthers()
    {
        TextureNumbers n = TextureTable.Of(SoilTexture.ClayLoam);
        Assert.Equal((0.464, 0.390, 0.2088), (n.Porosity, n.EffectivePorosity, Math.Round(n.Suction, 12)));
        Assert.Equal(1.0, n.Conductivity * 3.6e6, 1e-12);
        Assert.Equal(0.1701, TextureTable.Soil(SoilTexture.SiltLoam, 0.65).Deficit, 1e-12);
        Assert.Equal(SoilTexture.SandyClayLoam, TextureTable.Find("Sandy-clay-loam"));
        Assert.Null(TextureTable.Find("gravel"));
    }

    [Fact]
    public void Soils_ThatDoNotAddUp_AreRefused()
    {
        Assert.Contains("do", Assert.Throws<GroundDataException>(() => SaxtonRawls.Estimate(0.7, 0.4, 2)).Message, StringComparison.Ordinal);
        Assert.Contains("outside what the estimate was fitted to", Assert.Throws<GroundDataException>(() => SaxtonRawls.Estimate(0.1, 0.7, 2)).Message, StringComparison.Ordinal);
        Assert.Contains("does not add up", Assert.Throws<GroundDataException>(() => SoilColumn.Uniform("x", 1e-6, 0.1, 1.2)).Message, StringComparison.Ordinal);
        Assert.Contains("starting moisture", Assert.Throws<GroundDataException>(() => TextureTable.Soil(SoilTexture.Loam, -0.1)).Message, StringComparison.Ordinal);
        Assert.Contains("curve number is 0", Assert.Throws<GroundDataException>(() => CurveNumber.Runoff(0.1, 0)).Message, StringComparison.Ordinal);
    }
}
