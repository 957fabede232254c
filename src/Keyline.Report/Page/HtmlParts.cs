using System.Globalization;
using System.Text;

namespace Keyline.Report;

/// <summary>Puts the page's markup together.</summary>
internal sealed class HtmlParts
{
    private readonly StringBuilder _html = new();

    /// <summary>Markup made here; what is put in must be encoded.</summary>
    public HtmlParts Add(string markup)
    {
        _html.Append(markup);
        return this;
    }

    /// <summary>A section with its heading.</summary>
    public HtmlParts Section(string id, Phrase heading, Action<HtmlParts> content)
    {
        Add($"<section id=\"{id}\" aria-labelledby=\"{id}-h\"><h2 id=\"{id}-h\">{PageText.Say(heading)}</h2>");
        content(this);
        return Add("</section>\n");
    }

    /// <summary>A paragraph.</summary>
    public HtmlParts Say(Phrase phrase, params object[] values) => Add($"<p>{PageText.Say(phrase, values)}</p>");

    /// <summary>A smaller heading.</summary>
    public HtmlParts Heading(Phrase phrase, params object[] values) => Add($"<h3>{PageText.Say(phrase, values)}</h3>");

    /// <summary>A list of statements.</summary>
    public HtmlParts List(IEnumerable<Statement> statements)
    {
        Add("<ul>");
        foreach (Statement said in statements)
        {
            Add($"<li>{PageText.Say(said)}</li>");
        }

        return Add("</ul>");
    }

    /// <summary>A list of sentences that others wrote: in both languages where their shape is known, else in English, with their quantities in the reader's units.</summary>
    public HtmlParts Written(IEnumerable<string> sentences)
    {
        Add("<ul class=\"written\">");
        foreach (string sentence in sentences)
        {
            Add(KnownSentences.Of(sentence) is { } known ? $"<li>{PageText.Say(known)}</li>"
                : PhraseBook.Whole(sentence) is { } spanish ? $"<li><span lang=\"en\">{PageText.Measured(sentence)}</span><span lang=\"es\">{PageText.Measured(spanish)}</span></li>"
                : $"<li lang=\"en-GB\">{PageText.Measured(sentence)}</li>");
        }

        return Add("</ul>");
    }

    /// <summary>Sentences that others wrote, folded away; nothing where there are none.</summary>
    public HtmlParts WrittenApart(IReadOnlyList<string> sentences) => sentences.Count == 0 ? this
        : Add($"<details><summary>{PageText.Say(sentences.All(s => KnownSentences.Of(s) is not null || PhraseBook.Whole(s) is not null) ? Phrases.InWords : Phrases.InEnglish)}</summary>").Written(sentences).Add("</details>");

    /// <summary>A table; on a narrow page its cells stand below each other, each with its heading.</summary>
    /// <param name="heads">Headings of the columns.</param>
    /// <param name="rows">Cells as markup; the first names the row.</param>
    public HtmlParts Table(IReadOnlyList<Phrase> heads, IEnumerable<IReadOnlyList<string>> rows)
    {
        Add("<table><thead><tr>");
        foreach (Phrase head in heads)
        {
            Add($"<th scope=\"col\">{PageText.Say(head)}</th>");
        }

        Add("</tr></thead><tbody>");
        foreach (IReadOnlyList<string> row in rows)
        {
            Add("<tr>");
            for (int i = 0; i < row.Count; i++)
            {
                Add(i == 0 ? $"<th scope=\"row\">{row[i]}</th>" : $"<td><span class=\"head\">{PageText.Say(heads[i])}</span>{row[i]}</td>");
            }

            Add("</tr>");
        }

        return Add("</tbody></table>");
    }

    /// <summary>A link to a place on the map.</summary>
    /// <param name="x">Metres east of the map's origin.</param>
    /// <param name="y">Metres north of it.</param>
    /// <param name="line">The line to show, or empty.</param>
    /// <param name="markup">What the link says.</param>
    public static string Place(double x, double y, string line, string markup) => string.Create(
        CultureInfo.InvariantCulture, $"<a class=\"place\" href=\"#map\" data-x=\"{x:0.#}\" data-y=\"{y:0.#}\" data-line=\"{PageText.Encoded(line)}\">{markup}</a>");

    /// <summary>A link to a line on the map.</summary>
    public static string Line(string id) => $"<a class=\"place\" href=\"#map\" data-line=\"{PageText.Encoded(id)}\"><bdi>{PageText.Encoded(id)}</bdi></a>";

    /// <inheritdoc/>
    public override string ToString() => _html.ToString();
}
