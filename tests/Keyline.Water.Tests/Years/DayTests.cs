namespace Keyline.Water.Tests.Years;

public sealed class DayTests
{
    private const double Degrees = Math.PI / 180;

    /// <summary>Uccle, 50°48' N, 100 m, 6 July: 3.9 mm a day (FAO Irrigation and Drainage Paper 56, example 18; 3.88 to two decimals).</summary>
    [Fact]
    public void PenmanMonteith_Uccle()
    {
        double latitude = 50.8 * Degrees;
        double sun = ReferenceEvapotranspiration.FromSunHours(latitude, 187, 9.25);
        double vapour = ((ReferenceEvapotranspiration.Saturated(12.3) * 0.84) + (ReferenceEvapotranspiration.Saturated(21.5) * 0.63)) / 2;
        double wind = ReferenceEvapotranspiration.WindAtTwoMetres(10 / 3.6, 10);
        Assert.Equal(41.0884, ReferenceEvapotranspiration.TopOfAir(latitude, 187), 5e-4);
        Assert.Equal(16.1046, ReferenceEvapotranspiration.Daylight(latitude, 187), 5e-4);
        Assert.Equal(2.0776, wind, 5e-4);
        Assert.Equal(3.880, 1000 * ReferenceEvapotranspiration.PenmanMonteith(new DayWeather(21.5, 12.3, vapour, wind, sun), latitude, 100, 187), 5e-3);
    }

    /// <summary>Bangkok, 13°44' N, 2 m, April: 5.72 mm a day (example 17).</summary>
    [Fact]
    public void PenmanMonteith_Bangkok()
    {
        double latitude = (13 + (44.0 / 60)) * Degrees;
        double sun = ReferenceEvapotranspiration.FromSunHours(latitude, 105, 8.5);
        Assert.Equal(5.72, 1000 * ReferenceEvapotranspiration.PenmanMonteith(new DayWeather(34.8, 25.6, 2.85, 2, sun), latitude, 2, 105, 0.14), 0.01);
    }

    /// <summary>Lyon again by Penman and Monteith with what is not known set from temperatures: sun 0.16 sqrt(26.6 - 14.8) of the top of the air's, air's vapour that of
    /// its coldest, wind 2 m/s: 4.56 mm a day (example 20).</summary>
    [Fact]
    public void PenmanMonteith_Lyon_FromTemperaturesAlone()
    {
        double latitude = (45 + (43.0 / 60)) * Degrees;
        double sun = 0.16 * Math.Sqrt(26.6 - 14.8) * ReferenceEvapotranspiration.TopOfAir(latitude, 196);
        Assert.Equal(40.5548, ReferenceEvapotranspiration.TopOfAir(latitude, 196), 5e-4);
        Assert.Equal(4.56, 1000 * ReferenceEvapotranspiration.PenmanMonteith(new DayWeather(26.6, 14.8, ReferenceEvapotranspiration.Saturated(14.8), 2, sun), latitude, 200, 196), 0.02);
    }

    /// <summary>Lyon, 45°43' N, July, temperatures alone: 5.0 mm a day (example 20).</summary>
    [Fact]
    public void Hargreaves_Lyon() => Assert.Equal(5.03507, 1000 * ReferenceEvapotranspiration.Hargreaves(26.6, 14.8, (45 + (43.0 / 60)) * Degrees, 196), 0.02);

    /// <summary>Field capacity 0.32, wilting point 0.12, roots 0.8 m, p 0.4, 55 mm lacking, 5 mm a day, no rain: FAO-56 example 37's layout, computed here.</summary>
    [Fact]
    public void Balance_DriesAsTheEquations()
    {
        SoilDay[] days = SoilWaterBalance.Run(new RootZone(0.32, 0.12, 0.8, 0.4), new double[10], [.. Enumerable.Repeat(0.005, 10)], 0.055);
        double[] mm = [60, 65, 69.9479, 74.6381, 79.0841, 83.2984, 87.2933, 91.0801, 94.6697, 98.0723];
        Assert.All(days.Zip(mm), d => Assert.Equal(d.Second, 1000 * d.First.Depletion, 1e-4));
        Assert.Equal(0.9896, days[2].Stress, 5e-5);
        Assert.Equal(0.6805, days[9].Stress, 5e-5);
    }

    /// <summary>Pasture with 84 mm available: rain of 25 and 60 mm on the third and fourth day fill it, and 29 mm go deeper. Computed here.</summary>
    [Fact]
    public void Balance_FillsAndDrains()
    {
        double[] rain = [0, 0, 0.025, 0.060, 0, 0, 0, 0];
        SoilDay[] days = SoilWaterBalance.Run(new RootZone(0.28, 0.14, 0.6), rain, [.. Enumerable.Repeat(0.004, 8)], 0.040);
        Assert.Equal([44, 48, 27, 0, 4, 8, 12, 16], days.Select(d => Math.Round(1000 * d.Depletion, 9)));
        Assert.Equal(0.029, days[3].Drained, 1e-12);
        Assert.Equal(rain.Sum(), days.Sum(d => d.Used + d.Drained) + 0.040 - days[^1].Depletion, 1e-12);
        Assert.Contains("holds 0 mm", Assert.Throws<GroundDataException>(() => SoilWaterBalance.Run(new RootZone(0.2, 0.2, 1), [], [], 0)).Message, StringComparison.Ordinal);
    }
}
