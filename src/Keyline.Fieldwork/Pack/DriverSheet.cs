using System.Text;
using Keyline.Field;

namespace Keyline.Fieldwork;

/// <summary>Writes the sheet that lies in the cab: one HTML file to print, with nothing outside it.</summary>
/// <remarks>
/// <para>Units: metres, km/h, hours; longitude and latitude in degrees to 6 decimals (a decimetre).</para>
/// <para>Promises: prints on A4 and on letter paper; readable in black and white; lines with a warning are marked "!" in the map and in the list; says on top where
/// no record of located services was given; the same content gives the same bytes.</para>
/// <para>Cost: that of the text. Source: ours.</para>
/// </remarks>
public static class DriverSheet
{
    // More changes of depth along one line than these are not read in a cab.
    private const int MostChanges = 4;
    private const string Outside = "&#8211;";

    private const string Style = """
        @page { margin: 11mm }
        body { font: 9pt/1.3 "Segoe UI", "Noto Sans", "Helvetica Neue", Arial, sans-serif; color: #1d242b; margin: 0 auto; max-width: 186mm; background: #fff }
        h1 { font-size: 16pt; margin: 0 0 1mm } h3 { font-size: 10pt; margin: 3mm 0 1mm; break-after: avoid } p, ul { margin: 1mm 0 } ul { padding-left: 5mm }
        svg { display: block; width: 100%; height: auto; margin: 2mm 0 } svg text { font-family: inherit; fill: #1d242b }
        .quiet { color: #5a636b } .stop { border: 0.8mm solid #1d242b; padding: 1.5mm 2.5mm; margin: 2mm 0; font-weight: 600 }
        .lines { columns: 3; column-gap: 5mm; font-size: 8.5pt; font-variant-numeric: tabular-nums } .lines div { break-inside: avoid; border-bottom: 0.15mm solid #c9ced2; padding: 0.45mm 0; display: flex; gap: 1.5mm }
        .tick { flex: none; width: 3.2mm; height: 3.2mm; border: 0.25mm solid #1d242b; margin-top: 0.4mm } .no { flex: none; width: 7mm; text-align: right } .id { font-weight: 600 } .far { margin-left: auto; white-space: nowrap }
        .why { font-size: 7.5pt } footer { margin-top: 3mm; font-size: 8pt; color: #5a636b }
        @media screen { body { padding: 6mm } }
        """;

    /// <summary>Writes a sheet.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="content">What it shows.</param>
    public static void Write(Stream stream, DriverSheetContent content)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(content);
        using StreamWriter text = new(stream, new UTF8Encoding(false), -1, leaveOpen: true) { NewLine = "\n" };
        WorkJob job = content.Job;
        WorkBlock block = content.Block;
        string field = job.Field.Name.Length > 0 ? job.Field.Name : "the field";
        text.WriteLine("<!DOCTYPE html>");
        text.WriteLine("<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">");
        text.WriteLine($"<title>Driver's sheet {block.Number}: {Paper.Text(field)}</title><style>{Style}</style></head><body>");
        text.WriteLine($"<h1>{Paper.Text(field)}, sheet {block.Number} of {content.Blocks}</h1>");
        text.WriteLine($"<p class=\"quiet\">{block.Stops.Count} lines, {Paper.N(Math.Round(block.Length / 1000, 1))} km in the ground"
            + (double.IsFinite(block.Hours) ? $", about {Paper.N(Math.Round(block.Hours, 1))} hours" : "") + $". {Paper.Text(Machine(job.Machine))}.</p>");
        string services = ServiceRecord.Say(content.Services);
        text.WriteLine($"<p class=\"stop\">{Paper.Text(services)}</p>");
        HandDig(text, content);
        SheetMap.Write(text, content);
        Work(text, content);
        IReadOnlyList<DepthStretch>[] depths = [.. block.Stops.Select(s => content.Depths.Count > 0 ? DepthStretches.Along(s.Course, content.Depths) : [])];
        Depths(text, content, depths);
        Lines(text, content, depths);
        Turns(text, content);
        text.WriteLine("<h3>Before you start</h3><ul>");
        foreach (string caution in content.Cautions)
        {
            text.WriteLine($"<li>{Paper.Text(caution)}</li>");
        }

        text.WriteLine($"<li>Side slope: this machine's limit was given as {Paper.N(job.Machine.MaximumSideSlope)} degrees; its manual rules. On sloping ground turn slowly, with the implement carried low; where unsure, do not turn there.</li></ul>");
        text.WriteLine($"<footer>{Paper.Text(content.MadeWith)}{(content.MadeWith.Length > 0 ? ". " : "")}An aid to design, not engineering advice: local codes and licensed practice come before it.</footer>");
        text.WriteLine("</body></html>");
    }

