using System.Globalization;
using System.Text.RegularExpressions;
using Keyline.Water;
using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork.Tests;

/// <summary>What a season says, figure by figure: two soils over each other, the state of the day, the sentences and the drawings.</summary>
public sealed class SeasonRulesTests
{
    private static readonly DateOnly First = new(2001, 1, 1);

    private static SeasonOptions Tip(double depth) => new() { Depth = depth };

    private static DailyWeather Days(int count, Func<int, double> rain, double reference = 0.004) => DailyWeather.Of("made", First, [.. Enumerable.Range(0, count).Select(rain)], [.. Enumerable.Repeat(reference, count)]);

    [Fact]
    public void PlasticLimits_OfEveryTexture()
    {
        foreach (TextureClass texture in Enum.GetValues<TextureClass>())
        {
            double capacity = ClassHydraulics.Of(texture).FieldCapacity, limit = SeasonSoil.Of(texture).PlasticLimit;
            Assert.Equal(texture is TextureClass.Sand or TextureClass.LoamySand ? double.PositiveInfinity : texture is TextureClass.Clay or TextureClass.SiltyClay or TextureClass.SandyClay ? 0.9 * capacity : capacity, limit, 1e-12);
        }
    }

    // Sand has no plastic limit: only the clay beneath it can smear, and only where the tip reaches it.
    [Fact]
    public void LayersDownToTheTip_AreHeldAgainstTheirOwnLimits()
    {
        SeasonSoil soil = SeasonSoil.Of(TextureClass.Sand).Over(SeasonSoil.Of(TextureClass.Clay), 0.2);
        Assert.Equal([TextureClass.Sand, TextureClass.Sand, TextureClass.Clay], ((double[])[0.1, 0.2, 0.3]).Select(d => soil.At(d).Texture));
        DailyWeather wet = Days(400, i => i % 3 == 0 ? 0.02 : 0);
        Assert.Equal(0, SeasonRun.Of(wet, soil, Tip(0.15)).OfPlasticLimit[^1]);
        SeasonRun deep = SeasonRun.Of(wet, soil, Tip(0.4));
        Assert.True(deep.OfPlasticLimit[^1] > 0.9, $"{deep.OfPlasticLimit[^1]}");
        Assert.Equal(TextureClass.Clay, deep.AtTip.Texture);

        // Of one soil: the greatest of moisture over limit, and the tip is among the layers.
        SeasonRun loam = SeasonRun.Of(wet, SeasonSoil.Of(TextureClass.Loam), Tip(0.4));
        Assert.All(Enumerable.Range(0, loam.Tip.Count), i => Assert.True(loam.OfPlasticLimit[i] >= (loam.Tip[i] / loam.AtTip.PlasticLimit) - 1e-12));
        Assert.InRange(loam.OfPlasticLimit[^1], 0.5, 1.7);
    }

    // The deeper the tip the later rain comes there.
    [Fact]
    public void TheTip_IsTheLayerItRunsIn()
    {
        DailyWeather weather = Days(430, i => i == 401 ? 0.02 : 0);
        double shallow = Gained(0.1), deep = Gained(0.5);
        Assert.True(shallow > deep + 0.03, $"{shallow} {deep}");

        double Gained(double depth)
        {
            SeasonRun run = SeasonRun.Of(weather, SeasonSoil.Of(TextureClass.Loam), Tip(depth));
            return run.Tip.Skip(400).Max() - run.Tip[400];
        }
    }

    // The year that is run beforehand: a soil of dry days begins dry.
    [Fact]
    public void TheSoil_BeginsAsSuchWeatherLeavesIt()
    {
        SeasonRun dry = SeasonRun.Of(Days(800, _ => 0), SeasonSoil.Of(TextureClass.Loam), Tip(0.4));
        Assert.Equal(dry.Tip[^1], dry.Tip[0], 0.02);
    }

    [Fact]
    public void Today_OfRightSoil_IsOpenNow_AndClosesOnTheDayForetold()
    {
        SeasonSoil soil = SeasonSoil.Of(TextureClass.Loam);
        SeasonRun all = SeasonRun.Of(Days(520, i => i < 400 && i % 3 == 0 ? 0.02 : 0), soil, Tip(0.3));
        SoilState[] states = all.States(MoistureRule.DrierHalf);
        int opens = Array.FindIndex(states, 400, s => s == SoilState.Right), closes = Array.FindIndex(states, opens, s => s == SoilState.TooDry);
        Assert.True(opens > 400 && closes > opens + 3, $"{opens} {closes}");
        SeasonRun until = SeasonRun.Of(Days(opens + 1, i => i < 400 && i % 3 == 0 ? 0.02 : 0), soil, Tip(0.3));
        SoilToday today = until.Today(MoistureRule.DrierHalf);
        Assert.Equal((SoilState.Right, (int?)0), (today.State, today.OpensIn));
        Assert.Equal(closes - opens, today.ClosesIn);
        SoilHydraulics h = soil.Hydraulics;
        Assert.Equal((today.Tip - h.WiltingPoint) / (h.FieldCapacity - h.WiltingPoint), today.Share, 1e-12);
        Assert.Equal(opens + 1 - 56, today.From);
        Assert.Null(today.RainWanted);

        // The day before it is foretold for tomorrow.
        SoilToday before = SeasonRun.Of(Days(opens, i => i < 400 && i % 3 == 0 ? 0.02 : 0), soil, Tip(0.3)).Today(MoistureRule.DrierHalf);
        Assert.Equal((SoilState.TooWet, (int?)1, (int?)(1 + closes - opens)), (before.State, before.OpensIn, before.ClosesIn));
    }

