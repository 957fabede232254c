using System.Globalization;
using System.Text.Json;
using Keyline.Console.Commands;
using Keyline.Fieldwork;
using Keyline.Formats;

namespace Keyline.Console.Views;

/// <summary>What came of keyline season.</summary>
/// <param name="Title">The field or place.</param>
/// <param name="Report">What years of weather say.</param>
/// <param name="Job">The job.</param>
/// <param name="Dates">The calendar.</param>
/// <param name="Services">The record of located services, or null.</param>
/// <param name="Written">The files.</param>
internal sealed record SeasonView(string Title, SeasonReport Report, SeasonJob Job, IReadOnlyList<PlannedDays> Dates, ServiceRecord? Services, OutputFiles Written) : IView
{
    public void WriteText(UnitText output)
    {
        SeasonText.Write(output, this);
        Written.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        SeasonText.WriteJson(json, this);
        Screen.End(json, Cli.ExitCode.Done, Written);
        json.WriteEndObject();
    }
}

/// <summary>When to rip, as text and as JSON.</summary>
internal static class SeasonText
{
    // "31 (23-31)" and a blank.
    private const int Wide = 11;

    public static void Write(UnitText text, SeasonView view)
    {
        SeasonReport report = view.Report;
        SeasonRun run = report.Run;
        text.Line($"When to rip: {view.Title}. {run.Soil.Name}, tip at {run.Options.Depth:0.00} m; weather {run.Weather.Name}, {run.Weather.First:yyyy-MM-dd} to {run.Weather.Last:yyyy-MM-dd}.");
        foreach (string sentence in report.Sentences())
        {
            text.WriteLine();
            text.Sentence(sentence);
        }

        text.WriteLine();
        text.WriteLine("Days in the window: half of the years (from the tenth with fewest to the tenth with most)");
        text.WriteLine($"{"",-12}{string.Concat(Enumerable.Range(1, 12).Select(m => SeasonReport.Month(m)[..3].PadLeft(Wide)))}");
        foreach ((MoistureRule rule, IReadOnlyList<MonthDays> months) in report.ByRule)
        {
            text.WriteLine($"{rule.Key,-12}{string.Concat(months.Select(m => (m.Years == 0 ? "-" : string.Create(CultureInfo.InvariantCulture, $"{m.Middle:0} ({m.Few:0}-{m.Many:0})")).PadLeft(Wide)))}");
        }

        if (report.Finish is { } finish && view.Job.Hours is { } hours)
        {
            text.WriteLine();
            text.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{hours:0.#} hours, {report.NeededDays} right days of {view.Job.HoursADay:0.#} h; days from the first of the month to the end of the job"));
            text.WriteLine($"{"half",-12}{string.Concat(finish.Select(f => Cell(f, f.Middle)))}");
            text.WriteLine($"{"four fifths",-12}{string.Concat(finish.Select(f => Cell(f, f.Safe)))}");
        }

        text.WriteLine();
        text.Sentence("Ball and thread test. " + BallTest.How);
        foreach (BallOutcome outcome in BallTest.Outcomes)
        {
            text.Sentence($"  {outcome.Title}: {outcome.Words}");
        }

        if (view.Dates.Count > 0)
        {
            text.WriteLine();
            foreach (PlannedDays job in view.Dates)
            {
                text.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{job.First:yyyy-MM-dd}  {job.Title}{(job.Days > 1 ? string.Create(CultureInfo.InvariantCulture, $", {job.Days:0} days") : "")}"));
            }
        }

        text.WriteLine();
        text.WriteLine(ServiceRecord.Say(view.Services));
        text.WriteLine("Reckoned, not measured: what the hand says of the soil at the tip comes before any figure here.");
    }

    public static void WriteJson(Utf8JsonWriter json, SeasonView view)
    {
        SeasonReport report = view.Report;
        SeasonRun run = report.Run;
        json.WriteString("name", view.Title);
        json.WriteString("soil", run.Soil.Name);
        JsonText.Number(json, "depth_m", run.Options.Depth, 3);
        json.WriteString("first_day", Date(run.Weather.First));
        json.WriteString("last_day", Date(run.Weather.Last));
        JsonText.Section(json, "today", () =>
        {
            json.WriteString("state", Key(report.Today.State));
            JsonText.Number(json, "tip_pct_volume", 100 * report.Today.Tip, 2);
            JsonText.Number(json, "tip_pct_of_available", 100 * report.Today.Share, 1);
            JsonText.Whole(json, "opens_in_dry_days", report.Today.OpensIn);
            JsonText.Whole(json, "closes_in_dry_days", report.Today.ClosesIn);
            JsonText.Number(json, "rain_wanted_mm", 1000 * (report.Today.RainWanted ?? double.NaN), 0);
        });
        json.WriteString("rule", report.Rule.Key);
        JsonText.Sections(json, "rules", report.ByRule, r =>
        {
            (double driest, double wettest) = r.Rule.Ends(run.AtTip);
            json.WriteString("key", r.Rule.Key);
            json.WriteString("words", r.Rule.Words);
            json.WriteString("source", r.Rule.Source);
            JsonText.Number(json, "driest_pct_volume", 100 * driest, 2);
            JsonText.Number(json, "wettest_pct_volume", 100 * wettest, 2);
            JsonText.Sections(json, "months", r.Months, m =>
            {
                json.WriteNumber("month", m.Month);
                json.WriteNumber("years", m.Years);
                JsonText.Number(json, "days_tenth", m.Few, 2);
                JsonText.Number(json, "days_half", m.Middle, 2);
                JsonText.Number(json, "days_nine_tenths", m.Many, 2);
            });
        });
        json.WriteNumber("window_days", report.WindowDays);
        JsonText.Sections(json, "weeks", report.Weeks, w =>
        {
            json.WriteNumber("week", w.Week);
            json.WriteNumber("years", w.Years);
            JsonText.Number(json, "chance", w.Chance, 3);
        });
        json.WriteString("best_week", report.Best is { } best ? Date(best.Day) : null);
        JsonText.Number(json, "hours", view.Job.Hours ?? double.NaN, 2);
        JsonText.Whole(json, "needed_days", report.NeededDays);
        JsonText.Sections(json, "finish", report.Finish ?? [], f =>
        {
            json.WriteNumber("month", f.Month);
            json.WriteNumber("years", f.Years);
            JsonText.Number(json, "done_within_month", f.WithinMonth, 3);
            JsonText.Number(json, "days_half", f.Middle, 0);
            JsonText.Number(json, "days_four_fifths", f.Safe, 0);
        });
        JsonText.Sections(json, "dates", view.Dates, d =>
        {
            json.WriteString("date", Date(d.First));
            json.WriteNumber("days", d.Days);
            json.WriteString("title", d.Title);
        });
        JsonText.Texts(json, "said", report.Sentences());
        json.WriteString("located_services_note", ServiceRecord.Say(view.Services));
    }

    private static string Cell(MonthFinish f, double days) => (f.Years == 0 ? "-" : double.IsInfinity(days) ? "over 365" : days.ToString("0", CultureInfo.InvariantCulture)).PadLeft(Wide);

    private static string Date(DateOnly date) => date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Key(SoilState state) => SeasonReport.State(state).Replace(' ', '-');
}
