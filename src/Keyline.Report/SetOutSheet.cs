using System.Text;
using Keyline.SetOut;
using static Keyline.Report.Svg;

namespace Keyline.Report;

/// <summary>Writes the sheet a person carries to set lines out by laser level: one HTML file to print, with nothing outside it.</summary>
/// <remarks>
/// <para>Units: those the content asks for; longitude and latitude in degrees to 7 decimals (1 cm), easting and northing in
/// metres to the decimetre.</para>
/// <para>Missing: a stake on missing ground has a dash for its reading.</para>
/// <para>Promises: prints on A4 and on letter paper; tables repeat their heads on every page; readable in black and white; the
/// same content gives the same bytes.</para>
/// </remarks>
public static class SetOutSheet
{
    /// <summary>Writes a sheet.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="content">What it shows.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    public static void Write(Stream stream, SetOutSheetContent content, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(content);
        using StreamWriter text = new(stream, new UTF8Encoding(false), -1, leaveOpen: true) { NewLine = "\n" };
        string name = content.Field?.Name is { Length: > 0 } field ? field : "Set-out";
        text.WriteLine("<!DOCTYPE html>");
        text.WriteLine("<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">");
        text.WriteLine($"<title>Set-out sheet: {Text(name)}</title>");
        text.WriteLine($"<style>{Style}</style></head><body>");
        Cover(text, content, name);
        foreach (StakedLine line in content.Lines)
        {
            cancellationToken.ThrowIfCancellationRequested();
            Line(text, content, line);
        }

        text.WriteLine("</body></html>");
    }

    private const string Style = """
        @page { margin: 12mm }
        body { font: 9pt/1.3 "Segoe UI", "Noto Sans", "Helvetica Neue", Arial, sans-serif; color: #1d242b; margin: 0 auto; max-width: 186mm; background: #fff }
        h1 { font-size: 17pt; margin: 0 0 1mm } h2 { font-size: 13pt; margin: 0 0 1mm } h3 { font-size: 10pt; margin: 3mm 0 1mm; break-after: avoid }
        section { break-before: page } p, ol, ul { margin: 1mm 0 } ol, ul { padding-left: 6mm }
        svg { display: block; width: 100%; height: auto; margin: 2mm 0 }
        svg text { font-family: inherit; fill: #1d242b }
        .quiet { color: #5a636b } .marks { margin: 2mm 0; border: 0.4mm solid #1d242b; padding: 1.5mm 2.5mm }
        table { border-collapse: collapse; width: 100%; font-size: 8.5pt; font-variant-numeric: tabular-nums }
        thead { display: table-header-group } tr { break-inside: avoid }
        th { text-align: right; vertical-align: bottom; font-weight: 600; border-bottom: 0.4mm solid #1d242b; padding: 0.6mm 1.2mm }
        td { text-align: right; border-bottom: 0.15mm solid #c9ced2; padding: 0.7mm 1.2mm; white-space: nowrap }
        th.left, td.left { text-align: left } th.mid { text-align: center } td.name { font-weight: 600; text-align: left } td.why { text-align: left; white-space: normal }
        td.rod { font-weight: 600; font-size: 10pt } td.write { border: 0.25mm solid #1d242b; min-width: 15mm; height: 5.5mm }
        tr.setup td { background: #eef1f2; text-align: left; white-space: normal; border-bottom: 0.25mm solid #1d242b; padding: 1.5mm }
        .blank { display: inline-block; min-width: 22mm; border-bottom: 0.3mm solid #1d242b }
        footer { margin-top: 3mm; font-size: 8pt; color: #5a636b }
        @media screen { body { padding: 6mm } section { border-top: 0.3mm dashed #c9ced2; padding-top: 6mm; margin-top: 8mm } }
        """;

