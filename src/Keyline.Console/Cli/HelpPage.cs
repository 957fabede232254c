using System.Text;

namespace Keyline.Console.Cli;

/// <summary>The help, written from the same commands and options that are read by.</summary>
internal static class HelpPage
{
    private const int FlagWidth = 27;
    private const int NameWidth = 30;
    private const int LineWidth = 96;

    private const string ExitCodes = """
        Exit codes:
          0    done
          1    a fault in keyline itself
          2    bad input: one sentence says what, where and how to mend it; nothing was written
          3    done and written, but a limit that was asked for could not be kept everywhere
          130  stopped; nothing was written

        """;

    /// <summary>What keyline is, where to start, and its commands.</summary>
    public static string Overview(IReadOnlyList<Command> commands)
    {
        StringBuilder page = new("""
            keyline lays out contour ripping: from elevation data it reads the valleys, ridges and keypoints
            of a field and draws parallel lines for a subsoiler that hold a grade limit and drift water from
            the valleys toward the ridges.

            Start here:
              keyline demo                  write an invented farm and the whole plan for it

            Commands:

            """);
        foreach (Command command in commands)
        {
            Row(page, "keyline " + command.Name, command.Summary);
        }

        Row(page, "keyline COMMAND --help", "options and an example of a command");
        Row(page, "keyline --version", "the version");
        return page.AppendLine().AppendLine("""
            A first plan of your own needs an elevation file and the field's outline:
              keyline plan --dem dem.tif --field field.geojson --spacing "10 ft" --out plan
            """).AppendLine().Append(ExitCodes).ToString();

        static void Row(StringBuilder page, string name, string what) => page.AppendLine("  " + name.PadRight(NameWidth) + what);
    }

    /// <summary>One command: what it does, calls to copy, and its options.</summary>
    public static string Of(Command command)
    {
        StringBuilder page = new();
        foreach (string line in command.About)
        {
            page.AppendLine(line);
        }

        page.AppendLine().AppendLine(command.Examples.Count > 1 ? "Examples:" : "Example:");
        foreach (string example in command.Examples)
        {
            page.Append("  ").AppendLine(example);
        }

        if (command.Options.Count > 0)
        {
            page.AppendLine().AppendLine("Options:");
            foreach (OptionSpec option in command.Options)
            {
                Append(page, option);
            }
        }

        if (command.Note.Length > 0)
        {
            page.AppendLine().AppendLine(command.Note);
        }

        return page.AppendLine().Append(ExitCodes).ToString();
    }

    private static void Append(StringBuilder page, OptionSpec option)
    {
        string flag = "  " + option.Flag + (option.ValueName.Length > 0 ? " " + option.ValueName : "");
        StringBuilder line = new(flag.PadRight(FlagWidth));
        foreach (string word in option.Help.Split(' '))
        {
            if (line.Length + word.Length + 1 > LineWidth)
            {
                page.AppendLine(line.ToString().TrimEnd());
                line.Clear().Append(' ', FlagWidth);
            }

            line.Append(' ').Append(word);
        }

        page.AppendLine(line.ToString().TrimEnd());
    }
}
