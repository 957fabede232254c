using System.Globalization;
using System.Text.Json;
using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>A farm with one plan made on it, shared by tests that only look.</summary>
public sealed class PlannedFarm : IDisposable
{
    public PlannedFarm()
    {
        using StringWriter output = new();
        using StringWriter error = new();
        Exit = App.Run(Farm.Plan(), new RunContext(output, error, ShowProgress: true, CancellationToken.None));
        Output = output.ToString();
        Error = error.ToString();
    }

    internal TestFarm Farm { get; } = new();

    internal int Exit { get; }

    internal string Output { get; }

    internal string Error { get; }

    public void Dispose() => Farm.Dispose();
}

/// <summary>The main job, whole.</summary>
public sealed class PlanTests(PlannedFarm planned) : IClassFixture<PlannedFarm>, IDisposable
{
    private static readonly string[] Files = ["guidance/lines.gpx", "guidance/waypoints.csv", "plan.geojson", "plan.json", "plan.png", "report.html"];

    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Plan_WritesEveryFileAndSaysSo()
    {
        Assert.Contains(planned.Exit, (int[])[0, 3]);
        Assert.Equal(Files, Written(planned.Farm.Out));
        Assert.Contains("rip line", planned.Output, StringComparison.Ordinal);
        Assert.All(Files, name => Assert.Contains(name, planned.Output, StringComparison.Ordinal));
        Assert.DoesNotContain(planned.Farm.Contents(), name => name.StartsWith('.'));
    }

    [Fact]
    public void Plan_ShowsProgressOnATerminalAndWipesIt()
    {
        Assert.Contains("\rreading the ground", planned.Error, StringComparison.Ordinal);
        Assert.EndsWith(" \r", planned.Error, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', planned.Error);
        Assert.True(string.IsNullOrWhiteSpace(LeftOnTheLine(planned.Error)), LeftOnTheLine(planned.Error));
    }

    // What a terminal shows after all that was written on one line: a return goes back to the start, the rest overwrites.
    private static string LeftOnTheLine(string written)
    {
        char[] line = new string(' ', written.Length).ToCharArray();
        int at = 0;
        foreach (char c in written)
        {
            if (c == '\r')
            {
                at = 0;
            }
            else
            {
                line[at++] = c;
            }
        }

        return new string(line).TrimEnd();
    }

    [Fact]
    public void Plan_ExitCode_SaysWhetherTheLimitsHold()
    {
        // A limit of 0.02 % cannot be kept on ground that bends; on a plane straight lines hold every limit.
        CliResult strict = Cli.Run(_farm.Plan("--max-grade", "0.02", "--fall", "0.02"));
        Assert.Equal(3, strict.Exit);
        Assert.Contains("Not kept everywhere", strict.Output, StringComparison.Ordinal);
        using JsonDocument summary = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json")));
        Assert.False(summary.RootElement.GetProperty("limits_held").GetBoolean());
        string plane = _farm.WriteDem("plane.asc", (x, y) => 50 + (0.04 * y));
        string box = _farm.WriteField("box.geojson", [(30, 30), (250, 30), (250, 192), (30, 192)]);
        CliResult held = Cli.Run("plan", "--dem", plane, "--field", box, "--spacing", "6 m", "--fall", "0", "--headland", "0 m", "--out", _farm.Out, "--overwrite");
        Assert.True(held.Exit == 0, held.Output);
    }

    [Fact]
    public void Plan_SeveralFilesOfAvoidedAreas_AreAllKeptClearOf()
    {
        string plane = _farm.WriteDem("plane.asc", (x, y) => 50 + (0.04 * y));
        string box = _farm.WriteField("box.geojson", [(30, 30), (250, 30), (250, 192), (30, 192)]);
        string west = _farm.Write("west.geojson", TestFarm.Feature("LineString", TestFarm.Line([(80, 20), (80, 200)]), """{"name":"drain","setback_m":4}"""));
        string east = _farm.Write("east.geojson", TestFarm.Feature("LineString", TestFarm.Line([(180, 20), (180, 200)]), """{"name":"cable","setback_m":6}"""));
        CliResult made = Cli.Run("plan", "--dem", plane, "--field", box, "--avoid", west, "--avoid", east, "--spacing", "6 m", "--fall", "0", "--headland", "0 m", "--out", _farm.Out, "--quiet");
        Assert.True(made.Exit is 0 or 3, made.Error);
        JsonElement plan = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json"))).RootElement;
        Assert.Equal(["west.geojson", "east.geojson"], plan.GetProperty("inputs").EnumerateArray().Where(i => i.GetProperty("role").GetString() == "avoid").Select(i => i.GetProperty("file").GetString()));
        Assert.Equal((8 + 12) * 162, plan.GetProperty("field").GetProperty("avoided_m2").GetDouble(), 30.0);
    }

    [Fact]
    public void Plan_Quiet_SaysNothingEvenOnATerminal()
    {
        using StringWriter output = new();
        using StringWriter error = new();
        App.Run(_farm.Plan("--quiet"), new RunContext(output, error, ShowProgress: true, CancellationToken.None));
        Assert.Equal("", output.ToString());
        Assert.Equal("", error.ToString());
        Assert.Equal(Files, Written(_farm.Out));
    }

    [Fact]
    public void Plan_Again_UnderACommaCulture_GivesTheSameBytes()
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        CultureInfo? beforeDefault = CultureInfo.DefaultThreadCurrentCulture;
        try
        {
            CultureInfo german = CultureInfo.GetCultureInfo("de-DE");
            Assert.Equal("1,5", 1.5.ToString(german));
            CultureInfo.CurrentCulture = german;
            CultureInfo.DefaultThreadCurrentCulture = german;
            CliResult result = Cli.Run(_farm.Plan());
            Assert.Equal(planned.Output.Replace(planned.Farm.Folder, "", StringComparison.Ordinal), result.Output.Replace(_farm.Folder, "", StringComparison.Ordinal));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
            CultureInfo.DefaultThreadCurrentCulture = beforeDefault;
        }

        Assert.All(Files, name => Assert.Equal(File.ReadAllBytes(Path.Combine(planned.Farm.Out, name)), File.ReadAllBytes(Path.Combine(_farm.Out, name))));
    }