    // As much rain in one day as wets the tip within a week, and 5 mm less does not.
    [Fact]
    public void RainWanted_IsTheLeastThatReachesTheTip()
    {
        SeasonSoil soil = SeasonSoil.Of(TextureClass.Loam);
        double wanted = Assert.NotNull(SeasonRun.Of(Days(400, _ => 0), soil, Tip(0.3)).Today(MoistureRule.Moist).RainWanted);
        double driest = MoistureRule.Moist.Ends(soil).Driest;
        Assert.True(Wettest(wanted) >= driest, $"{wanted}");
        Assert.True(Wettest(wanted - 0.005) < driest, $"{wanted}");

        double Wettest(double rain) => SeasonRun.Of(Days(407, i => i == 400 ? rain : 0), soil, Tip(0.3)).Tip.Skip(400).Max();
    }

    [Fact]
    public void Rules_BetweenTheUsersEnds()
    {
        SeasonSoil loam = SeasonSoil.Of(TextureClass.Loam);
        SoilHydraulics h = loam.Hydraulics;
        (double low, double high) = MoistureRule.Between(0.1, 1.5).Ends(loam);
        Assert.Equal(h.WiltingPoint + (0.1 * (h.FieldCapacity - h.WiltingPoint)), low, 1e-12);
        Assert.Equal(h.WiltingPoint + (1.5 * (h.FieldCapacity - h.WiltingPoint)), high, 1e-12);
        Assert.Throws<GroundDataException>(() => MoistureRule.Between(0.1, 2.1));
        Assert.Equal(SoilState.TooWet, MoistureRule.DrierHalf.Of(loam, low, 0.95));
    }

    // Twelve years of which every April is right: what the sentences make of them.
    [Fact]
    public void Sentences_SayTheYearTheWeekAndTheJob()
    {
        DailyWeather weather = Days(12 * 365, i => First.AddDays(i).Month is 10 or 11 or 12 or 1 or 2 && i % 2 == 0 ? 0.012 : 0, 0.003);
        SeasonRun run = SeasonRun.Of(weather, SeasonSoil.Of(TextureClass.Loam), Tip(0.3));
        SeasonReport report = SeasonReport.Of(run, MoistureRule.DrierHalf, 5, 4);
        string said = string.Join('\n', report.Sentences());
        Match year = Regex.Match(said, @"was right on (\d+) days a year, too wet on (\d+), too dry on (\d+)");
        Assert.Equal(365, year.Groups.Values.Skip(1).Sum(g => int.Parse(g.Value, CultureInfo.InvariantCulture)), 2.0);
        Assert.Equal(report.ByRule[0].Months.Sum(m => m.Mean), double.Parse(year.Groups[1].Value, CultureInfo.InvariantCulture), 0.51);
        Assert.InRange(report.Best!.Value.Day, weather.Last.AddDays(1), weather.Last.AddYears(1));
        MonthFinish most = report.Finish!.OrderByDescending(f => f.WithinMonth).ThenBy(f => f.Middle).First();
        Assert.True(most.WithinMonth > 0.5);
        Assert.Contains(FormattableString.Invariant($"{SeasonReport.Month(most.Month)} has them most often: begun on its first day it is done within the month in {100 * most.WithinMonth:0} % of the years"), said, StringComparison.Ordinal);
        Assert.DoesNotContain("say little", said, StringComparison.Ordinal);
        Assert.Contains("The series has 9 years: chances out of fewer than ten say little", string.Join('\n', SeasonReport.Of(SeasonRun.Of(Days(9 * 365, _ => 0), SeasonSoil.Of(TextureClass.Loam), Tip(0.3)), MoistureRule.DrierHalf, 5).Sentences()), StringComparison.Ordinal);
        SeasonWater w = run.Water;
        Assert.Contains(FormattableString.Invariant($"Of {1000 * w.Rain:0} mm of rain {1000 * w.Runoff:0} mm ran off, plants used {1000 * w.Transpired:0} mm"), said, StringComparison.Ordinal);
    }

    // Bars are drawn to scale: 140 units for 31 days, 130 for a chance of 100 %; every stretch of days in its state's colour.
    [Fact]
    public void Drawings_AreToScale()
    {
        MonthDays[] months = [.. Enumerable.Range(1, 12).Select(m => new MonthDays(m, 10, 1, 2 * m, 28, m))];
        string bars = SeasonCharts.Months(months);
        Assert.All(months, m => Assert.Contains(FormattableString.Invariant($"height=\"{140.0 * m.Middle / 31:0.##}\""), bars, StringComparison.Ordinal));
        string weeks = SeasonCharts.Weeks([.. Enumerable.Range(1, 52).Select(w => new WeekChance(w, 10, w / 52.0))], 20);
        Assert.All(Enumerable.Range(1, 52), w => Assert.Contains(FormattableString.Invariant($"height=\"{130.0 * w / 52:0.##}\""), weeks, StringComparison.Ordinal));
        string years = SeasonCharts.Years(First, [SoilState.TooDry, SoilState.TooDry, SoilState.Right, SoilState.TooWet]);
        Assert.Equal([SeasonCharts.Dry, SeasonCharts.Right, SeasonCharts.Wet], Regex.Matches(years, "fill=\"(#[0-9a-f]{6})\"").Select(m => m.Groups[1].Value).Where(c => c is SeasonCharts.Dry or SeasonCharts.Right or SeasonCharts.Wet));
    }

    [Fact]
    public void BestWeek_LiesWithinAYear() =>
        Assert.Equal(new DateOnly(2028, 1, 1), SeasonDates.BestWeek([.. Enumerable.Range(1, 52).Select(w => new WeekChance(w, 10, w == 1 ? 0.5 : 0))], new DateOnly(2027, 1, 2))!.Value.Day);
}
