using System.Text.Json;

namespace Keyline.Formats;

/// <summary>What the check of a plan found, line by line, from the summary that lies beside it.</summary>
/// <remarks>Promises: kinds as docs/formats.md names them, each once a line, in the order of the file; nothing where there is no summary
/// or it is none of ours. Cost: that of reading the text. Source: docs/formats.md.</remarks>
public static class PlanFindings
{
    /// <summary>Kind of a line whose fall is less sure than nine in ten (<see cref="Keyline.Check.DriftCertainty"/>).</summary>
    public const string Unsure = "drift-unsure";

    /// <summary>Reads the findings that belong to a plan's file.</summary>
    /// <param name="planPath">The plan.geojson; the plan.json beside it is read.</param>
    /// <returns>Kinds by the id of the line.</returns>
    public static IReadOnlyDictionary<string, IReadOnlyList<string>> Beside(string planPath)
    {
        ArgumentException.ThrowIfNullOrEmpty(planPath);
        Dictionary<string, List<string>> found = [];
        string path = Path.ChangeExtension(planPath, ".json");
        if (File.Exists(path))
        {
            try
            {
                using JsonDocument summary = JsonDocument.Parse(File.ReadAllBytes(path));
                if (summary.RootElement.ValueKind == JsonValueKind.Object && summary.RootElement.TryGetProperty("findings", out JsonElement all) && all.ValueKind == JsonValueKind.Array)
                {
                    foreach (JsonElement one in all.EnumerateArray().Where(f => f.ValueKind == JsonValueKind.Object))
                    {
                        Add(found, Text(one, "line"), Text(one, "kind"));
                    }
                }

                if (summary.RootElement.ValueKind == JsonValueKind.Object && summary.RootElement.TryGetProperty("certainty", out JsonElement certainty) && certainty.ValueKind == JsonValueKind.Object
                    && certainty.TryGetProperty("unsure_lines", out JsonElement unsure) && unsure.ValueKind == JsonValueKind.Array)
                {
                    foreach (JsonElement line in unsure.EnumerateArray().Where(l => l.ValueKind == JsonValueKind.String))
                    {
                        Add(found, line.GetString()!, Unsure);
                    }
                }
            }
            catch (Exception e) when (e is JsonException or IOException or UnauthorizedAccessException)
            {
                throw new GroundDataException($"{Path.GetFileName(path)}, which lies beside the plan, cannot be read ({e.Message.TrimEnd('.')}): make the plan again, or move that file away.", e);
            }
        }

        return found.ToDictionary(f => f.Key, f => (IReadOnlyList<string>)f.Value);
    }

    private static void Add(Dictionary<string, List<string>> found, string line, string kind)
    {
        List<string> kinds = found.TryGetValue(line, out List<string>? have) ? have : found[line] = [];
        if (kind.Length > 0 && !kinds.Contains(kind))
        {
            kinds.Add(kind);
        }
    }

    private static string Text(JsonElement item, string key) => item.TryGetProperty(key, out JsonElement value) && value.ValueKind == JsonValueKind.String ? value.GetString()! : "";
}
