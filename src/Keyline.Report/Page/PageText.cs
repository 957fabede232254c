using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Unicode;

namespace Keyline.Report;

/// <summary>Writes what the page says: every text that was not written here goes through <see cref="Encoded"/>.</summary>
internal static class PageText
{
    private static readonly HtmlEncoder Html = HtmlEncoder.Create(UnicodeRanges.All);

    /// <summary>Text between tags or quotes. What could be taken for markup, control characters and marks that turn the direction of writing are written as numbers.</summary>
    public static string Encoded(string text)
    {
        StringBuilder kept = new(text.Length);
        foreach (char c in text)
        {
            // Marks of direction could make a name read as something else; a control character has nothing to say here.
            kept.Append(char.IsControl(c) || c is >= '\u202A' and <= '\u202E' or >= '\u2066' and <= '\u2069' or '\u200E' or '\u200F' ? ' ' : c);
        }

        return Html.Encode(kept.ToString());
    }

    /// <summary>A statement in every language; the page shows one of them.</summary>
    public static string Say(Phrase phrase, params object[] values)
    {
        StringBuilder html = new();
        foreach (string language in Phrase.Languages)
        {
            html.Append(CultureInfo.InvariantCulture, $"<span lang=\"{language}\">{Filled(phrase, language, values)}</span>");
        }

        return html.ToString();
    }

    /// <summary>A statement in every language.</summary>
    public static string Say(Statement said) => Say(said.Phrase, said.Values);

    /// <summary>A statement that is of use on a screen only; paper leaves it out.</summary>
    public static string Hint(Phrase phrase) => $"<span class=\"hint\">{Say(phrase)}</span>";

    /// <summary>The same as letters of a drawing.</summary>
    /// <param name="attributes">Attributes of both text elements.</param>
    /// <param name="phrase">What they say.</param>
    /// <param name="values">What is put in; texts and whole numbers only.</param>
    public static string Letters(string attributes, Phrase phrase, params object[] values)
    {
        StringBuilder svg = new();
        foreach (string language in Phrase.Languages)
        {
            svg.Append(CultureInfo.InvariantCulture, $"<text lang=\"{language}\" {attributes}>{string.Format(CultureInfo.InvariantCulture, Encoded(phrase.In(language)).Replace("&#x7B;", "{", StringComparison.Ordinal), [.. values.Select(v => v is string s ? Encoded(s) : v)])}</text>");
        }

        return svg.ToString();
    }

    /// <summary>A number that the page shows in the reader's units.</summary>
    public static string Quantity(Measure measure, string language = "en") => !double.IsFinite(measure.Value) ? "–" :
        string.Create(CultureInfo.InvariantCulture, $"<span class=\"q\" data-k=\"{measure.Word}\" data-v=\"{measure.Value:0.######}\" data-d=\"{measure.Decimals}\"{(measure.IsAsked ? " data-w=\"1\"" : "")}>{Encoded(measure.In(language))}</span>");

    /// <summary>A sentence in English whose quantities the page shows in the reader's units.</summary>
    public static string Measured(string sentence)
    {
        StringBuilder html = new();
        int from = 0;
        foreach ((int at, int length, double value, int decimals, UnitKind kind) in UnitSystem.QuantitiesIn(sentence))
        {
            if (Measure.Of(kind, value, decimals) is { } measure)
            {
                html.Append(Encoded(sentence[from..at])).Append(Quantity(measure));
                from = at + length;
            }
        }

        return html.Append(Encoded(sentence[from..])).ToString();
    }

    private static string Filled(Phrase phrase, string language, object[] values)
    {
        // A percent sign stays with its number where a line ends.
        string words = phrase.In(language).Replace(" %", "\u00A0%", StringComparison.Ordinal);
        StringBuilder html = new();
        int from = 0;
        for (int open = words.IndexOf('{', StringComparison.Ordinal); open >= 0; open = words.IndexOf('{', from))
        {
            int close = words.IndexOf('}', open);
            html.Append(Encoded(words[from..open])).Append(Value(values[int.Parse(words.AsSpan(open + 1, close - open - 1), CultureInfo.InvariantCulture)], language));
            from = close + 1;
        }

        return html.Append(Encoded(words[from..])).ToString();
    }

    private static string Value(object value, string language) => value switch
    {
        Measure measure => Quantity(measure, language),
        int number => Quantity(Measure.Number(number), language),
        Statement said => Filled(said.Phrase, language, said.Values),
        Phrase phrase => Filled(phrase, language, []),
        Markup markup => markup.Html,
        string text => $"<bdi>{Encoded(text)}</bdi>",
        _ => throw new ArgumentException($"No way to say a {value.GetType().Name}.", nameof(value)),
    };
}

/// <summary>Markup made here from encoded parts.</summary>
internal sealed record Markup(string Html);
