using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using Keyline.Console.Cli;
using Keyline.Fieldwork;

namespace Keyline.Console.Tests;

/// <summary>The published schemas of a trial's files, beside what is written and read.</summary>
public sealed class TrialSchemaTests
{
    private static readonly Dictionary<string, JsonSchema> Schemas = ((string[])["trial", "results", "record"]).ToDictionary(n => n, n => JsonSchema.FromText(Resources.Text($"keyline-{n}.schema.json")));

    [Theory, InlineData("trial"), InlineData("results"), InlineData("record")]
    public void Schema_IsItselfValid_AndPrinted(string kind)
    {
        string text = Resources.Text($"keyline-{kind}.schema.json");
        Assert.True(MetaSchemas.Draft202012.Evaluate(JsonDocument.Parse(text).RootElement).IsValid);
        Assert.Equal(text, Cli.Run("schema", kind).Output);
    }

    // What a person may write into the record is accepted by both or by neither.
    [Theory]
    [InlineData("""{ "work": [] }""", true)]
    [InlineData("""{ "work": [{ "date": "2027-04-10", "what": "ripped", "depth_cm": 40, "moisture": "crumbles", "note": "" }] }""", true)]
    [InlineData("""{ "work": [{ "date": "2027-04-10", "what": "grazed", "depth_cm": null }] }""", true)]
    [InlineData("""{ "field": "x" }""", false)]
    [InlineData("""{ "work": [{ "what": "ripped" }] }""", false)]
    [InlineData("""{ "work": [{ "date": "10.4.2027", "what": "ripped" }] }""", false)]
    [InlineData("""{ "work": [{ "date": "2027-04-10", "what": "" }] }""", false)]
    [InlineData("""{ "work": [{ "date": "2027-04-10", "what": "ripped", "depth_cm": 400 }] }""", false)]
    public void Record_IsTakenBySchemaAndReaderAlike(string json, bool good)
    {
        Assert.Equal(good, Accepts("record", json));
        bool read = true;
        try
        {
            FieldRecord.Read(new MemoryStream(Encoding.UTF8.GetBytes(json)), "record.json");
        }
        catch (GroundDataException)
        {
            read = false;
        }

        Assert.Equal(good, read);
    }

    /// <summary>Holds the files of a trial and of its results against the schemas, and sees damaged ones refused.</summary>
    internal static void Hold(string trial, string results)
    {
        Check("trial", Path.Combine(trial, "trial.json"), root => root["plots"]![0]!["block"] = "one", root => root.Remove("treatments"));
        Check("record", Path.Combine(trial, "record.json"), root => root.Remove("work"));
        Check("results", Path.Combine(results, "results.json"), root => root["measures"]![0]!["answer"] = "perhaps", root => root["measures"]![0]!["p"] = 2, root => root["ground"]!["noise_m"] = "small");

        static void Check(string kind, string file, params Action<JsonObject>[] damage)
        {
            string text = File.ReadAllText(file);
            EvaluationResults found = Schemas[kind].Evaluate(JsonDocument.Parse(text).RootElement, new EvaluationOptions { OutputFormat = OutputFormat.List });
            Assert.True(found.IsValid, file + ": " + string.Join("; ", found.Details?.Where(d => d.Errors is not null).SelectMany(d => d.Errors!.Select(e => $"{d.InstanceLocation} {e.Value}")) ?? []));
            foreach (Action<JsonObject> harm in damage)
            {
                JsonObject root = JsonNode.Parse(text)!.AsObject();
                harm(root);
                Assert.False(Accepts(kind, root.ToJsonString()));
            }

            // Every member that is written stands in the schema.
            JsonNode schema = JsonNode.Parse(Resources.Text($"keyline-{kind}.schema.json"))!;
            Known(JsonNode.Parse(text)!, schema, kind);
        }

        static void Known(JsonNode? node, JsonNode? schema, string at)
        {
            if (node is JsonObject o && schema?["properties"] is JsonObject properties)
            {
                foreach ((string name, JsonNode? value) in o)
                {
                    Assert.True(properties.ContainsKey(name), $"{at}.{name} is not in the schema");
                    Known(value, properties[name], $"{at}.{name}");
                }
            }
            else if (node is JsonArray items)
            {
                Assert.All(items, i => Known(i, schema?["items"], at + "[]"));
            }
        }
    }

    private static bool Accepts(string kind, string json)
    {
        using JsonDocument document = JsonDocument.Parse(json);
        return Schemas[kind].Evaluate(document.RootElement).IsValid;
    }
}
