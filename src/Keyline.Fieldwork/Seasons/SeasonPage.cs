using System.Globalization;
using System.Text;

namespace Keyline.Fieldwork;

/// <summary>Writes when to rip as one HTML page to read and print, with nothing outside it.</summary>
/// <remarks>
/// <para>Promises: prints on A4 and letter paper, readable in black and white; the same content gives the same bytes. Cost: that of the text. Source: ours.</para>
/// </remarks>
public static class SeasonPage
{
    private const string Style = """
        @page { margin: 12mm }
        body { font: 10pt/1.4 "Segoe UI", "Noto Sans", "Helvetica Neue", Arial, sans-serif; color: #1d242b; margin: 0 auto; max-width: 186mm; background: #fff }
        h1 { font-size: 17pt; margin: 0 0 1mm } h2 { font-size: 12pt; margin: 6mm 0 1mm; break-after: avoid } p, ul { margin: 1.2mm 0 } ul { padding-left: 5mm }
        svg { display: block; width: 100%; height: auto; margin: 2mm 0; break-inside: avoid } svg text { font-family: inherit; fill: #1d242b }
        table { border-collapse: collapse; font-size: 9pt; font-variant-numeric: tabular-nums; width: 100%; margin: 2mm 0; break-inside: avoid } th, td { padding: 0.8mm 1.2mm; border-bottom: 0.15mm solid #c9ced2; text-align: right } th:first-child, td:first-child { text-align: left } .even { table-layout: fixed } .even th:first-child { width: 26mm } .dates td:first-child { white-space: nowrap }
        .answer { border-left: 1.2mm solid #3f8f4f; padding: 1mm 3mm; margin: 3mm 0; font-size: 11.5pt } .quiet { color: #5a636b; font-size: 9pt }
        .stop { border: 0.8mm solid #1d242b; padding: 1.5mm 2.5mm; margin: 3mm 0; font-weight: 600 }
        .key span { display: inline-block; margin-right: 5mm } .key i { display: inline-block; width: 4mm; height: 3mm; margin-right: 1.5mm; border: 0.15mm solid #5a636b }
        .ball { display: grid; grid-template-columns: repeat(4, 1fr); gap: 4mm; break-inside: avoid } .ball b { display: block } .ball div { font-size: 8.5pt } .ball svg { margin: 0 0 1mm }
        footer { margin-top: 5mm; font-size: 8.5pt; color: #5a636b } @media screen { body { padding: 8mm } } @media (max-width: 620px) { .ball { grid-template-columns: repeat(2, 1fr) } .wide { overflow-x: auto } }
        """;

    /// <summary>Writes the page.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="title">The field or place.</param>
    /// <param name="report">What it says.</param>
    /// <param name="dates">The calendar, or empty.</param>
    /// <param name="services">The record of located services, or null.</param>
    /// <param name="cautions">What to beware of.</param>
    /// <param name="madeWith">Name and version of what made it.</param>
    public static void Write(Stream stream, string title, SeasonReport report, IReadOnlyList<PlannedDays> dates, ServiceRecord? services, IReadOnlyList<string> cautions, string madeWith)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(report);
        ArgumentNullException.ThrowIfNull(dates);
        ArgumentNullException.ThrowIfNull(cautions);
        using StreamWriter text = new(stream, new UTF8Encoding(false), -1, leaveOpen: true) { NewLine = "\n" };
        IReadOnlyList<string> said = report.Sentences();
        SeasonRun run = report.Run;
        text.WriteLine($"<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><title>{T("When to rip: " + title)}</title><style>{Style}</style></head><body>");
        text.WriteLine($"<h1>When to rip: {T(title)}</h1>");
        text.WriteLine(Inv($"<p class=\"quiet\">{T(run.Soil.Name)}, tip at {100 * run.Options.Depth:0} cm. Weather: {T(run.Weather.Name)}, {run.Weather.First:yyyy-MM-dd} to {run.Weather.Last:yyyy-MM-dd}.</p>"));
        string[] answer = [said[0], .. said.Where(s => s.Contains("right days", StringComparison.Ordinal))];
        text.WriteLine($"<div class=\"answer\">{string.Concat(answer.Select(s => $"<p>{T(s)}</p>"))}</div>");
        text.WriteLine($"<p class=\"stop\">{T(ServiceRecord.Say(services, dates.Count > 2 ? dates[2].First.AddDays((int)dates[2].Days - 1) : null))}</p>");
        text.WriteLine("<h2>Look at the soil: the ball and thread test</h2>");
        text.WriteLine($"<p>{T(BallTest.How)} What the hand says comes before any figure here.</p><div class=\"ball\">");
        foreach (BallOutcome outcome in BallTest.Outcomes)
        {
            text.WriteLine($"<div>{outcome.Drawing}<b>{T(outcome.Title)}</b>{T(outcome.Words)}</div>");
        }

