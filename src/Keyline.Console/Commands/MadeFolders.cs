using System.Globalization;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Formats;
using Keyline.Report;

namespace Keyline.Console.Commands;

/// <summary>Reads what keyline work and keyline water wrote, for the report of the plan they were made of.</summary>
internal static class MadeFolders
{
    private const string WaterName = "water.json";
    private const string WaterLinesName = "lines.csv";
    private const long MostBytes = 256 << 20;

    // Lengths are written to a metre and a decimal; a plan made anew differs by far more.
    private const double SameLength = 0.002;

    /// <summary>Reads folders.</summary>
    /// <exception cref="UsageException">A folder holds nothing that a report can tell of.</exception>
    /// <exception cref="GroundDataException">A file cannot be understood, or is of another plan.</exception>
    public static MadeSince Read(IReadOnlyList<string> folders, PlanIdentity plan)
    {
        MadeSince made = new();
        foreach (string folder in folders)
        {
            string work = Path.Combine(folder, WorkFiles.SummaryName), water = Path.Combine(folder, WaterName);
            made = File.Exists(work) ? Work(made, work, plan)
                : File.Exists(water) ? made with { Storm = Storm(water, plan) }
                : throw new UsageException(Directory.Exists(folder)
                    ? $"The folder {folder} holds neither {WorkFiles.SummaryName} of keyline work nor {WaterName} of keyline water, so it tells a report nothing."
                    : $"There is no folder {folder}: give with --with the folders that keyline work and keyline water wrote.");
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

    private static bool IsLength(double length, PlanIdentity plan) => Math.Abs(length - plan.Length) <= Math.Max(2, SameLength * plan.Length);

    private static GroundDataException OtherPlan(string path, double length, PlanIdentity plan) => new(FormattableString.Invariant(
        $"{path} was made of another plan: its lines are {length / 1000:0.0} km long, those of this plan {plan.Length / 1000:0.0} km. Make it again of this plan."));

    private static JsonDocument Parsed(string path)
    {
        try
        {
            using FileStream stream = File.OpenRead(path);
            if (stream.Length > MostBytes)
            {
                throw new GroundDataException($"{path} is larger than any such file: make it again.");
            }

            JsonDocument document = JsonDocument.Parse(stream);
            return document.RootElement.ValueKind == JsonValueKind.Object ? document : throw new GroundDataException($"{path} is no file of ours: make it again.");
        }
        catch (JsonException)
        {
            throw new GroundDataException($"{path} is damaged (it is no JSON): make it again.");
        }
    }

    private static JsonElement.ArrayEnumerator Items(JsonElement of, string name) =>
        of.ValueKind == JsonValueKind.Object && of.TryGetProperty(name, out JsonElement list) && list.ValueKind == JsonValueKind.Array ? list.EnumerateArray() : default;

    private static string Text(JsonElement of, string name) => of.ValueKind == JsonValueKind.Object && of.TryGetProperty(name, out JsonElement text) ? Plain(text) : "";

    private static string Plain(JsonElement text) => text.ValueKind == JsonValueKind.String ? text.GetString()! : "";

    private static double Number(JsonElement of, string name) =>
        of.ValueKind == JsonValueKind.Object && of.TryGetProperty(name, out JsonElement number) && number.ValueKind == JsonValueKind.Number ? number.GetDouble() : double.NaN;

    private static double[] Three(JsonElement of, string name)
    {
        double[] numbers = [.. Items(of, name).Select(n => n.ValueKind == JsonValueKind.Number ? n.GetDouble() : double.NaN)];
        return numbers.Length == 3 ? numbers : [double.NaN, double.NaN, double.NaN];
    }
}