    private static void Cover(StreamWriter text, SetOutSheetContent content, string name)
    {
        text.WriteLine($"<h1>Set-out sheet: {Text(name)}</h1>");
        text.WriteLine($"<p class=\"quiet\">{content.Lines.Count} {(content.Lines.Count == 1 ? "line" : "lines")}, {content.Lines.Sum(l => l.Stakes.Count)} stakes; lengths and heights in {Text(content.Unit.Name)}; "
            + $"easting and northing in metres of {Text(content.CoordinateSystem)}.</p>");
        SetOutMap.Write(text, content, null);
        text.WriteLine("<h3>How to set out</h3><ol>");
        if (content.Mark is { } mark)
        {
            text.WriteLine($"<li>Set the laser level up and put the rod on <b>{Text(mark.Name)}</b> (height {Height(mark.Height, content)}). The sheet counts on a reading of <b>{Height(mark.Reading, content)}</b> there. "
                + "Where yours differs, add the difference (yours less this one) to every reading of the set-up.</li>");
        }
        else
        {
            text.WriteLine("<li>Set the laser level up where it sees the first stake. Find that place by its coordinates or by the map, put the rod on it, and write the reading down. Every other stake of the set-up reads that <b>plus</b> the figure in the column.</li>");
        }

        text.WriteLine("<li>Go along the line to the next stake by its coordinates, or by tape and by eye. Move the rod <b>up or down the slope</b> until it reads what the sheet says, and put the stake there: water then falls along the line as planned, whatever the map says of the ground.</li>");
        text.WriteLine("<li>Where the plan marks \"grade\" or \"bend\", the line changes its fall or its way: leave no such stake out. Between stakes, walk a smooth curve.</li>");
        text.WriteLine("<li>Where a new set-up begins, leave the rod on the stake named, move the level, read it again, and go on from there.</li>");
        if (content.Lines.Any(l => l.Stakes.Any(s => s.KeepClearOf.Length > 0)))
        {
            text.WriteLine("<li>Where the sheet says <b>flag only</b>, the place lies within what the plan keeps clear of, as a buried pipe: lay a flag or paint a mark, and drive nothing into the ground.</li>");
        }

        text.WriteLine("<li>Write down what was read, and how far a stake was moved left of the line (looking along it to the higher numbers; minus to the right). Type both into stakes.csv and have them compared with the plan.</li></ol>");
        if (content.Cautions.Count > 0)
        {
            text.WriteLine("<h3>Before you start</h3><ul>");
            foreach (string caution in content.Cautions)
            {
                text.WriteLine($"<li>{Text(caution)}</li>");
            }

            text.WriteLine("</ul>");
        }

        if (content.DatumNotes.Count > 0)
        {
            text.WriteLine("<h3>Coordinates</h3>");
            text.WriteLine($"<p>{Text(string.Join(" ", content.DatumNotes))}</p>");
        }

        Foot(text, content);
    }

    private static void Line(StreamWriter text, SetOutSheetContent content, StakedLine line)
    {
        double[] heights = [.. line.Stakes.Select(s => s.Place.Z).Where(double.IsFinite)];
        text.WriteLine($"<section><h2>Line {Text(line.Id)}</h2>");
        text.WriteLine($"<p class=\"quiet\">{Number(line.Line.Length / content.Unit.Metres, "0")} {Text(content.Unit.Name)} long, {line.Stakes.Count} stakes, {line.SetUps.Count} {(line.SetUps.Count == 1 ? "set-up" : "set-ups")} of the level"
            + (heights.Length > 0 ? $"; ground from {Height(heights.Min(), content)} to {Height(heights.Max(), content)}" : "") + ". Looking along the line to the higher numbers, a guide has higher ground on its left.</p>");
        SetOutMap.Write(text, content, line);
        SetOutProfile.Write(text, content, line);
        text.WriteLine($"<table><thead><tr><th class=\"left\">stake</th><th>along {Text(content.Unit.Name)}</th><th class=\"left\">why</th><th>latitude<br>longitude</th><th>easting m<br>northing m</th>"
            + $"<th>fall to<br>next %</th><th>rod {Text(content.Unit.Name)}</th><th class=\"mid\">read</th><th class=\"mid\">moved<br>left</th><th class=\"mid\">note</th></tr></thead><tbody>");
        foreach (LevelSetUp setUp in line.SetUps)
        {
            Stake[] stakes = [.. line.Stakes.Where(s => s.SetUp == setUp.Number)];
            text.WriteLine($"<tr class=\"setup\"><td colspan=\"10\">{Heading(content, line, setUp, stakes)}</td></tr>");
            foreach (Stake stake in stakes)
            {
                Row(text, content, setUp, stake);
            }
        }

        text.WriteLine("</tbody></table>");
        Foot(text, content);
        text.WriteLine("</section>");
    }

