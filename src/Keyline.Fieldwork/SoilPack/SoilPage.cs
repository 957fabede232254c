using System.Text;

namespace Keyline.Fieldwork;

/// <summary>Writes the page for whoever owns the land: which zones to rip and why, one HTML file to print with nothing outside it.</summary>
/// <remarks>
/// <para>Units: hectares, centimetres; degrees to 6 decimals. Promises: verdicts are told apart by pattern and word, not by colour alone; every
/// reason stands with its source, every bound with its default's; the same content gives the same bytes.</para>
/// <para>Cost: that of the text. Source: ours; the ball in the hand is common practice, as in extension guides on soil moisture by feel.</para>
/// </remarks>
public static class SoilPage
{
    private const string Style = """
        @page { margin: 12mm }
        body { font: 9.5pt/1.35 "Segoe UI", "Noto Sans", "Helvetica Neue", Arial, sans-serif; color: #1d242b; margin: 0 auto; max-width: 186mm; background: #fff }
        h1 { font-size: 18pt; margin: 0 0 1mm } h2 { font-size: 12.5pt; margin: 5mm 0 1.5mm; break-after: avoid } h3 { font-size: 10.5pt; margin: 3mm 0 0.5mm; break-after: avoid } p, ul, ol { margin: 1mm 0 } ul, ol { padding-left: 5mm } li { margin: 0.6mm 0 }
        svg { display: block; width: 100%; height: auto } svg text { font-family: inherit; fill: #1d242b }
        .map { border: 0.2mm solid #c9ced2 } .quiet { color: #5a636b } .source { color: #5a636b; font-size: 8pt }
        .key { display: flex; flex-wrap: wrap; gap: 1mm 5mm; margin: 1.5mm 0; font-size: 8.5pt } .key span { display: inline-flex; align-items: center; gap: 1.5mm } .key svg { width: 7mm; height: 4mm; border: 0.2mm solid #1d242b }
        table { border-collapse: collapse; width: 100%; font-size: 8.8pt } th { text-align: left; font-weight: 600; border-bottom: 0.4mm solid #1d242b } td { border-bottom: 0.15mm solid #c9ced2; vertical-align: top } th, td { padding: 0.8mm 1.5mm 0.8mm 0 } td.n, th.n { text-align: right; font-variant-numeric: tabular-nums } tr { break-inside: avoid }
        .zone { break-inside: avoid; border-left: 1.2mm solid #1d242b; padding-left: 3mm; margin: 2.5mm 0 } .two { display: grid; grid-template-columns: 1fr 1fr; gap: 3mm; break-inside: avoid; align-items: start }
        .stop { border: 0.6mm solid #1d242b; padding: 1.5mm 2.5mm; margin: 2mm 0 } footer { margin-top: 4mm; font-size: 8pt; color: #5a636b }
        @media screen { body { padding: 6mm } }
        """;

    private static readonly (RipVerdict Verdict, string Words)[] Verdicts = [(RipVerdict.Rip, "rip"), (RipVerdict.TestStripFirst, "test strip first"), (RipVerdict.RipAfter, "rip after something else"), (RipVerdict.DoNotRip, "do not rip")];

    /// <summary>Writes the page.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="content">What it shows.</param>
    public static void Write(Stream stream, SoilPageContent content)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(content);
        using StreamWriter text = new(stream, new UTF8Encoding(false), -1, leaveOpen: true) { NewLine = "\n" };
        string field = content.FieldName.Length > 0 ? content.FieldName : "the field";
        text.WriteLine("<!DOCTYPE html>");
        text.WriteLine("<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">");
        text.WriteLine($"<title>Where to rip: {Paper.Text(field)}</title><style>{Style}</style></head><body>");
        text.WriteLine(ZonePicture.Patterns);
        text.WriteLine($"<h1>Where to rip: {Paper.Text(field)}</h1>");
        text.WriteLine($"<p>{Sums(content)}</p>");
        text.WriteLine("<div class=\"map\">");
        ZonePicture.Zones(text, content);
        text.WriteLine("</div>");
        Key(text, content);
        Table(text, content);
        text.WriteLine("<h2>Zone by zone</h2>");
        foreach (SoilZone zone in content.Zones)
        {
            Zone(text, zone);
        }

        Spade(text);
        Maps(text, content);
        Cores(text, content);
        Rules(text, content);
        text.WriteLine("<h2>Before any of it</h2>");
        text.WriteLine($"<p class=\"stop\">{Paper.Text(content.Notice)}</p><ul>");
        foreach (string caution in content.Cautions)
        {
            text.WriteLine($"<li>{Paper.Text(caution)}</li>");
        }

        text.WriteLine("</ul>");
        text.WriteLine($"<footer>{Paper.Text(content.MadeWith)}{(content.MadeWith.Length > 0 ? ". " : "")}An aid to a decision on the spot, not advice that knows the place: local codes and licensed or accredited practice come before it.</footer>");
        text.WriteLine("</body></html>");
    }

