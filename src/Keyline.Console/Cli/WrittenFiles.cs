using System.Security.Cryptography;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Keyline.Console.Cli;

/// <summary>The list, kept in an output folder, of the files that the program wrote there and what they held.</summary>
/// <remarks>Names are relative, with forward slashes. A file that no longer holds what the list says was changed by somebody and is theirs.</remarks>
internal sealed class WrittenFiles
{
    /// <summary>Its name in the folder.</summary>
    public const string Name = ".keyline-written.json";

    private const long MostBytes = 16 << 20;
    private static readonly JsonSerializerOptions Laid = new() { WriteIndented = true, NewLine = "\n", Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    private readonly SortedDictionary<string, WrittenFile> _files = new(StringComparer.Ordinal);

    /// <summary>The files, by name.</summary>
    public IReadOnlyCollection<WrittenFile> Files => _files.Values;

    /// <summary>Reads the list in a folder; an empty one where there is none, or none that can be understood.</summary>
    public static WrittenFiles In(string folder)
    {
        WrittenFiles read = new();
        string path = Path.Combine(folder, Name);
        FileInfo file = new(path);
        if (!file.Exists || file.Length > MostBytes)
        {
            return read;
        }

        try
        {
            using JsonDocument document = JsonDocument.Parse(File.ReadAllBytes(path));
            foreach (JsonElement entry in document.RootElement.GetProperty("files").EnumerateArray())
            {
                string name = entry.GetProperty("file").GetString() ?? "";
                if (IsInside(name))
                {
                    read.Add(new WrittenFile(name, entry.GetProperty("sha256").GetString() ?? "", entry.TryGetProperty("in_place_of", out JsonElement of) ? of.GetString() ?? name : name));
                }
            }
        }
        catch (Exception e) when (e is JsonException or KeyNotFoundException or InvalidOperationException)
        {
            return new WrittenFiles();
        }

        return read;
    }

    public WrittenFile? Of(string name) => _files.GetValueOrDefault(name);

    public void Add(WrittenFile file) => _files[file.Name] = file;

    /// <summary>The list as it stands in the folder.</summary>
    public byte[] ToBytes() => System.Text.Encoding.UTF8.GetBytes(new JsonObject
    {
        ["what"] = "Files that keyline wrote here. With --overwrite it replaces those that still hold what is listed, and no others.",
        ["files"] = new JsonArray([.. Files.Select(f =>
        {
            JsonObject entry = new() { ["file"] = f.Name, ["sha256"] = f.Sha256 };
            if (f.InPlaceOf != f.Name)
            {
                entry["in_place_of"] = f.InPlaceOf;
            }

            return (JsonNode)entry;
        })]),
    }.ToJsonString(Laid) + "\n");

    /// <summary>Whether a file of the list is still as it was written. One that is gone is not.</summary>
    public static bool Stands(string folder, WrittenFile file)
    {
        string path = At(folder, file.Name);
        return File.Exists(path) && new FileInfo(path).LinkTarget is null && Hash(path) == file.Sha256;
    }

    public static string Hash(string path)
    {
        using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        return Convert.ToHexStringLower(SHA256.HashData(stream));
    }

    /// <summary>Full path of a name.</summary>
    public static string At(string folder, string name) => Path.Combine(folder, name.Replace('/', Path.DirectorySeparatorChar));

    /// <summary>Names of all files below a folder, sorted.</summary>
    public static string[] Below(string folder) => Directory.Exists(folder)
        ? [.. Directory.EnumerateFiles(folder, "*", new EnumerationOptions { RecurseSubdirectories = true, AttributesToSkip = 0 })
            .Select(f => Path.GetRelativePath(folder, f).Replace(Path.DirectorySeparatorChar, '/')).Order(StringComparer.Ordinal)]
        : [];

    private static bool IsInside(string name) => name.Length > 0 && !Path.IsPathRooted(name)
        && !name.Split('/', '\\').Any(part => part is "" or "." or "..");
}

/// <summary>A file that was written.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Sha256">What it held.</param>
/// <param name="InPlaceOf">The name it would have, had a changed file not kept it.</param>
internal sealed record WrittenFile(string Name, string Sha256, string InPlaceOf);
