using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Commands;

namespace Keyline.Console.Tests;

/// <summary>The demo gives a newcomer a farm and a whole plan, and a job to go on from.</summary>
public sealed class DemoTests : IDisposable
{
    private readonly string _root = Directory.CreateTempSubdirectory("keyline-demo-").FullName;

    public void Dispose() => Directory.Delete(_root, recursive: true);

    [Fact]
    public void Demo_WritesTheFarmAndItsPlan_AndTheLinesMeasureTheSameAgain()
    {
        string demo = Path.Combine(_root, "demo");
        CliResult result = Cli.Run("demo", "--out", demo, "--pdf");
        Assert.Equal(0, result.Exit);
        Assert.DoesNotContain("Not kept everywhere", result.Output, StringComparison.Ordinal);
        Assert.Equal("", result.Error);
        Assert.Contains("invented", result.Output, StringComparison.Ordinal);
        Assert.All([.. PlanFiles.Names, "report.html", "report.pdf", "sheets.pdf"], name => Assert.True(File.Exists(Path.Combine(demo, name)), name));

        // Where no line is near, the page says on which side, and what lies beyond: the side stands in the check's own sentence.
        string page = File.ReadAllText(Path.Combine(demo, "report.html"));
        Assert.Contains(" on its left", page, StringComparison.Ordinal);
        Assert.Contains("the next line that way is <bdi>R", page, StringComparison.Ordinal);
        Assert.DoesNotContain(" on one side;", page, StringComparison.Ordinal);
        Assert.DoesNotContain(" on one side, and", page, StringComparison.Ordinal);

        // The job file it leaves asks for the very plan it made.
        Arguments job = new();
        JobFile.AddTo(job, Path.Combine(demo, "farm", "job.json"));
        PlanRequest request = PlanRequest.From(job);
        using JsonDocument summary = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(demo, "plan.json")));
        Assert.Equal(request.Layout.Spacing, summary.RootElement.GetProperty("options").GetProperty("spacing_m").GetDouble());

        // And its lines can be measured again.
        CliResult check = Cli.Run(
            "check", "--dem", Path.Combine(demo, "farm", "dem.tif"), "--lines", Path.Combine(demo, "plan.geojson"),
            "--field", Path.Combine(demo, "farm", "field.geojson"), "--spacing", "10 ft", "--json");
        Assert.Equal("", check.Error);
        using JsonDocument plan = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(demo, "plan.geojson")));
        using JsonDocument measured = JsonDocument.Parse(check.Output);
        Assert.Equal(
            plan.RootElement.GetProperty("features").EnumerateArray().Count(f => f.GetProperty("properties").GetProperty("kind").GetString() == "rip-line"),
            measured.RootElement.GetProperty("lines").GetArrayLength());
        // Through longitude and latitude, rounded to a centimetre, the measures stay, but for where the samples fall.
        Dictionary<string, JsonElement> planned = plan.RootElement.GetProperty("features").EnumerateArray().Select(f => f.GetProperty("properties"))
            .Where(p => p.GetProperty("kind").GetString() == "rip-line").ToDictionary(p => p.GetProperty("id").GetString()!);
        Assert.All(measured.RootElement.GetProperty("lines").EnumerateArray(), line =>
        {
            JsonElement before = planned[line.GetProperty("id").GetString()!];
            Assert.Equal(before.GetProperty("length_m").GetDouble(), line.GetProperty("length_m").GetDouble(), 0.2);
            Assert.Equal(before.GetProperty("grade_mean_pct").GetDouble(), line.GetProperty("grade_mean_pct").GetDouble(), 0.2);
        });

        // The two commands it proposes for soil and season do what they say, as they are printed.
        foreach (string kind in (string[])["soil", "season"])
        {
            string line = result.Output.Split('\n').Single(l => l.StartsWith($"  {Product.CalledAs} {kind} ", StringComparison.Ordinal)).TrimEnd();
            CliResult proposed = Cli.Run(line[$"  {Product.CalledAs} ".Length..].Split(' ', StringSplitOptions.RemoveEmptyEntries));
            Assert.True(proposed.Exit == 0, line + proposed.Error);
            Assert.True(File.Exists(Path.Combine(demo, kind, kind + ".html")));
        }

        CliResult twice = Cli.Run("demo", "--out", demo);
        Assert.Equal(2, twice.Exit);
        Assert.Contains("--overwrite", twice.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void TheProposal_NamesAProgramThatIsThere()
    {
        Assert.Equal("keyline", Product.Called("/opt/tools/keyline", AppContext.BaseDirectory));
        string called = Product.Called("/usr/bin/dotnet", AppContext.BaseDirectory);
        Assert.True(File.Exists(called.Replace("dotnet ", "", StringComparison.Ordinal).Trim('"')), called);
    }
}
