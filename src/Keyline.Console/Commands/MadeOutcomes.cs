using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Formats;
using Keyline.Guidance;
using Keyline.Report;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;
using static Keyline.Console.Commands.MadeJson;

namespace Keyline.Console.Commands;

/// <summary>Reads what was found of the soil, reckoned of the season, driven and tried.</summary>
internal static class MadeOutcomes
{
    private const int MonthsAYear = 12;

    /// <summary>What keyline driven wrote.</summary>
    /// <exception cref="GroundDataException">It cannot be understood, or is of another plan.</exception>
    public static ReportedDriven Driven(string path, PlanIdentity plan)
    {
        using JsonDocument document = Parsed(path);
        JsonElement root = document.RootElement;
        JsonElement f = root.TryGetProperty("figures", out JsonElement figures) ? figures : throw new GroundDataException($"{path} has no figures of what was driven: run keyline driven again.");
        double planned = Number(f, "planned_m");
        if (!MadeFolders.IsLength(planned, plan))
        {
            throw MadeFolders.OtherPlan(path, planned, plan);
        }

        return new ReportedDriven
        {
            Planned = planned,
            Driven = Number(f, "driven_m"),
            Repeated = Number(f, "repeated_m"),
            Whole = Whole(f, "lines_whole"),
            InPart = Whole(f, "lines_in_part"),
            Left = Whole(f, "lines_left"),
            NotReached = Whole(f, "lines_not_reached"),
            Allowed = Number(root, "error_allowed_m"),
            WithinAllowed = Number(f, "within_error_share"),
            Error95 = Number(f, "error_95_m"),
            GreatestError = Number(f, "error_max_m"),
            Spacing = Number(f, "spacing_median_m"),
            SpacingError95 = Number(f, "spacing_error_95_m"),
            Grade95 = Number(f, "grade_95_pct"),
            Gaps = Number(f, "gap_m2"),
            Overlaps = Number(f, "overlap_m2"),
            Stretches = [.. Items(root, "stretches").Select(s => new ReportedStretch(Text(s, "kind"), Text(s, "line"), Number(s, "to_m") - Number(s, "from_m"), Number(s, "worst")))],
        };
    }

    /// <summary>What keyline soil wrote, with how much of the plan lies on each zone.</summary>
    /// <exception cref="GroundDataException">It cannot be understood, or no line of the plan lies on its land.</exception>
    public static ReportedSoil Soil(string path, PlanIdentity plan)
    {
        using JsonDocument document = Parsed(path);
        JsonElement[] zones = [.. Items(document.RootElement, "zones")];
        string shapes = Path.Combine(Path.GetDirectoryName(path)!, SoilFiles.ZonesName);
        Dictionary<string, Geometry> land = [];
        foreach (AttributedShape shape in File.Exists(shapes) ? FieldFiles.ReadAttributed(shapes, "zones").On(plan.Plan.Crs) : throw new GroundDataException($"{shapes} is not there: run keyline soil again."))
        {
            land[shape.Values.TryGetValue("number", out string? number) ? number : ""] = shape.Shape;
        }

        ReportedZone[] found = [.. zones.Select(z => Zone(z, land, plan.Plan.Lines))];
        double on = found.Sum(z => z.Lines);
        return on > 0 ? new ReportedSoil(found, Math.Max(0, plan.Length - on), Texts(document.RootElement, "said"))
            : throw new GroundDataException($"{path} tells of other land: no line of this plan lies on its zones. Give the soil of this field.");
    }

    /// <summary>What keyline season wrote.</summary>
    /// <exception cref="GroundDataException">It cannot be understood.</exception>
    public static ReportedSeason Season(string path)
    {
        using JsonDocument document = Parsed(path);
        JsonElement root = document.RootElement, today = root.TryGetProperty("today", out JsonElement t) ? t : default;
        JsonElement rule = Items(root, "rules").FirstOrDefault(r => Text(r, "key") == Text(root, "rule"));
        DateOnly? best = Date(root, "best_week");
        int week = best is { } day ? ((day.DayOfYear - 1) / 7) + 1 : 0;
        return new ReportedSeason
        {
            Name = Text(root, "name"),
            Soil = Text(root, "soil"),
            Depth = Number(root, "depth_m"),
            Day = Date(root, "last_day") ?? throw new GroundDataException($"{path} does not say up to which day its weather goes: run keyline season again."),
            State = Text(today, "state"),
            OpensIn = Maybe(today, "opens_in_dry_days"),
            ClosesIn = Maybe(today, "closes_in_dry_days"),
            RainWanted = Number(today, "rain_wanted_mm") / 1000,
            Best = best,
            Chance = Items(root, "weeks").Where(w => Whole(w, "week") == week).Select(w => Number(w, "chance")).FirstOrDefault(double.NaN),
            WindowDays = Whole(root, "window_days"),
            NeededDays = Maybe(root, "needed_days"),
            Months = [.. Enumerable.Range(1, MonthsAYear).Select(m => Month(Items(rule, "months").FirstOrDefault(x => Whole(x, "month") == m)))],
            Sentences = Texts(root, "said"),
        };
    }

