using System.Globalization;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Formats;
using Keyline.Report;
using static Keyline.Console.Commands.MadeJson;

namespace Keyline.Console.Commands;

/// <summary>Reads what other commands wrote of a plan, for its report.</summary>
internal static class MadeFolders
{
    private const string WaterName = "water.json";
    private const string WaterLinesName = "lines.csv";
    private const string Commands = "keyline work, water, driven, soil, season, trial and monitor";
    private const long MostBytes = 256 << 20;

    // Lengths are written to a metre and a decimal; a plan made anew differs by far more.
    private const double SameLength = 0.002;

    private static readonly (string Name, Func<MadeSince, string, PlanIdentity, MadeSince> Read)[] Kinds =
    [
        (WorkFiles.SummaryName, Work),
        (WaterName, (made, path, plan) => made with { Storm = Storm(path, plan) }),
        (DrivenCommand.SummaryName, (made, path, plan) => made with { Driven = MadeOutcomes.Driven(path, plan) }),
        (SoilFiles.ListName, (made, path, plan) => made with { Soil = MadeOutcomes.Soil(path, plan) }),
        (SeasonCommand.ListName, (made, path, _) => made with { Season = MadeOutcomes.Season(path) }),
        (TrialFiles.TrialName, (made, path, plan) => made with { Trial = MadeOutcomes.Trial(path, plan) }),
        (MonitorCommand.ListName, (made, path, plan) => made with { Results = MadeOutcomes.Results(path, plan) }),
    ];

    /// <summary>Reads folders.</summary>
    /// <exception cref="UsageException">A folder holds nothing that a report can tell of.</exception>
    /// <exception cref="GroundDataException">A file cannot be understood, or is of another plan.</exception>
    public static MadeSince Read(IReadOnlyList<string> folders, PlanIdentity plan)
    {
        MadeSince made = new();
        foreach (string folder in folders)
        {
            made = Kinds.FirstOrDefault(k => File.Exists(Path.Combine(folder, k.Name))) is { Read: { } read } kind ? read(made, Path.Combine(folder, kind.Name), plan)
                : throw new UsageException(!Directory.Exists(folder) ? $"There is no folder {folder}: give with {OptionSpec.With.Flag} the folders that {Commands} wrote."
                    : File.Exists(Path.Combine(folder, DrivenCommand.ShapesName)) ? $"The folder {folder} holds no {DrivenCommand.SummaryName}: run keyline driven again with this version, which writes it."
                    : $"The folder {folder} holds none of {string.Join(", ", Kinds.Select(k => k.Name))}, so it tells a report nothing: give the folders that {Commands} wrote.");
        }

        return made;
    }

    private static MadeSince Work(MadeSince made, string path, PlanIdentity plan)
    {
        using JsonDocument document = Parsed(path);
        JsonElement root = document.RootElement;
        JsonElement[] rows = [.. Items(root, "fields").Where(f => Text(f, "name") == plan.Name || Items(root, "fields").Count() == 1)];
        if (rows.Length == 0)
        {
            throw new GroundDataException($"{path} tells of other fields than {plan.Name}: give the work reckoned of this plan.");
        }

        // Notes from the field cut lines and leave some out: then the length is another.
        if (rows.Any(r => !Items(r, "changes").Any() && !IsLength(Number(r, "length_m"), plan)))
        {
            throw OtherPlan(path, Number(rows[0], "length_m"), plan);
        }

        return made with
        {
            Work = [.. rows.Select(Row)],
            Services = root.TryGetProperty("located_services", out JsonElement services) && services.ValueKind == JsonValueKind.Object ? (Text(services, "cleared_by"), Text(services, "ticket"), Text(services, "until")) : null,
            Currency = Text(rows[0], "currency"),
        };
    }

    private static ReportedWork Row(JsonElement row) => new(
        double.IsFinite(Number(row, "year")) ? (int)Number(row, "year") : 0,
        Number(row, "depth_m"),
        double.IsFinite(Number(row, "days")) ? (int)Number(row, "days") : 0,
        Three(row, "speed_km_h")[1],
        Three(row, "draft_n"),
        Three(row, "engine_kw"),
        Times(row, "easy"),
        Times(row, "usual"),
        Times(row, "hard"),
        [.. Items(row, "sentences").Select(Plain)],
        Items(row, "findings").Count());

