using System.Text.Json;

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
    public void Report_OfAnotherPlan_OrDamaged_IsRefused()
    {
        using TestFarm farm = new();
        string plan = Copied(farm);
        Refused("was made of another plan", Folder(farm, "other", Storm.Replace("LENGTH", "1.5", StringComparison.Ordinal)));
        Refused("is damaged", Folder(farm, "broken", "{ \"settings\": "));
        Refused("is no file of ours", Folder(farm, "list", "[]"));
        Refused("tells of no storm", Folder(farm, "empty", "{}"));
        Refused("There is no folder", Path.Combine(farm.Folder, "nowhere"));
        Refused("holds neither work.json", farm.Folder);
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

    private string Copied(TestFarm farm)
    {
        string to = Path.Combine(farm.Folder, "copy");
        Directory.CreateDirectory(to);
        foreach (string name in (string[])["plan.geojson", "plan.json", "report.html", Keyline.Console.Cli.WrittenFiles.Name])
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