    private static string Heading(SetOutSheetContent content, StakedLine line, LevelSetUp setUp, Stake[] stakes)
    {
        string from = $"<b>Set-up {setUp.Number}</b> ({Text(stakes[0].Name)} to {Text(stakes[^1].Name)}). Rod first on <b>{Text(setUp.Mark)}</b>";
        return double.IsFinite(setUp.Plane)
            ? $"{from}: to read {Height(setUp.Plane - setUp.MarkHeight, content)}, laser at {Height(setUp.Plane, content)}. Read: <span class=\"blank\">&nbsp;</span>"
            : $"{from}{(line.Stakes.Any(s => s.Name == setUp.Mark && s.SetUp != setUp.Number) ? " again" : "")}. Read: <span class=\"blank\">&nbsp;</span> The others read this plus the figure below.";
    }

    private static void Row(StreamWriter text, SetOutSheetContent content, LevelSetUp setUp, Stake stake)
    {
        (double lon, double lat) = content.ToLonLat(stake.Place);
        double reading = double.IsFinite(setUp.Plane) ? setUp.ReadingOn(stake) : setUp.MoreThanOnMark(stake);
        string rod = double.IsNaN(reading) ? "&ndash;" : Number(reading / content.Unit.Metres, double.IsFinite(setUp.Plane) ? "0.00" : "+0.00;\u22120.00;+0.00");
        string fall = double.IsNaN(stake.GradeToNext) ? "" : Number(stake.GradeToNext, "0.0;\u22120.0;0.0");
        text.WriteLine($"<tr><td class=\"name\">{Text(stake.Name)}</td><td>{Number(stake.Station / content.Unit.Metres, "0.0")}</td><td class=\"why\">{Text(Why(stake))}</td>"
            + $"<td>{Number(lat, "0.0000000")}<br>{Number(Math.IEEERemainder(lon, 360), "0.0000000")}</td><td>{Number(stake.Place.X, "0.0")}<br>{Number(stake.Place.Y, "0.0")}</td>"
            + $"<td>{fall}</td><td class=\"rod\">{rod}</td><td class=\"write\"></td><td class=\"write\"></td><td class=\"write\"></td></tr>");
    }

    private static string Why(Stake stake)
    {
        IEnumerable<string> told = Enum.GetValues<StakeReasons>().Where(r => r is not (StakeReasons.None or StakeReasons.Interval) && stake.Reasons.HasFlag(r)).Select(r => r.ToString().ToLowerInvariant());
        return string.Join(", ", stake.KeepClearOf.Length > 0 ? told.Append($"flag only: {stake.KeepClearOf}") : told);
    }

    private static void Foot(StreamWriter text, SetOutSheetContent content) =>
        text.WriteLine($"<footer>{Text(content.MadeWith)}{(content.MadeWith.Length > 0 ? ". " : "")}An aid to design, not engineering advice: local codes and licensed practice come before it.</footer>");

    private static string Height(double metres, SetOutSheetContent content) => Number(metres / content.Unit.Metres, "0.00") + " " + Text(content.Unit.Name);
}
