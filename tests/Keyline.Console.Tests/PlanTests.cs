using System.Globalization;
using System.Text.Json;

namespace Keyline.Console.Tests;

/// <summary>The main job, whole.</summary>
public sealed class PlanTests : IDisposable
{
    private static readonly string[] Files = ["guidance/lines.gpx", "guidance/waypoints.csv", "plan.geojson", "plan.json", "plan.png"];

    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Plan_WritesEveryFileAndSaysSo()
    {
        CliResult result = Cli.Run(_farm.Plan());
        Assert.Contains(result.Exit, (int[])[0, 3]);
        Assert.Equal("", result.Error);
        Assert.Equal(Files, Written(_farm.Out));
        Assert.Contains("rip line", result.Output, StringComparison.Ordinal);
        Assert.Contains("plan.geojson", result.Output, StringComparison.Ordinal);
        Assert.DoesNotContain(_farm.Contents(), name => name.Contains(".partial", StringComparison.Ordinal));
    }

    [Fact]
    public void Plan_ExitCode_SaysWhetherTheLimitsHold()
    {
        // A limit of 0.02 % cannot be kept on ground that bends; 8 % can, where the land itself is no steeper than 10 %.
        Assert.Equal(3, Cli.Run(_farm.Plan("--max-grade", "0.02", "--fall", "0.02", "--quiet")).Exit);
        string said = Cli.Run(_farm.Plan("--max-grade", "0.02", "--fall", "0.02", "--overwrite")).Output;
        Assert.Contains("Not kept everywhere", said, StringComparison.Ordinal);
        Assert.Equal(0, Cli.Run(_farm.Plan("--max-grade", "8", "--min-radius", "0 m", "--overwrite", "--quiet")).Exit);
    }

    [Fact]
    public void Plan_Quiet_SaysNothing()
    {
        CliResult result = Cli.Run(_farm.Plan("--quiet"));
        Assert.Equal("", result.Output);
        Assert.Equal("", result.Error);
        Assert.Equal(Files, Written(_farm.Out));
    }

    [Fact]
    public void Plan_Json_PrintsOneObjectThatHoldsTheSummary()
    {
        CliResult result = Cli.Run(_farm.Plan("--json"));
        using JsonDocument printed = JsonDocument.Parse(result.Output);
        using JsonDocument written = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json")));
        foreach (JsonProperty property in written.RootElement.EnumerateObject())
        {
            Assert.True(JsonElement.DeepEquals(property.Value, printed.RootElement.GetProperty(property.Name)), property.Name);
        }

        Assert.Equal(result.Exit, printed.RootElement.GetProperty("exit_code").GetInt32());
        Assert.All(
            printed.RootElement.GetProperty("files").EnumerateArray(),
            file => Assert.True(File.Exists(Path.Combine(printed.RootElement.GetProperty("folder").GetString()!, file.GetString()!))));
    }

    [Fact]
    public void Plan_Twice_GivesTheSameBytes()
    {
        Cli.Run(_farm.PlanWith("--out", _farm.At("one")));
        Cli.Run(_farm.PlanWith("--out", _farm.At("two")));
        SameBytes(_farm.At("one"), _farm.At("two"));
    }

    [Fact]
    public void Plan_UnderACommaCulture_GivesTheSameBytes()
    {
        Cli.Run(_farm.PlanWith("--out", _farm.At("one")));
        CultureInfo before = CultureInfo.CurrentCulture;
        CultureInfo beforeDefault = CultureInfo.DefaultThreadCurrentCulture ?? before;
        try
        {
            CultureInfo german = CultureInfo.GetCultureInfo("de-DE");
            Assert.Equal("1,5", 1.5.ToString(german));
            CultureInfo.CurrentCulture = german;
            CultureInfo.DefaultThreadCurrentCulture = german;
            CliResult result = Cli.Run(_farm.PlanWith("--out", _farm.At("two")));
            Assert.Contains(result.Exit, (int[])[0, 3]);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
            CultureInfo.DefaultThreadCurrentCulture = beforeDefault;
        }

        SameBytes(_farm.At("one"), _farm.At("two"));
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
    public void Plan_Overwrite_ReplacesTheOldPlan()
    {
        Cli.Run(_farm.Plan());
        byte[] first = File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json"));
        CliResult result = Cli.Run([.. _farm.PlanWith("--spacing", "9 m"), "--overwrite"]);
        Assert.Contains(result.Exit, (int[])[0, 3]);
        Assert.NotEqual(first, File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json")));
        Assert.Equal(Files, Written(_farm.Out));
        Assert.DoesNotContain(_farm.Contents(), name => name.StartsWith('.'));
    }

    [Fact]
    public void Plan_OverwriteThatFails_KeepsTheOldPlan()
    {
        Cli.Run(_farm.Plan());
        byte[] first = File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json"));
        CliResult bad = Cli.Run([.. _farm.PlanWith("--spacing", "900 m"), "--overwrite"]);
        Assert.Equal(2, bad.Exit);
        CliResult stopped = Cli.Run(new CancellationToken(canceled: true), _farm.Plan("--overwrite"));
        Assert.Equal(130, stopped.Exit);
        Assert.Equal(first, File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json")));
        Assert.Equal(Files, Written(_farm.Out));
    }

    [Fact]
    public void Plan_Overwrite_NeverTouchesAFolderWithOtherFiles()
    {
        Directory.CreateDirectory(_farm.Out);
        File.WriteAllText(Path.Combine(_farm.Out, "diary.txt"), "mine");
        CliResult result = Cli.Run(_farm.Plan("--overwrite"));
        Assert.Equal(2, result.Exit);
        Assert.Contains("diary.txt", result.Error, StringComparison.Ordinal);
        Assert.Equal("mine", File.ReadAllText(Path.Combine(_farm.Out, "diary.txt")));
    }

    [Fact]
    public void Progress_OnATerminalOnly()
    {
        using StringWriter output = new();
        using StringWriter error = new();
        App.Run(_farm.Plan(), new RunContext(output, error, ShowProgress: true, CancellationToken.None));
        Assert.Contains('\r', error.ToString());
        // Wiped at the end.
        Assert.EndsWith("\r", error.ToString(), StringComparison.Ordinal);

        using StringWriter quiet = new();
        App.Run(_farm.Plan("--overwrite", "--quiet"), new RunContext(output, quiet, ShowProgress: true, CancellationToken.None));
        Assert.Equal("", quiet.ToString());
    }

    private static string[] Written(string folder) =>
        [.. Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories).Select(p => Path.GetRelativePath(folder, p).Replace('\\', '/')).Order(StringComparer.Ordinal)];

    private static void SameBytes(string one, string other)
    {
        Assert.Equal(Files, Written(one));
        Assert.All(Files, name => Assert.Equal(File.ReadAllBytes(Path.Combine(one, name)), File.ReadAllBytes(Path.Combine(other, name))));
    }
}
