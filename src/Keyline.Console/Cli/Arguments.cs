using System.CommandLine;
using System.CommandLine.Parsing;

namespace Keyline.Console.Cli;

/// <summary>What was given for one option, and where, for messages.</summary>
/// <param name="Text">The value as written.</param>
/// <param name="Where">"--spacing", or "spacing in job.json".</param>
internal sealed record Setting(string Text, string Where)
{
    /// <summary>Every value, where an option may be given several times.</summary>
    public IReadOnlyList<string> Texts { get; init; } = [Text];
}

/// <summary>The options of one call, by their specification.</summary>
internal sealed class Arguments
{
    private readonly Dictionary<OptionSpec, Setting> _settings = [];

    /// <summary>Words that belong to no option, where the command takes files.</summary>
    public IReadOnlyList<string> Files { get; private set; } = [];

    public Setting? this[OptionSpec option] => _settings.GetValueOrDefault(option);

    public bool Has(OptionSpec option) => _settings.ContainsKey(option);

    /// <summary>Adds a value unless one is there already.</summary>
    public void AddIfAbsent(OptionSpec option, Setting setting) => _settings.TryAdd(option, setting);

    /// <summary>The value of an option that must be there.</summary>
    /// <exception cref="UsageException">It is not.</exception>
    public Setting Need(OptionSpec option, string command, string what) => this[option]
        ?? throw new UsageException($"{what} is missing: give it with {option.Flag} {option.ValueName} (keyline {command} --help shows an example).");

    /// <summary>Reads the words after a command.</summary>
    /// <param name="command">Name of the command, for messages.</param>
    /// <param name="options">The options it knows.</param>
    /// <param name="words">The words.</param>
    /// <param name="takesFiles">Whether words that belong to no option are files.</param>
    /// <exception cref="UsageException">An unknown option, one without its value, or one given twice.</exception>
    public static Arguments Parse(string command, IReadOnlyList<OptionSpec> options, IReadOnlyList<string> words, bool takesFiles = false)
    {
        RootCommand root = new();
        root.Options.Clear();
        root.Directives.Clear();
        Dictionary<OptionSpec, Option> parsers = [];
        foreach (OptionSpec option in options)
        {
            Option parser = option.Kind == ValueKind.Switch
                ? new Option<bool>(option.Flag) { Arity = ArgumentArity.Zero }
                : new Option<string[]>(option.Flag) { Arity = ArgumentArity.ZeroOrMore, AllowMultipleArgumentsPerToken = false };
            parsers[option] = parser;
            root.Options.Add(parser);
        }

        ParseResult result = root.Parse(words, new ParserConfiguration { ResponseFileTokenReplacer = null, EnablePosixBundling = false });
        Arguments arguments = new();
        foreach (OptionSpec option in options)
        {
            if (result.GetResult(parsers[option]) is not OptionResult given || given.Implicit)
            {
                continue;
            }

            if (option.Kind == ValueKind.Switch)
            {
                arguments._settings[option] = new Setting("", option.Flag);
                continue;
            }

            if ((given.IdentifierTokenCount > 1 || given.Tokens.Count > 1) && !option.Many)
            {
                throw new UsageException($"{option.Flag} is given more than once: keep one of them.");
            }

            if (given.Tokens.Count < given.IdentifierTokenCount || given.Tokens.Any(t => t.Value.Trim().Length == 0))
            {
                throw new UsageException($"{option.Flag} needs a value: {option.Flag} {option.ValueName}, {option.Help}.");
            }

            arguments._settings[option] = new Setting(given.Tokens[0].Value, option.Flag) { Texts = [.. given.Tokens.Select(t => t.Value)] };
        }

        arguments.Files = takesFiles ? [.. result.UnmatchedTokens.Where(t => !t.StartsWith('-'))] : [];
        string? stray = result.UnmatchedTokens.FirstOrDefault(t => !takesFiles || t.StartsWith('-'));
        return stray is null ? arguments : throw Unmatched(command, options, stray);
    }

    private static UsageException Unmatched(string command, IReadOnlyList<OptionSpec> options, string word)
    {
        if (!word.StartsWith('-'))
        {
            return new UsageException($"\"{word}\" belongs to no option: put a value of two words in quotes, as in --spacing \"10 ft\" (keyline {command} --help lists the options).");
        }

        string name = word.Split('=')[0];
        string? near = options.Select(o => o.Flag).Where(f => Distance(f, name) <= 3).OrderBy(f => Distance(f, name)).FirstOrDefault();
        return new UsageException(near is null
            ? $"keyline {command} has no option {name}: keyline {command} --help lists those it has."
            : $"keyline {command} has no option {name}: perhaps {near} is meant (keyline {command} --help lists all).");
    }

    /// <summary>Number of letters to add, drop or change to turn one word into another.</summary>
    private static int Distance(string a, string b)
    {
        int[] row = [.. Enumerable.Range(0, b.Length + 1)];
        for (int i = 1; i <= a.Length; i++)
        {
            int corner = row[0];
            row[0] = i;
            for (int j = 1; j <= b.Length; j++)
            {
                int above = row[j];
                row[j] = Math.Min(Math.Min(above, row[j - 1]) + 1, corner + (a[i - 1] == b[j - 1] ? 0 : 1));
                corner = above;
            }
        }

        return row[b.Length];
    }
}
