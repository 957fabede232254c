using System.Globalization;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>A storm before and after.</summary>
internal static partial class WaterPart
{
    private const int MostSpilling = 8;
    private const int FirstSaid = 3;

    public static void Write(HtmlParts page, ReportedStorm storm) => page.Section("water", Phrases.Water, p =>
    {
        p.Say(Phrases.WaterIntro, StormName(storm.Name), Named(storm.Soil));
        p.Table(
            [Phrases.WaterCaseHead, Phrases.WaterLinesHead, Phrases.WaterTakenHead, Phrases.WaterHollowHead, Phrases.WaterSpurHead, Phrases.WaterRunoffHead, Phrases.WaterPeakHead],
            storm.Cases.Select(c => (IReadOnlyList<string>)
            [
                c.Name switch { "as it is" => PageText.Say(Phrases.CaseBefore), "with the plan" => PageText.Say(Phrases.CasePlan), _ => PageText.Encoded(c.Name) },
                c.Length > 0 ? PageText.Quantity(Measure.Distance(c.Length)) : "–", Rain(c.TakenIn), Rain(c.Hollows), Rain(c.Spurs), Rain(c.Runoff), PageText.Quantity(new Measure(Unit.Flow, c.Peak, 0)),
            ]));
        string[] most = [.. storm.Lines.Where(l => l.Spilled > 0).OrderByDescending(l => l.Spilled).ThenBy(l => l.Id, StringComparer.Ordinal).Take(MostSpilling).Select(l => l.Id)];
        if (most.Length > 0)
        {
            p.Add($"<p>{PageText.Say(Phrases.WaterMost, new Markup(string.Join(", ", most.Select(HtmlParts.Line))))} {PageText.Hint(Phrases.WaterColour)}</p>");
        }

        p.Written(storm.Sentences.Take(FirstSaid));
        if (storm.Sentences.Count > FirstSaid)
        {
            p.Add($"<details><summary>{PageText.Say(Phrases.MoreSaid)}</summary>").Written(storm.Sentences.Skip(FirstSaid)).Add("</details>");
        }

        p.Say(Phrases.WaterCaution);
    });

    /// <summary>That water would cut somewhere, for the answer, which else tells only what the check of the lines found; nothing where it would not.</summary>
    public static string Stop(ReportedStorm? storm) => storm?.Sentences.Any(s => s.StartsWith("Line ", StringComparison.Ordinal) && s.Contains("more than fresh soil stands", StringComparison.Ordinal)) == true
        ? $"<p class=\"warn\">{PageText.Say(Phrases.WaterAnswer)} <a href=\"#water\">{PageText.Say(Phrases.NavWater)}</a></p>" : "";

    /// <summary>A storm by its name, in both languages and the reader's units where that is known: "40 mm in 1 h, type II", or "10 years, 2 h" of a table of rain.</summary>
    public static object StormName(string name) => OfDepth().Match(name) is { Success: true } storm
        ? new Statement(storm.Groups["shape"].Success ? Phrases.StormShaped : Phrases.Storm, new Measure(Unit.Rain, double.Parse(storm.Groups["depth"].ValueSpan, CultureInfo.InvariantCulture) / 1000, 1).Asked, storm.Groups["last"].Value, Named(storm.Groups["shape"].Value))
        : Named(FromTable().Replace(name, "once in ${years} years, ${last} long"));

    /// <summary>Words in both languages where their Spanish is known, else as they are.</summary>
    public static object Named(string words) => !words.Contains('{', StringComparison.Ordinal) && PhraseBook.Whole(words) is { } spanish ? new Phrase(words, spanish) : words;

    private static string Rain(double metres) => PageText.Quantity(new Measure(Unit.Rain, metres, 1));

    [GeneratedRegex(@"^(?<depth>[0-9]+(?:\.[0-9]+)?) mm in (?<last>[0-9.]+ (?:h|min))(?:, (?<shape>[a-zA-Z ]+))?$", RegexOptions.ExplicitCapture)]
    private static partial Regex OfDepth();

    [GeneratedRegex(@"^(?<years>[0-9.]+) years, (?<last>[0-9.]+ h)$", RegexOptions.ExplicitCapture)]
    private static partial Regex FromTable();
}