    /// <summary>What keyline trial wrote.</summary>
    /// <exception cref="GroundDataException">It cannot be understood, or is of another plan.</exception>
    public static ReportedTrial Trial(string path, PlanIdentity plan)
    {
        using JsonDocument document = Parsed(path);
        JsonElement root = document.RootElement;
        JsonElement[] plots = [.. Items(root, "plots")], treatments = [.. Items(root, "treatments")];
        HashSet<string> known = [.. plan.Plan.Lines.Select(l => l.Id)], control = [.. treatments.Where(t => t.TryGetProperty("control", out JsonElement c) && c.ValueKind == JsonValueKind.True).Select(t => Text(t, "id"))];
        if (Text(root, "field") != plan.Name || plots.SelectMany(p => Texts(p, "lines")).Any(l => !known.Contains(l)))
        {
            throw new GroundDataException($"{path} is a trial on another plan (its field is \"{Text(root, "field")}\"): lay it out again on this one.");
        }

        return new ReportedTrial(
            Text(root, "kind") == "randomised", Items(root, "blocks").Count(), Whole(root, "blocks_wanted"), plots.Length, Number(root, "plot_length_m"), Number(root, "effect"),
            [.. treatments.Select(t => Text(t, "text") is { Length: > 0 } text ? text : Text(t, "id"))], [.. plots.Where(p => control.Contains(Text(p, "treatment"))).SelectMany(p => Texts(p, "lines")).Distinct()], Texts(root, "notes"));
    }

    /// <summary>What keyline monitor wrote.</summary>
    /// <exception cref="GroundDataException">It cannot be understood, or is of another plan.</exception>
    public static ReportedResults Results(string path, PlanIdentity plan)
    {
        using JsonDocument document = Parsed(path);
        JsonElement root = document.RootElement;
        if (Text(root, "field") is { Length: > 0 } field && field != plan.Name)
        {
            throw new GroundDataException($"{path} tells of a trial on another field, \"{field}\": give the results of this one.");
        }

        return new ReportedResults(
            Text(root, "kind") == "randomised", Date(root, "worked_on"), [.. Items(root, "measures").Select(Measure)],
            Items(root, "findings").Count(f => f.TryGetProperty("set_aside", out JsonElement aside) && aside.ValueKind == JsonValueKind.True), Items(root, "due").Select(d => Date(d, "date")).Where(d => d is not null).Min())
        {
            Years = [.. Items(root, "years").Select(y => new ReportedYear(Whole(y, "year"), Texts(y, "work"), Whole(y, "values"), Whole(y, "photos"), Number(y, "rain_mm") / 1000))],
        };
    }

    private static ReportedMeasure Measure(JsonElement m)
    {
        double[] ends = [.. Items(m, "interval_95").Select(n => n.ValueKind == JsonValueKind.Number ? n.GetDouble() : double.NaN)];
        bool has = ends.Length == 2;
        return new ReportedMeasure(
            Text(m, "measure"), Text(m, "unit"), m.TryGetProperty("ratio", out JsonElement ratio) && ratio.ValueKind == JsonValueKind.True, Text(m, "treatment"), Text(m, "answer"), Number(m, "effect"),
            has ? ends[0] : double.NaN, has ? ends[1] : double.NaN, Text(m, "sentence"));
    }

    private static ReportedZone Zone(JsonElement z, Dictionary<string, Geometry> land, IReadOnlyList<PlannedPath> lines) => new(
        Text(z, "name"), 1e4 * Number(z, "area_ha"), Text(z, "verdict"), Text(z, "in_words"), [.. Texts(z, "reasons").Select(r => r.Split(':')[0])], Texts(z, "reasons"),
        Number(z, "depth_from_cm") / 100, Number(z, "depth_to_cm") / 100,
        land.TryGetValue(FormattableString.Invariant($"{Whole(z, "number")}"), out Geometry? shape) ? Length(PreparedGeometryFactory.Prepare(shape), lines) : 0);

    private static double Length(IPreparedGeometry land, IReadOnlyList<PlannedPath> lines) =>
        lines.Where(l => land.Intersects(l.Line)).Sum(l => land.Contains(l.Line) ? l.Line.Length : l.Line.Intersection(land.Geometry).Length);

    private static (double, double, double) Month(JsonElement m) => m.ValueKind == JsonValueKind.Object && Whole(m, "years") > 0
        ? (Number(m, "days_tenth"), Number(m, "days_half"), Number(m, "days_nine_tenths")) : (double.NaN, double.NaN, double.NaN);
}