        text.WriteLine("</div><h2>The last weeks</h2>");
        text.WriteLine(SeasonCharts.LastWeeks(run, report.Today, report.Rule));
        text.WriteLine("<h2>Days in the window, by month</h2>");
        text.WriteLine(SeasonCharts.Months(report.ByRule[0].Months));
        Table(text, report);
        text.WriteLine(Inv($"<h2>Chance that {report.WindowDays} right days on end begin in a week</h2>"));
        text.WriteLine(SeasonCharts.Weeks(report.Weeks, report.Best is { } best ? Math.Min(((best.Day.DayOfYear - 1) / 7) + 1, 52) : null));
        if (report.Finish is { } finish)
        {
            Finish(text, report, finish);
        }

        text.WriteLine("<h2>Every day of every year</h2>");
        text.WriteLine($"<p class=\"key\"><span><i style=\"background:{SeasonCharts.Dry}\"></i>too dry</span><span><i style=\"background:{SeasonCharts.Right}\"></i>right</span><span><i style=\"background:{SeasonCharts.Wet}\"></i>too wet</span></p>");
        text.WriteLine(SeasonCharts.Years(run.Weather.First, report.States));
        Dates(text, dates);
        text.WriteLine("<h2>How it was reckoned</h2><ul>");
        foreach (string sentence in said.Except(answer))
        {
            text.WriteLine($"<li>{T(sentence)}</li>");
        }

        text.WriteLine($"<li>Water in layers of soil, day by day, from rain and evapotranspiration; not measured. Frost, snow, cracks and water from below or from uphill are not seen. One field has many soils.</li></ul><h2>Cautions</h2><ul>{string.Concat(cautions.Select(c => $"<li>{T(c)}</li>"))}</ul>");
        text.WriteLine($"<footer>{T(madeWith)}. An aid to judgement, not engineering advice; local codes and licensed practice come first.</footer></body></html>");
    }

    private static void Table(StreamWriter text, SeasonReport report)
    {
        text.WriteLine("<p>The published rules disagree. Days in half of the years, and from the tenth with fewest to the tenth with most:</p><div class=\"wide\"><table class=\"even\"><tr><th>rule</th>"
            + string.Concat(Enumerable.Range(1, 12).Select(m => $"<th>{SeasonReport.Month(m)[..3]}</th>")) + "</tr>");
        foreach ((MoistureRule rule, IReadOnlyList<MonthDays> months) in report.ByRule)
        {
            string name = rule == report.Rule ? $"<b>{T(rule.Key)}</b>" : T(rule.Key);
            text.WriteLine($"<tr><td>{name}</td>{string.Concat(months.Select(m => m.Years == 0 ? "<td></td>" : Inv($"<td>{m.Middle:0}<br><span class=\"quiet\">{m.Few:0}-{m.Many:0}</span></td>")))}</tr>");
        }

        text.WriteLine("</table></div>");
    }

    private static void Finish(StreamWriter text, SeasonReport report, IReadOnlyList<MonthFinish> finish)
    {
        text.WriteLine(Inv($"<h2>How long {report.NeededDays} right days take</h2><div class=\"wide\"><table class=\"even\"><tr><th>begun on the first of</th>{string.Concat(finish.Select(f => $"<th>{SeasonReport.Month(f.Month)[..3]}</th>"))}</tr>"));
        text.WriteLine($"<tr><td>done within the month, % of years</td>{string.Concat(finish.Select(f => Cell(f, 100 * f.WithinMonth)))}</tr>");
        text.WriteLine($"<tr><td>days, half of the years</td>{string.Concat(finish.Select(f => Cell(f, f.Middle)))}</tr>");
        text.WriteLine($"<tr><td>days, four fifths of the years</td>{string.Concat(finish.Select(f => Cell(f, f.Safe)))}</tr></table></div>");

        static string Cell(MonthFinish f, double value) => f.Years == 0 ? "<td></td>" : double.IsInfinity(value) ? "<td>over 365</td>" : Inv($"<td>{value:0}</td>");
    }

    private static void Dates(StreamWriter text, IReadOnlyList<PlannedDays> dates)
    {
        if (dates.Count == 0)
        {
            return;
        }

        text.WriteLine("<h2>Dates</h2><table class=\"dates\"><tr><th>from</th><th style=\"text-align:left\">what</th></tr>");
        foreach (PlannedDays job in dates)
        {
            text.WriteLine(Inv($"<tr><td>{job.First:yyyy-MM-dd}</td><td style=\"text-align:left\"><b>{T(job.Title)}</b>{(job.Days > 1 ? Inv($" ({job.Days:0} days)") : "")}. {T(job.Notes)}</td></tr>"));
        }

        text.WriteLine("</table>");
    }

    private static string T(string text) => Paper.Text(text);

    private static string Inv(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