    [Fact]
    public void Plan_StoppedAtTheStart_LeavesNothing()
    {
        string[] before = _farm.Contents();
        CliResult result = Cli.Run(new CancellationToken(canceled: true), _farm.PlanWith("--out", _farm.At("new/deep/out")));
        Assert.Equal(130, result.Exit);
        Assert.Equal(before, _farm.Contents());
    }

    [Theory]
    [InlineData(30)]
    [InlineData(120)]
    [InlineData(400)]
    public void Plan_StoppedOnTheWay_LeavesNothingOrAWholePlan(int milliseconds)
    {
        string[] before = _farm.Contents();
        using CancellationTokenSource stop = new(milliseconds);
        CliResult result = Cli.Run(stop.Token, _farm.Plan());
        if (result.Exit == 130)
        {
            Assert.Equal(before, _farm.Contents());
            Assert.Contains("nothing was written", result.Error, StringComparison.Ordinal);
        }
        else
        {
            Assert.Equal(Files, Written(_farm.Out));
        }
    }

    [Fact]
    public void Plan_Overwrite_ReplacesTheOldPlanOnlyByAWholeOne()
    {
        string summary = Path.Combine(_farm.Out, "plan.json");
        Assert.Contains(Cli.Run(_farm.Plan("--quiet", "--fall", "0.5")).Exit, (int[])[0, 3]);
        string old = File.ReadAllText(summary);
        Assert.Equal(2, Cli.Run([.. _farm.PlanWith("--spacing", "900 m"), "--overwrite"]).Exit);
        Assert.Equal(old, File.ReadAllText(summary));
        Assert.Equal(130, Cli.Run(new CancellationToken(canceled: true), _farm.Plan("--overwrite")).Exit);
        Assert.Equal(old, File.ReadAllText(summary));
        Assert.Contains(Cli.Run(_farm.Plan("--overwrite", "--quiet")).Exit, (int[])[0, 3]);
        Assert.Equal(Files, Written(_farm.Out));
        Assert.NotEqual(old, File.ReadAllText(summary));
        Assert.DoesNotContain(_farm.Contents(), name => name.StartsWith('.'));
    }

    [Fact]
    public void Plan_Overwrite_LeavesOtherFilesAndRefusesOnesOfItsNames()
    {
        Directory.CreateDirectory(_farm.Out);
        File.WriteAllText(Path.Combine(_farm.Out, "diary.txt"), "mine");
        File.WriteAllText(Path.Combine(_farm.Out, "plan.png"), "mine as well");
        CliResult result = Cli.Run(_farm.Plan("--overwrite"));
        Assert.Equal(2, result.Exit);
        Assert.Contains("plan.png, which keyline did not write", result.Error, StringComparison.Ordinal);
        File.Delete(Path.Combine(_farm.Out, "plan.png"));
        Assert.Contains(Cli.Run(_farm.Plan("--overwrite", "--quiet")).Exit, (int[])[0, 3]);
        Assert.Equal([.. Files, "diary.txt"], Written(_farm.Out).Order(StringComparer.Ordinal).OrderBy(n => n == "diary.txt"));
        Assert.Equal("mine", File.ReadAllText(Path.Combine(_farm.Out, "diary.txt")));
    }

    private static string[] Written(string folder) =>
        [.. Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories).Select(p => Path.GetRelativePath(folder, p).Replace('\\', '/')).Where(n => n != Keyline.Console.Cli.WrittenFiles.Name).Order(StringComparer.Ordinal)];
}
