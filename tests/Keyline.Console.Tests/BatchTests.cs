using System.Globalization;
using System.Text.Json;
using Keyline.Console.Batch;
using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>A layer of fields is planned field by field, goes on where it was stopped, and tells what failed.</summary>
public sealed class BatchTests : IDisposable
{
    private readonly TestFarm _farm = new();
    private readonly string _plane;

    public BatchTests() => _plane = _farm.WriteDem("plane.asc", (x, y) => 50 + (0.04 * y));

    public void Dispose() => _farm.Dispose();

    // Two fields side by side that can be planned, and whatever else is given.
    private string Layer(params string[] more) => _farm.Write("fields.geojson", $$"""{"type":"FeatureCollection","features":[{{string.Join(",", [Field("West", 40, 120), Field("East side", 150, 230), .. more])}}]}""");

    private static string Field(string name, double west, double east, string attributes = "") =>
        Feature($"[{TestFarm.Line([(west, 40), (east, 40), (east, 160), (west, 160), (west, 40)])}]", $$"""{"name":{{JsonSerializer.Serialize(name)}}{{attributes}}}""");

    private static string Feature(string rings, string properties) => $$"""{"type":"Feature","properties":{{properties}},"geometry":{"type":"Polygon","coordinates":{{rings}} } }""";

    private string Out => _farm.At("county");

    private string[] Words(string layer, params string[] more) => ["batch", "--fields", layer, "--dem", _plane, "--spacing", "8 m", "--fall", "0", "--headland", "0 m", "--out", Out, .. more];

    private string[] Rows() => File.ReadAllLines(Path.Combine(Out, "results.csv"));

    [Fact]
    public void Batch_PlansEachField_AndNoFailureStopsAnother()
    {
        string layer = Layer(
            Field("wider", 40, 120, ",\"plan_spacing\":\"16 m\""), Field("no unit", 40, 120, ",\"plan_spacing\":8"), Field("no option", 40, 120, ",\"plan_spaceing\":\"8 m\""),
            Feature($"[{TestFarm.Line([(40, 40), (120, 160), (120, 40), (40, 160), (40, 40)])}]", """{"name":"<i>bow & tie"}"""));
        CliResult result = Cli.Run(Words(layer, "--json"));
        Assert.Equal("", result.Error);
        Assert.Equal(3, result.Exit);
        JsonElement[] fields = [.. JsonDocument.Parse(result.Output).RootElement.GetProperty("fields").EnumerateArray()];
        Assert.Equal(["West", "East_side", "wider", "no_unit", "no_option", "_i_bow___tie"], fields.Select(f => f.GetProperty("id").GetString()));
        Assert.Equal(["held", "held", "held", "refused", "refused", "refused"], fields.Select(f => f.GetProperty("state").GetString()));
        Assert.Contains("carries its unit", fields[3].GetProperty("sentence").GetString(), StringComparison.Ordinal);
        Assert.Contains("plan_spaceing", fields[4].GetProperty("sentence").GetString(), StringComparison.Ordinal);
        Assert.Contains("cross", fields[5].GetProperty("sentence").GetString(), StringComparison.Ordinal);

        // 80 m by 120 m: lines run along the contour, from fence to fence.
        Assert.Equal(0.96, fields[0].GetProperty("area_ha").GetDouble(), 0.01);
        Assert.Equal(15, fields[0].GetProperty("lines").GetDouble(), 1.0);
        Assert.Equal(fields[0].GetProperty("lines").GetDouble() / 2, fields[2].GetProperty("lines").GetDouble(), 1.0);

        string page = File.ReadAllText(Path.Combine(Out, "index.html"));
        Assert.Contains("&lt;i&gt;bow &amp; tie", page, StringComparison.Ordinal);
        Assert.DoesNotContain("<i>bow", page, StringComparison.Ordinal);
        Assert.Contains("href=\"fields/West/plan/report.html\"", page, StringComparison.Ordinal);
        Assert.True(File.Exists(Path.Combine(Out, "fields", "West", "plan", "report.html")));
        Assert.Equal(7, Rows().Length);

        // A field of a batch is what the plan command makes of it.
        string folder = Path.Combine(Out, "fields", "West"), again = _farm.At("again");
        Assert.Equal(0, Cli.Run("plan", "--job", Path.Combine(folder, "job.json"), "--out", again, "--quiet").Exit);
        foreach (string name in (string[])["plan.geojson", "plan.png", "guidance/lines.gpx", "report.html"])
        {
            Assert.Equal(File.ReadAllBytes(Path.Combine(again, name)), File.ReadAllBytes(Path.Combine(folder, "plan", name)));
        }
    }

