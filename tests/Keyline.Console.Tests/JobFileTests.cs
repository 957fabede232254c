using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using Keyline.Console.Cli;
using Keyline.Console.Commands;

namespace Keyline.Console.Tests;

/// <summary>Job files and their published schema.</summary>
public sealed class JobFileTests : IDisposable
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(Resources.Text("keyline-job.schema.json"));

    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Theory]
    [InlineData("{\"dem\":\"\\ud800x\"}", "half a character")]
    [InlineData("{\"dem\":\"a\\u0000b\"}", "control character")]
    [InlineData("{\"dem\":\"\u00e9\"}", "not text in UTF-8", true)]
    public void Text_ThatIsNone_IsRefused(string text, string says, bool latin = false)
    {
        string job = _farm.At("odd.json");
        File.WriteAllBytes(job, (latin ? System.Text.Encoding.Latin1 : System.Text.Encoding.UTF8).GetBytes(text));
        CliResult run = Cli.Run("plan", "--job", job);
        Assert.Equal(2, run.Exit);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void ByteOrderMark_IsNoPartOfTheText()
    {
        string job = _farm.At("marked.json");
        File.WriteAllText(job, "{\"dem\":\"nowhere.tif\"}", new System.Text.UTF8Encoding(encoderShouldEmitUTF8Identifier: true));
        Assert.Contains("There is no elevation file", Cli.Run("plan", "--job", job).Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Schema_IsItselfValid()
    {
        // The meta-schema of draft 2020-12, as published by json-schema.org and carried by the validator.
        JsonElement schema = JsonDocument.Parse(Resources.Text("keyline-job.schema.json")).RootElement;
        Assert.True(MetaSchemas.Draft202012.Evaluate(schema).IsValid);
    }

    [Fact]
    public void Schema_HasTheParsersKeys()
    {
        JsonObject properties = JsonNode.Parse(Resources.Text("keyline-job.schema.json"))!["properties"]!.AsObject();
        Assert.Equal([JobFile.SchemaKey, .. OptionSpec.JobOptions.Select(o => o.JobKey)], properties.Select(p => p.Key));
    }

    [Fact]
    public void Schema_StatesTheLibrarysDefaults()
    {
        JsonNode properties = JsonNode.Parse(Resources.Text("keyline-job.schema.json"))!["properties"]!;
        Assert.Equal(Check.LineLimits.DefaultMaximumGrade, (double)properties["max_grade"]!["default"]!);
        Assert.Equal(Layout.LayoutOptions.DefaultDesignFall, (double)properties["fall"]!["default"]!);
        Assert.Equal(Check.LineLimits.DefaultMaximumSlope, (double)properties["max_slope"]!["default"]!);
        Assert.Equal(Check.LineLimits.DefaultMinimumRadius, Quantity.Length((string)properties["min_radius"]!["default"]!, "x"));
        Assert.Equal(Check.LineLimits.DefaultHeadland, Quantity.Length((string)properties["headland"]!["default"]!, "x"));
        Assert.Equal(Check.LineLimits.DefaultMinimumLength, Quantity.Length((string)properties["min_length"]!["default"]!, "x"));
    }

    [Fact]
    public void Schema_AcceptsItsOwnExamples()
    {
        JsonArray examples = JsonNode.Parse(Resources.Text("keyline-job.schema.json"))!["examples"]!.AsArray();
        Assert.NotEmpty(examples);
        Assert.All(examples, example => Assert.True(Accepts(example!.ToJsonString())));
    }

    [Theory]
    [InlineData("""{ "spacing": "10 ft" }""", true)]
    [InlineData("""{ "spacing": "3m" }""", true)]
    [InlineData("""{ "spacing": ".5 yd" }""", true)]
    [InlineData("""{ "spacing": "10 ftUS" }""", true)]
    [InlineData("""{ "spacing": "120 Inches" }""", true)]
    [InlineData("""{ "spacing": 3 }""", false)]
    [InlineData("""{ "spacing": "3" }""", false)]
    [InlineData("""{ "spacing": "3 furlongs" }""", false)]
    [InlineData("""{ "spacing": "three m" }""", false)]
    [InlineData("""{ "max_grade": 2 }""", true)]
    [InlineData("""{ "max_grade": "2 %" }""", true)]
    [InlineData("""{ "max_grade": "2 m" }""", false)]
    [InlineData("""{ "max_grade": true }""", false)]
    [InlineData("""{ "crs": "EPSG:32610" }""", true)]
    [InlineData("""{ "crs": 32610 }""", false)]
    [InlineData("""{ "crs": "UTM 10" }""", false)]
    [InlineData("""{ "dem": "" }""", false)]
    [InlineData("""{ "maxGrade": 2 }""", false)]
    [InlineData("""{ "dem": ["a.tif", "b.tif"] }""", true)]
    [InlineData("""{ "dem": [] }""", false)]
    [InlineData("""{ "field": ["a.geojson"] }""", false)]
    [InlineData("""{ "height_unit": "ftUS" }""", true)]
    [InlineData("""{ "height_unit": "yard" }""", false)]
    [InlineData("""{ "missing": 0 }""", true)]
    [InlineData("""{ "missing": "-9999" }""", true)]
    [InlineData("""{ "missing": "none" }""", false)]
    [InlineData("""{ "fill_holes": "0.1 ha" }""", true)]
    [InlineData("""{ "fill_holes": 100 }""", false)]
    [InlineData("""{ "fill_holes": "100" }""", false)]
    [InlineData("""{ "drop_spikes": true, "keep_suspects": false }""", true)]
    [InlineData("""{ "drop_spikes": "yes" }""", false)]
    [InlineData("""{ "surface": "plate" }""", true)]
    [InlineData("""{ "surface": "spline" }""", false)]
    [InlineData("""{ "cell": "2 m" }""", true)]
    [InlineData("""{ "$schema": "keyline-job.schema.json" }""", true)]
    [InlineData("""[]""", false)]
    public void SchemaAndParser_Agree(string json, bool expected)
    {
        Assert.Equal(expected, Accepts(json));
        string path = _farm.Write("job.json", json);
        Assert.Equal(expected, ParserAccepts(path));
    }

    [Fact]
    public void Job_AsksForTheSameAsFlags()
    {
        string path = _farm.Write("job.json", """{ "dem": "dem.asc", "field": "field.geojson", "avoid": "avoid.geojson", "spacing": "6 m", "max_grade": 1.5, "fall": "0.4 %", "headland": "20 ft", "crs": "EPSG:32610", "out": "out" }""");
        Arguments job = new();
        JobFile.AddTo(job, path);
        PlanRequest byJob = PlanRequest.From(job);
        PlanRequest byFlags = PlanRequest.From(CommandLine.Parse(PlanCommand.Command, [.. _farm.Plan("--max-grade", "1.5", "--fall", "0.4", "--headland", "20 ft", "--crs", "EPSG:32610")[1..]]));
        Assert.Equal(byFlags.Layout, byJob.Layout);
        Assert.Equal((byFlags.Ground.Paths[0], byFlags.FieldPath, byFlags.AvoidPaths.Single(), byFlags.OutPath, byFlags.Ground.Options.Crs?.EpsgCode), (byJob.Ground.Paths[0], byJob.FieldPath, byJob.AvoidPaths.Single(), byJob.OutPath, byJob.Ground.Options.Crs?.EpsgCode));
        Assert.Equal(6.096, byJob.Layout.Headland, 12);
    }

    [Fact]
    public void Job_FlagsWin()
    {
        string path = _farm.Write("job.json", """{ "dem": "dem.asc", "field": "field.geojson", "spacing": "0 m", "out": "out" }""");
        CliResult alone = Cli.Run("plan", "--job", path);
        Assert.Equal(2, alone.Exit);
        Assert.Contains("spacing in job.json", alone.Error, StringComparison.Ordinal);
        Arguments both = CommandLine.Parse(PlanCommand.Command, ["--spacing", "7 m"]);
        JobFile.AddTo(both, path);
        Assert.Equal(7, PlanRequest.From(both).Layout.Spacing);
    }

    [Fact]
    public void Guide_ExampleIsValidAndNamesEveryKey()
    {
        string guide = File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "job-file.md"));
        string example = guide.Split("```json")[1].Split("```")[0];
        Assert.True(Accepts(example));
        Assert.True(ParserAccepts(_farm.Write("guide.json", example)));
        Assert.All(OptionSpec.JobOptions, option => Assert.Contains($"| `{option.JobKey}` |", guide, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("""{ "maxGrade": 2 }""", "maxGrade")]
    [InlineData("""{ "spacing": 3 }""", "\"3 m\"")]
    [InlineData("""{ "dem": 5 }""", "path")]
    [InlineData("""{ "spacing": "3 m", }""", "line 1")]
    [InlineData("""{ "spacing": "3 m", "spacing": "4 m" }""", "job.json")]
    [InlineData("""[ 1 ]""", "object")]
    public void Job_ThatCannotBeFollowed_IsRefused(string json, string says)
    {
        CliResult result = Cli.Run("plan", "--job", _farm.Write("job.json", json));
        Assert.Equal(2, result.Exit);
        Assert.Contains(says, Assert.Single(result.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
    }

    [Fact]
    public void Job_ThatIsNotThere_IsRefused() => Assert.Equal(2, Cli.Run("plan", "--job", _farm.At("no.json")).Exit);

    [Fact]
    public void SchemaCommand_PrintsThePublishedFile()
    {
        CliResult result = Cli.Run("schema");
        Assert.Equal(0, result.Exit);
        Assert.Equal(JsonNode.Parse(Resources.Text("keyline-job.schema.json"))!.ToJsonString(), JsonNode.Parse(result.Output)!.ToJsonString());
    }

    private static bool Accepts(string json)
    {
        using JsonDocument document = JsonDocument.Parse(json);
        return Schema.Evaluate(document.RootElement).IsValid;
    }

    private static bool ParserAccepts(string path)
    {
        try
        {
            Arguments arguments = new();
            JobFile.AddTo(arguments, path);
            GroundRequest.Of([], "nothing", arguments);
            LimitOptions.From(arguments, arguments.Above(OptionSpec.Spacing, 3), 30, 6);
            return true;
        }
        catch (UsageException)
        {
            return false;
        }
    }
}
