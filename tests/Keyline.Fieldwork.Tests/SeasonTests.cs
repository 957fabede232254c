using System.Text;
using Keyline.Water;
using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork.Tests;

public sealed class SeasonTests
{
    private static readonly SeasonOptions At40 = new() { Depth = 0.4 };

    private static readonly DailyWeather ThirtyYears = Invented(7, 30 * 365);

    private static DailyWeather Invented(int seed, int days)
    {
        StringWriter text = new();
        InventedWeather.Write(text, seed, new DateOnly(1996, 1, 1), days);
        using StringReader reader = new(text.ToString());
        return WeatherCsv.Read(reader, "invented.csv", new WeatherSite { Latitude = 38 * Math.PI / 180 });
    }

    private static SeasonRun Run(TextureClass texture = TextureClass.ClayLoam, SeasonOptions? options = null) => SeasonRun.Of(ThirtyYears, SeasonSoil.Of(texture), options ?? At40);

    [Theory]
    [InlineData(TextureClass.Sand)]
    [InlineData(TextureClass.Loam)]
    [InlineData(TextureClass.Clay)]
    public void Water_IsAccountedFor(TextureClass texture)
    {
        SeasonWater w = Run(texture, At40 with { CurveNumber = 80, DrainageLimit = 0.001 }).Water;
        Assert.Equal(w.Rain, w.Runoff + w.Transpired + w.Evaporated + w.Drained + w.Gained, 1e-9 * w.Rain);
        Assert.Equal(ThirtyYears.Rain.Sum(), w.Rain, 1e-9);
        Assert.True(w.Runoff > 0 && w.Transpired > 0.2 * w.Rain);
    }

    /// <summary>Loam: wilting point 0.1370, field capacity 0.2796, full 0.4595 (Saxton and Rawls 2006, computed here to five digits).</summary>
    [Fact]
    public void Rules_OfLoam_LieWhereTheySay()
    {
        SeasonSoil loam = SeasonSoil.Of(TextureClass.Loam);
        Assert.Equal(0.20832, MoistureRule.DrierHalf.Ends(loam).Wettest, 2e-5);
        Assert.Equal(0.17980, MoistureRule.Dry.Ends(loam).Wettest, 2e-5);
        Assert.Equal((0.17980, 0.20832), (Math.Round(MoistureRule.Moist.Ends(loam).Driest, 5), Math.Round(MoistureRule.Moist.Ends(loam).Wettest, 5)), (a, b) => Math.Abs(a.Item1 - b.Item1) + Math.Abs(a.Item2 - b.Item2) < 4e-5);
        Assert.Equal(0.34976 / 0.43 * 0.45948, MoistureRule.Friable.Ends(loam).Wettest, 2e-5);
        Assert.Equal(SoilState.Right, MoistureRule.DrierHalf.Of(loam, 0.2, 0.85));
        Assert.Equal(SoilState.TooWet, MoistureRule.DrierHalf.Of(loam, 0.2, 0.91));
        Assert.Equal(SoilState.TooWet, MoistureRule.DrierHalf.Of(loam, 0.21, 0.5));
        Assert.Equal(SoilState.TooDry, MoistureRule.DrierHalf.Of(loam, 0.14, 0.5));
        Assert.Equal(SoilState.Right, MoistureRule.Dry.Of(loam, 0.14, 2));
    }

    /// <summary>What the published rules say of the same day cannot all be right: the dry and the moist guide share no day.</summary>
    [Fact]
    public void PublishedWindows_Disagree()
    {
        SeasonRun run = Run();
        SoilState[] dry = run.States(MoistureRule.Dry), moist = run.States(MoistureRule.Moist), friable = run.States(MoistureRule.Friable);
        Assert.DoesNotContain(Enumerable.Range(0, dry.Length), i => dry[i] == SoilState.Right && (moist[i] == SoilState.Right || friable[i] == SoilState.Right));
        Assert.All((SoilState[][])[dry, moist, friable], s => Assert.True(s.Count(x => x == SoilState.Right) > 100));
    }

    [Fact]
    public void PlasticLimit_IsFieldCapacity_LessInClay_NoneInSand_OrAsMeasured()
    {
        SoilHydraulics loam = ClassHydraulics.Of(TextureClass.Loam);
        Assert.Equal(loam.FieldCapacity, SeasonSoil.Of(TextureClass.Loam).PlasticLimit);
        Assert.Equal(0.9 * ClassHydraulics.Of(TextureClass.Clay).FieldCapacity, SeasonSoil.Of(TextureClass.Clay).PlasticLimit, 1e-12);
        Assert.True(double.IsInfinity(SeasonSoil.Of(TextureClass.Sand).PlasticLimit));

        // 18 % of the dry weight, times the bulk density (1 - 0.4595) 2.65.
        Assert.Equal(0.18 * 2.65 * (1 - 0.459478), SeasonSoil.Of(TextureClass.Loam, 0.18).PlasticLimit, 1e-6);
    }

