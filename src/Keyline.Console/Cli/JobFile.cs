using System.Text;
using System.Text.Json;
using System.Text.Unicode;

namespace Keyline.Console.Cli;

/// <summary>Reads a job file: a JSON object with the options of <c>keyline plan</c>, paths relative to the file itself.</summary>
internal static class JobFile
{
    /// <summary>Key that may name the schema.</summary>
    public const string SchemaKey = "$schema";

    /// <summary>Adds the options of a job file to those already given; the latter win.</summary>
    /// <exception cref="UsageException">No such file, no JSON object, an unknown key, or a value of the wrong kind.</exception>
    public static void AddTo(Arguments arguments, string path)
    {
        string name = Path.GetFileName(path);
        string folder = Path.GetDirectoryName(Path.GetFullPath(path)) ?? "";
        foreach ((OptionSpec option, IReadOnlyList<string> texts) in Read(path, name))
        {
            string[] values = [.. texts.Select(text => option.Kind == ValueKind.Path ? Path.Combine(folder, text) : text)];
            arguments.AddIfAbsent(option, new Setting(values[0], $"{option.JobKey} in {name}") { Texts = values });
        }
    }

    private const int MostBytes = 1 << 20;

    private static List<(OptionSpec Option, IReadOnlyList<string> Texts)> Read(string path, string name)
    {
        if (!File.Exists(path))
        {
            throw new UsageException($"There is no job file {path}: check --job.");
        }

        byte[] text = new byte[MostBytes + 1];
        using (FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1))
        {
            text = text[..stream.ReadAtLeast(text, text.Length, throwOnEndOfStream: false)];
        }

        if (text.Length > MostBytes)
        {
            throw new UsageException($"The job file {name} is larger than {MostBytes >> 20} MB: give the job file itself (keyline schema prints what it may hold).");
        }

        if (!Utf8.IsValid(text))
        {
            throw new UsageException($"The job file {name} is not text in UTF-8: save it as UTF-8.");
        }

        JsonDocument document;
        try
        {
            int mark = text.AsSpan().StartsWith(Encoding.UTF8.Preamble) ? Encoding.UTF8.Preamble.Length : 0;
            document = JsonDocument.Parse(text.AsMemory(mark), new JsonDocumentOptions { AllowDuplicateProperties = false });
        }
        catch (JsonException error)
        {
            string place = error.LineNumber is long line ? $" at line {line + 1}" : "";
            throw new UsageException($"The job file {name} is not valid JSON{place}: mend it there (keyline schema prints what a job file may hold).");
        }

        using (document)
        {
            try
            {
                return Read(document, name);
            }
            catch (InvalidOperationException)
            {
                throw new UsageException($"The job file {name} holds half a character (a lone surrogate, as \\ud800): write that text anew.");
            }
        }
    }

    private static List<(OptionSpec Option, IReadOnlyList<string> Texts)> Read(JsonDocument document, string name)
    {
        if (document.RootElement.ValueKind != JsonValueKind.Object)
        {
            throw new UsageException($"The job file {name} must hold one JSON object, as in {{ \"dem\": \"dem.tif\", \"spacing\": \"10 ft\" }}.");
        }

        List<(OptionSpec, IReadOnlyList<string>)> values = [];
        foreach (JsonProperty property in document.RootElement.EnumerateObject())
        {
            if (property.Name == SchemaKey)
            {
                continue;
            }

            OptionSpec option = OptionSpec.JobOptions.FirstOrDefault(o => o.JobKey == property.Name)
                ?? throw new UsageException($"The job file {name} has the unknown key \"{property.Name}\": its keys are {string.Join(", ", OptionSpec.JobOptions.Select(o => o.JobKey))}.");
            if (option.Kind == ValueKind.Switch && property.Value.ValueKind == JsonValueKind.False)
            {
                continue;
            }

            values.Add((option, option.Many && property.Value.ValueKind == JsonValueKind.Array && property.Value.GetArrayLength() > 0
                ? [.. property.Value.EnumerateArray().Select(item => Text(option, item, name))]
                : [Text(option, property.Value, name)]));
        }

        return values;
    }

    private static string Text(OptionSpec option, JsonElement value, string name)
    {
        string where = $"{option.JobKey} in {name}";
        switch (value.ValueKind)
        {
            case JsonValueKind.String when value.GetString()!.Any(char.IsControl):
                throw new UsageException($"{where} holds a control character: write it anew.");
            case JsonValueKind.String when option.Kind != ValueKind.Switch && value.GetString() is { } text && text.Trim().Length > 0:
                return text;
            case JsonValueKind.Number when option.Kind is ValueKind.Percent or ValueKind.Number:
                return value.GetRawText();
            case JsonValueKind.True when option.Kind == ValueKind.Switch:
                return "";
            case JsonValueKind.Number when option.Kind == ValueKind.Length:
                throw new UsageException($"{where} is {value.GetRawText()} without a unit: a length carries its unit, as in \"{value.GetRawText()} m\" or \"{value.GetRawText()} ft\".");
            case JsonValueKind.Number when option.Kind == ValueKind.Code:
                throw new UsageException($"{where} is a bare number: write it as \"EPSG:{value.GetRawText()}\".");
            default:
                string wanted = option.Kind switch
                {
                    ValueKind.Percent => "a number of percent, as in 2 or \"2 %\"",
                    ValueKind.Length => "a text with a number and its unit, as in \"10 ft\"",
                    ValueKind.Area => "a text with a number and its unit, as in \"100 m2\"",
                    ValueKind.Switch => "true or false",
                    ValueKind.Number => "a number",
                    ValueKind.Word => "a text, one of the words the guide lists",
                    ValueKind.Path when option.Many => "a text with a path, or a list of them",
                    ValueKind.Code => "a text, as in \"EPSG:32610\"",
                    _ => "a text with a path",
                };
                throw new UsageException($"{where} must be {wanted}.");
        }
    }
}
