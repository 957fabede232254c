using System.Globalization;
using System.Text;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Commands;
using Keyline.Formats;

namespace Keyline.Console.Batch;

/// <summary>Which fields are to be planned, from what, and within which limits.</summary>
internal sealed class BatchRequest
{
    /// <summary>An attribute of a field that begins with this overrides the option of the same name.</summary>
    public const string AttributePrefix = "plan_";

    private static readonly JsonWriterOptions Indented = new() { Indented = true, NewLine = "\n" };
    private readonly Arguments _arguments;

    private BatchRequest(Arguments arguments) => _arguments = arguments;

    public required string FieldsPath { get; init; }

    public required string OutPath { get; init; }

    public required IReadOnlyList<LayerField> Fields { get; init; }

    /// <summary>Which of them this run is to make.</summary>
    public required IReadOnlyList<LayerField> Chosen { get; init; }

    public TileCatalogue? Catalogue { get; init; }

    public int AtOnce { get; init; }

    public int Threads { get; init; }

    public string? MemoryText { get; init; }

    public TimeSpan TimeLimit { get; init; }

    public bool MakesFailedAgain { get; init; }

    public bool MakesAllAgain { get; init; }

    public bool OnlyGathers { get; init; }

    public string? TasksPath { get; init; }

    /// <summary>Whether this run makes a part of the fields only.</summary>
    public bool IsPart => Chosen.Count < Fields.Count || _arguments.Has(OptionSpec.Shard) || _arguments.Has(OptionSpec.Only);

    /// <summary>Reads a request, and checks once what would fail alike for every field.</summary>
    /// <exception cref="UsageException">Something is missing or cannot be followed.</exception>
    public static BatchRequest From(Arguments arguments)
    {
        if (arguments[OptionSpec.Job] is { } job)
        {
            JobFile.AddTo(arguments, job.Text);
        }

        string fieldsPath = arguments.NeedFile(OptionSpec.Fields, "batch", "The layer of fields", "layer of fields");
        string outPath = arguments.Need(OptionSpec.Out, "batch", "The folder to write").Text;
        if (arguments.Has(OptionSpec.Dem) == arguments.Has(OptionSpec.Items))
        {
            throw new UsageException(arguments.Has(OptionSpec.Dem)
                ? $"{OptionSpec.Dem.Flag} and {OptionSpec.Items.Flag} both name the elevation: keep one of them."
                : $"The elevation is missing: give it with {OptionSpec.Dem.Flag} FILE, or a list of files with {OptionSpec.Items.Flag} FILE.");
        }

        IReadOnlyList<LayerField> fields = FieldFiles.ReadLayer(fieldsPath, arguments[OptionSpec.Id]?.Text.Trim());
        int cores = Environment.ProcessorCount;
        int atOnce = arguments.Whole(OptionSpec.AtOnce, 1, 256) ?? cores;
        string again = arguments.Word(OptionSpec.Again, "none", "failed", "all");
        BatchRequest request = new(arguments)
        {
            FieldsPath = fieldsPath,
            OutPath = outPath,
            Fields = fields,
            Chosen = Choose(fields, arguments),
            Catalogue = arguments.File(OptionSpec.Items, "list of elevation files") is { } items ? TileCatalogue.Read(items) : null,
            AtOnce = atOnce,
            Threads = arguments.Whole(OptionSpec.Threads, 1, 1024) ?? Math.Max(1, cores / atOnce),
            MemoryText = arguments[OptionSpec.Memory]?.Text,
            TimeLimit = Time(arguments[OptionSpec.TimeLimit]),
            MakesFailedAgain = again != "none",
            MakesAllAgain = again == "all",
            OnlyGathers = arguments.Has(OptionSpec.Gather),
            TasksPath = arguments[OptionSpec.Tasks]?.Text,
        };
        request.CheckOptions();
        return request;
    }

