using System.Text;
using Keyline.Field;

namespace Keyline.Fieldwork;

/// <summary>Writes a trial for people: the map, what it can show, and the sheets to fill in; one HTML file to print, with nothing outside it.</summary>
/// <remarks>
/// <para>Units: metres and those the forms name. Promises: prints on A4 and on letter paper; told apart in black and white; a sheet a form and block; the same design gives the same bytes.</para>
/// <para>Cost: that of the text. Source: ours.</para>
/// </remarks>
public static class TrialPage
{
    internal const string Style = """
        @page { margin: 11mm }
        body { font: 9.5pt/1.35 "Segoe UI", "Noto Sans", "Helvetica Neue", Arial, sans-serif; color: #1d242b; margin: 0 auto; max-width: 188mm; background: #fff }
        h1 { font-size: 17pt; margin: 0 0 1mm } h2 { font-size: 13pt; margin: 6mm 0 1mm; break-after: avoid } h3 { font-size: 10.5pt; margin: 4mm 0 1mm; break-after: avoid } p, ul { margin: 1.2mm 0 } ul { padding-left: 5mm }
        svg { display: block; width: 100%; height: auto; margin: 2mm 0 } svg text { font-family: inherit; fill: #1d242b }
        .quiet { color: #555e66 } .stop { border: 0.7mm solid #1d242b; padding: 1.5mm 2.5mm; margin: 2mm 0; font-weight: 600 }
        table { border-collapse: collapse; width: 100%; font-size: 8.5pt; font-variant-numeric: tabular-nums } th, td { border: 0.15mm solid #9aa2a8; padding: 0.7mm 1.2mm; text-align: left } th { background: #eef0ee } td.empty { min-width: 9mm; height: 5mm }
        .sheet { break-before: page } .key span { display: inline-block; margin-right: 5mm } .key svg { display: inline-block; width: 6mm; height: 4mm; margin: 0 1mm 0 0; vertical-align: middle }
        tr { break-inside: avoid } thead { display: table-header-group } footer { margin-top: 3mm; font-size: 8pt; color: #555e66 }
        @media screen { body { padding: 6mm } }
        """;

    /// <summary>Writes the page.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="design">The design.</param>
    /// <param name="lines">The plan's lines.</param>
    /// <param name="field">The field.</param>
    /// <param name="cautions">What to beware of, one paragraph each.</param>
    /// <param name="madeWith">Name and version of what made it.</param>
    public static void Write(Stream stream, TrialDesign design, IReadOnlyList<WorkLine> lines, FieldArea field, IReadOnlyList<string> cautions, string madeWith)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(design);
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(cautions);
        using StreamWriter text = new(stream, new UTF8Encoding(false), -1, leaveOpen: true) { NewLine = "\n" };
        string name = design.Field.Length > 0 ? design.Field : "the field", what = design.Kind == TrialKind.Randomised ? "A trial on" : "A monitored comparison on";
        Begin(text, $"{what} {name}");
        text.WriteLine($"<h1>{what} {Paper.Text(name)}</h1>");
        text.WriteLine($"<p class=\"quiet\">{design.Blocks.Count} blocks, {design.WholePlots} plots of {design.Options.Passes} passes, lots drawn with the seed {design.Options.Seed}.</p>");
        if (design.Kind == TrialKind.Monitored)
        {
            text.WriteLine("<p class=\"stop\">This is no trial: it shows change, not its cause.</p>");
        }

        text.WriteLine("<p class=\"key\">" + string.Concat(design.Options.Treatments.Select(t => $"<span><svg viewBox=\"0 0 6 4\">{TrialMap.Hatch}<rect width=\"6\" height=\"4\" fill=\"{TrialMap.FillOf(design, t.Id)}\" stroke=\"#1d242b\" stroke-width=\"0.2\"/></svg>{Paper.Text(t.Text)}</span>")) + "</p>");
        TrialMap.WriteField(text, design, lines, field);
        text.WriteLine("<h2>What it can show</h2><ul>");
        foreach (string note in design.Notes)
        {
            text.WriteLine($"<li>{Paper.Text(note)}</li>");
        }

        text.WriteLine("</ul><h2>How to keep it honest</h2><ul>");
        foreach (string rule in (string[])["Measure every plot before ripping: a difference that was there before is then taken off.", "Measure all plots of a block on one day, by one person, in the order of the sheets; where two share the work, each takes whole blocks.", "Do not swap a plot because it looks poor: the lots are drawn.", "Passes between plots are worked as the field is and not measured. In the control lift the implement; the strips are in avoid.geojson for the plan and the display.", "Write nothing down twice: fill in readings/*.csv, add rows with the next date at the next visit, and keep earlier rows."])
        {
            text.WriteLine($"<li>{rule}</li>");
        }

        text.WriteLine("</ul>");
        Plots(text, design);
        foreach (TrialBlock block in design.Blocks)
        {
            text.WriteLine($"<h2 class=\"sheet\">Block {block.Number}{(block.Zone.Length > 0 ? ", " + Paper.Text(block.Zone) : "")}</h2>");
            text.WriteLine("<p class=\"quiet\">R ring, P penetrometer, Q quadrat, V pole, C clip, S soil core, F photo with its bearing. Filled: on a rip.</p>");
            TrialMap.WriteBlock(text, design, block, lines);
        }

