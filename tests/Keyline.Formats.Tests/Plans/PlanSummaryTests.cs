using System.Text;
using System.Text.Json;
using Keyline.Check;
using Keyline.Formats.Tests.Support;

namespace Keyline.Formats.Tests.Plans;

public sealed class PlanSummaryTests
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);

    [Fact]
    public void Write_HoldsTheFiguresOfThePlan()
    {
        JsonElement root = Parse(Write(SmallPlan.Make()));
        Assert.Equal((3, 480.6), (root.GetProperty("lines").GetProperty("count").GetInt32(), root.GetProperty("lines").GetProperty("total_length_m").GetDouble()));
        JsonElement spacing = root.GetProperty("spacing");
        Assert.Equal((3.0, 0.94, 0.98), (spacing.GetProperty("asked_m").GetDouble(), spacing.GetProperty("within_10pct_share").GetDouble(), spacing.GetProperty("within_25pct_share").GetDouble()));
        Assert.Equal((3.001, 0.99), (spacing.GetProperty("same_guide").GetProperty("median_m").GetDouble(), spacing.GetProperty("same_guide").GetProperty("within_2pct_share").GetDouble()));
        Assert.Equal((2, 4.161), (root.GetProperty("lines").GetProperty("inner_ends").GetInt32(), root.GetProperty("lines").GetProperty("inner_ends_per_km").GetDouble()));
        Assert.Equal((2.0, 0.97), (root.GetProperty("grade").GetProperty("limit_pct").GetDouble(), root.GetProperty("grade").GetProperty("within_limit_share").GetDouble()));
        Assert.Equal(0.9, root.GetProperty("drift").GetProperty("to_ridge_share").GetDouble());
        Assert.Equal(0.95, root.GetProperty("coverage").GetProperty("share").GetDouble());
        Assert.Equal(7, root.GetProperty("radius").GetProperty("shortest_m").GetDouble());
        Assert.Equal("1.2.3", root.GetProperty("version").GetString());
        Assert.Equal("hill.tif", root.GetProperty("inputs")[0].GetProperty("file").GetString());
        Assert.Equal(1, root.GetProperty("landform").GetProperty("keypoints_weak").GetInt32());
        Assert.False(root.GetProperty("limits_held").GetBoolean());
    }

    [Fact]
    public void Write_Areas_AreThoseOfTheShapes()
    {
        JsonElement field = Parse(Write(SmallPlan.Make())).GetProperty("field");
        Assert.Equal((260 * 160) - 400, field.GetProperty("area_m2").GetDouble(), 0.1);

        // 6 m inside the outline and 6 m around the hole, whose corners are rounded.
        double inside = (248.0 * 148.0) - (400 + (4 * 20 * 6) + (Math.PI * 36));
        Assert.Equal((260 * 160) - 400 - inside, field.GetProperty("headland_m2").GetDouble(), 1.5);

        // A disc of 6 m, a strip of 8 m either side of 240 m with round ends, a square of 20 m with 5 m around it.
        double avoided = (Math.PI * 36) + (240 * 16) + (Math.PI * 64) + 400 + (4 * 20 * 5) + (Math.PI * 25);
        Assert.Equal(avoided, field.GetProperty("avoided_m2").GetDouble(), 3.0);
        Assert.Equal(200, field.GetProperty("steep_m2").GetDouble());
    }

    [Fact]
    public void Write_SaysWhatWasAssumedLeftOutAndToBewareOf()
    {
        JsonElement root = Parse(Write(SmallPlan.Make()));
        string[] assumed = Texts(root.GetProperty("assumed"));
        Assert.Contains("Heights were turned from feet into metres.", assumed);
        Assert.Contains(assumed, s => s.Contains("2.5 m", StringComparison.Ordinal) && s.Contains("smoothed", StringComparison.Ordinal));
        Assert.Contains(assumed, s => s.Contains("WGS 84", StringComparison.Ordinal));
        Assert.Equal(["2 pieces shorter than 30 m were left out."], Texts(root.GetProperty("left_out")));
        string[] warnings = Texts(root.GetProperty("warnings"));
        Assert.Contains("Half of the field lies outside the survey.", warnings);
        Assert.Contains(warnings, s => s.Contains("The only keypoint is weak", StringComparison.Ordinal));
        Assert.Contains(warnings, s => s.Contains("tighter than 8 m", StringComparison.Ordinal));
        JsonElement finding = Assert.Single(root.GetProperty("findings").EnumerateArray());
        Assert.Equal(("turn-too-tight", "R002"), (finding.GetProperty("kind").GetString(), finding.GetProperty("line").GetString()));
        Assert.Equal((7.0, 8.0, 12.5), (finding.GetProperty("value").GetDouble(), finding.GetProperty("limit").GetDouble(), finding.GetProperty("length_m").GetDouble()));
        (double lon, double lat) = Utm.ToLonLat(SmallPlan.West + 100, SmallPlan.North - 97);
        Assert.Equal(lon, finding.GetProperty("longitude").GetDouble(), 1e-7);
        Assert.Equal(lat, finding.GetProperty("latitude").GetDouble(), 1e-7);
    }

    // State one-call rules in the USA (811), as cited in Cautions; NRCS Conservation Practice Standard 324, Deep Tillage, Arizona 2008
    // and Maine 2014; 12 in = 304.8 mm, computed here.
    [Theory]
    [InlineData("buried-lines", "811")]
    [InlineData("buried-lines", "305 mm")]
    [InlineData("rollover", "15 degrees")]
    [InlineData("soil-moisture", "field capacity")]
    [InlineData("outlets", "stable outlet")]
    [InlineData("local-codes", "licensed")]
    public void Write_Cautions_AreAllThere(string id, string says)
    {
        JsonElement caution = Assert.Single(Parse(Write(SmallPlan.Make())).GetProperty("cautions").EnumerateArray(), c => c.GetProperty("id").GetString() == id);
        Assert.Contains(says, caution.GetProperty("text").GetString()!, StringComparison.Ordinal);
        Assert.NotEqual("", caution.GetProperty("source").GetString());
    }

    [Fact]
    public void Write_NumbersThatAreNotThere_AreNull()
    {
        LayoutFigures none = SmallPlan.Figures with { ToRidgeShare = double.NaN, MinimumRadius = double.PositiveInfinity, LineCount = 0 };
        JsonElement root = Parse(Write(SmallPlan.Make(figures: none, lines: 0)));
        Assert.Equal(JsonValueKind.Null, root.GetProperty("drift").GetProperty("to_ridge_share").ValueKind);
        Assert.Equal(JsonValueKind.Null, root.GetProperty("radius").GetProperty("shortest_m").ValueKind);
        Assert.Contains("No line could be laid out.", Texts(root.GetProperty("warnings")));
    }

    [Theory]
    [InlineData(0.90, 1, 1, 1, "steeper along the line")]
    [InlineData(1, 0.89, 1, 1, "off the spacing")]
    [InlineData(1, 1, 0.5, 1, "toward the ridge")]
    [InlineData(1, 1, 1, 0.9, "could be worked")]
    public void Warnings_PoorShare_IsSaid(double grade, double spacing, double ridge, double coverage, string says)
    {
        LayoutFigures figures = SmallPlan.Figures with { WithinGradeShare = grade, SpacingWithin10Share = spacing, ToRidgeShare = ridge, Coverage = coverage, TightShare = 0 };
        IReadOnlyList<string> warnings = PlanSummary.Warnings(SmallPlan.Make(figures: figures), new PlanProvenance("1", []));
        Assert.Single(warnings, w => w.Contains(says, StringComparison.Ordinal));
        Assert.Equal(2, warnings.Count);
    }

    [Fact]
    public void Write_SamePlan_GivesSameBytesWhateverTheCulture() =>
        Assert.Equal(Write(SmallPlan.Make()), InCulture.OfCommas(() => Write(SmallPlan.Make())));

    private static string Write(KeylinePlan plan)
    {
        using MemoryStream stream = new();
        PlanSummary.Write(stream, plan, Utm, SmallPlan.Provenance);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static JsonElement Parse(string text)
    {
        using JsonDocument document = JsonDocument.Parse(text);
        return document.RootElement.Clone();
    }

    private static string[] Texts(JsonElement list) => [.. list.EnumerateArray().Select(e => e.GetString()!)];
}
