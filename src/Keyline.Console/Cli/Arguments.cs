namespace Keyline.Console.Cli;

/// <summary>What was given for one option, and where, for messages.</summary>
/// <param name="Text">The value as written.</param>
/// <param name="Where">"--spacing", or "spacing in job.json".</param>
internal sealed record Setting(string Text, string Where)
{
    /// <summary>Every value, where an option may be given several times.</summary>
    public IReadOnlyList<string> Texts { get; init; } = [Text];
}

/// <summary>The options and files of one call.</summary>
internal sealed class Arguments
{
    private readonly Dictionary<OptionSpec, Setting> _settings;

    public Arguments()
        : this([], [])
    {
    }

    public Arguments(IEnumerable<(OptionSpec Option, Setting Setting)> settings, IReadOnlyList<string> files)
    {
        _settings = settings.ToDictionary(s => s.Option, s => s.Setting);
        Files = files;
    }

    /// <summary>Words that belong to no option.</summary>
    public IReadOnlyList<string> Files { get; }

    public Setting? this[OptionSpec option] => _settings.GetValueOrDefault(option);

    public bool Has(OptionSpec option) => _settings.ContainsKey(option);

    /// <summary>Adds a value unless one is there already.</summary>
    public void AddIfAbsent(OptionSpec option, Setting setting) => _settings.TryAdd(option, setting);

    /// <summary>The value of an option that must be there.</summary>
    /// <exception cref="UsageException">It is not.</exception>
    public Setting Need(OptionSpec option, string command, string what) => this[option]
        ?? throw new UsageException($"{what} is missing: give it with {option.Flag} {option.ValueName} (keyline {command} --help shows an example).");

    /// <summary>The path of a file that is there, or null where none was given.</summary>
    /// <exception cref="UsageException">It is not there, or is a folder.</exception>
    public string? File(OptionSpec option, string what) => this[option] is { } path ? Existing(path, what) : null;

    /// <summary>The path of a file that must be given and be there.</summary>
    /// <exception cref="UsageException">It is not given, not there, or is a folder.</exception>
    public string NeedFile(OptionSpec option, string command, string missing, string what) => Existing(Need(option, command, missing), what);

    /// <summary>Every path of an option that may be given several times, where each is there.</summary>
    /// <exception cref="UsageException">One is not there, or is a folder.</exception>
    public string[] NeedFiles(OptionSpec option, string command, string missing, string what)
    {
        _ = Need(option, command, missing);
        return Paths(option, what);
    }

    /// <summary>Every path of an option that may be given several times, or none; each is there.</summary>
    /// <exception cref="UsageException">One is not there, or is a folder.</exception>
    public string[] Paths(OptionSpec option, string what) => this[option] is not { } paths ? [] : [.. paths.Texts.Select(text => Existing(new Setting(text, paths.Where), what))];

    /// <summary>A value above zero.</summary>
    /// <exception cref="UsageException">It is not, or is none at all.</exception>
    public double Above(OptionSpec option, double otherwise) => Above(option) ?? otherwise;

    /// <summary>A value above zero, or null where none was given.</summary>
    /// <exception cref="UsageException">It is not, or is none at all.</exception>
    public double? Above(OptionSpec option) => this[option] is not { } setting ? null
        : Value(option, setting) is double value && value > 0 ? value
        : throw new UsageException($"{setting.Where} is {setting.Text.Trim()}: it must be above zero.");

    /// <summary>A value of zero or more.</summary>
    /// <exception cref="UsageException">It is not, or is none at all.</exception>
    public double AtLeastNothing(OptionSpec option, double otherwise) => this[option] is not { } setting ? otherwise
        : Value(option, setting) is double value && value >= 0 ? value
        : throw new UsageException($"{setting.Where} is {setting.Text.Trim()}: it must be zero or more.");

    /// <summary>A length on either side of zero.</summary>
    /// <exception cref="UsageException">It is none.</exception>
    public double Signed(OptionSpec option) => this[option] is { } setting ? Quantity.Length(setting.Text, setting.Where) : 0;

    /// <summary>A whole number between two, or null where none was given.</summary>
    /// <exception cref="UsageException">It is not.</exception>
    public int? Whole(OptionSpec option, int least, int most) => this[option] is { } setting ? Quantity.Whole(setting.Text, setting.Where, least, most) : null;

    /// <summary>One of some words; the first where none was given.</summary>
    /// <exception cref="UsageException">It is another.</exception>
    public string Word(OptionSpec option, params string[] words) => this[option] is not { } setting ? words[0]
        : words.Contains(setting.Text.Trim()) ? setting.Text.Trim()
        : throw new UsageException($"{setting.Where} is \"{setting.Text.Trim()}\": write {string.Join(" or ", words)}.");

    private static double Value(OptionSpec option, Setting setting) => option.Kind switch
    {
        ValueKind.Percent => Quantity.Percent(setting.Text, setting.Where),
        ValueKind.Number => Quantity.Number(setting.Text, setting.Where, "15"),
        ValueKind.Area => Quantity.Area(setting.Text, setting.Where),
        _ => Quantity.Length(setting.Text, setting.Where),
    };

    private static string Existing(Setting path, string what) => Directory.Exists(path.Text)
        ? throw new UsageException($"The {what} {path.Text} is a folder: give the file itself with {path.Where}.")
        : System.IO.File.Exists(path.Text)
            ? path.Text
            : throw new UsageException($"There is no {what} {path.Text}: check {path.Where}.");
}
