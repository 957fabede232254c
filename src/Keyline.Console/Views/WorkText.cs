using System.Globalization;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Commands;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Layout;
using Keyline.Report;

namespace Keyline.Console.Views;

/// <summary>What came of keyline work.</summary>
/// <param name="Rows">The rows of its table.</param>
/// <param name="Services">The record of located services, or null.</param>
/// <param name="Start">First day of the work, or null.</param>
/// <param name="Options">What it was reckoned with.</param>
/// <param name="Exit">The exit code.</param>
/// <param name="Written">The files.</param>
internal sealed record WorkView(IReadOnlyList<WorkRow> Rows, ServiceRecord? Services, DateOnly? Start, WorkOptions Options, int Exit, OutputFiles Written) : IView
{
    public void WriteText(UnitText output)
    {
        WorkText.Write(output, Rows, Services, Start, Options);
        Written.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        WorkText.WriteJson(json, Rows, Services, Start, Options);
        Screen.End(json, Exit, Written);
        json.WriteEndObject();
    }
}

/// <summary>What a job comes to, as text and as JSON.</summary>
internal static class WorkText
{
    public static void Write(UnitText output, IReadOnlyList<WorkRow> rows, ServiceRecord? services, DateOnly? start, WorkOptions options)
    {
        output.WriteLine(ServiceRecord.Say(services, LastDay(rows, options, start)));
        output.WriteLine();
        foreach (string sentence in rows[0].Job.Pull.Sentences().Concat(rows.Where(r => r.Year > 1).DistinctBy(r => r.Year).SelectMany(r => r.Job.Pull.Sentences().Take(r.Job.Pull.IsPulled ? 1 : 2))))
        {
            output.Sentence(sentence);
        }

        output.WriteLine();
        output.WriteLine($"{"",-28}{output.Symbol(UnitKind.Way),7}{output.Symbol(UnitKind.Area),8}{"hours (easy-hard)",22}{"effic.",8}{"fuel " + output.Symbol(UnitKind.Fuel),9}{output.Symbol(UnitKind.FuelForArea),7}{"days",6}");
        foreach (WorkRow row in rows)
        {
            WorkJob job = row.Job;
            string year = row.Year > 0 ? output.Units.Say($", year {row.Year} at {job.Machine.Implement.Depth:0.00} m") : "", name = Cut(row.Name, 27 - year.Length) + year;
            string way = output.Cell(job.Length, UnitKind.Way, "0.0", 7), area = output.Cell(1e4 * job.Hectares, UnitKind.Area, "0.0", 8);
            output.WriteLine(job.Usual is not { } t
                ? $"{name,-28}{way}{area}{"not pulled",22}"
                : $"{name,-28}{way}{area}{Range(t.Hours, job.Easy?.Hours, job.Hard?.Hours),22}{Words.Number(100 * t.Efficiency, "0") + " %",8}{output.Cell(t.Litres / 1000, UnitKind.Fuel, "0", 9)}{output.Cell(t.Litres / 1000 / (1e4 * job.Hectares), UnitKind.FuelForArea, "0.0", 7)}{row.Blocks.Count,6}");
        }

        foreach (WorkRow row in rows.Where(r => r.Year <= 1))
        {
            One(output, row);
        }
    }

    /// <summary>The working days of each row, for the calendar.</summary>
    public static IReadOnlyList<PlannedDays> Days(IReadOnlyList<WorkRow> rows, Machine machine, ServiceRecord? services, WorkOptions options, DateOnly start) =>
        [.. rows.OrderBy(r => r.Year).Select(r => new PlannedDays(
            r.Year > 0 ? $"Rip {r.Name}, year {r.Year}" : $"Rip {r.Name}",
            $"{Words.Number(r.Job.Length / 1000, "0.0")} km, {r.Job.Stops.Count} lines, {machine.Name}, {100 * r.Job.Machine.Implement.Depth:0} cm deep. {ServiceRecord.Say(services)}",
            r.Job.Usual is { } t ? t.Hours / options.HoursADay : r.Blocks.Count,
            start.AddYears(Math.Max(r.Year, 1) - 1)))];

    /// <summary>The members of work.json.</summary>
    public static void WriteJson(Utf8JsonWriter json, IReadOnlyList<WorkRow> rows, ServiceRecord? services, DateOnly? start, WorkOptions options)
    {
        if (services is null)
        {
            json.WriteNull("located_services");
        }
        else
        {
            JsonText.Section(json, "located_services", () =>
            {
                json.WriteString("cleared_by", services.ClearedBy);
                json.WriteString("ticket", services.Ticket);
                json.WriteString("until", services.Until.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));
            });
        }

