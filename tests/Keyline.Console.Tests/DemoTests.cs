using System.Text.Json;

namespace Keyline.Console.Tests;

/// <summary>The demo gives a newcomer a farm and a whole plan, and a job to go on from.</summary>
public sealed class DemoTests : IDisposable
{
    private readonly string _root = Directory.CreateTempSubdirectory("keyline-demo-").FullName;

    public void Dispose() => Directory.Delete(_root, recursive: true);

    [Fact]
    public void Demo_WritesTheFarmAndItsPlan_AndTheJobMakesTheSamePlanAgain()
    {
        string demo = Path.Combine(_root, "demo");
        CliResult result = Cli.Run("demo", "--out", demo);
        Assert.Contains(result.Exit, (int[])[0, 3]);
        Assert.Equal("", result.Error);
        Assert.Contains("invented", result.Output, StringComparison.Ordinal);
        Assert.All(PlanFiles.Names, name => Assert.True(File.Exists(Path.Combine(demo, "plan", name)), name));

        // What the demo ran is the job file it leaves.
        string again = Path.Combine(_root, "again");
        CliResult job = Cli.Run("plan", "--job", Path.Combine(demo, "farm", "job.json"), "--out", again, "--quiet");
        Assert.Equal(result.Exit, job.Exit);
        Assert.Equal(File.ReadAllBytes(Path.Combine(demo, "plan", "plan.geojson")), File.ReadAllBytes(Path.Combine(again, "plan.geojson")));

        // And its lines can be measured again.
        CliResult check = Cli.Run(
            "check", "--dem", Path.Combine(demo, "farm", "dem.tif"), "--lines", Path.Combine(demo, "plan", "plan.geojson"),
            "--field", Path.Combine(demo, "farm", "field.geojson"), "--spacing", "10 ft", "--json");
        Assert.Equal("", check.Error);
        using JsonDocument plan = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(demo, "plan", "plan.geojson")));
        using JsonDocument measured = JsonDocument.Parse(check.Output);
        Assert.Equal(
            plan.RootElement.GetProperty("features").EnumerateArray().Count(f => f.GetProperty("properties").GetProperty("kind").GetString() == "rip-line"),
            measured.RootElement.GetProperty("lines").GetArrayLength());

        CliResult twice = Cli.Run("demo", "--out", demo);
        Assert.Equal(2, twice.Exit);
        Assert.Contains("--overwrite", twice.Error, StringComparison.Ordinal);
    }
}