    private static string Sums(SoilPageContent content)
    {
        double all = content.Zones.Sum(z => z.Area);
        IEnumerable<string> sums = Verdicts.Select(v => (v.Words, Area: content.Zones.Where(z => z.Verdict.Verdict == v.Verdict).Sum(z => z.Area))).Where(v => v.Area > 0)
            .Select(v => $"<b>{v.Words}</b> {(v.Area / 1e4).ToString("0.0", System.Globalization.CultureInfo.InvariantCulture)} ha ({Paper.N(Math.Round(100 * v.Area / all))}&#160;%)");
        return $"Of {Paper.N(Math.Round(all / 1e4, 1))} ha: {string.Join("; ", sums)}. {(content.Rules.Purpose == RipPurpose.Water ? "Asked for more water in the soil." : "Asked for roots to go deeper.")}";
    }

    private static string Capital(string text) => text.Length > 0 ? char.ToUpperInvariant(text[0]) + text[1..] : text;

    private static void Key(StreamWriter text, SoilPageContent content)
    {
        text.WriteLine("<div class=\"key\">");
        foreach ((RipVerdict verdict, string words) in Verdicts.Where(v => content.Zones.Any(z => z.Verdict.Verdict == v.Verdict)))
        {
            text.WriteLine($"<span><svg viewBox=\"0 0 14 8\"><rect width=\"14\" height=\"8\" fill=\"{ZonePicture.FillOf(verdict)}\"/></svg>{words}</span>");
        }

        text.WriteLine(content.Readings is null ? "" : "<span>&#9679; read or dug here</span>");
        text.WriteLine(content.Cores.Count == 0 ? "</div>" : "<span>&#9651; proposed core</span></div>");
    }

    private static void Table(StreamWriter text, SoilPageContent content)
    {
        text.WriteLine("<table><tr><th class=\"n\">zone</th><th>land</th><th class=\"n\">area</th><th>verdict</th><th>depth of the tip</th></tr>");
        foreach (SoilZone zone in content.Zones)
        {
            string depth = zone.Verdict.Depth is { } d ? $"{Paper.N(Math.Round(100 * d.Least, 1))} to {Paper.N(Math.Round(100 * d.Most, 1))} cm" : zone.Verdict.Verdict == RipVerdict.DoNotRip ? "" : "not known";
            text.WriteLine($"<tr><td class=\"n\">{zone.Number}</td><td>{Paper.Text(zone.Name)}</td><td class=\"n\">{(zone.Area / 1e4).ToString("0.00", System.Globalization.CultureInfo.InvariantCulture)} ha</td><td><b>{zone.Verdict.Words}</b></td><td>{depth}</td></tr>");
        }

        text.WriteLine("</table>");
    }

    private static void Zone(StreamWriter text, SoilZone zone)
    {
        text.WriteLine($"<div class=\"zone\"><h3>{zone.Number}. {Paper.Text(zone.Name)}: {zone.Verdict.Words}</h3><ul>");
        foreach (RipReason reason in zone.Verdict.Reasons)
        {
            text.WriteLine($"<li>{Paper.Text(reason.Sentence)} <span class=\"source\"><!--metric-->{Paper.Text(Capital(reason.Source))}.<!--/metric--></span></li>");
        }

        text.WriteLine("</ul>");
        if (zone.Verdict.Depth is { } depth)
        {
            text.WriteLine($"<p>Depth: {Paper.Text(depth.Sentence)}</p>");
        }

        if (zone.How.Count > 0)
        {
            text.WriteLine($"<p class=\"quiet\">Read here: {Paper.Text(string.Join("; ", zone.How))}.</p>");
        }

        if (zone.Verdict.Unknown.Count > 0)
        {
            text.WriteLine($"<p><b>Not known:</b> {Paper.Text(string.Join("; ", zone.Verdict.Unknown))}.</p>");
        }

        text.WriteLine("</div>");
    }