    [Fact]
    public void Batch_RunAgain_MakesOnlyWhatIsMissingOrMadeFromOtherThings()
    {
        string layer = Layer(Field("tie", 40, 40));
        Assert.Equal(3, Made(layer, out int failed));
        Assert.Equal(1, failed);
        Assert.Equal(0, Made(layer, out _));
        Assert.Equal(1, Made(layer, out _, "--again", "failed"));

        // As after a kill: the plan stands, its result was not written; or the result stands and the plan is gone.
        File.Delete(Path.Combine(Out, "fields", "West", "result.json"));
        Assert.Equal(1, Made(layer, out _));
        File.Delete(Path.Combine(Out, "fields", "West", "plan", "plan.json"));
        Assert.Equal(1, Made(layer, out _));
        File.WriteAllText(Path.Combine(Out, "fields", "East_side", "result.json"), "{");
        Assert.Equal(1, Made(layer, out _));

        // Another option makes all again; another outline its own field; ground changed since, all.
        Assert.Equal(3, Made(layer, out _, "--min-length", "12 m"));
        layer = Layer(Field("tie", 40, 41));
        Assert.Equal(1, Made(layer, out _, "--min-length", "12 m"));
        File.SetLastWriteTimeUtc(_plane, File.GetLastWriteTimeUtc(_plane).AddSeconds(2));
        Assert.Equal(3, Made(layer, out _, "--min-length", "12 m"));
        Assert.Equal(3, Made(layer, out _, "--min-length", "12 m", "--again", "all"));
    }

    // The batch with a stand-in for the process that plans a field: a summary alone, or for fields called tie a refusal.
    private int Made(string layer, out int failed, params string[] more)
    {
        BatchRequest request = BatchRequest.From(CommandLine.Parse(BatchCommand.Command, [.. Words(layer, more).Skip(1)]));
        BatchFolder.Open(request);
        using StringWriter silent = new();
        using ProgressLine progress = new(new RunContext(silent, silent, false, default), quiet: true);
        int made = BatchRun.Make(request, progress, new RunContext(silent, silent, false, TestContext.Current.CancellationToken), (task, _, _) =>
        {
            if (task.Field.Id == "tie")
            {
                return new FieldOutcome(task.Field.Id, task.Key, FieldOutcome.Refused, 2, 1, 1, "It crosses itself.");
            }

            string plan = Path.Combine(task.Folder, FieldTask.PlanName);
            Directory.CreateDirectory(plan);
            File.WriteAllText(Path.Combine(plan, "plan.json"), $$"""{"field":{"area_m2":20000},"lines":{"count":7,"total_length_m":1500},"findings":[{"breaks_limit":false},{"breaks_limit":true},{"breaks_limit":false}]}""");
            return new FieldOutcome(task.Field.Id, task.Key, FieldOutcome.Held, 0, 1, 1, "");
        });
        failed = request.Fields.Count(f => FieldResult.Read(f, request).Outcome.HasFailed);
        return made;
    }

    [Fact]
    public void AFieldThatIsAtWorkWhenTheRunEnds_HasNoResult_ThoughItHadOneBefore()
    {
        string layer = Layer();
        Assert.Equal(2, Made(layer, out _));
        BatchRequest request = BatchRequest.From(CommandLine.Parse(BatchCommand.Command, [.. Words(layer, "--again", "all", "--at-once", "1").Skip(1)]));
        using StringWriter silent = new();
        using ProgressLine progress = new(new RunContext(silent, silent, false, default), quiet: true);
        Assert.Throws<AggregateException>(() => BatchRun.Make(request, progress, new RunContext(silent, silent, false, TestContext.Current.CancellationToken), (_, _, _) => throw new InvalidOperationException("ended")));
        Assert.False(File.Exists(Path.Combine(Out, "fields", "West", "result.json")));
        Assert.Equal(FieldOutcome.Waiting, FieldResult.Read(request.Fields[0], request).Outcome.State);
    }

    [Theory]
    [InlineData(FieldOutcome.Held, false)]
    [InlineData(FieldOutcome.Look, false)]
    [InlineData(FieldOutcome.Waiting, false)]
    [InlineData(FieldOutcome.Refused, true)]
    [InlineData(FieldOutcome.OutOfTime, true)]
    [InlineData(FieldOutcome.Broken, true)]
    public void WhatFailed_IsWhatIsTriedAgain(string state, bool failed)
    {
        FieldOutcome outcome = new("West", "k", state, 0, 1.25, 99, "said");
        Assert.Equal(failed, outcome.HasFailed);
        outcome.Write(_farm.At("."));
        Assert.Equal(outcome, FieldOutcome.Read(_farm.At(".")));
    }

