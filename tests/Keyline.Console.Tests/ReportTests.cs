using System.Text.Json;
using Keyline.Water;

namespace Keyline.Console.Tests;

/// <summary>What keyline report puts into a plan's report, and what it refuses.</summary>
public sealed class ReportTests(PlannedFarm planned) : IClassFixture<PlannedFarm>
{
    private const string Storm = """
        { "settings": { "storm": "40 mm in 1 h", "soil": "clay loam", "cases": [
          { "name": "as it is", "lines_km": 0, "taken_in_mm": 11.7, "by_fifths_mm": [12, 11, 11, 11, 11], "runoff_mm": 27.8, "peak_l_s": 5871 },
          { "name": "with the plan", "lines_km": LENGTH, "taken_in_mm": 21.9, "by_fifths_mm": [21, 22, 22, 21, 21], "runoff_mm": 17.7, "peak_l_s": 4343 } ],
          "said": ["Line R001 <b>spills</b>."] } }
        """;

    [Fact]
    public void Report_PutsAStormIntoThePlansReport_AndTakesItOutAgain()
    {
        using TestFarm farm = new();
        string plan = Copied(farm), water = Folder(farm, "water", Storm);
        string bare = File.ReadAllText(Path.Combine(plan, "report.html"));
        CliResult result = Cli.Run("report", plan, "--with", water);
        Assert.Equal((0, ""), (result.Exit, result.Error));
        Assert.Contains("40 mm in 1 h", result.Output, StringComparison.Ordinal);
        string page = File.ReadAllText(Path.Combine(plan, "report.html"));
        Assert.Contains("clay loam", page, StringComparison.Ordinal);
        Assert.Contains("&lt;b&gt;spills", page, StringComparison.Ordinal);
        Assert.Contains("{\"R001\":[3,4]}", page, StringComparison.Ordinal);
        Assert.Equal(0, Cli.Run("report", plan, "--quiet").Exit);
        Assert.Equal(bare, File.ReadAllText(Path.Combine(plan, "report.html")));
    }

    [Fact]
    public void Report_ToAnotherFolder_LeavesThePlansAsItIs()
    {
        using TestFarm farm = new();
        string plan = Copied(farm), water = Folder(farm, "water", Storm), bare = File.ReadAllText(Path.Combine(plan, "report.html")), client = Path.Combine(farm.Folder, "client");
        CliResult result = Cli.Run("report", plan, "--with", water, "--out", client, "--json");
        using JsonDocument said = JsonDocument.Parse(result.Output);
        Assert.Equal("40 mm in 1 h", said.RootElement.GetProperty("storm").GetString());
        Assert.Equal(bare, File.ReadAllText(Path.Combine(plan, "report.html")));
        Assert.Contains("clay loam", File.ReadAllText(Path.Combine(client, "report.html")), StringComparison.Ordinal);
    }

