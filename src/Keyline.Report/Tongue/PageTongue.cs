using System.Net;
using System.Text;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>Says a finished page in another language and in other units: the sheets, and the pages of soil, season, trial and batch.</summary>
/// <remarks>
/// <para>Units: a page comes in metric units; every quantity in its text is brought to the system asked for, with no more digits than it can bear. Parts between the comments
/// <c>metric</c> and <c>/metric</c> stay as they are: tables whose heads name the unit, readings in the unit of their survey.</para>
/// <para>Promises: only text and its names for readers of screens are changed, never an element, a style or a number of a drawing; a sentence whose shape is not known stays in English, and the
/// Spanish page says so at its end. English in metric units is the page as it is. Names, sources and words that files are read by (as names of treatments) are left alone.</para>
/// <para>Cost: linear in the page, and a look at every shape for each text that is not the same as one before. Source: the sentences are ours; Spanish of the Americas.</para>
/// </remarks>
public static partial class PageTongue
{
    private const string Stays = "Lo que aquí está en inglés son nombres, fuentes, o palabras de los archivos.";

    // Cautions name a depth in inches and in millimetres.
    private static readonly HashSet<string> InBoth = [.. Phrases.Cautions.Select(c => c.En)];

    /// <summary>Languages a page can be said in.</summary>
    public static IReadOnlyList<string> Languages => Phrase.Languages;

    /// <summary>Says a page.</summary>
    /// <param name="page">The page in English and metric units.</param>
    /// <param name="language">One of <see cref="Languages"/>.</param>
    /// <param name="units">The units.</param>
    /// <exception cref="ArgumentException">A language that pages are not said in.</exception>
    public static string Said(string page, string language, UnitSystem units)
    {
        ArgumentNullException.ThrowIfNull(page);
        ArgumentNullException.ThrowIfNull(units);
        bool spanish = language == "es";
        if (!Languages.Contains(language))
        {
            throw new ArgumentException($"No page is said in \"{language}\".", nameof(language));
        }

        if (!spanish && ReferenceEquals(units, UnitSystem.Metric))
        {
            return page;
        }

        Dictionary<string, string> said = [];
        StringBuilder text = new(page.Length + (page.Length / 8));
        bool metric = false;
        foreach (Match part in Parts().Matches(page))
        {
            if (part.Groups["text"].Success)
            {
                text.Append(Of(part.Value));
                continue;
            }

            metric = part.Value switch { "<!--metric-->" => true, "<!--/metric-->" => false, _ => metric };
            text.Append(part.Groups["tag"].Success ? Names().Replace(part.Value, m => m.Groups["name"].Value + Of(m.Groups["words"].Value) + "\"") : part.Value);
        }

        return spanish ? Marked(text.ToString()) : text.ToString();

        string Of(string html)
        {
            string key = metric ? "\0" + html : html;
            if (!said.TryGetValue(key, out string? found))
            {
                found = Word().IsMatch(html) || (spanish && Digit().IsMatch(html)) ? Encoded(Words(WebUtility.HtmlDecode(html))) : html;
                said[key] = found;
            }

            return found;
        }

        string Words(string words)
        {
            string inUnits = metric || InBoth.Contains(words.Trim()) ? words : units.Reworded(words);
            return spanish ? NumberMark.In(PhraseBook.Say(inUnits), units) : inUnits;
        }
    }

    /// <summary>Texts of a page that have no Spanish of their own, each once: names, sources, and what a translator still has to say.</summary>
    /// <param name="page">The page in English.</param>
    public static IReadOnlyList<string> Unsaid(string page)
    {
        ArgumentNullException.ThrowIfNull(page);
        SortedSet<string> unsaid = new(StringComparer.Ordinal);
        foreach (Match part in Parts().Matches(page))
        {
            string[] texts = part.Groups["text"].Success ? [part.Value] : part.Groups["tag"].Success ? [.. Names().Matches(part.Value).Select(m => m.Groups["words"].Value)] : [];
            foreach (string html in texts.Where(t => Word().IsMatch(t)))
            {
                unsaid.UnionWith(PhraseBook.Unsaid(WebUtility.HtmlDecode(html)));
            }
        }

        return [.. unsaid];
    }

    // The page is UTF-8: only what would be markup is written as an entity.
    private static string Encoded(string words) => words.Replace("&", "&amp;", StringComparison.Ordinal).Replace("<", "&lt;", StringComparison.Ordinal).Replace(">", "&gt;", StringComparison.Ordinal).Replace("\"", "&quot;", StringComparison.Ordinal);

    private static string Marked(string page)
    {
        string marked = Language().Replace(page, "<html lang=\"es\"", 1);
        int foot = marked.LastIndexOf("<footer>", StringComparison.Ordinal);
        return foot < 0 ? marked : marked.Insert(foot + "<footer>".Length, Stays + " ");
    }

    // Comments, styles and scripts as a whole, other tags, and the text between.
    [GeneratedRegex("(?<raw><!--.*?-->|<(?:style|script)\\b.*?</(?:style|script)>)|(?<tag><[^>]*>)|(?<text>[^<]+)", RegexOptions.Singleline | RegexOptions.ExplicitCapture)]
    private static partial Regex Parts();

    [GeneratedRegex("(?<name> (?:aria-label|alt|title)=\")(?<words>[^\"]*)\"", RegexOptions.ExplicitCapture)]
    private static partial Regex Names();

    [GeneratedRegex("\\p{L}", RegexOptions.None)]
    private static partial Regex Word();

    [GeneratedRegex("[0-9]")]
    private static partial Regex Digit();

    [GeneratedRegex("<html lang=\"[^\"]*\"")]
    private static partial Regex Language();
}