    private static string Machine(Machine m) => (m.Name.Length > 0 ? m.Name + ": " : "") + FormattableString.Invariant($"{m.Tractor.Power:0} kW, {m.Implement.Shanks} {(m.Implement.Shanks == 1 ? "shank" : "shanks")}, {100 * m.Implement.Depth:0} cm deep");

    private static void Work(StreamWriter text, DriverSheetContent content)
    {
        WorkBlock block = content.Block;
        text.WriteLine("<h3>The work</h3><ul>");
        text.WriteLine($"<li>Start: line {Paper.Text(block.Stops[0].Line.Id)} at {Place(content, block.Stops[0].Course.StartPoint.Coordinate)}. End: line {Paper.Text(block.Stops[^1].Line.Id)} at {Place(content, block.Stops[^1].Course.EndPoint.Coordinate)}.</li>");
        PullEstimate pull = content.Job.Pull;
        text.WriteLine(pull.IsPulled
            ? $"<li>Speed: about {Paper.N(Math.Round(pull.Speed.Usual * 3.6, 1))} km/h, {(pull.Speed.Most > 0 ? Paper.N(Math.Round(pull.Speed.Most * 3.6, 1)) + " km/h" : "none")} in the hardest ground. Where the wheels slip by more than {Paper.N(100 * TractivePower.BestSlip(pull.Surface).Most)} %, lift a little or stop.</li>"
            : "<li>Reckoned so, this tractor does not pull the implement: fewer shanks or less depth first.</li>");
        text.WriteLine("<li>Lift at the line's end before turning, let down at the next line's start. Dig to the tip's depth after the first metres: stop where the soil smears.</li>");
        if (block.Stops.FirstOrDefault(s => s.Line.IsHeadland) is { } round)
        {
            text.WriteLine($"<li>From line {Paper.Text(round.Line.Id)} on along the fence: nothing turns there any more. These lines do not follow the ground: lift where the land falls steeply along the fence, so that water does not run in them.</li>");
        }

        AvoidedArea[] near = [.. content.Job.Field.Avoided.Where(a => block.Stops.Any(s => s.Course.Distance(a.Shape) < 25 + a.Setback))];
        if (near.Length > 0)
        {
            text.WriteLine($"<li>Near the lines: {Paper.Text(string.Join("; ", near.Select(a => $"{(a.Name.Length > 0 ? a.Name : "what is avoided")} (keep {Paper.N(a.Setback)} m off)").Distinct()))}.</li>");
        }

        text.WriteLine("</ul>");
    }

    // A zone where digging is by hand only is told on top, and drawn.
    private static void HandDig(StreamWriter text, DriverSheetContent content)
    {
        AvoidedArea[] zones = [.. content.Job.Field.Avoided.Where(a => a.HandDig > 0 && content.Block.Stops.Any(s => s.Course.Distance(a.Shape) < 25 + a.Setback))];
        foreach (IGrouping<double, AvoidedArea> zone in zones.GroupBy(z => z.HandDig))
        {
            string what = string.Join(", ", zone.Select(z => z.Name.Length > 0 ? z.Name : "a located service").Distinct());
            text.WriteLine($"<p class=\"stop\">HAND DIGGING ONLY within {Paper.N(zone.Key)} m on either side of {Paper.Text(what)} (HAND DIG on the map): no shank in the ground there, and no implement let down. Marks on the ground come before this map.</p>");
        }
    }

    private static void Lines(StreamWriter text, DriverSheetContent content, IReadOnlyList<DepthStretch>[] depths)
    {
        text.WriteLine("<h3>Lines in order (tick when done)</h3><div class=\"lines\">");
        for (int i = 0; i < depths.Length; i++)
        {
            WorkStop stop = content.Block.Stops[i];
            string warning = stop.Line.Warning.Length > 0 ? $" <b>!</b> <span class=\"why\">{Paper.Text(stop.Line.Warning)}</span>" : "";
            text.WriteLine($"<div><span class=\"tick\"></span><span class=\"no\">{stop.Number}</span><span><span class=\"id\">{Paper.Text(stop.Line.Id)}</span>{warning}{ShorterOf(stop, content)}{DepthOf(depths[i], content)}</span><span class=\"far\">{Paper.N(Math.Round(stop.Course.Length))} m {Way(stop)}</span></div>");
        }

        text.WriteLine("</div>");
    }

