using System.Globalization;
using System.Net;
using System.Text;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Batch;

/// <summary>The index page of a batch: a map of the fields by what came of them, and a table with a way to each report.</summary>
/// <remarks>One file, no script, no network. A state is told by its word and its hatching, not by colour alone.</remarks>
internal static class BatchPage
{
    private const double MapWidth = 960;
    private const double MostHeight = 720;
    private const double Margin = 12;

    private const string Style = """
        :root { --ink: #1d242b; --quiet: #4d565e; --paper: #fbfaf6; --rule: #d5d2c8; --hill: #00534f; --care: #9b1148; --soil: #7a4300; }
        * { box-sizing: border-box; }
        body { margin: 0 auto; max-width: 74rem; padding: 1.5rem clamp(1rem, 4vw, 2.5rem); background: var(--paper); color: var(--ink); font: 1rem/1.5 system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", "Liberation Sans", sans-serif; }
        h2 { font: 600 1.3rem/1.2 Georgia, "Noto Serif", "Liberation Serif", serif; margin: 1.2rem 0 .4rem; }
        h1 { font: 600 2rem/1.2 Georgia, "Noto Serif", "Liberation Serif", serif; margin: 0 0 .5rem; }
        svg { width: 100%; height: auto; border: 1px solid #767c82; background: #fff; margin: 1rem 0; }
        svg text { font: 600 11px system-ui, sans-serif; fill: var(--ink); paint-order: stroke; stroke: #fff; stroke-width: 3px; }
        .wide { overflow-x: auto; }
        table { border-collapse: collapse; width: 100%; font-size: .93rem; font-variant-numeric: tabular-nums; }
        caption { text-align: left; color: var(--quiet); padding-bottom: .4rem; }
        th, td { text-align: right; padding: .35rem .6rem; border-bottom: 1px solid var(--rule); white-space: nowrap; }
        th:first-child, td:first-child, th:nth-child(2), td:nth-child(2) { text-align: left; }
        .failed { border-left: .3rem solid var(--care); padding: .2rem 0 .2rem 2rem; max-width: 52rem; }
        .failed li { margin: .3rem 0; }
        a { color: var(--hill); }
        .key { display: flex; flex-wrap: wrap; gap: .3rem 1.4rem; padding: 0; list-style: none; }
        .key svg { width: 1.6rem; height: 1rem; margin: 0 .4rem -.15rem 0; }
        @media print { body { background: #fff; padding: 0; } }
        """;

    // The word of a state on the page, the pattern of its fields, and whether they come first.
    private static readonly (string State, string Word, string Fill)[] States =
    [
        (FieldOutcome.Refused, "input refused", "url(#cross)"),
        (FieldOutcome.Broken, "ended early", "url(#cross)"),
        (FieldOutcome.OutOfTime, "out of time", "url(#cross)"),
        (FieldOutcome.Look, "something to look at", "url(#slant)"),
        (FieldOutcome.Held, "every limit held", "#cfe5e2"),
        (FieldOutcome.Waiting, "still to be made", "#fff"),
    ];