    private static ReportedTimes? Times(JsonElement row, string name)
    {
        if (!row.TryGetProperty(name, out JsonElement t) || t.ValueKind != JsonValueKind.Object)
        {
            return null;
        }

        bool priced = t.TryGetProperty("cost", out JsonElement cost) && cost.ValueKind == JsonValueKind.Object;
        return new ReportedTimes(Number(t, "hours"), Number(t, "ripping_h"), Number(t, "turning_h"), Number(t, "litres"), priced ? Number(cost, "total") : double.NaN, priced ? Number(cost, "a_hectare") : double.NaN);
    }

    private static ReportedStorm Storm(string path, PlanIdentity plan)
    {
        using JsonDocument document = Parsed(path);
        JsonElement settings = document.RootElement.TryGetProperty("settings", out JsonElement s) && s.ValueKind == JsonValueKind.Object ? s : document.RootElement;
        ReportedCase[] cases = [.. Items(settings, "cases").Select(Case)];
        if (cases.Length < 2)
        {
            throw new GroundDataException($"{path} tells of no storm before and after: run keyline water again.");
        }

        return IsLength(cases[1].Length, plan)
            ? new ReportedStorm(Text(settings, "storm"), Text(settings, "soil"), cases, [.. Items(settings, "said").Select(Plain)], Lines(Path.Combine(Path.GetDirectoryName(path)!, WaterLinesName)))
            : throw OtherPlan(path, cases[1].Length, plan);
    }

    private static ReportedCase Case(JsonElement c)
    {
        double[] fifths = [.. Items(c, "by_fifths_mm").Select(f => f.ValueKind == JsonValueKind.Number ? f.GetDouble() / 1000 : double.NaN)];
        return new ReportedCase(
            Text(c, "name"), 1000 * Number(c, "lines_km"), Number(c, "taken_in_mm") / 1000, fifths.Length > 0 ? fifths[0] : double.NaN, fifths.Length > 0 ? fifths[^1] : double.NaN, Number(c, "runoff_mm") / 1000, Number(c, "peak_l_s"));
    }

    private static List<ReportedLineWater> Lines(string path)
    {
        List<ReportedLineWater> lines = [];
        if (!File.Exists(path) || new FileInfo(path).Length > MostBytes)
        {
            return lines;
        }

        string[] all = File.ReadAllLines(path);
        string[] heads = all.Length > 0 ? all[0].Split(',') : [];
        int taken = Array.IndexOf(heads, "taken_m3"), soaked = Array.IndexOf(heads, "soaked_m3"), spilled = Array.IndexOf(heads, "spilled_m3");
        foreach (string[] cells in taken < 0 || soaked < 0 || spilled < 0 ? [] : all.Skip(1).Select(l => l.Split(',')))
        {
            // An id may hold commas; what follows it does not.
            int more = cells.Length - heads.Length;
            if (more >= 0 && Cell(taken) is double t && Cell(soaked) is double k && Cell(spilled) is double p && double.IsFinite(t + k + p))
            {
                lines.Add(new ReportedLineWater(string.Join(',', cells[..(more + 1)]), t, k, p));
            }

            double Cell(int column) => double.TryParse(cells[column + more], NumberStyles.Float, CultureInfo.InvariantCulture, out double v) ? v : double.NaN;
        }

        return lines;
    }

    /// <summary>Whether a length is that of the plan's lines, as far as files write it.</summary>
    public static bool IsLength(double length, PlanIdentity plan) => Math.Abs(length - plan.Length) <= Math.Max(2, SameLength * plan.Length);

    /// <summary>The refusal of a file that was made of another plan.</summary>
    public static GroundDataException OtherPlan(string path, double length, PlanIdentity plan) => new(FormattableString.Invariant(
        $"{path} was made of another plan: its lines are {length / 1000:0.0} km long, those of this plan {plan.Length / 1000:0.0} km. Make it again of this plan."));
}
