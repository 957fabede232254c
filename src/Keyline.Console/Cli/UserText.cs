using System.Text.RegularExpressions;

namespace Keyline.Console.Cli;

/// <summary>The user's own text in a message.</summary>
internal static partial class UserText
{
    /// <summary>Most characters quoted of one text.</summary>
    public const int Most = 80;

    // A path may be long and is needed whole: words of up to 1024 characters stay.
    private const int MostInAll = 4096;

    /// <summary>The message with every quoted text cut to what is needed to find it.</summary>
    public static string Shortened(string message)
    {
        string quoted = Quoted().Replace(message.Length > MostInAll * 16 ? message[..(MostInAll * 16)] : message, m => "\"" + Cut(m.Groups[1].Value, Most) + "\"");
        string broken = Unbroken().Replace(quoted, m => Cut(m.Value, Most));
        return Cut(broken, MostInAll);
    }

    /// <summary>The beginning of a text.</summary>
    public static string Cut(string text, int most = Most)
    {
        if (text.Length <= most)
        {
            return text;
        }

        int end = char.IsHighSurrogate(text[most - 2]) ? most - 2 : most - 1;
        return text[..end] + "…";
    }

    [GeneratedRegex("\"([^\"]{81,})\"", RegexOptions.CultureInvariant)]
    private static partial Regex Quoted();

    [GeneratedRegex("[^\\s]{1025,}", RegexOptions.CultureInvariant)]
    private static partial Regex Unbroken();
}
