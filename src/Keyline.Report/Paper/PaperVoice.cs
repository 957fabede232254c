using System.Globalization;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>Whose language and units a page is put on paper in: which of its elements are shown, and how its numbers read.</summary>
/// <param name="Language">en or es.</param>
/// <param name="Units">The units.</param>
internal sealed partial record PaperVoice(string Language, UnitSystem Units)
{
    private static readonly string[] Only = ["en", "es"];

    /// <summary>East and north of the places that the page's links name, metres of the plan's system; null where the page names none.</summary>
    public (double East, double North)? Origin { get; init; }

    /// <summary>The voice that a page begins in.</summary>
    /// <exception cref="FormatException">The text is no report's page.</exception>
    public static PaperVoice Of(string page)
    {
        Match top = Top().Match(page);
        if (!top.Success)
        {
            throw new FormatException("The page does not say its language and units.");
        }

        int data = page.IndexOf("id=\"map-data\">", StringComparison.Ordinal);
        Match from = data < 0 ? Match.Empty : OriginOf().Match(page, data);
        return new PaperVoice(top.Groups["language"].Value, top.Groups["units"].Value == "us" ? UnitSystem.Us : UnitSystem.Metric)
        {
            Origin = from.Success ? (Number(from.Groups["x"].Value), Number(from.Groups["y"].Value)) : null,
        };
    }

    /// <summary>Whether the element is for this reader: not in the other language, nor in other units.</summary>
    public bool Shows(PageNode node) => !(Only.Contains(node["lang"]) && node["lang"] != Language) && (node["data-s"].Length == 0 || node["data-s"] == (IsUs ? "us" : "metric"));

    /// <summary>Words in this language.</summary>
    public string Say(Phrase phrase, params object[] values) => string.Format(CultureInfo.InvariantCulture, phrase.In(Language), values);

    /// <summary>A number of the page, in the reader's units. It does not come apart at the end of a line.</summary>
    public string Quantity(PageNode node) => Measure.Shown(node["data-k"], node.Number("data-v"), (int)node.Number("data-d"), node["data-w"].Length > 0, Language, IsUs);

    /// <summary>Where a link of the page leads, in coordinates as they stand along the map's edges; empty where it leads to no place.</summary>
    public string Place(PageNode link) => Origin is { } o && link["data-x"].Length > 0
        ? string.Create(CultureInfo.InvariantCulture, $"{o.East + link.Number("data-x"):0}\u00A0E {o.North + link.Number("data-y"):0}\u00A0N") : "";

    private bool IsUs => Units == UnitSystem.Us;

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    [GeneratedRegex("<html lang=\"(?<language>en|es)\" data-units=\"(?<units>metric|us)\">", RegexOptions.ExplicitCapture)]
    private static partial Regex Top();

    [GeneratedRegex(@"""origin"":\[(?<x>-?[0-9.]+),(?<y>-?[0-9.]+)\]", RegexOptions.ExplicitCapture)]
    private static partial Regex OriginOf();
}
