using System.Globalization;
using System.Text;

namespace Keyline.Water.Tests.Years;

public sealed class WeatherCsvTests
{
    private const double Degrees = Math.PI / 180;

    private static DailyWeather Read(string text, WeatherSite? site = null)
    {
        using StringReader reader = new(text);
        return WeatherCsv.Read(reader, "days.csv", site);
    }

    /// <summary>Uccle, 50°48' N, 100 m, 6 July, 21.5 and 12.3 °C, 84 and 63 %, 10 km/h at 10 m, 9.25 h of sun: 3.9 mm a day (Allen, Pereira, Raes and Smith,
    /// Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, 1998, example 18; 3.88026 computed here by the same equations).</summary>
    [Theory]
    [InlineData("date,rain_mm,tmin_c,tmax_c,humidity_max_pct,humidity_min_pct,wind_km_h,sun_h\n2001-07-06,0,12.3,21.5,84,63,10,9.25")]
    [InlineData("Date,Rain (in),Tmin [F],Tmax [F],Humidity max (%),Humidity min (%),Wind (m/s),Radiation (MJ/m2)\n2001-07-06,0,54.14,70.7,84,63,2.7777778,22.0721")]
    public void Reference_OfFullWeather_IsUcclesExample(string text)
    {
        DailyWeather weather = Read(text, new WeatherSite { Latitude = 50.8 * Degrees, Height = 100, WindHeight = 10 });
        Assert.Equal(3.88026, 1000 * weather.Reference[0], 5e-4);
        Assert.Contains("1 days is by Penman and Monteith", Assert.Single(weather.Said), StringComparison.Ordinal);
    }

    /// <summary>Lyon, 45°43' N, 200 m, July, 26.6 and 14.8 °C: 5.0 mm a day by Hargreaves; with wind of 2 m/s, and vapour and radiation
    /// from the temperatures, 4.56 mm by Penman and Monteith (FAO-56, example 20; 5.03507, dividing by 2.45 where the reader multiplies by 0.408, and 4.56044 computed here).</summary>
    [Fact]
    public void Reference_OfTemperaturesAlone_IsHargreaves_AndOfWindToo_PenmanMonteiths()
    {
        WeatherSite lyon = new() { Latitude = (45 + (43.0 / 60)) * Degrees, Height = 200 };
        DailyWeather bare = Read("date,rain_mm,tmin_c,tmax_c\n2001-07-15,0,14.8,26.6", lyon);
        Assert.Equal(5.03507, 1000 * bare.Reference[0], 3e-3);
        Assert.Contains("Hargreaves", bare.Said[0], StringComparison.Ordinal);
        DailyWeather windy = Read("date,rain_mm,tmin_c,tmax_c,wind_m_s\n2001-07-15,0,14.8,26.6,2", lyon);
        Assert.Equal(4.56044, 1000 * windy.Reference[0], 5e-4);
        Assert.Contains("On 1 of these days", windy.Said[1], StringComparison.Ordinal);
    }

    [Fact]
    public void Rain_InInches_IsTheSameAsInMillimetres()
    {
        DailyWeather inches = Read("date;rain_in;et0_in\n2001-01-30;1;0.1\n2001-01-31;0;0.2\n2001-02-01;0.5;0.1");
        DailyWeather metric = Read("date,rain_mm,et0_mm\n2001-01-30,25.4,2.54\n2001-01-31,0,5.08\n2001-02-01,12.7,2.54");
        Assert.Equal(metric.Rain.Select(r => Math.Round(r, 12)), inches.Rain.Select(r => Math.Round(r, 12)));
        Assert.Equal(metric.Reference.Select(r => Math.Round(r, 12)), inches.Reference.Select(r => Math.Round(r, 12)));
        Assert.Equal(0.0254, inches.Rain[0], 1e-12);
        Assert.Equal((new DateOnly(2001, 2, 1), 3), (inches.Last, inches.Count));
    }

