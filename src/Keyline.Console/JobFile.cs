using System.Text.Json;

namespace Keyline.Console;

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
        foreach ((OptionSpec option, string text) in Read(path, name))
        {
            string value = option.Kind == ValueKind.Path ? Path.Combine(Path.GetDirectoryName(Path.GetFullPath(path)) ?? "", text) : text;
            arguments.AddIfAbsent(option, new Setting(value, $"{option.JobKey} in {name}"));
        }
    }

    private static List<(OptionSpec Option, string Text)> Read(string path, string name)
    {
        if (!File.Exists(path))
        {
            throw new UsageException($"There is no job file {path}: check --job.");
        }

        JsonDocument document;
        try
        {
            document = JsonDocument.Parse(File.ReadAllBytes(path), new JsonDocumentOptions { AllowDuplicateProperties = false });
        }
        catch (JsonException error)
        {
            string place = error.LineNumber is long line ? $" at line {line + 1}" : "";
            throw new UsageException($"The job file {name} is not valid JSON{place}: mend it there (keyline schema prints what a job file may hold).");
        }

        using (document)
        {
            if (document.RootElement.ValueKind != JsonValueKind.Object)
            {
                throw new UsageException($"The job file {name} must hold one JSON object, as in {{ \"dem\": \"dem.tif\", \"spacing\": \"10 ft\" }}.");
            }

            List<(OptionSpec, string)> values = [];
            foreach (JsonProperty property in document.RootElement.EnumerateObject())
            {
                if (property.Name == SchemaKey)
                {
                    continue;
                }

                OptionSpec option = OptionSpec.JobOptions.FirstOrDefault(o => o.JobKey == property.Name)
                    ?? throw new UsageException($"The job file {name} has the unknown key \"{property.Name}\": its keys are {string.Join(", ", OptionSpec.JobOptions.Select(o => o.JobKey))}.");
                values.Add((option, Text(option, property.Value, name)));
            }

            return values;
        }
    }

    private static string Text(OptionSpec option, JsonElement value, string name)
    {
        string where = $"{option.JobKey} in {name}";
        switch (value.ValueKind)
        {
            case JsonValueKind.String when value.GetString() is { } text && text.Trim().Length > 0:
                return text;
            case JsonValueKind.Number when option.Kind == ValueKind.Percent:
                return value.GetRawText();
            case JsonValueKind.Number when option.Kind == ValueKind.Length:
                throw new UsageException($"{where} is {value.GetRawText()} without a unit: a length carries its unit, as in \"{value.GetRawText()} m\" or \"{value.GetRawText()} ft\".");
            case JsonValueKind.Number when option.Kind == ValueKind.Code:
                throw new UsageException($"{where} is a bare number: write it as \"EPSG:{value.GetRawText()}\".");
            default:
                string wanted = option.Kind switch
                {
                    ValueKind.Percent => "a number of percent, as in 2 or \"2 %\"",
                    ValueKind.Length => "a text with a number and its unit, as in \"10 ft\"",
                    ValueKind.Code => "a text, as in \"EPSG:32610\"",
                    _ => "a text with a path",
                };
                throw new UsageException($"{where} must be {wanted}.");
        }
    }
}