    /// <summary>The job of one field: what was asked for all, with what its attributes say otherwise; paths in full.</summary>
    /// <exception cref="UsageException">An attribute overrides what is no option.</exception>
    /// <exception cref="GroundDataException">No listed elevation lies under the field.</exception>
    public byte[] JobOf(LayerField field)
    {
        string layerFolder = Path.GetDirectoryName(Path.GetFullPath(FieldsPath)) ?? "";
        Dictionary<OptionSpec, string> own = [];
        foreach ((string name, string json) in field.Attributes.Where(a => a.Key.StartsWith(AttributePrefix, StringComparison.Ordinal)))
        {
            string key = name[AttributePrefix.Length..];
            OptionSpec option = OptionSpec.JobOptions.FirstOrDefault(o => o.JobKey == key && o != OptionSpec.Field && o != OptionSpec.Out)
                ?? throw new UsageException($"The attribute {name} overrides no option: the option's name follows {AttributePrefix}, as in {AttributePrefix}{OptionSpec.Spacing.JobKey}.");
            own[option] = option.Kind == ValueKind.Path && json.StartsWith('"') ? Json(BesideLayer(option, JsonSerializer.Deserialize<string>(json)!, layerFolder)) : json;
        }

        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream, Indented))
        {
            json.WriteStartObject();
            foreach (OptionSpec option in OptionSpec.JobOptions.Where(o => o != OptionSpec.Field && o != OptionSpec.Out))
            {
                if (own.TryGetValue(option, out string? value))
                {
                    json.WritePropertyName(option.JobKey);
                    json.WriteRawValue(value);
                }
                else if (option == OptionSpec.Dem && Catalogue is not null)
                {
                    WriteTiles(json, field);
                }
                else if (_arguments[option] is { } setting)
                {
                    Write(json, option, setting);
                }
            }

            json.WriteString(OptionSpec.Field.JobKey, FieldTask.FieldName);
            json.WriteString(OptionSpec.Out.JobKey, FieldTask.PlanName);
            json.WriteEndObject();
        }

        stream.WriteByte((byte)'\n');
        return stream.ToArray();
    }

    /// <summary>The words that make one field by the same request.</summary>
    public IReadOnlyList<string> WordsFor(LayerField field)
    {
        List<string> words = ["batch"];
        OptionSpec[] left = [OptionSpec.Only, OptionSpec.Shard, OptionSpec.Gather, OptionSpec.Tasks, OptionSpec.AtOnce, OptionSpec.Job, OptionSpec.Quiet, OptionSpec.Json];
        foreach (OptionSpec option in BatchCommand.Command.Options.Where(o => !left.Contains(o)))
        {
            foreach (string text in _arguments[option]?.Texts ?? [])
            {
                words.Add(option.Flag);
                if (option.Kind != ValueKind.Switch)
                {
                    words.Add(option == OptionSpec.Out || option == OptionSpec.Tasks ? Path.GetFullPath(text) : InFull(option, text));
                }
            }
        }

        return [.. words, OptionSpec.Only.Flag, field.Id, OptionSpec.Quiet.Flag];
    }

    // A machine may be named where others have a file; a name stays a name.
    private static string InFull(OptionSpec option, string text) => option.Kind == ValueKind.Path && (File.Exists(text) || Directory.Exists(text)) ? Path.GetFullPath(text) : text;

    private static string BesideLayer(OptionSpec option, string text, string folder)
    {
        string beside = Path.Combine(folder, text);
        return option == OptionSpec.Machine && !File.Exists(beside) ? text : beside;
    }

    private static string Json(string text) => JsonSerializer.Serialize(text);

    private static void Write(Utf8JsonWriter json, OptionSpec option, Setting setting)
    {
        json.WritePropertyName(option.JobKey);
        string[] texts = [.. setting.Texts.Select(t => InFull(option, t))];
        if (option.Kind == ValueKind.Switch)
        {
            json.WriteBooleanValue(true);
        }
        else if (option.Many)
        {
            WriteList(json, texts);
        }
        else
        {
            json.WriteStringValue(texts[0]);
        }
    }

    private void WriteTiles(Utf8JsonWriter json, LayerField field)
    {
        using MemoryStream shape = new(field.ToGeoJson());
        IReadOnlyList<string> tiles = Catalogue!.In(FieldReader.ReadWindow(shape, field.Id));
        if (tiles.Count == 0)
        {
            throw new GroundDataException($"None of the {Catalogue.Count} elevation files listed lies under the field: check {OptionSpec.Items.Flag}.");
        }

        json.WritePropertyName(OptionSpec.Dem.JobKey);
        WriteList(json, tiles);
    }

    private static void WriteList(Utf8JsonWriter json, IEnumerable<string> texts)
    {
        json.WriteStartArray();
        foreach (string text in texts)
        {
            json.WriteStringValue(text);
        }

        json.WriteEndArray();
    }

    // What is wrong in an option typed for all is told once, not for every field.
    private void CheckOptions()
    {
        Arguments one = new();
        foreach (OptionSpec option in OptionSpec.JobOptions.Where(o => o != OptionSpec.Out && _arguments.Has(o)))
        {
            one.AddIfAbsent(option, _arguments[option]!);
        }

        one.AddIfAbsent(OptionSpec.Field, new Setting(FieldsPath, OptionSpec.Fields.Flag));
        one.AddIfAbsent(OptionSpec.Dem, new Setting(FieldsPath, OptionSpec.Items.Flag));
        one.AddIfAbsent(OptionSpec.Out, new Setting(OutPath, OptionSpec.Out.Flag));
        if (!one.Has(OptionSpec.Spacing) && Fields.All(f => f.Attributes.Any(a => a.Key == AttributePrefix + OptionSpec.Spacing.JobKey)))
        {
            one.AddIfAbsent(OptionSpec.Spacing, new Setting("3 m", OptionSpec.Spacing.Flag));
        }

        _ = PlanRequest.From(one);
    }

    private static IReadOnlyList<LayerField> Choose(IReadOnlyList<LayerField> fields, Arguments arguments)
    {
        if (arguments[OptionSpec.Only] is { } only)
        {
            if (arguments.Has(OptionSpec.Shard))
            {
                throw new UsageException($"{OptionSpec.Only.Flag} and {OptionSpec.Shard.Flag} both choose fields: keep one of them.");
            }

            string[] ids = [.. only.Texts.SelectMany(t => t.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))];
            string? unknown = ids.FirstOrDefault(id => fields.All(f => f.Id != id));
            return unknown is null
                ? [.. fields.Where(f => ids.Contains(f.Id))]
                : throw new UsageException($"{only.Where} names {unknown}, and no field is called that{(CommandLine.Nearest(unknown, fields.Select(f => f.Id)) is { } near ? $": perhaps {near} is meant" : ": keyline batch --tasks lists them")}.");
        }

        ShareChoice share = ShareChoice.From(arguments[OptionSpec.Shard]);
        return [.. fields.Where((_, i) => share.Holds(i))];
    }

    private static TimeSpan Time(Setting? setting)
    {
        if (setting is null)
        {
            return TimeSpan.FromMinutes(30);
        }

        string text = setting.Text.Trim();
        int unit = text.TakeWhile(c => char.IsAsciiDigit(c) || c == '.').Count();
        double seconds = text[unit..].Trim() switch { "s" => 1, "min" => 60, "h" => 3600, _ => double.NaN };
        return double.TryParse(text[..unit], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double number) && number * seconds is >= 0.1 and <= 30 * 24 * 3600
            ? TimeSpan.FromSeconds(number * seconds)
            : throw new UsageException($"{setting.Where} is \"{text}\": write a time with its unit, from \"0.1 s\" to \"720 h\", as \"10 min\".");
    }
}