    [Fact]
    public void Holes_UpToTheRule_AreFilledAndTold_AndLongerOnesRefused()
    {
        const string Text = "date,rain_mm,et0_mm\n2001-01-01,5,2\n2001-01-02,,3\n2001-01-03,4,\n2001-01-06,1,6";
        DailyWeather filled = Read(Text);
        Assert.Equal([5, 0, 4, 0, 0, 1], filled.Rain.Select(r => Math.Round(1000 * r, 9)));
        Assert.Equal([2, 3, 3.75, 4.5, 5.25, 6], filled.Reference.Select(r => Math.Round(1000 * r, 9)));
        Assert.StartsWith("4 days lack rain or temperatures", filled.Said[^1], StringComparison.Ordinal);
        Assert.Equal(filled.Reference, Read(Text, new WeatherSite { LongestGap = 4 }).Reference);
        GroundDataException refused = Assert.Throws<GroundDataException>(() => Read(Text, new WeatherSite { LongestGap = 3 }));
        Assert.Contains("from 2001-01-02 to 2001-01-05 rain or temperatures are missing for 4 days", refused.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("", "it is empty")]
    [InlineData("date,rain_mm,et0_mm", "holds no day")]
    [InlineData("day,rain_mm,et0_mm\n2001-01-01,0,1", "no column date")]
    [InlineData("date,rain,et0_mm\n2001-01-01,0,1", "says no unit: write mm or in")]
    [InlineData("date,rain_mm,rain_in,et0_mm\n2001-01-01,0,0,1", "say the same thing")]
    [InlineData("date,et0_mm\n2001-01-01,1", "no column of rain")]
    [InlineData("date,rain_mm\n2001-01-01,1", "evapotranspiration cannot be told")]
    [InlineData("date,rain_mm,tmin_c,tmax_c\n2001-01-01,1,2,3", "latitude is not known")]
    [InlineData("date,rain_mm,et0_mm\n01/02/2001,1,1", "line 2 has the date \"01/02/2001\"")]
    [InlineData("date,rain_mm,et0_mm\n2001-01-01,0,1\n2001-01-01,0,1", "line 3 has 2001-01-01 once more")]
    [InlineData("date,rain_mm,et0_mm\n2001-01-02,0,1\n2001-01-01,0,1\n2001-01-03,0,1", "line 3 goes back from 2001-01-02 to 2001-01-01")]
    [InlineData("date,rain_mm,et0_mm\n2001-01-02,0,1\n2001-02-01,0,1\n2001-01-03,0,1", "line 3 has 2001-02-01, which is later")]
    [InlineData("date,rain_mm,et0_mm\n2001-01-01,-1,1", "line 2, rain_mm is -1: no day has less than 0")]
    [InlineData("date,rain_mm,et0_mm\n2001-01-01,-9999,1", "leave the cell empty")]
    [InlineData("date,rain_mm,et0_mm\n2001-01-01,2100,1", "more than 2000 mm")]
    [InlineData("date,rain_in,et0_mm\n2001-01-01,90,1", "rain_in is 90")]
    [InlineData("date,rain_mm,et0_mm\n2001-01-01,x,1", "\"x\" is not a number")]
    [InlineData("date,rain_mm,et0_mm\n2001-01-01,\"1,5\",1", "decimal marks must be points")]
    public void Weather_ThatIsNone_IsRefusedInASentence(string text, string because) =>
        Assert.Contains(because, Assert.Throws<GroundDataException>(() => Read(text)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("tmin_c,tmax_c\n2001-07-01,0,20,10", "coldest temperature of 20 above the warmest of 10")]
    [InlineData("tmin_c,tmax_c\n2001-07-01,0,-100,10", "less than -90")]
    [InlineData("tmin_c,tmax_c,humidity_pct\n2001-07-01,0,5,10,120", "more than 100 %")]
    [InlineData("tmin_c,tmax_c,wind_m_s\n2001-07-01,0,5,10,-2", "wind_m_s is -2")]
    [InlineData("tmin_c,tmax_c,radiation_mj_m2\n2001-07-01,0,5,10,50", "radiation_mj_m2 is 50")]
    [InlineData("tmin_c,tmax_c,sun_h\n2001-07-01,0,5,10,17", "sun_h is 17")]
    public void Weather_ThatCannotBe_IsRefusedInASentence(string rest, string because) =>
        Assert.Contains(because, Assert.Throws<GroundDataException>(() => Read("date,rain_mm," + rest, new WeatherSite { Latitude = 40 * Degrees })).Message, StringComparison.Ordinal);

    [Fact]
    public void Weather_OfALeapYear_HasNoHole_AndTheSouthIsColdInJuly()
    {
        StringBuilder text = new("date,rain_mm,tmin_c,tmax_c,unknown\n");
        for (DateOnly day = new(2004, 1, 1); day.Year == 2004; day = day.AddDays(1))
        {
            text.Append(CultureInfo.InvariantCulture, $"{day:yyyy-MM-dd},1,10,25,7\n");
        }

        DailyWeather south = Read(text.ToString(), new WeatherSite { Latitude = -35 * Degrees });
        Assert.Equal(366, south.Count);
        Assert.True(south.Reference[15] > 2 * south.Reference[195]);
        Assert.Contains("Columns not used: unknown.", south.Said);
        Assert.Contains("latitude is 95", Assert.Throws<GroundDataException>(() => Read(text.ToString(), new WeatherSite { Latitude = 95 * Degrees })).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Snow_IsTold()
    {
        DailyWeather cold = Read("date,rain_mm,tmin_c,tmax_c\n2001-01-01,3,-9,-2", new WeatherSite { Latitude = 60 * Degrees });
        Assert.Contains("1 days brought rain while it never thawed", cold.Said[1], StringComparison.Ordinal);
    }
}