    [Fact]
    public void Report_OnPaper_IsPutInOrderWithThePage_AndIsRefusedWithoutItsMap()
    {
        using TestFarm farm = new();
        string plan = Copied(farm), water = Folder(farm, "water", Storm), paper = Path.Combine(plan, "report.pdf"), picture = Path.Combine(plan, "plan.png");
        Assert.Equal(0, Cli.Run("report", plan, "--quiet").Exit);
        Assert.False(File.Exists(paper));
        CliResult made = Cli.Run("report", plan, "--pdf", "--paper", "letter");
        Assert.Equal((0, ""), (made.Exit, made.Error));
        Assert.Contains("report.pdf", made.Output, StringComparison.Ordinal);
        byte[] bare = File.ReadAllBytes(paper);
        Assert.Contains("MediaBox [0 0 612 792]", System.Text.Encoding.Latin1.GetString(bare), StringComparison.Ordinal);

        // Without --pdf the pages that lie there follow the page, on the paper they have.
        Assert.Equal(0, Cli.Run("report", plan, "--with", water, "--quiet").Exit);
        byte[] watered = File.ReadAllBytes(paper);
        Assert.NotEqual(bare, watered);
        Assert.Contains("MediaBox [0 0 612 792]", System.Text.Encoding.Latin1.GetString(watered), StringComparison.Ordinal);
        Assert.Equal(0, Cli.Run("report", plan, "--quiet").Exit);
        Assert.Equal(bare, File.ReadAllBytes(paper));

        string client = Path.Combine(farm.Folder, "client");
        Assert.Equal(0, Cli.Run("report", plan, "--out", client, "--quiet").Exit);
        Assert.False(File.Exists(Path.Combine(client, "report.pdf")));
        Refused("is for PDF files", "--paper", "letter", "--out", client, "--overwrite");
        File.WriteAllText(picture, "no picture");
        Refused("plan.png in", "--pdf");
        File.Delete(picture);
        Refused("holds no plan.png", "--pdf");
        Assert.Equal(bare, File.ReadAllBytes(paper));

        void Refused(string what, params string[] options)
        {
            CliResult result = Cli.Run(["report", plan, .. options]);
            Assert.Equal(2, result.Exit);
            Assert.Contains(what, result.Error, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Report_OfAnotherPlan_OrDamaged_IsRefused()
    {
        using TestFarm farm = new();
        string plan = Copied(farm);
        Refused("was made of another plan", Folder(farm, "other", Storm.Replace("LENGTH", "1.5", StringComparison.Ordinal)));
        Refused("is damaged", Folder(farm, "broken", "{ \"settings\": "));
        Refused("is no file of ours", Folder(farm, "list", "[]"));
        Refused("tells of no storm", Folder(farm, "empty", "{}"));
        Refused("There is no folder", Path.Combine(farm.Folder, "nowhere"));
        Refused("holds none of work.json, water.json, driven.json", farm.Folder);
        File.WriteAllText(Path.Combine(plan, "report.html"), "<html></html>");
        Refused("make the plan again", null);
        File.Delete(Path.Combine(plan, "report.html"));
        Refused("holds no report.html", null);

        void Refused(string what, string? with)
        {
            CliResult result = with is null ? Cli.Run("report", plan) : Cli.Run("report", plan, "--with", with);
            Assert.Equal(2, result.Exit);
            Assert.Contains(what, result.Error, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Report_TakesWhatTheOtherCommandsWrote_AndRefusesWhatIsOfOtherLand()
    {
        using TestFarm farm = new();
        string plan = Copied(farm), daily = farm.At("daily.csv");
        using (StreamWriter text = new(daily))
        {
            InventedWeather.Write(text, 3, new DateOnly(2010, 1, 1), 3 * 365);
        }

        Done(3, "driven", plan, "--track", Path.Combine(planned.Farm.Out, "guidance", "lines.gpx"), "--cross-track", "1 mm", "--out", farm.At("driven"));
        Done(0, "soil", "--sites", Land(farm, "here.geojson", 0), "--out", farm.At("soil"));
        Done(0, "soil", "--sites", Land(farm, "far.geojson", 5000), "--out", farm.At("far"));
        Done(0, "season", "--weather", daily, "--plan", plan, "--soil", "loam", "--depth", "40 cm", "--out", farm.At("season"));
        File.Delete(daily);
        using JsonDocument said = JsonDocument.Parse(Done(0, "report", plan, "--with", string.Join(',', farm.At("driven"), farm.At("soil"), farm.At("season")), "--json"));
        Assert.Equal((2, true), (said.RootElement.GetProperty("soil_zones").GetInt32(), said.RootElement.GetProperty("season").GetBoolean()));
        using JsonDocument written = JsonDocument.Parse(File.ReadAllText(Path.Combine(farm.At("driven"), "driven.json")));
        Assert.Equal(written.RootElement.GetProperty("figures").GetProperty("driven_m").GetDouble(), said.RootElement.GetProperty("driven_m").GetDouble(), 0.06);
        Assert.Equal(0.001, written.RootElement.GetProperty("error_allowed_m").GetDouble());
        string page = File.ReadAllText(Path.Combine(plan, "report.html"));
        Assert.Contains("&lt;i&gt;ledge", page, StringComparison.Ordinal);
        Assert.Contains("Lines run over land that should not be ripped", page, StringComparison.Ordinal);
        Assert.DoesNotContain("keyline soil”)", page, StringComparison.Ordinal);
        Assert.Contains("keyline trial”)", page, StringComparison.Ordinal);

        CliResult far = Cli.Run("report", plan, "--with", farm.At("far"));
        Assert.Equal(2, far.Exit);
        Assert.Contains("tells of other land", far.Error, StringComparison.Ordinal);
        File.Delete(Path.Combine(farm.At("driven"), "driven.json"));
        Assert.Contains("run keyline driven again", Cli.Run("report", plan, "--with", farm.At("driven")).Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Report_SaysThePlansOwnSentencesInSpanishToo()
    {
        using JsonDocument summary = JsonDocument.Parse(File.ReadAllText(Path.Combine(planned.Farm.Out, "plan.json")));
        string page = File.ReadAllText(Path.Combine(planned.Farm.Out, "report.html"));
        string[] said = [.. summary.RootElement.GetProperty("warnings").EnumerateArray().Concat(summary.RootElement.GetProperty("left_out").EnumerateArray()).Select(s => s.GetString()!)];
        Assert.NotEmpty(said);
        Assert.Contains("Las alturas se toman en metros", page, StringComparison.Ordinal);
        Assert.DoesNotContain("<li lang=\"en-GB\">", page, StringComparison.Ordinal);
    }

    [Fact]
    public void Report_TakesATrialOfThisPlanOnly()
    {
        using TestFarm farm = new();
        string plan = Copied(farm);
        const string Trial = """
            { "format": 1, "kind": "randomised", "field": "NAME", "effect": 2, "blocks_wanted": 9, "plot_length_m": 80, "treatments": [ { "id": "unripped", "text": "", "control": true }, { "id": "ripped", "text": "ripped <u>deep</u>", "control": false } ],
            "blocks": [ { "number": 1 } ], "plots": [ { "id": "B1P1", "treatment": "unripped", "lines": ["R001"] }, { "id": "B1P2", "treatment": "ripped", "lines": ["LINE"] } ], "notes": ["9 blocks"] }
            """;
        const string Results = """{ "format": 1, "kind": "randomised", "worked_on": "2027-05-01", "measures": [ { "measure": "infiltration", "unit": "mm/h", "ratio": true, "treatment": "ripped", "answer": "more", "effect": 2.5, "interval_95": [2.1, 3.1], "sentence": "More." } ], "due": [], "findings": [] }""";
        string name = JsonDocument.Parse(File.ReadAllText(Path.Combine(plan, "plan.json"))).RootElement.GetProperty("field").GetProperty("name").GetString()!;
        string own = Made("own", "trial.json", Trial.Replace("NAME", name, StringComparison.Ordinal).Replace("LINE", "R002", StringComparison.Ordinal)), results = Made("results", "results.json", Results);
        Assert.Equal(0, Cli.Run("report", plan, "--with", own, "--with", results, "--quiet").Exit);
        string page = File.ReadAllText(Path.Combine(plan, "report.html"));
        Assert.Contains("ripped &lt;u&gt;deep", page, StringComparison.Ordinal);
        Assert.Contains("<bdi>1</bdi> de mayo de <bdi>2027</bdi>", page, StringComparison.Ordinal);
        Assert.Contains("data-v=\"3.1\"", page, StringComparison.Ordinal);
        foreach (string other in (string[])[Trial.Replace("NAME", "Elsewhere", StringComparison.Ordinal).Replace("LINE", "R002", StringComparison.Ordinal), Trial.Replace("NAME", name, StringComparison.Ordinal).Replace("LINE", "R9999", StringComparison.Ordinal)])
        {
            CliResult refused = Cli.Run("report", plan, "--with", Made("other", "trial.json", other));
            Assert.Equal(2, refused.Exit);
            Assert.Contains("a trial on another plan", refused.Error, StringComparison.Ordinal);
        }

        string Made(string folder, string file, string json)
        {
            Directory.CreateDirectory(farm.At(folder));
            File.WriteAllText(Path.Combine(farm.At(folder), file), json);
            return farm.At(folder);
        }
    }

    private static string Done(int exit, params string[] words)
    {
        CliResult result = Cli.Run(words);
        Assert.True(result.Exit == exit, result.Error + result.Output);
        return result.Output;
    }

    // Two soils side by side, so many metres east of the farm.
    private static string Land(TestFarm farm, string name, double east)
    {
        Formats.GroundCrs crs = Formats.GroundCrs.FromEpsg(32610);
        return farm.Write(name, "{\"type\":\"FeatureCollection\",\"features\":[" + Site(-500, 140, """{"name":"loam","texture":"loam","pan_depth_cm":22,"pan_bottom_cm":32,"drainage":"well"}""") + "," + Site(140, 900, """{"name":"<i>ledge","texture":"loam","rock_depth_cm":25}""") + "]}");

        string Site(double from, double to, string properties) => $"{{\"type\":\"Feature\",\"properties\":{properties},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[{Place(from, -500)},{Place(to, -500)},{Place(to, 900)},{Place(from, 900)},{Place(from, -500)}]]}}}}";

        string Place(double x, double y)
        {
            (double lon, double lat) = crs.ToLonLat(TestFarm.West + east + x, TestFarm.South + y);
            return FormattableString.Invariant($"[{lon:F8},{lat:F8}]");
        }
    }

    private string Copied(TestFarm farm)
    {
        string to = Path.Combine(farm.Folder, "copy");
        Directory.CreateDirectory(to);
        foreach (string name in (string[])["plan.geojson", "plan.json", "report.html", "plan.png", Keyline.Console.Cli.WrittenFiles.Name])
        {
            File.Copy(Path.Combine(planned.Farm.Out, name), Path.Combine(to, name));
        }

        return to;
    }

    private string Folder(TestFarm farm, string name, string json)
    {
        using JsonDocument summary = JsonDocument.Parse(File.ReadAllText(Path.Combine(planned.Farm.Out, "plan.json")));
        string folder = Path.Combine(farm.Folder, name), length = FormattableString.Invariant($"{summary.RootElement.GetProperty("lines").GetProperty("total_length_m").GetDouble() / 1000}");
        Directory.CreateDirectory(folder);
        File.WriteAllText(Path.Combine(folder, "water.json"), json.Replace("LENGTH", length, StringComparison.Ordinal));
        File.WriteAllText(Path.Combine(folder, "lines.csv"), "id,length_m,taken_m3,soaked_m3,held_m3,spilled_m3\nR001,10,5,3,1,4\n");
        return folder;
    }
}
