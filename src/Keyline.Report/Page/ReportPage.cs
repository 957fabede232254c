using System.Globalization;
using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Keyline.Check;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>The report of a plan as one page that needs nothing besides itself: what it is, its map to move about in, figures, findings, room to sign.</summary>
/// <remarks>
/// <para>Units: the reader's, switched in the page; English and Spanish too.</para>
/// <para>Promises: the same content gives the same bytes. The page loads nothing from anywhere and its policy forbids it to; what others wrote (names of
/// fields, files, keypoints) is shown and never run. Positions on the map are the plan's within 0.1 m.</para>
/// <para>Cost: time and size proportional to the length of the lines, besides a relief of at most 1400 dots a side.</para>
/// </remarks>
public static class ReportPage
{
    /// <summary>Most bytes of script and style together.</summary>
    internal const int MostOwnBytes = 60_000;

    /// <summary>The script's files, in their order.</summary>
    internal static readonly IReadOnlyList<string> ScriptFiles = ["text.js", "plan.js", "draw.js", "map.js"];

    private static readonly Lazy<(string Script, string Style)> Own = new(() => ("'use strict';\n" + string.Concat(ScriptFiles.Select(Read)), Read("page.css")));

    /// <summary>Writes the page.</summary>
    /// <param name="stream">Where to, as UTF-8; left open.</param>
    /// <param name="content">What it says.</param>
    /// <param name="made">What was made of the plan since; null for nothing.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    public static void Write(Stream stream, ReportContent content, MadeSince? made = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(content);
        MapData map = new(content, cancellationToken);
        HtmlParts page = new();
        (string script, string style) = Own.Value;
        string name = content.Plan.Field.Name;
        page.Add($"<!DOCTYPE html>\n<html lang=\"{(content.Language == "es" ? "es" : "en")}\" data-units=\"{content.Units.Name}\">\n<head>\n<meta charset=\"utf-8\">\n");
        page.Add($"<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src '{Hash(script)}'; style-src '{Hash(style)}'; img-src data:; base-uri 'none'; form-action 'none'\">\n");
        page.Add("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light\">\n<meta name=\"referrer\" content=\"no-referrer\">\n");
        page.Add($"<meta name=\"generator\" content=\"{PageText.Encoded(content.MadeWith)}\">\n<title>{PageText.Encoded(name.Length > 0 ? name : "Keyline")} · {PageText.Encoded(Phrases.Subtitle.En)} · {PageText.Encoded(Phrases.Subtitle.Es)}</title>\n");
        page.Add($"<style>{style}</style>\n</head>\n<body>\n");
        Head(page, content);
        page.Add("<main>\n");
        AnswerSection.Write(page, content);
        MapSection.Write(page, content, map, cancellationToken);
        LandSection.WriteProfiles(page, content, map.Origin);
        LandSection.Write(page, content);
        FigureSection.Write(page, content);
        FigureSection.WriteComparison(page, content);
        FigureSection.WriteSpread(page, content, cancellationToken);
        FindingSection.Write(page, content, map.Origin);
        SourceSection.WriteOrder(page, content);
        page.Add(MadeParts.Open("since")).Add(MadeParts.Close("since"));
        SourceSection.WriteCautions(page);
        SourceSection.Write(page, content);
        page.Add($"</main>\n<footer><p>{PageText.Encoded(content.MadeWith)}</p></footer>\n");
        page.Add($"<script type=\"application/json\" id=\"map-data\">{map.Write()}</script>\n<script type=\"application/json\" id=\"phrases\">{ScriptPhrases()}</script>\n");
        page.Add(MadeParts.Open("water-data")).Add(MadeParts.Close("water-data")).Add($"\n<script>{script}</script>\n</body>\n</html>\n");
        stream.Write(Encoding.UTF8.GetBytes(With(page.ToString(), made)));
    }

    /// <summary>A page with what was made of its plan since, in the place of what it said of that before.</summary>
    /// <param name="page">A page that <see cref="Write"/> wrote.</param>
    /// <param name="made">What was made since; null for nothing.</param>
    /// <returns>The page anew.</returns>
    /// <exception cref="FormatException">The text is no such page.</exception>
    public static string With(string page, MadeSince? made)
    {
        ArgumentNullException.ThrowIfNull(page);
        foreach (string part in MadeParts.Names)
        {
            string open = MadeParts.Open(part), close = MadeParts.Close(part);
            int from = page.IndexOf(open, StringComparison.Ordinal), to = page.IndexOf(close, StringComparison.Ordinal);
            if (from < 0 || to < from)
            {
                throw new FormatException($"The page has no part {part}.");
            }

            page = string.Concat(page.AsSpan(0, from + open.Length), MadeParts.Of(part, made), page.AsSpan(to));
        }

        return page;
    }

    /// <summary>The script and the style as they stand in the page.</summary>
    internal static (string Script, string Style) OwnText => Own.Value;

    private static void Head(HtmlParts page, ReportContent content)
    {
        string name = content.Plan.Field.Name;
        page.Add($"<a class=\"skip\" href=\"#answer\">{PageText.Say(Phrases.Skip)}</a>\n<header><div><h1>{(name.Length > 0 ? $"<bdi>{PageText.Encoded(name)}</bdi>" : PageText.Say(Phrases.Subtitle))}</h1><p>{PageText.Say(Phrases.Subtitle)}</p></div>");
        page.Add($"<div class=\"switches\"><label>{PageText.Say(Phrases.LanguageLabel)}<select id=\"language\"><option value=\"en\" lang=\"en-GB\">English</option><option value=\"es\" lang=\"es-ES\">Español</option></select></label>");
        page.Add($"<label>{PageText.Say(Phrases.UnitsLabel)}<select id=\"units\"><option value=\"metric\">m, ha</option><option value=\"us\" data-t=\"us\">ft, ac</option></select></label><button type=\"button\" id=\"print\">{PageText.Say(Phrases.Print)}</button></div>");
        page.Add(Crest(content.Plan)).Add($"</header>\n<noscript><p class=\"warn\">{PageText.Say(Phrases.NoScript)}</p></noscript>\n<nav><ul>");
        foreach ((string id, Phrase title) in Contents)
        {
            page.Add($"<li><a href=\"#{id}\">{PageText.Say(title)}</a></li>");
            if (id == "order")
            {
                page.Add(MadeParts.Open("nav")).Add(MadeParts.Close("nav"));
            }
        }

        page.Add("</ul></nav>\n");
    }

    private static IEnumerable<(string, Phrase)> Contents =>
    [
        ("answer", Phrases.Answer), ("map", MapPhrases.All["map"]), ("valleys", Phrases.NavValleys), ("land", Phrases.NavLand), ("figures", Phrases.NavFigures), ("comparison", Phrases.NavComparison),
        ("findings", Phrases.NavFindings), ("order", Phrases.Order), ("cautions", Phrases.NavCautions), ("sources", Phrases.NavSources), ("sign", Phrases.Sign),
    ];

    // The field's own skyline, as seen from the south: the highest ground of every column, near ridges in front of far ones.
    private static string Crest(KeylinePlan plan)
    {
        const int columns = 120, layers = 5;
        Envelope box = plan.Field.Boundary.EnvelopeInternal;
        StringBuilder svg = new("<svg class=\"crest\" viewBox=\"0 0 1200 60\" preserveAspectRatio=\"none\" aria-hidden=\"true\">");
        double[,] heights = new double[layers, columns + 1];
        double low = double.PositiveInfinity, high = double.NegativeInfinity;
        for (int l = 0; l < layers; l++)
        {
            for (int c = 0; c <= columns; c++)
            {
                double z = plan.Smoothed.HeightAt(box.MinX + (box.Width * c / columns), box.MinY + (box.Height * (l + 0.5) / layers));
                heights[l, c] = z;
                (low, high) = double.IsFinite(z) ? (Math.Min(low, z), Math.Max(high, z)) : (low, high);
            }
        }

        for (int l = 0; l < layers && high > low; l++)
        {
            svg.Append("<path d=\"");
            bool on = false;
            for (int c = 0; c <= columns; c++)
            {
                if (double.IsFinite(heights[l, c]))
                {
                    svg.Append(CultureInfo.InvariantCulture, $"{(on ? 'L' : 'M')}{10 * c} {56 - (52 * (heights[l, c] - low) / (high - low)):0.#}");
                }

                on = double.IsFinite(heights[l, c]);
            }

            svg.Append("\"/>");
        }

        return svg.Append("</svg>").ToString();
    }

    private static string ScriptPhrases()
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream))
        {
            json.WriteStartObject();
            foreach ((string key, Phrase phrase) in MapPhrases.All)
            {
                Write(key, phrase);
            }

            foreach (FindingKind kind in FindingHarm.Order)
            {
                Write("f." + kind, Phrases.FindingTitle[kind]);
            }

            json.WritePropertyName("units");
            JsonSerializer.Serialize(json, Measure.Units);
            json.WriteEndObject();

            void Write(string key, Phrase phrase)
            {
                json.WriteStartArray(key);
                json.WriteStringValue(phrase.En);
                json.WriteStringValue(phrase.Es);
                json.WriteEndArray();
            }
        }

        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static string Hash(string text) => "sha256-" + Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    // Line ends as browsers see them, whatever the checkout made of them: the hash is of what they run.
    private static string Read(string file)
    {
        using Stream stream = Assembly.GetExecutingAssembly().GetManifestResourceStream("Page/" + file) ?? throw new InvalidOperationException($"The page's file {file} is not embedded in this assembly.");
        using StreamReader reader = new(stream, Encoding.UTF8);
        return reader.ReadToEnd().ReplaceLineEndings("\n");
    }
}