    /// <summary>Makes the page.</summary>
    public static byte[] Of(IReadOnlyList<FieldResult> results)
    {
        StringBuilder page = new();
        page.Append("<!DOCTYPE html>\n<html lang=\"en-GB\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">");
        page.Append("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\"><title>Fields and their plans</title><style>").Append(Style).Append("</style></head><body><main>\n");
        FieldResult[] planned = [.. results.Where(r => r.Report.Length > 0)];
        page.Append(CultureInfo.InvariantCulture, $"<h1>{results.Count} {(results.Count == 1 ? "field" : "fields")}</h1>\n<p>{planned.Length} planned: {planned.Sum(r => r["area_ha"]):0.#} ha, {planned.Sum(r => r["lines"]):0} lines, {planned.Sum(r => r["length_km"]):0.#} km of ripping. ");
        page.Append("Each name opens that field’s report. What has something to look at comes first.</p>\n");
        Key(page, results);
        Failures(page, results);
        Map(page, results);
        Table(page, results);
        page.Append("<p>An aid to design, not engineering advice: local codes and licensed practice come first. Have buried lines located before ripping anywhere.</p>\n</main></body></html>\n");
        return Encoding.UTF8.GetBytes(page.ToString());
    }

    private static void Key(StringBuilder page, IReadOnlyList<FieldResult> results)
    {
        page.Append("<ul class=\"key\">");
        foreach ((string state, string word, string fill) in States)
        {
            int count = results.Count(r => r.Outcome.State == state);
            if (count > 0)
            {
                page.Append(CultureInfo.InvariantCulture, $"<li><svg viewBox=\"0 0 26 16\" aria-hidden=\"true\"><rect width=\"26\" height=\"16\" fill=\"{fill}\" stroke=\"#1d242b\"/></svg>{count} {word}</li>");
            }
        }

        page.Append("</ul>\n");
    }

    private static void Failures(StringBuilder page, IReadOnlyList<FieldResult> results)
    {
        FieldResult[] failed = [.. results.Where(r => r.Outcome.HasFailed)];
        if (failed.Length == 0)
        {
            return;
        }

        page.Append("<h2>Failed</h2>\n<ul class=\"failed\">");
        foreach (FieldResult result in failed)
        {
            page.Append(CultureInfo.InvariantCulture, $"<li><b>{Text(result.Field.Name)}</b>, {Word(result)}: {Text(result.Outcome.Sentence)}</li>");
        }

        page.Append("</ul>\n");
    }

    private static void Map(StringBuilder page, IReadOnlyList<FieldResult> results)
    {
        double first = results.Select(r => r.Field.Shape.Coordinate).FirstOrDefault(c => c is not null)?.X ?? 0;
        (Envelope box, FieldResult[] drawn) = Frame(results, first);
        if (drawn.Length == 0)
        {
            return;
        }

        if (drawn.Length < results.Count)
        {
            page.Append(CultureInfo.InvariantCulture, $"<p>{results.Count - drawn.Length} of the fields without a plan lie far from the others and are not on the map.</p>\n");
        }

        // Plane enough for a county: degrees of longitude are as long as at the middle of it.
        double narrow = Math.Cos(box.Centre.Y * Math.PI / 180), wide = Math.Max(box.Width * narrow, 1e-9), high = Math.Max(box.Height, 1e-9);
        double scale = Math.Min((MapWidth - (2 * Margin)) / wide, (MostHeight - (2 * Margin)) / high);
        double height = (high * scale) + (2 * Margin);
        page.Append(CultureInfo.InvariantCulture, $"<svg viewBox=\"0 0 {MapWidth:0} {height:0}\" role=\"img\" aria-label=\"Map of the fields, north up\">");
        page.Append("<defs><pattern id=\"slant\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"7\" height=\"7\" fill=\"#fdf3cf\"/><path d=\"M0 0V7\" stroke=\"#7a4300\" stroke-width=\"2\"/></pattern>");
        page.Append("<pattern id=\"cross\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\"><rect width=\"8\" height=\"8\" fill=\"#f7dce6\"/><path d=\"M0 0L8 8M8 0L0 8\" stroke=\"#9b1148\"/></pattern></defs>");
        double left = Margin + (((MapWidth - (2 * Margin)) - (wide * scale)) / 2);
        bool named = drawn.Length <= 60;
        foreach (FieldResult result in drawn)
        {
            StringBuilder path = new();
            foreach (Coordinate[] ring in Rings(result.Field.Shape))
            {
                path.Append('M').AppendJoin('L', ring.Select(c => string.Create(CultureInfo.InvariantCulture, $"{X(c):0.#} {Y(c):0.#}"))).Append('Z');
            }

            string shape = $"<path d=\"{path}\" fill=\"{States.First(s => s.State == result.Outcome.State).Fill}\" fill-rule=\"evenodd\" stroke=\"#1d242b\"><title>{Text(result.Field.Name)}: {Word(result)}</title></path>";
            Coordinate middle = result.Field.Shape.EnvelopeInternal.Centre ?? new Coordinate();
            string label = named && !result.Field.Shape.IsEmpty ? string.Create(CultureInfo.InvariantCulture, $"<text x=\"{X(middle):0.#}\" y=\"{Y(middle):0.#}\" text-anchor=\"middle\">{Text(Short(result.Field.Name))}</text>") : "";
            page.Append(result.Report.Length > 0 ? $"<a href=\"{Text(result.Report)}\">{shape}{label}</a>" : shape + label);
        }

        page.Append("</svg>\n");

        double X(Coordinate c) => left + ((Turned(c.X, first) - box.MinX) * narrow * scale);
        double Y(Coordinate c) => Margin + ((box.MaxY - c.Y) * scale);
    }

    private static void Table(StringBuilder page, IReadOnlyList<FieldResult> results)
    {
        page.Append("<!--metric--><div class=\"wide\"><table><caption>Shares are of the length, covered of the workable ground; next line: with its next line within a quarter of the spacing.</caption>\n<thead><tr>");
        foreach (string head in (string[])["Field", "State", "Area, ha", "Lines", "Length, km", "Covered", "Within grade", "To the ridge", "Next line", "Limits broken", "Time, s"])
        {
            page.Append(CultureInfo.InvariantCulture, $"<th scope=\"col\">{head}</th>");
        }

        page.Append("</tr></thead>\n<tbody>\n");
        foreach (FieldResult r in results.Where(r => !r.Outcome.HasFailed).OrderBy(r => Array.FindIndex(States, s => s.State == r.Outcome.State)))
        {
            string name = Text(r.Field.Name);
            page.Append(r.Report.Length > 0 ? $"<tr><td><a href=\"{Text(r.Report)}\">{name}</a></td>" : $"<tr><td>{name}</td>");
            page.Append(CultureInfo.InvariantCulture, $"<td>{Word(r)}</td><td>{Number(r["area_ha"], "0.0")}</td><td>{Number(r["lines"], "0")}</td><td>{Number(r["length_km"], "0.0")}</td><td>{Share(r["covered_share"])}</td><td>{Share(r["within_grade_share"])}</td>");
            page.Append(CultureInfo.InvariantCulture, $"<td>{Share(r["to_ridge_share"])}</td><td>{Share(r["next_within_25pct_share"])}</td><td>{Number(r["findings_of_limits"], "0")}</td><td>{Number(r.Outcome.Seconds, "0.0")}</td></tr>\n");
        }

        page.Append("</tbody></table></div><!--/metric-->\n");
    }

    // What is planned is drawn; what is not is drawn where it lies among or beside it, so that one at the end of the world shrinks nothing.
    private static (Envelope Box, FieldResult[] Drawn) Frame(IReadOnlyList<FieldResult> results, double first)
    {
        FieldResult[] shown = [.. results.Where(r => !r.Field.Shape.IsEmpty)];
        FieldResult[] sure = [.. shown.Where(r => !r.Outcome.HasFailed)];
        Envelope box = Box(sure.Length > 0 ? sure : shown, first);
        Envelope reach = box.Copy();
        reach.ExpandBy(Math.Max(box.Width, box.Height));
        FieldResult[] drawn = [.. shown.Where(r => reach.Intersects(Box([r], first)))];
        return (Box(drawn, first), drawn);
    }

    private static Envelope Box(IEnumerable<FieldResult> results, double first)
    {
        Envelope box = new();
        foreach (Coordinate c in results.SelectMany(r => r.Field.Shape.Coordinates))
        {
            box.ExpandToInclude(Turned(c.X, first), c.Y);
        }

        return box;
    }

    private static IEnumerable<Coordinate[]> Rings(Geometry shape)
    {
        for (int i = 0; i < shape.NumGeometries; i++)
        {
            if (shape.GetGeometryN(i) is Polygon polygon && !polygon.IsEmpty)
            {
                yield return polygon.ExteriorRing.Coordinates;
                foreach (LineString hole in polygon.InteriorRings)
                {
                    yield return hole.Coordinates;
                }
            }
        }
    }

    private static double Turned(double longitude, double first) => first + Math.IEEERemainder(longitude - first, 360);

    private static string Word(FieldResult result) => States.First(s => s.State == result.Outcome.State).Word;

    private static string Short(string name) => name.Length > 18 ? name[..17] + "…" : name;

    private static string Number(double value, string format) => double.IsFinite(value) ? value.ToString(format, CultureInfo.InvariantCulture) : "";

    private static string Share(double value) => double.IsFinite(value) ? (Math.Floor((value * 1000) + 1e-6) / 10).ToString("0.0", CultureInfo.InvariantCulture) + " %" : "";

    private static string Text(string text) => WebUtility.HtmlEncode(text);
}
