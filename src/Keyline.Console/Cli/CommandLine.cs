namespace Keyline.Console.Cli;

/// <summary>Reads the words after a command by the options it knows.</summary>
/// <remarks>
/// <para>A value follows its option as the next word or after an equals sign: <c>--spacing "10 ft"</c> or <c>--spacing="10 ft"</c>.
/// A next word that begins with two dashes is no value, so that a forgotten one is told of where it is missing; one that begins with a
/// single dash, as -9999 does, is. After <c>--</c> every word is a file.</para>
/// </remarks>
internal static class CommandLine
{
    /// <summary>Reads the words.</summary>
    /// <exception cref="UsageException">An unknown option, one without its value or with one too many, or one given twice.</exception>
    public static Arguments Parse(Command command, IReadOnlyList<string> words)
    {
        Dictionary<string, OptionSpec> known = command.Options.ToDictionary(o => o.Flag, StringComparer.Ordinal);
        Dictionary<OptionSpec, List<string>> given = [];
        List<string> files = [];
        for (int i = 0; i < words.Count; i++)
        {
            string word = words[i];
            if (word == "--")
            {
                files.AddRange(words.Skip(i + 1));
                break;
            }

            int equals = word.IndexOf('=', StringComparison.Ordinal);
            string name = word.StartsWith('-') && equals > 0 ? word[..equals] : word;
            if (!known.TryGetValue(name, out OptionSpec? option))
            {
                files.Add(word.StartsWith('-') && word.Length > 1 ? throw Unknown(command, name) : word);
                continue;
            }

            if (given.ContainsKey(option) && !option.Many)
            {
                throw new UsageException($"{option.Flag} is given more than once: keep one of them.");
            }

            string? value = equals > 0 ? word[(equals + 1)..] : option.Kind == ValueKind.Switch ? null : Next(words, ref i);
            if (option.Kind == ValueKind.Switch && value is not null)
            {
                throw new UsageException($"{option.Flag} takes no value: leave out \"={value}\".");
            }

            if (option.Kind != ValueKind.Switch && string.IsNullOrWhiteSpace(value))
            {
                throw new UsageException($"{option.Flag} needs a value: {option.Flag} {option.ValueName}, {option.Help}.");
            }

            (given.TryGetValue(option, out List<string>? values) ? values : given[option] = []).Add(value ?? "");
        }

        return files.Count > 0 && command.Operand.Length == 0
            ? throw new UsageException($"\"{files[0]}\" belongs to no option: put a value of two words in quotes, as in --spacing \"10 ft\" (keyline {command.Name} --help lists the options).")
            : new Arguments(given.Select(g => (g.Key, new Setting(g.Value[0], g.Key.Flag) { Texts = g.Value })), files);
    }

    /// <summary>The one of some words that another was most likely meant to be, or null where none is near.</summary>
    public static string? Nearest(string word, IEnumerable<string> among) => among
        .Select(a => (Word: a, Far: Distance(word, a)))
        .Where(a => a.Far <= Math.Min(3, a.Word.TrimStart('-').Length / 2))
        .OrderBy(a => a.Far).ThenBy(a => a.Word, StringComparer.Ordinal)
        .FirstOrDefault().Word;

    private static string? Next(IReadOnlyList<string> words, ref int i) =>
        i + 1 < words.Count && !words[i + 1].StartsWith("--", StringComparison.Ordinal) ? words[++i] : null;

    private static UsageException Unknown(Command command, string name) => new(Nearest(name, command.Options.Select(o => o.Flag)) is not { } near
        ? $"keyline {command.Name} has no option {name}: keyline {command.Name} --help lists those it has."
        : $"keyline {command.Name} has no option {name}: perhaps {near} is meant (keyline {command.Name} --help lists all).");

    /// <summary>Number of letters to add, drop, change or swap with the next to turn one word into another.</summary>
    /// <remarks>Optimal string alignment, after Damerau, "A technique for computer detection and correction of spelling errors", 1964.</remarks>
    private static int Distance(string a, string b)
    {
        int[,] steps = new int[a.Length + 1, b.Length + 1];
        for (int i = 0; i <= a.Length; i++)
        {
            for (int j = 0; j <= b.Length; j++)
            {
                if (i == 0 || j == 0)
                {
                    steps[i, j] = i + j;
                    continue;
                }

                int fewest = Math.Min(Math.Min(steps[i - 1, j], steps[i, j - 1]) + 1, steps[i - 1, j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1));
                steps[i, j] = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] ? Math.Min(fewest, steps[i - 2, j - 2] + 1) : fewest;
            }
        }

        return steps[a.Length, b.Length];
    }
}