        json.WriteString("located_services_note", ServiceRecord.Say(services, LastDay(rows, options, start)));
        JsonText.Sections(json, "fields", rows, row => Field(json, row));
    }

    private static DateOnly? LastDay(IReadOnlyList<WorkRow> rows, WorkOptions options, DateOnly? start) => start is not { } day ? null
        : WorkCalendar.Place(Days([.. rows.Where(r => r.Year <= 1)], rows[0].Job.Machine, null, options, day), options.DaysLost)[^1].To;

    private static void One(UnitText output, WorkRow row)
    {
        WorkJob job = row.Job;
        output.WriteLine();
        output.WriteLine($"{row.Name}: {job.Stops.Count} lines; {Words.Count(job.Stops.Count(s => s.Change is { Kind: RowChangeKind.Forward, Fits: true }), "turn")} forward, "
            + $"{job.Stops.Count(s => s.Change is { Kind: RowChangeKind.Reversing })} with one reverse, {job.Stops.Count(s => s.Change is { Kind: RowChangeKind.Link })} ways round, {job.Findings.Count(f => f.Kind == WorkFindingKind.TurnDoesNotFit)} that do not fit.");
        output.WriteLine($"  Between lines {Words.Number(job.OrderHours, "0.0")} h; in the plan's own order with the same turns {Words.Number(job.GivenOrderHours, "0.0")} h.");
        if (job.Usual is { } t)
        {
            output.Line($"  In the ground {Words.Number(t.Ripping, "0.0")} h, turning {Words.Number(t.Turning, "0.0")}, ways round and gate {Words.Number(t.Links, "0.0")}, lifting {Words.Number(t.Lifting, "0.0")}, filling up {Words.Number(t.Refills, "0.0")}. Fuel by the older form {t.OlderLitres:0} L.");
            if (t.Moving > 0)
            {
                output.Line($"  Moving here {job.Options.MoveDistance / 1000:0.0} km by road: {Words.Number(t.Moving, "0.0")} h, in the hours above.");
            }
        }

        if (JobCost.Of(job, job.Usual) is { } cost)
        {
            string money = job.Machine.Prices!.Currency;
            (JobCost? easy, JobCost? hard) = (JobCost.Of(job, job.Easy), JobCost.Of(job, job.Hard));
            output.WriteLine($"  Cost {Range(cost.Total, easy?.Total, hard?.Total)} {money}: {Words.Number(cost.Hour.Total, "0.00")} an hour (tractor {Words.Number(cost.Hour.TractorCapital + cost.Hour.TractorDues + cost.Hour.TractorRepairs, "0.00")}, fuel {Words.Number(cost.Hour.Fuel, "0.00")}, labour {Words.Number(cost.Hour.Labour, "0.00")}, implement {Words.Number(cost.Hour.Implement, "0.00")}), "
                + $"{ForArea(cost.AHectare, UnitSystem.Metric)} a hectare ({ForArea(cost.AHectare, UnitSystem.Us)} an acre), {output.Units.Number(cost.AKilometre / 1000, UnitKind.ForEachWay, "0.00")} a {(ReferenceEquals(output.Units, UnitSystem.Us) ? "mile" : "kilometre")} in the ground.");
            if (!double.IsNaN(job.Machine.Prices.CustomRate))
            {
                output.WriteLine($"  A contractor at {Words.Number(job.Machine.Prices.CustomRate, "0.00")} a hectare: {Words.Number(job.Machine.Prices.CustomRate * job.Hectares, "0")} {money}.");
            }
        }

        foreach (IGrouping<WorkFindingKind, WorkFinding> kind in job.Findings.GroupBy(f => f.Kind))
        {
            output.Sentence("  " + kind.First().Sentence + (kind.Count() > 1 ? $" And {kind.Count() - 1} more such: see work.json and ways.geojson." : ""));
        }

        foreach (LineChange change in row.Changes)
        {
            output.Sentence("  " + change.Sentence);
        }

        if (job.Stops.Count(s => s.Line.IsHeadland) is > 0 and int rounds)
        {
            output.Line($"  The headland last: {Words.Count(rounds, "line")} along the fence, {job.Stops.Where(s => s.Line.IsHeadland).Sum(s => s.Course.Length) / 1000:0.0} km, in the figures above. They follow the fence and not the ground: water may run along them.");
        }

        int warned = job.Stops.Count(s => s.Line.Warning.Length > 0);
        if (warned > 0)
        {
            output.WriteLine($"  {Words.Count(warned, "line")} {(warned == 1 ? "has" : "have")} something to beware of, marked \"!\" in names, map and sheet.");
        }
    }

    private static void Field(Utf8JsonWriter json, WorkRow row)
    {
        WorkJob job = row.Job;
        PullEstimate pull = job.Pull;
        json.WriteString("name", row.Name);
        JsonText.Whole(json, "year", row.Year > 0 ? row.Year : null);
        JsonText.Number(json, "depth_m", job.Machine.Implement.Depth, 3);
        json.WriteNumber("lines", job.Stops.Count);
        json.WriteNumber("headland_lines", job.Stops.Count(s => s.Line.IsHeadland));
        JsonText.Number(json, "headland_length_m", job.Stops.Where(s => s.Line.IsHeadland).Sum(s => s.Course.Length), 1);
        JsonText.Number(json, "road_m", job.Options.MoveDistance, 0);
        JsonText.Number(json, "length_m", job.Length, 1);
        JsonText.Number(json, "worked_ha", job.Hectares, 3);
        json.WriteNumber("days", row.Blocks.Count);
        json.WriteString("currency", job.Machine.Prices?.Currency);
        JsonText.Numbers(json, "speed_km_h", [pull.Speed.Least * 3.6, pull.Speed.Usual * 3.6, pull.Speed.Most * 3.6], 2);
        JsonText.Numbers(json, "draft_n", [pull.Draft.Least, pull.Draft.Usual, pull.Draft.Most], 0);
        JsonText.Numbers(json, "engine_kw", [pull.EngineNeeded.Least, pull.EngineNeeded.Usual, pull.EngineNeeded.Most], 1);
        JsonText.Number(json, "between_lines_h", job.OrderHours, 3);
        JsonText.Number(json, "between_lines_plan_order_h", job.GivenOrderHours, 3);
        Times(json, "easy", job, job.Easy);
        Times(json, "usual", job, job.Usual);
        Times(json, "hard", job, job.Hard);
        JsonText.Texts(json, "order", job.Stops.Select(s => s.Reversed ? "-" + s.Line.Id : s.Line.Id));
        JsonText.Texts(json, "sentences", pull.Sentences());
        PlanRevision.WriteChanges(json, row.Changes);
        JsonText.Sections(json, "findings", job.Findings, f =>
        {
            json.WriteString("kind", WorkShapes.WordOf(f.Kind));
            json.WriteString("from", f.From);
            json.WriteString("to", f.To);
            JsonText.Number(json, "x_m", f.X, 1);
            JsonText.Number(json, "y_m", f.Y, 1);
            json.WriteString("sentence", f.Sentence);
        });
    }

    private static void Times(Utf8JsonWriter json, string name, WorkJob job, WorkTimes? times)
    {
        if (times is not { } t)
        {
            json.WriteNull(name);
            return;
        }

        JsonText.Section(json, name, () =>
        {
            JsonText.Number(json, "hours", t.Hours, 3);
            JsonText.Number(json, "ripping_h", t.Ripping, 3);
            JsonText.Number(json, "turning_h", t.Turning, 3);
            JsonText.Number(json, "links_h", t.Links, 3);
            JsonText.Number(json, "lifting_h", t.Lifting, 3);
            JsonText.Number(json, "refills_h", t.Refills, 3);
            JsonText.Number(json, "moving_h", t.Moving, 3);
            JsonText.Number(json, "efficiency", t.Efficiency, 4);
            JsonText.Number(json, "litres", t.Litres, 1);
            JsonText.Number(json, "litres_older_form", t.OlderLitres, 1);
            if (JobCost.Of(job, t) is { } cost)
            {
                JsonText.Section(json, "cost", () =>
                {
                    JsonText.Number(json, "total", cost.Total, 2);
                    JsonText.Number(json, "an_hour", cost.Hour.Total, 2);
                    JsonText.Number(json, "a_hectare", cost.AHectare, 2);
                    JsonText.Number(json, "a_kilometre", cost.AKilometre, 2);
                });
            }
            else
            {
                json.WriteNull("cost");
            }
        });
    }

    private static string ForArea(double aHectare, UnitSystem units) => units.Number(aHectare / 1e4, UnitKind.ForEachArea, "0.00");

    private static string Range(double usual, double? easy, double? hard)
    {
        string format = usual < 100 ? "0.0" : "0";
        return $"{Words.Number(usual, format)} ({(easy is { } e ? Words.Number(e, format) : "-")}-{(hard is { } h ? Words.Number(h, format) : "not pulled")})";
    }

    private static string Cut(string name, int most) => name.Length <= most ? name : name[..(most - 1)] + "…";
}