    [Fact]
    public void Shards_TogetherMakeEveryFieldOnce_AndGatherMakesTheTables()
    {
        string layer = Layer(Field("third", 60, 100));
        Assert.Equal(1, Made(layer, out _, "--shard", "2/2"));
        Assert.False(Directory.Exists(Path.Combine(Out, "fields", "West")));
        Assert.True(File.Exists(Path.Combine(Out, "fields", "East_side", "result.json")));
        CliResult half = Cli.Run(Words(layer, "--gather"));
        Assert.Equal(3, half.Exit);
        Assert.Contains("2 still to be made", half.Output, StringComparison.Ordinal);
        Assert.Contains("still to be made", File.ReadAllText(Path.Combine(Out, "index.html")), StringComparison.Ordinal);
        Assert.Equal(2, Made(layer, out _, "--shard", "1/2"));
        Assert.Equal(0, Cli.Run(Words(layer, "--gather", "--quiet")).Exit);
        Assert.Equal(["West", "East_side", "third"], Rows().Skip(1).Select(r => r.Split(',')[0]));
        string[] names = Rows()[0].Split(','), cells = Rows()[1].Split(',');
        Assert.Equal(("2", "7", "1.5", "3", "1", ""), (cells[Array.IndexOf(names, "area_ha")], cells[Array.IndexOf(names, "lines")], cells[Array.IndexOf(names, "length_km")], cells[Array.IndexOf(names, "findings")], cells[Array.IndexOf(names, "findings_of_limits")], cells[Array.IndexOf(names, "covered_share")]));
    }

    [Fact]
    public void Tasks_AreCommandsThatMakeWhatIsMissing()
    {
        string layer = Layer();
        string tasks = _farm.At("tasks.txt");
        Assert.Equal(1, Made(layer, out _, "--only", "West"));
        Assert.Equal(0, Cli.Run(Words(layer, "--tasks", tasks)).Exit);
        string line = Assert.Single(File.ReadAllLines(tasks));
        Assert.EndsWith("--only East_side --quiet", line, StringComparison.Ordinal);
        Assert.Contains("--spacing '8 m'", line, StringComparison.Ordinal);
        Assert.False(Directory.Exists(Path.Combine(Out, "fields", "East_side")));
    }

    [Fact]
    public void AMachinesName_StaysAName_AndAFileBesideTheLayerIsFoundFromAnywhere()
    {
        string drain = _farm.Write("drain.geojson", TestFarm.Feature("LineString", TestFarm.Line([(80, 20), (80, 200)]), """{"name":"drain","setback_m":4}"""));
        string layer = Layer(Field("big", 40, 120, ",\"plan_machine\":\"four-wheel-200\",\"plan_avoid\":\"drain.geojson\""));
        string tasks = _farm.At("tasks.txt");
        Assert.Equal(0, Cli.Run(Words(layer, "--machine", "front-assist-90", "--tasks", tasks, "--quiet")).Exit);
        Assert.Contains(" --machine front-assist-90 ", File.ReadAllLines(tasks)[0], StringComparison.Ordinal);
        BatchRequest request = BatchRequest.From(CommandLine.Parse(BatchCommand.Command, [.. Words(layer, "--machine", "front-assist-90").Skip(1)]));
        JsonElement all = JsonDocument.Parse(request.JobOf(request.Fields[0])).RootElement, big = JsonDocument.Parse(request.JobOf(request.Fields[2])).RootElement;
        Assert.Equal(("front-assist-90", "four-wheel-200"), (all.GetProperty("machine").GetString(), big.GetProperty("machine").GetString()));
        Assert.Equal(drain, big.GetProperty("avoid").GetString());
        Assert.Equal([_plane], all.GetProperty("dem").EnumerateArray().Select(d => d.GetString()));
    }

    [Fact]
    public void AShareThatBeginsWhileAnotherDoes_IsNoStranger()
    {
        Directory.CreateDirectory(Out);
        File.WriteAllText(Path.Combine(Out, "batch.txt.other-7.new"), "");
        Assert.Equal(2, Made(Layer(), out int failed));
        Assert.Equal(0, failed);
    }

    [Fact]
    public void TooLittleTime_IsToldOfThatFieldAlone()
    {
        string layer = _farm.Write("fields.geojson", $$"""{"type":"FeatureCollection","features":[{{Field("slow", 30, 250)}}]}""");

        // No machine starts the program, reads the ground and plans within a tenth of a second.
        CliResult result = Cli.Run(Words(layer, "--time-limit", "0.1 s", "--json"));
        Assert.Equal(3, result.Exit);
        JsonElement field = JsonDocument.Parse(result.Output).RootElement.GetProperty("fields")[0];
        Assert.Equal("out-of-time", field.GetProperty("state").GetString());
        Assert.Contains("longer than 0.1 s: give it more with --time-limit", field.GetProperty("sentence").GetString(), StringComparison.Ordinal);
        Assert.False(File.Exists(Path.Combine(Out, "fields", "slow", "plan", "plan.json")));
    }