        foreach (TrialForm form in TrialForm.All)
        {
            Sheet(text, design, form);
        }

        text.WriteLine("<h2>Before you start</h2><ul>");
        foreach (string caution in cautions)
        {
            text.WriteLine($"<li>{Paper.Text(caution)}</li>");
        }

        text.WriteLine($"</ul><footer>{Paper.Text(madeWith)}. An aid to design, not engineering advice: local codes and licensed practice come before it.</footer></body></html>");
    }

    internal static void Begin(TextWriter text, string title)
    {
        text.WriteLine("<!DOCTYPE html>");
        text.WriteLine("<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">");
        text.WriteLine($"<title>{Paper.Text(title)}</title><style>{Style}</style></head><body>");
    }

    private static void Plots(StreamWriter text, TrialDesign design)
    {
        text.WriteLine("<h2>Plots</h2><table><thead><tr><th>Plot</th><th>Treatment</th>" + (design.Options.Split.Count > 0 ? "<th>Part</th>" : "") + "<th>Lines</th><th>Position<br>0 valley, 1 ridge</th><th>Slope %</th></tr></thead><tbody>");
        foreach (TrialPlot plot in design.Plots)
        {
            text.WriteLine($"<tr><td>{Paper.Text(plot.Id)}</td><td>{Paper.Text(plot.Treatment)}</td>{(design.Options.Split.Count > 0 ? $"<td>{Paper.Text(plot.Split)}</td>" : "")}<td>{Paper.Text(string.Join(", ", plot.Lines))}</td><td>{(double.IsNaN(plot.Position) ? "not known" : Paper.N(plot.Position))}</td><td>{(double.IsNaN(plot.Slope) ? "not known" : Paper.N(Math.Round(plot.Slope, 1)))}</td></tr>");
        }

        text.WriteLine("</tbody></table>");
    }

    private static void Sheet(StreamWriter text, TrialDesign design, TrialForm form)
    {
        TrialPoint[] points = [.. design.Points.Where(p => p.Kind == form.Kind)];
        if (form.Kind.Length > 0 && points.Length == 0)
        {
            return;
        }

        text.WriteLine($"<!--metric--><h2 class=\"sheet\">{Paper.Text(form.Title)}</h2><p>{Paper.Text(form.How)}</p><p>Date: ______________ &nbsp; Who: ______________ &nbsp; Instrument: ______________</p>");
        if (form.Id is "rings" or "penetrometer")
        {
            Across(text, points, form.Id == "rings");
            return;
        }

        FormColumn[] columns = [.. form.Columns.Where(c => c.Name is not ("date" or "plot"))];
        text.WriteLine("<table><thead><tr>" + string.Concat(columns.Select(c => $"<th>{Paper.Text(c.Name.Replace('_', ' '))}{(c.Help.Length > 0 && c.Name != "point" ? $"<br><small>{Paper.Text(c.Help)}</small>" : "")}</th>")) + "</tr></thead><tbody>");
        int rows = form.Kind.Length == 0 ? 24 : points.Length;
        for (int i = 0; i < rows; i++)
        {
            for (int k = 0; k < (form.RowsAPoint); k++)
            {
                text.WriteLine("<tr>" + string.Concat(columns.Select(c => c.Name == "point" && k == 0 ? $"<td><b>{Paper.Text(points[i].Id)}</b>{(double.IsNaN(points[i].Bearing) ? "" : FormattableString.Invariant($", look {points[i].Bearing:0}&deg;"))}</td>" : "<td class=\"empty\"></td>")) + "</tr>");
            }
        }

        text.WriteLine("</tbody></table><!--/metric-->");
    }

    // A ring's readings, or a profile, run across the paper; in the table to fill in they run down.
    private static void Across(StreamWriter text, TrialPoint[] points, bool rings)
    {
        const int Columns = 9;
        IEnumerable<string> heads = rings ? ["point", "radius cm", "depth cm", "head cm", "soil", "", .. Enumerable.Range(1, Columns - 1).Select(i => FormattableString.Invariant($"{i}"))] : ["point", .. Enumerable.Range(1, Columns).Select(i => FormattableString.Invariant($"{5 * i} cm<br><small>kPa</small>"))];
        text.WriteLine("<table><thead><tr>" + string.Concat(heads.Select(h => $"<th>{h}</th>")) + "</tr></thead><tbody>");
        foreach (TrialPoint point in points)
        {
            string id = $"<b>{Paper.Text(point.Id)}</b>{(point.OnRip ? " on the rip" : "")}";
            if (!rings)
            {
                text.WriteLine($"<tr><td>{id}</td>{string.Concat(Enumerable.Repeat("<td class=\"empty\"></td>", Columns))}</tr>");
                continue;
            }

            string blanks = string.Concat(Enumerable.Repeat("<td class=\"empty\"></td>", Columns - 1));
            text.WriteLine($"<tr><td rowspan=\"2\">{id}</td>{string.Concat(Enumerable.Repeat("<td rowspan=\"2\"></td>", 4))}<td>min</td>{blanks}</tr><tr><td>mm</td>{blanks}</tr>");
        }

        text.WriteLine("</tbody></table><!--/metric-->");
    }
}