    private static void Spade(StreamWriter text)
    {
        text.WriteLine("""
            <h2>What to look at with a spade</h2>
            <ol>
            <li><b>Dig before you rip</b>, one hole in each zone, to 10 cm below the depth planned. Look for roots that turn sideways, plates or blocks with flat faces, a grey or rusty layer where water stood.</li>
            <li><b>Push a rod or a penetrometer</b> a day or two after soaking rain, when the ground is at field capacity, at ten places a zone. Note the depth where it gets hard and where it gets soft again. On dry ground everything reads hard: do not use such readings.</li>
            <li><b>Roll a ball</b> of soil from the tip's depth. It crumbles and will not roll into a thread: right. It just rolls and breaks: careful. It rolls long, or smears and shines: too wet, wait. Dust and hard blocks: too dry, it costs power and brings up clods.</li>
            <li><b>Put a dry clod in a glass of rain water</b> and leave it for two hours. A cloud around it means that it disperses: do not open it.</li>
            <li><b>Rip one strip, then dig across it</b> after the first metres: cracks must reach up and out from the tip. Shiny walls and no cracks mean too wet or too deep: stop. Look again after the next good rain before doing the rest.</li>
            </ol>
            """);
    }

    private static void Maps(StreamWriter text, SoilPageContent content)
    {
        if (content.Maps.Count == 0 && content.Readings is null && content.Notes.Count == 0)
        {
            return;
        }

        text.WriteLine("<!--metric--><h2>What was measured</h2>");
        foreach (PointMap map in content.Maps.Where(m => m.Map is not null))
        {
            text.WriteLine($"<h3>{Paper.Text(Capital(map.Name))}{(map.Unit.Length > 0 ? ", " + Paper.Text(map.Unit) : "")}</h3><div class=\"two\">");
            ZonePicture.Values(text, map, content.Readings?.Series.FirstOrDefault(s => s.Name == map.Name)?.Points ?? []);
            text.WriteLine(VariogramPicture.Draw(map) + "</div>");
        }

        text.WriteLine("<ul>");
        foreach (string said in content.Maps.SelectMany(m => m.Sentences).Concat(content.Readings?.Said ?? []).Concat(content.Notes))
        {
            text.WriteLine($"<li>{Paper.Text(Capital(said))}</li>");
        }

        text.WriteLine("</ul><!--/metric-->");
    }

    private static void Cores(StreamWriter text, SoilPageContent content)
    {
        if (content.Cores.Count == 0)
        {
            return;
        }

        text.WriteLine("<h2>Where to core</h2><p>These places together stand for all that the survey saw vary. Take a core to below the depth planned; note texture, moisture and the hard layer.</p><table><tr><th class=\"n\">core</th><th>latitude</th><th>longitude</th></tr>");
        for (int i = 0; i < content.Cores.Count; i++)
        {
            (double longitude, double latitude) = content.ToLonLat(content.Cores[i]);
            text.WriteLine(FormattableString.Invariant($"<tr><td class=\"n\">{i + 1}</td><td>{latitude:0.000000}</td><td>{Math.IEEERemainder(longitude, 360):0.000000}</td></tr>"));
        }

        text.WriteLine("</table>");
    }

    private static void Rules(StreamWriter text, SoilPageContent content)
    {
        text.WriteLine("<h2>The bounds in force</h2><table><tr><th>bound</th><th>value</th><th>where its default comes from</th></tr>");
        foreach (RuleSetting setting in content.Rules.Settings())
        {
            text.WriteLine($"<tr><td>{Paper.Text(setting.What)}</td><td>{Paper.Text(setting.Value)}</td><td class=\"source\"><!--metric-->{Paper.Text(setting.Source)}<!--/metric--></td></tr>");
        }

        text.WriteLine("</table>");
    }
}