    [Fact]
    public void Items_EachFieldOpensOnlyWhatLiesUnderIt()
    {
        string far = _farm.Write("far.asc", "this is no elevation");
        _ = far;
        string items = _farm.Write("items.json", """
            {"type":"FeatureCollection","features":[
              {"type":"Feature","bbox":[10,10,11,11],"assets":{"dem":{"href":"far.asc"}}},
              {"type":"Feature","bbox":[-180,-90,0,180,90,9],"assets":{"thumbnail":{"href":"t.png"},"heights":{"href":"plane.asc","roles":["data"]}}}]}
            """);
        BatchRequest request = BatchRequest.From(CommandLine.Parse(BatchCommand.Command, ["--fields", Layer(), "--items", items, "--spacing", "8 m", "--out", Out]));
        JsonElement job = JsonDocument.Parse(request.JobOf(request.Fields[0])).RootElement;
        Assert.Equal("plane.asc", Path.GetFileName(Assert.Single(job.GetProperty("dem").EnumerateArray()).GetString()));
    }

    [Theory]
    [InlineData("--shard", "3/2", "as 3/8")]
    [InlineData("--shard", "0/2", "as 3/8")]
    [InlineData("--only", "Wets", "perhaps West")]
    [InlineData("--time-limit", "10", "with its unit")]
    [InlineData("--id", "owner", "no attribute owner")]
    [InlineData("--max-grade", "steep", "--max-grade")]
    [InlineData("--gather", null, "nothing to gather")]
    [InlineData("--again", "some", "failed or all")]
    public void WhatCannotBeFollowed_IsRefusedBeforeAnyFieldIsMade(string option, string? value, string says)
    {
        CliResult result = Cli.Run(Words(Layer(), value is null ? [option] : [option, value]));
        Assert.Equal(2, result.Exit);
        Assert.Contains(says, result.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(Out));
    }

    [Fact]
    public void AFolderOfSomethingElse_IsLeftAlone()
    {
        Directory.CreateDirectory(Out);
        File.WriteAllText(Path.Combine(Out, "mine.txt"), "mine");
        CliResult result = Cli.Run(Words(Layer()));
        Assert.Equal(2, result.Exit);
        Assert.Equal(["mine.txt"], Directory.EnumerateFileSystemEntries(Out).Select(Path.GetFileName));
    }

    [Fact]
    public void TextThatASpreadsheetWouldRun_StaysText()
    {
        string layer = Layer(Field("=1+1, \"sum\"", 40, 40));
        Made(layer, out _);
        Cli.Run(Words(layer, "--gather", "--quiet"));
        Assert.Contains(Rows(), row => row.Contains("\"'=1+1, \"\"sum\"\"\"", StringComparison.Ordinal));
    }

    [Fact]
    public void Stopped_WhatIsDoneStays_AndTheNextRunGoesOn()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("Signals are sent with kill, which Windows has not.");
        }

        string layer = Layer([.. Enumerable.Range(0, 2).Select(i => Field(string.Create(CultureInfo.InvariantCulture, $"n{i}"), 40, 120))]);
        string[] words = Words(layer, "--at-once", "1");
        using System.Diagnostics.Process process = System.Diagnostics.Process.Start(new System.Diagnostics.ProcessStartInfo(
            "env", ["--default-signal=TERM", "dotnet", Path.Combine(AppContext.BaseDirectory, "Keyline.Console.dll"), .. words]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        string first = Path.Combine(Out, "fields", "West", "result.json");
        for (int i = 0; i < 6000 && !File.Exists(first) && !process.HasExited; i++)
        {
            Thread.Sleep(5);
        }

        using System.Diagnostics.Process kill = System.Diagnostics.Process.Start("kill", ["-TERM", process.Id.ToString(CultureInfo.InvariantCulture)]);
        kill.WaitForExit();
        string error = process.StandardError.ReadToEnd();
        Assert.True(process.WaitForExit(20_000));
        Assert.Equal(143, process.ExitCode);
        Assert.Contains("goes on from there", error, StringComparison.Ordinal);
        int done = Directory.GetFiles(Path.Combine(Out, "fields"), "result.json", SearchOption.AllDirectories).Length;
        Assert.InRange(done, 1, 3);
        Assert.Equal(4 - done, Made(layer, out int failed, "--at-once", "1"));
        Assert.Equal(0, failed);
    }
}
