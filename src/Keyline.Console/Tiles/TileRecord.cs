using System.Text.Json;

namespace Keyline.Console.Tiles;

/// <summary>A file of a tile: its name from the shared folder, its length, and its digest; of a raster also what its values are.</summary>
internal sealed record TileFile(string Name, long Bytes, string Sha256)
{
    /// <summary>Least and greatest value and cells without one; null for a part.</summary>
    public (double Least, double Greatest, long Missing)? Range { get; init; }
}

/// <summary>What came of a tile in a stage, or of a join.</summary>
/// <param name="Key">What it was made from.</param>
/// <param name="Files">Its files, all in place before the record is.</param>
/// <param name="Seconds">How long it took.</param>
/// <param name="PeakMegabytes">Most memory the task held until then, in millions of bytes.</param>
internal sealed record TileRecord(string Key, IReadOnlyList<TileFile> Files, double Seconds, double PeakMegabytes)
{
    /// <summary>Reads a record; null where there is none, or none that can be understood.</summary>
    public static TileRecord? Read(string path)
    {
        if (!File.Exists(path))
        {
            return null;
        }

        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            using JsonDocument document = JsonDocument.Parse(stream);
            JsonElement root = document.RootElement;
            TileFile[] files = [.. root.GetProperty("files").EnumerateArray().Select(f => new TileFile(f.GetProperty("file").GetString()!, f.GetProperty("bytes").GetInt64(), f.GetProperty("sha256").GetString()!)
            {
                Range = f.TryGetProperty("missing_cells", out JsonElement missing) ? (Number(f, "least", double.PositiveInfinity), Number(f, "greatest", double.NegativeInfinity), missing.GetInt64()) : null,
            })];
            return new TileRecord(root.GetProperty("key").GetString()!, files, root.GetProperty("seconds").GetDouble(), root.GetProperty("peak_mb").GetDouble());
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or JsonException or KeyNotFoundException or InvalidOperationException or FormatException)
        {
            return null;
        }
    }

    public void Write(Utf8JsonWriter json)
    {
        json.WriteString("key", Key);
        json.WriteNumber("seconds", Math.Round(Seconds, 2));
        json.WriteNumber("peak_mb", Math.Round(PeakMegabytes));
        json.WriteStartArray("files");
        foreach (TileFile file in Files)
        {
            json.WriteStartObject();
            json.WriteString("file", file.Name);
            json.WriteNumber("bytes", file.Bytes);
            json.WriteString("sha256", file.Sha256);
            if (file.Range is { } range)
            {
                if (range.Least <= range.Greatest)
                {
                    json.WriteNumber("least", range.Least);
                    json.WriteNumber("greatest", range.Greatest);
                }

                json.WriteNumber("missing_cells", range.Missing);
            }

            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static double Number(JsonElement of, string name, double otherwise) => of.TryGetProperty(name, out JsonElement value) ? value.GetDouble() : otherwise;
}
