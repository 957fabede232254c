using System.Text.Json;

namespace Keyline.Formats;

/// <summary>The members of a JSON object written by a person: known keys only, each of its kind, told by its place.</summary>
internal sealed class JsonMembers
{
    private readonly JsonElement _object;
    private readonly string _path;
    private readonly string _file;

    public JsonMembers(JsonElement value, string path, string file, params string[] keys)
    {
        (_object, _path, _file) = (value, path, file);
        if (value.ValueKind != JsonValueKind.Object)
        {
            throw new GroundDataException($"{(path.Length > 0 ? $"{path} in {file}" : file)} must be one JSON object.");
        }

        string[] unknown = [.. value.EnumerateObject().Select(p => p.Name).Where(n => !keys.Contains(n) && !(path.Length == 0 && n == "$schema"))];
        if (unknown.Length > 0)
        {
            throw new GroundDataException($"{file} has the unknown key{(unknown.Length > 1 ? "s" : "")} {string.Join(", ", unknown.Select(n => $"\"{Place(n)}\""))}: its keys there are {string.Join(", ", keys)}.");
        }
    }

    /// <summary>An object among the members, or null where it is not there.</summary>
    public JsonMembers? Object(string key, params string[] keys) => Has(key, out JsonElement value) ? new JsonMembers(value, Place(key), _file, keys) : null;

    /// <summary>An object that must be there.</summary>
    public JsonMembers Need(string key, params string[] keys) => Object(key, keys) ?? throw Missing(key);

    /// <summary>A quantity with its unit, or what holds without one.</summary>
    public double Quantity(string key, QuantityKind kind, double otherwise) => !Has(key, out JsonElement value) ? otherwise
        : value.ValueKind == JsonValueKind.String ? QuantityText.Read(value.GetString()!, kind, Where(key))
        : throw new GroundDataException($"{Where(key)} must be a text with a number and its unit, as in \"{kind.Like}\".");

    /// <summary>A quantity that must be there.</summary>
    public double Quantity(string key, QuantityKind kind) => Has(key, out _) ? Quantity(key, kind, 0) : throw Missing(key);

    /// <summary>A plain number, or what holds without one.</summary>
    public double Number(string key, double otherwise) => !Has(key, out JsonElement value) ? otherwise
        : value.ValueKind == JsonValueKind.Number && value.TryGetDouble(out double number) && double.IsFinite(number) ? number
        : throw new GroundDataException($"{Where(key)} must be a number.");

    /// <summary>A plain number that must be there.</summary>
    public double Number(string key) => Has(key, out _) ? Number(key, 0) : throw Missing(key);

    /// <summary>A whole number that must be there.</summary>
    public int Whole(string key) => Number(key) is double number && number == Math.Floor(number) && Math.Abs(number) < 1e6 ? (int)number
        : throw new GroundDataException($"{Where(key)} must be a whole number.");

    /// <summary>A text, or an empty one.</summary>
    public string Text(string key, string otherwise = "") => !Has(key, out JsonElement value) ? otherwise
        : value.ValueKind == JsonValueKind.String ? value.GetString()!
        : throw new GroundDataException($"{Where(key)} must be a text.");

    /// <summary>One of some words, each with what it means.</summary>
    public T Word<T>(string key, T otherwise, params (string Word, T Meaning)[] words)
    {
        string text = Text(key);
        int at = Array.FindIndex(words, w => w.Word == text.Trim());
        return at >= 0 ? words[at].Meaning
            : !Has(key, out _) ? otherwise
            : throw new GroundDataException($"{Where(key)} is \"{text}\": write {string.Join(", ", words.Select(w => w.Word))}.");
    }

    private bool Has(string key, out JsonElement value) => _object.TryGetProperty(key, out value) && value.ValueKind != JsonValueKind.Null;

    private GroundDataException Missing(string key) => new($"{_file} has no {Place(key)}, which is needed: add it (keyline schema machine prints what the file may hold).");

    private string Place(string key) => _path.Length > 0 ? $"{_path}.{key}" : key;

    private string Where(string key) => $"{Place(key)} in {_file}";
}