    [Fact]
    public void WetTopOverADryTip_IsTooWet()
    {
        // Half a year without rain, then 28 mm: the tip stays dry, the top would smear.
        double[] rain = new double[200];
        rain[^1] = 0.028;
        DailyWeather weather = DailyWeather.Of("dry", new DateOnly(2001, 1, 1), rain, [.. Enumerable.Repeat(0.004, 200)]);
        SeasonRun run = SeasonRun.Of(weather, SeasonSoil.Of(TextureClass.ClayLoam), At40);
        SoilState[] states = run.States(MoistureRule.DrierHalf);
        Assert.Equal(SoilState.TooDry, states[^2]);
        Assert.Equal(SoilState.TooWet, states[^1]);
        Assert.Equal(SoilState.Right, run.States(MoistureRule.Dry)[^1]);
        Assert.Equal(run.Tip[^2], run.Tip[^1], 1e-3);
    }

    [Fact]
    public void Today_SaysWhenTheWindowComes()
    {
        double[] rain = new double[120];
        Array.Fill(rain, 0.02, 100, 20);
        DailyWeather wet = DailyWeather.Of("wet", new DateOnly(2001, 1, 1), rain, [.. Enumerable.Repeat(0.005, 120)]);
        SeasonSoil soil = SeasonSoil.Of(TextureClass.Loam);
        SoilToday today = SeasonRun.Of(wet, soil, At40).Today(MoistureRule.DrierHalf);
        Assert.Equal(SoilState.TooWet, today.State);
        int opens = Assert.NotNull(today.OpensIn), closes = Assert.NotNull(today.ClosesIn);
        Assert.True(opens > 5 && closes > opens);

        // The same days in the series itself: it opens on the day that was foretold.
        DailyWeather on = DailyWeather.Of("on", wet.First, [.. rain, .. new double[60]], [.. Enumerable.Repeat(0.005, 180)]);
        SoilState[] states = SeasonRun.Of(on, soil, At40).States(MoistureRule.DrierHalf);
        Assert.Equal(opens, Array.FindIndex(states, 120, s => s == SoilState.Right) - 119, 1.0);

        SoilToday dry = SeasonRun.Of(DailyWeather.Of("dry", wet.First, new double[120], [.. Enumerable.Repeat(0.005, 120)]), soil, At40).Today(MoistureRule.DrierHalf);
        Assert.Equal(SoilState.TooDry, dry.State);
        Assert.InRange(Assert.NotNull(dry.RainWanted), 0.01, 0.1);
    }

    [Fact]
    public void DeeperTip_DriesLater()
    {
        int shallow = Opens(0.2), deep = Opens(0.6);
        Assert.True(deep > shallow + 3, $"{shallow} {deep}");

        static int Opens(double depth)
        {
            double[] rain = new double[300];
            Array.Fill(rain, 0.02, 0, 30);
            DailyWeather weather = DailyWeather.Of("wet", new DateOnly(2001, 1, 1), rain, [.. Enumerable.Repeat(0.004, 300)]);
            return Array.FindIndex(SeasonRun.Of(weather, SeasonSoil.Of(TextureClass.Loam), new SeasonOptions { Depth = depth }).States(MoistureRule.Moist), 30, s => s == SoilState.Right);
        }
    }

    [Fact]
    public void Report_SaysDaysChancesAndTheJob_TheSameEveryTime()
    {
        SeasonReport report = SeasonReport.Of(Run(), MoistureRule.DrierHalf, 5, 4);
        Assert.Equal(["drier-half", "dry", "moist", "friable"], report.ByRule.Select(r => r.Rule.Key));
        Assert.All(report.ByRule[0].Months, m => Assert.InRange(m.Years, 29, 30));
        Assert.All(report.ByRule[0].Months, m => Assert.True(m.Few <= m.Middle && m.Middle <= m.Many));
        string said = string.Join('\n', report.Sentences());
        Assert.Contains("5 right days on end begin most often", said, StringComparison.Ordinal);
        Assert.Contains("The job needs 4 right days", said, StringComparison.Ordinal);
        Assert.Equal(said, string.Join('\n', SeasonReport.Of(Run(), MoistureRule.DrierHalf, 5, 4).Sentences()));
    }

