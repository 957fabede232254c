using System.Text.Json;
using System.Text.RegularExpressions;

namespace Keyline.Console.Tests;

/// <summary>What a plan may be told besides ground, field and spacing.</summary>
public sealed class PlanOptionTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void CompareAndPriceList_WriteTheirTables_AndTheNextPlanMayReplaceThem()
    {
        CliResult result = Cli.Run(_farm.Plan("--pattern", "parallel", "--compare", "--price-list", "--gate", Gate(), "--noise", "5 cm"));
        Assert.Contains(result.Exit, (int[])[0, 3]);
        string comparison = File.ReadAllText(Path.Combine(_farm.Out, "comparison.txt"));
        Assert.All((string[])["straight lines", "one keyline", "contours set anew", "guides chosen"], way => Assert.Contains(way, comparison, StringComparison.Ordinal));
        string list = File.ReadAllText(Path.Combine(_farm.Out, "price-list.txt"));
        Assert.Contains("--ease", list, StringComparison.Ordinal);
        Assert.Contains("wrong drift", list, StringComparison.Ordinal);
        Assert.Contains("comparison.txt", result.Output, StringComparison.Ordinal);
        Assert.Contains("chance of 9 in 10", result.Output, StringComparison.Ordinal);

        Assert.Contains(Cli.Run(_farm.Plan("--overwrite")).Exit, (int[])[0, 3]);
        Assert.False(File.Exists(Path.Combine(_farm.Out, "comparison.txt")));
    }

    [Fact]
    public void PriceListOfEvenLines_NamesBothDials()
    {
        Assert.Contains(Cli.Run(_farm.Plan("--price-list")).Exit, (int[])[0, 3]);
        string[] list = File.ReadAllLines(Path.Combine(_farm.Out, "price-list.txt"));
        Assert.Contains(list, l => l.StartsWith("--ease  --wished-fall", StringComparison.Ordinal));
        Assert.Contains(list, l => Regex.IsMatch(l, @"^[0-9.]+ +0(\.4)? % "));
    }

    [Fact]
    public void PlainPatterns_ArePlansLikeAnyOther()
    {
        Assert.Contains(Cli.Run(_farm.Plan("--pattern", "straight", "--bearing", "75.5")).Exit, (int[])[0, 3]);
        using JsonDocument plan = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json")));
        Assert.Equal("straight", plan.RootElement.GetProperty("lines").GetProperty("pattern").GetString());
        Assert.Contains("the bearing asked for", File.ReadAllText(Path.Combine(_farm.Out, "plan.geojson")), StringComparison.Ordinal);
        Assert.Contains(Cli.Run(_farm.Plan("--pattern", "one-keyline", "--overwrite")).Exit, (int[])[0, 3]);
        Assert.Contains("\"one-keyline\"", File.ReadAllText(Path.Combine(_farm.Out, "plan.json")), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--bearing is for --pattern straight", "--bearing", "75")]
    [InlineData("a bearing is from 0 to below 360 degrees", "--pattern", "straight", "--bearing", "360")]
    [InlineData("zero or more", "--pattern", "straight", "--bearing", "-1")]
    [InlineData("write even, parallel, straight or one-keyline", "--pattern", "zigzag")]
    [InlineData("is for --pattern parallel", "--pattern", "straight", "--most-guides", "3")]
    public void BearingsAndPatternsThatCannotBe_AreRefused(string says, params string[] more)
    {
        CliResult result = Cli.Run(_farm.Plan(more));
        Assert.Equal(2, result.Exit);
        Assert.Contains(says, result.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.Out));
    }

    [Fact]
    public void GuidesSayWhy_AndTheirNumberIsHeld()
    {
        Assert.Contains(Cli.Run(_farm.Plan("--pattern", "parallel", "--most-guides", "2")).Exit, (int[])[0, 3]);
        using JsonDocument plan = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.geojson")));
        JsonElement[] guides = [.. plan.RootElement.GetProperty("features").EnumerateArray().Select(f => f.GetProperty("properties")).Where(p => p.GetProperty("kind").GetString() == "guide-line")];
        Assert.InRange(guides.Select(g => g.GetProperty("level_m").GetDouble()).Distinct().Count(), 1, 2);
        Assert.All(guides, g => Assert.Matches("^(through|level with|[0-9]+ m (above|below) G[0-9]+, whose parallels|the best)", g.GetProperty("reason").GetString()!));

        CliResult even = Cli.Run(_farm.Plan("--most-guides", "2", "--overwrite"));
        Assert.Equal(2, even.Exit);
        Assert.Contains("no other pattern chooses guides", even.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Summary_ReportsDrivingCostAndCertainty()
    {
        Cli.Run(_farm.Plan("--noise", "2 cm"));
        using JsonDocument summary = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json")));
        JsonElement root = summary.RootElement;
        JsonElement driving = root.GetProperty("driving");
        JsonElement lines = root.GetProperty("lines");
        Assert.Equal(lines.GetProperty("count").GetInt32() - 1, driving.GetProperty("turns").GetInt32());
        Assert.Equal(driving.GetProperty("driven_m").GetDouble(), lines.GetProperty("total_length_m").GetDouble() + driving.GetProperty("turning_m").GetDouble(), 0.02 * lines.GetProperty("total_length_m").GetDouble());
        JsonElement cost = root.GetProperty("cost_m2");
        Assert.Equal(cost.EnumerateObject().Where(p => p.Name != "total").Sum(p => p.Value.GetDouble()), cost.GetProperty("total").GetDouble(), 4.0);
        Assert.Equal(0.02, root.GetProperty("certainty").GetProperty("noise_m").GetDouble());
        Assert.InRange(root.GetProperty("certainty").GetProperty("sure_length_share").GetDouble(), 0.2, 1);
    }

    [Fact]
    public void Shanks_SetTheSpacing_AndSayWhatResults()
    {
        string[] words = [.. _farm.Plan().Where((w, i) => w != "--spacing" && w != "6 m")];
        CliResult result = Cli.Run([.. words, "--shanks", "3", "--shank-spacing", "2 m"]);
        Assert.Contains(result.Exit, (int[])[0, 3]);
        Assert.Contains("rips 2.00 m apart throughout", result.Output, StringComparison.Ordinal);
        Assert.Contains("6 m apart", result.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void RowGradeRule_IsTakenByName()
    {
        Cli.Run(_farm.PlanWith("--max-grade", "contour-farming"));
        using JsonDocument summary = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json")));
        Assert.Equal("contour-farming", summary.RootElement.GetProperty("grade").GetProperty("rule").GetString());
        Assert.Equal(2, summary.RootElement.GetProperty("grade").GetProperty("limit_pct").GetDouble());
    }

    [Fact]
    public void EvenPattern_IsMadeIntoAWholePlan()
    {
        CliResult result = Cli.Run(_farm.Plan("--pattern", "even", "--spacing-tolerance", "8"));
        Assert.Contains(result.Exit, (int[])[0, 3]);
        Assert.Contains("each about a spacing from the next", result.Output, StringComparison.Ordinal);
        using JsonDocument plan = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.geojson")));
        JsonElement[] lines = [.. plan.RootElement.GetProperty("features").EnumerateArray().Select(f => f.GetProperty("properties")).Where(p => p.GetProperty("kind").GetString() == "rip-line")];
        Assert.NotEmpty(lines);
        Assert.Contains(lines, l => l.GetProperty("guide").GetString() == "");
        Assert.True(File.Exists(Path.Combine(_farm.Out, "guidance", "lines.gpx")));
    }

    [Fact]
    public void PinnedGuideOutletsAndKeypoints_AreReadAndDrawn()
    {
        string fence = _farm.Write("fence.geojson", TestFarm.Feature("LineString", TestFarm.Line([(40, 150), (240, 150)]), "{}"));
        string drain = _farm.Write("drain.geojson", TestFarm.Feature("LineString", TestFarm.Line([(140, 35), (140, 100)]), "{}"));
        string flags = _farm.Write("flags.geojson", TestFarm.Feature("Point", TestFarm.Place(140, 110), "{}"));
        Assert.Contains(Cli.Run(_farm.Plan("--pinned", fence, "--outlets", drain, "--flagged", flags, "--gate", Gate(), "--critical-length", "500 m")).Exit, (int[])[0, 3]);
        using JsonDocument plan = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.geojson")));
        JsonElement[] drawn = [.. plan.RootElement.GetProperty("features").EnumerateArray().Select(f => f.GetProperty("properties"))];
        Assert.Contains(drawn, p => p.GetProperty("kind").GetString() == "guide-line" && p.GetProperty("pinned").GetBoolean());
        Assert.Contains(drawn, p => p.GetProperty("kind").GetString() == "outlet");
        Assert.Contains(drawn, p => p.GetProperty("kind").GetString() == "gate");
        Assert.Equal(["dem", "field", "avoid", "pinned", "outlets", "gate", "flagged"], plan.RootElement.GetProperty("keyline").GetProperty("inputs").EnumerateArray().Select(i => i.GetProperty("role").GetString()));
    }

    [Theory]
    [InlineData("--max-grade", "contour-ploughing", "is no rule")]
    [InlineData("--side-slope", "95", "below 90 degrees")]
    [InlineData("--side-slope", "0", "above zero")]
    [InlineData("--ease", "-1", "above zero")]
    [InlineData("--ease", "much", "is not a number")]
    [InlineData("--pattern", "wavy", "write even, parallel, straight or one-keyline")]
    [InlineData("--spacing-tolerance", "0", "above zero")]
    [InlineData("--spacing-tolerance", "50", "below 50 %")]
    [InlineData("--shanks", "3", "--shank-spacing")]
    [InlineData("--shank-spacing", "2 m", "--shanks")]
    [InlineData("--shanks", "2.5", "whole number")]
    [InlineData("--pinned", "nowhere.geojson", "There is no file of pinned guides")]
    [InlineData("--critical-length", "0 m", "above zero")]
    [InlineData("--critical-length", "car", "is not a length")]
    [InlineData("--excess", "30 mm", "--critical-length auto")]
    public void WhatCannotBeFollowed_IsRefusedInOneSentence(string flag, string value, string said)
    {
        CliResult result = Cli.Run(_farm.PlanWith(flag, value));
        Assert.Equal(2, result.Exit);
        Assert.Contains(said, result.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.Out));
    }

    /// <summary>Fall of 1 %, lines 10 m apart, 20 mm/h to spare: 2.3 Pa decides, and 90.1 m at 3 m make 27.0 at 10 m (Manning's equation for a V of 2:1 with n 0.03, computed here).</summary>
    [Fact]
    public void CriticalLength_CanBeWorkedOut()
    {
        CliResult run = Cli.Run(_farm.Plan("--critical-length", "auto", "--fall", "1"));
        Assert.True(run.Exit is 0 or 3, run.Error);
        using JsonDocument plan = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json")));
        string text = plan.RootElement.GetRawText();
        double spacing = Number(text, "\"spacing_m\": "), length = Number(text, "\"critical_length_m\": ");
        Assert.Equal(90.1 * 3 / spacing, length, 0.05);
        Assert.Contains("a line may fall one way for", text, StringComparison.Ordinal);
        CliResult wetter = Cli.Run(_farm.Plan("--critical-length", "auto", "--fall", "1", "--excess", "40 mm", "--overwrite"));
        Assert.True(wetter.Exit is 0 or 3, wetter.Error);
        Assert.Equal(length / 2, Number(File.ReadAllText(Path.Combine(_farm.Out, "plan.json")), "\"critical_length_m\": "), 1e-3);

        static double Number(string text, string after)
        {
            string rest = text[(text.IndexOf(after, StringComparison.Ordinal) + after.Length)..];
            return double.Parse(rest[..rest.IndexOfAny([',', '\n', '}'])], System.Globalization.CultureInfo.InvariantCulture);
        }
    }

    [Fact]
    public void Shanks_WiderThanTheSpacing_AreRefused()
    {
        CliResult result = Cli.Run(_farm.Plan("--shanks", "5", "--shank-spacing", "2 m"));
        Assert.Equal(2, result.Exit);
        Assert.Contains("passes would overlap", result.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void WetGround_MustBeTrueOrFalse()
    {
        string wet = _farm.Write("wet.geojson", TestFarm.Feature("Polygon", TestFarm.Ring([(120, 60), (135, 60), (135, 75), (120, 75)]), """{"setback_m": 5, "wet": "yes"}"""));
        CliResult result = Cli.Run(_farm.PlanWith("--avoid", wet));
        Assert.Equal(2, result.Exit);
        Assert.Contains("write true or false", result.Error, StringComparison.Ordinal);
    }

    private string Gate() => _farm.Write("gate.geojson", TestFarm.Feature("Point", TestFarm.Place(250, 60), "{}"));
}
