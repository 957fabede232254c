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

    /// <summary>The most erodible zone in the field decides, but for those left out: fine sand stands 1.3 Pa, so fall and length come down (Manning for a V, computed here).</summary>
    [Fact]
    public void SoilZones_SetFallAndLength()
    {
        string Zone(string texture, double from, double to, string more = "") => TestFarm.Feature("Polygon", TestFarm.Ring([(from, 20), (to, 20), (to, 200), (from, 200)]), $$"""{"name": "{{texture}} zone", "texture": "{{texture}}"{{more}}}""");
        string Both(params string[] each) => """{"type":"FeatureCollection","features":[""" + string.Join(",", each.Select(c => System.Text.Json.Nodes.JsonNode.Parse(c)!["features"]![0]!.ToJsonString())) + "]}";
        string zones = _farm.Write("zones.geojson", Both(Zone("clay loam", 0, 100), Zone("", 0, 40), Zone("loamy sand", 100, 300)));
        CliResult run = Cli.Run(_farm.Plan("--critical-length", "auto", "--soil-zones", zones));
        Assert.True(run.Exit is 0 or 3, run.Error);
        JsonElement options = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json"))).RootElement.GetProperty("options");
        double spacing = options.GetProperty("spacing_m").GetDouble(), fall = options.GetProperty("fall_pct").GetDouble(), length = options.GetProperty("critical_length_m").GetDouble();
        double radius = 1.3 / (9810 * fall / 100), depth = radius * Math.Sqrt(5), speed = Math.Pow(radius, 2.0 / 3) * Math.Sqrt(fall / 100) / 0.03;
        double bySpeed = Math.Pow(0.23 * 0.03 / Math.Sqrt(fall / 100), 1.5), other = bySpeed * Math.Sqrt(5);
        Assert.Equal(Math.Min(speed * 2 * depth * depth, 0.23 * 2 * other * other) / (0.02 / 3600 * spacing), length, 0.01);
        Assert.InRange(fall, 0.19, 0.75);
        Assert.True(length >= 100 || fall < 0.25);
        Assert.Contains("Of 1 zone the texture is not known", File.ReadAllText(Path.Combine(_farm.Out, "plan.json")), StringComparison.Ordinal);
        Assert.Contains("fine sand (loamy sand zone)", File.ReadAllText(Path.Combine(_farm.Out, "plan.json")), StringComparison.Ordinal);

        // Left out, the sand has no say; and a fall that is given stands.
        string without = _farm.Write("without.geojson", Both(Zone("clay loam", 0, 100), Zone("loamy sand", 100, 300, ", \"left_out\": true")));
        Assert.True(Cli.Run(_farm.Plan("--critical-length", "auto", "--soil-zones", without, "--fall", "0.8", "--overwrite")).Exit is 0 or 3);
        string text = File.ReadAllText(Path.Combine(_farm.Out, "plan.json"));
        Assert.Contains("firm loam (clay loam zone)", text, StringComparison.Ordinal);
        Assert.Equal(0.8, JsonDocument.Parse(text).RootElement.GetProperty("options").GetProperty("fall_pct").GetDouble());

        Assert.Contains("is for --critical-length auto", Cli.Run(_farm.Plan("--soil-zones", zones, "--overwrite")).Error, StringComparison.Ordinal);
        Assert.Contains("must be a texture class", Cli.Run(_farm.Plan("--critical-length", "auto", "--soil-zones", _farm.Write("odd.geojson", Zone("mud", 0, 300)), "--overwrite")).Error, StringComparison.Ordinal);
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