    [Fact]
    public void NoWindow_IsSaid()
    {
        DailyWeather wet = DailyWeather.Of("wet", new DateOnly(2001, 1, 1), [.. Enumerable.Repeat(0.03, 800)], [.. Enumerable.Repeat(0.001, 800)]);
        SeasonReport report = SeasonReport.Of(SeasonRun.Of(wet, SeasonSoil.Of(TextureClass.Clay), At40), MoistureRule.DrierHalf, 3, 10);
        Assert.Null(report.Best);
        string said = string.Join('\n', report.Sentences());
        Assert.Contains("In no week of any year did 3 right days on end begin", said, StringComparison.Ordinal);
        Assert.Contains("in half of the years a whole year has fewer", said, StringComparison.Ordinal);
        Assert.Contains("The series has 2.2 years", said, StringComparison.Ordinal);
    }

    [Fact]
    public void ShortSeries_TellsOfTodayAndNoChances()
    {
        DailyWeather days = DailyWeather.Of("days", new DateOnly(2026, 9, 1), new double[40], [.. Enumerable.Repeat(0.003, 40)]);
        SeasonReport report = SeasonReport.Of(SeasonRun.Of(days, SeasonSoil.Of(TextureClass.Loam), At40), MoistureRule.DrierHalf, 50);
        string said = string.Join('\n', report.Sentences());
        Assert.Contains("too short for a chance of any week", said, StringComparison.Ordinal);
        Assert.Contains("shorter than a year", said, StringComparison.Ordinal);
        Assert.DoesNotContain("In no week", said, StringComparison.Ordinal);
        Assert.DoesNotContain("shorter than a year", string.Join('\n', SeasonReport.Of(Run(), MoistureRule.DrierHalf, 5).Sentences()), StringComparison.Ordinal);
    }

    [Fact]
    public void Page_StandsByItself_AndShowsTheTest()
    {
        SeasonReport report = SeasonReport.Of(Run(), MoistureRule.DrierHalf, 5, 4);
        IReadOnlyList<PlannedDays> dates = SeasonDates.Of(new DateOnly(2027, 4, 9), 4, 180, 0.4, null);
        string page = Page(), again = Page();
        Assert.Equal(page, again);
        Assert.DoesNotContain("http", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("<script", page, StringComparison.Ordinal);
        Assert.Contains("NO RECORD", page, StringComparison.Ordinal);
        Assert.Contains("A &amp; B", page, StringComparison.Ordinal);
        Assert.All(BallTest.Outcomes, o => Assert.Contains(o.Drawing, page, StringComparison.Ordinal));
        Assert.All(dates, d => Assert.Contains(d.Title, page, StringComparison.Ordinal));
        Assert.All(BallTest.Outcomes, o => System.Xml.Linq.XElement.Parse(o.Drawing));

        string Page()
        {
            using MemoryStream stream = new();
            SeasonPage.Write(stream, "A & B", report, dates, null, ["Beware."], "keyline");
            return Encoding.UTF8.GetString(stream.ToArray());
        }
    }

    [Fact]
    public void Dates_GoFromServicesToTheThirdYear_AndTheCalendarHoldsThem()
    {
        IReadOnlyList<PlannedDays> dates = SeasonDates.Of(new DateOnly(2027, 4, 9), 4, 180, 0.4, null);
        Assert.Equal(
            ["2027-03-26", "2027-04-02", "2027-04-09", "2027-04-13", "2027-10-10", "2028-04-13", "2029-04-13", "2030-04-13"], dates.Select(d => d.First.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture)));
        Assert.Equal(dates.Select(d => d.First), WorkCalendar.Place(dates, 0).Select(p => p.From));
        Assert.Equal(dates.Select(d => (int)d.Days), WorkCalendar.Place(dates, 0).Select(p => p.To.DayNumber - p.From.DayNumber + 1));
        Assert.All(SeasonDates.Of(new DateOnly(2027, 4, 9), 4, 500, 0.4, null).Zip(SeasonDates.Of(new DateOnly(2027, 4, 9), 4, 500, 0.4, null).Skip(1)), p => Assert.True(p.First.First <= p.Second.First));
    }

    [Fact]
    public void NoSense_IsRefusedInASentence()
    {
        Assert.Contains("tip runs at 3 m", Assert.Throws<GroundDataException>(() => Run(options: new SeasonOptions { Depth = 3 })).Message, StringComparison.Ordinal);
        Assert.Contains("between 60 and 10 %", Assert.Throws<GroundDataException>(() => MoistureRule.Between(0.6, 0.1)).Message, StringComparison.Ordinal);
        Assert.Contains("lower soil begins at 9 m", Assert.Throws<GroundDataException>(() => SeasonSoil.Of(TextureClass.Loam).Over(SeasonSoil.Of(TextureClass.Clay), 9)).Message, StringComparison.Ordinal);
        Assert.Contains("plastic limit is 180 %", Assert.Throws<GroundDataException>(() => SeasonSoil.Of(TextureClass.Loam, 1.8)).Message, StringComparison.Ordinal);
    }
}
