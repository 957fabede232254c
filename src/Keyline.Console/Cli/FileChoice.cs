namespace Keyline.Console.Cli;

/// <summary>Which of the files that a command can write are asked for: all, or those that <c>--only</c> names.</summary>
internal sealed class FileChoice
{
    private readonly HashSet<string>? _names;

    private FileChoice(HashSet<string>? names) => _names = names;

    /// <summary>The option, for the help of a command.</summary>
    /// <param name="example">Two of its files.</param>
    public static OptionSpec Option(string example) => OptionSpec.Only with { ValueName = "FILES", Help = $"write only these files, as {example}; the rest is not worked out" };

    /// <summary>Reads what is asked for.</summary>
    /// <param name="arguments">The options.</param>
    /// <param name="all">Every file the command can write; one may be named with or without its ending.</param>
    /// <param name="needs">Files that are made only with an option.</param>
    /// <exception cref="UsageException">A name is none of them, or its option is not given.</exception>
    public static FileChoice From(Arguments arguments, IReadOnlyCollection<string> all, IReadOnlyDictionary<string, OptionSpec> needs)
    {
        if (arguments[OptionSpec.Only] is not { } setting)
        {
            return new FileChoice(null);
        }

        HashSet<string> names = [];
        string[] words = [.. setting.Texts.SelectMany(text => text.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))];
        string choices = string.Join(", ", all.Select(Stem).Distinct());
        if (words.Length == 0)
        {
            throw new UsageException($"{setting.Where} names nothing: write some of {choices}, with commas.");
        }

        foreach (string word in words)
        {
            string[] files = [.. all.Where(file => file == word || Stem(file) == word)];
            if (files.Length == 0)
            {
                throw new UsageException($"{setting.Where} names \"{word}\", which is no file of this command: write some of {choices}, with commas.");
            }

            if (needs.TryGetValue(files[0], out OptionSpec? option) && !arguments.Has(option))
            {
                throw new UsageException($"{setting.Where} names \"{word}\", which is made only with {option.Flag}: give that as well, or leave it out.");
            }

            names.UnionWith(files);
        }

        return new FileChoice(names);
    }

    /// <summary>Whether a file is asked for.</summary>
    public bool Wants(string file) => _names?.Contains(file) ?? true;

    /// <summary>Whether any of some files is.</summary>
    public bool WantsAny(params ReadOnlySpan<string> files)
    {
        foreach (string file in files)
        {
            if (Wants(file))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>A course without the writing of what is not asked for.</summary>
    public (string Stage, double Weight)[] Course(params ReadOnlySpan<(string Stage, double Weight)> all)
    {
        (string Stage, double Weight)[] course = all.ToArray();
        const string Writing = "writing ";
        for (int i = 0; i < course.Length; i++)
        {
            if (course[i].Stage.StartsWith(Writing, StringComparison.Ordinal) && !Wants(course[i].Stage[Writing.Length..]))
            {
                course[i].Weight = 0;
            }
        }

        return course;
    }

    private static string Stem(string file) => Path.GetFileNameWithoutExtension(file);
}