    // What to leave out of a line so that the machine turns, beside the line it is left out of: who reads the list reads that before the end comes.
    private static string ShorterOf(WorkStop stop, DriverSheetContent content)
    {
        (double atStart, double atEnd) = content.Job.LeftOut(stop.Number - 1);
        return (atStart > 0 ? $" <span class=\"why\">begin {Paper.N(atStart)} m in</span>" : "") + (atEnd > 0 ? $" <span class=\"why\">end {Paper.N(atEnd)} m early</span>" : "");
    }

    private static void Depths(StreamWriter text, DriverSheetContent content, IReadOnlyList<DepthStretch>[] depths)
    {
        if (content.Depths.Count == 0)
        {
            return;
        }

        HashSet<DepthZone> met = [.. depths.SelectMany(d => d).Select(s => s.Zone).OfType<DepthZone>()];
        text.WriteLine("<h3>Depth of the tip by zone (letters as on the map and in the list)</h3><ul>");
        for (int i = 0; i < content.Depths.Count; i++)
        {
            DepthZone zone = content.Depths[i];
            if (met.Contains(zone))
            {
                text.WriteLine($"<li><b>{DriverSheetContent.Letter(i)} {(zone.Verdict == "do not rip" ? "lift: not to be ripped" : zone.Depth)}</b>: {Paper.Text(zone.Name)}{(zone.Verdict.Length > 0 ? $" ({Paper.Text(zone.Verdict)})" : "")}</li>");
            }
        }

        text.WriteLine(FormattableString.Invariant($"<li><b>{Outside}</b> the machine's {100 * content.Job.Machine.Implement.Depth:0.#} cm, outside the zones</li></ul><p class=\"quiet\">A 40 m B: zone A to 40 m from the line's start, then B.</p>"));
    }

    // The zones from the line's start as it is driven, with the metres at which they change; where they change often, which they are: the driver has the map.
    private static string DepthOf(IReadOnlyList<DepthStretch> depths, DriverSheetContent content)
    {
        if (depths.Count == 0)
        {
            return "";
        }

        string[] letters = [.. depths.Select(d => d.Zone is { } zone ? content.LetterOf(zone) : Outside)];
        string said = depths.Count - 1 <= MostChanges
            ? string.Concat(depths.Select((d, i) => (i > 0 ? FormattableString.Invariant($" {d.From:0} m ") : "") + letters[i]))
            : FormattableString.Invariant($"{string.Join('/', letters.Distinct().Order(StringComparer.Ordinal))}, {depths.Count - 1} changes");
        return $" <span class=\"why\">{said}</span>";
    }

    // How the tractor came to the line: forward, backing, by a way round, or by none that fits.
    private static string Way(WorkStop stop) => stop.Change switch
    {
        null => "&#9679;",
        { Fits: false } => "&#10007;",
        { Kind: RowChangeKind.Reversing } => "&#8644;",
        { Kind: RowChangeKind.Link } => "&#10565;",
        _ => "&#8631;",
    };

    private static void Turns(StreamWriter text, DriverSheetContent content)
    {
        HashSet<string> here = [.. content.Block.Stops.Select(s => s.Line.Id)];
        WorkFinding[] findings = [.. content.Job.Findings.Where(f => f.To.Length == 0 || here.Contains(f.To))];
        text.WriteLine("<p class=\"quiet\">&#8631; forward turn, &#8644; with one reverse, &#10565; a way round, &#10007; no turn fits as drawn (crosses on the map): end or begin as told beside the line, &#9679; start.</p>");
        if (findings.Length > 0)
        {
            text.WriteLine("<h3>Look at these first</h3><ul>");
            foreach (WorkFinding finding in findings.Take(12))
            {
                text.WriteLine($"<li>{Paper.Text(finding.Sentence)} ({Place(content, new NetTopologySuite.Geometries.Coordinate(finding.X, finding.Y))})</li>");
            }

            text.WriteLine(findings.Length > 12 ? $"<li>and {findings.Length - 12} more: the list of lines says what to leave out, work.json says all of it.</li></ul>" : "</ul>");
        }
    }

    private static string Place(DriverSheetContent content, NetTopologySuite.Geometries.Coordinate at)
    {
        (double longitude, double latitude) = content.ToLonLat(at);
        return FormattableString.Invariant($"{latitude:0.000000}, {Math.IEEERemainder(longitude, 360):0.000000}");
    }
}
