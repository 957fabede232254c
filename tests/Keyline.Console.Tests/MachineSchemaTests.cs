using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using Keyline.Console.Cli;
using Keyline.Formats;

namespace Keyline.Console.Tests;

/// <summary>The published schema of a machine's file, beside what the reader takes.</summary>
public sealed class MachineSchemaTests
{
    private static readonly string Text = Resources.Text("keyline-machine.schema.json");

    private static readonly JsonSchema Schema = JsonSchema.FromText(Text);

    [Fact]
    public void Schema_IsItselfValid_AndItsExampleIsRead()
    {
        Assert.True(MetaSchemas.Draft202012.Evaluate(JsonDocument.Parse(Text).RootElement).IsValid);
        foreach (JsonNode? example in JsonNode.Parse(Text)!["examples"]!.AsArray())
        {
            Assert.True(Accepts(example!.ToJsonString()));
            Assert.True(ReaderAccepts(example.ToJsonString()));
        }
    }

    [Theory]
    [InlineData("""{ "tractor": { "power": "90 kW" }, "implement": { "shanks": 1, "depth": "50 cm" } }""", true)]
    [InlineData("""{ "tractor": { "power": "90" }, "implement": { "shanks": 1, "depth": "50 cm" } }""", false)]
    [InlineData("""{ "tractor": { "power": "90 kW", "colour": "red" }, "implement": { "shanks": 1, "depth": "50 cm" } }""", false)]
    [InlineData("""{ "tractor": { "power": "90 kW", "drive": "legs" }, "implement": { "shanks": 1, "depth": "50 cm" } }""", false)]
    [InlineData("""{ "tractor": { "power": "90 kW" }, "implement": { "shanks": 0, "depth": "50 cm" } }""", false)]
    [InlineData("""{ "tractor": { "power": "90 kW" }, "implement": { "shanks": 1, "depth": "50 cm" }, "max_side_slope": 45 }""", false)]
    [InlineData("""{ "tractor": { "power": "90 kW" }, "implement": { "shanks": 1, "depth": "50 cm" }, "prices": { "tractor": 1 } }""", false)]
    [InlineData("""{ "tractor": { "power": "90 kW" } }""", false)]
    public void SchemaAndReader_AcceptTheSame(string json, bool good)
    {
        Assert.Equal(good, Accepts(json));
        Assert.Equal(good, ReaderAccepts(json));
    }

    [Fact]
    public void EveryKeyOfTheSchema_IsOneTheReaderKnows()
    {
        JsonNode properties = JsonNode.Parse(Text)!["properties"]!;
        foreach ((string section, JsonNode? keys) in properties.AsObject().Where(p => p.Value!["properties"] is not null))
        {
            JsonObject file = JsonNode.Parse("""{ "tractor": { "power": "90 kW" }, "implement": { "shanks": 1, "depth": "50 cm" } }""")!.AsObject();
            file[section] = new JsonObject { ["no_such"] = 1 };
            GroundDataException error = Assert.Throws<GroundDataException>(() => Read(file.ToJsonString()));
            string[] listed = error.Message[(error.Message.LastIndexOf("are ", StringComparison.Ordinal) + 4)..].TrimEnd('.').Split(", ");
            Assert.Equal(keys!["properties"]!.AsObject().Select(p => p.Key), listed);
        }
    }

    [Fact]
    public void SchemaCommand_PrintsItForTheWordMachine_AndRefusesOthers()
    {
        Assert.Equal(Text, Cli.Run("schema", "machine").Output);
        CliResult wrong = Cli.Run("schema", "tractor");
        Assert.Equal(2, wrong.Exit);
        Assert.Contains("job, machine, trial, results or record", wrong.Error, StringComparison.Ordinal);
    }

    private static bool Accepts(string json)
    {
        using JsonDocument document = JsonDocument.Parse(json);
        return Schema.Evaluate(document.RootElement).IsValid;
    }

    private static bool ReaderAccepts(string json)
    {
        try
        {
            Read(json);
            return true;
        }
        catch (GroundDataException)
        {
            return false;
        }
    }

    private static void Read(string json) => MachineFile.Read(new MemoryStream(Encoding.UTF8.GetBytes(json)), "m.json");
}
