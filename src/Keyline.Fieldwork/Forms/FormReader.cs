namespace Keyline.Fieldwork;

/// <summary>Reads the filled-in forms of a trial into values at points, and says of every row that cannot be used why.</summary>
/// <remarks>
/// <para>Units: those of the measures. Promises: nothing is lost: a row is used, waits to be filled in, or is told of with what it holds; the files are never written.</para>
/// <para>Cost: linear. Source: <see cref="RingInfiltration"/> and <see cref="Forage"/> name theirs; the strength of 2 MPa is about the 300 psi of ASAE S313.3 and EP542.</para>
/// </remarks>
public static class FormReader
{
    private const double Hard = 2e6;
    private const double StillChanging = 0.2;

    // How far the steady rate may lie from what a whole curve gives before it is told: judgements.
    private const double MostOff = 3;
    private const double LeastOff = 0.5;

    // Stations of a transect where bands are half an inch.
    private const int HalfInchStations = 20;
    private const double MillimetresAnHour = 3.6e6;

    /// <summary>Reads forms.</summary>
    /// <param name="plan">The trial.</param>
    /// <param name="files">Name and text of each; a name begins with that of its form, as "rings.csv" or "rings-2027.csv".</param>
    /// <exception cref="GroundDataException">A file is of no form, or has not its columns.</exception>
    public static FormReadings Read(TrialPlan plan, IReadOnlyList<(string Name, string Text)> files)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(files);
        List<PlotReading> readings = [];
        List<FormFinding> findings = [];
        List<(DateOnly, double)> rain = [];
        List<(DateOnly, string, string)> photos = [];
        int count = 0;
        foreach ((string name, string text) in files)
        {
            TrialForm form = TrialForm.All.FirstOrDefault(f => name == f.Id + ".csv" || name.StartsWith(f.Id + "-", StringComparison.Ordinal))
                ?? throw new GroundDataException($"{name}: it is no table of readings; tables are named {string.Join(", ", TrialForm.All.Select(f => f.Id + ".csv"))}, or so with a hyphen and more, as rings-2027.csv.");
            FormRowCheck check = new(form, name, plan, findings);
            CheckedRow[] rows = Once(form, check, FormTable.Read(name, text, [.. form.Columns.Where(c => c.Needed).Select(c => c.Name)], findings));
            count += rows.Length;
            switch (form.Id)
            {
                case "rings":
                    Rings(rows, check, plan, readings);
                    break;
                case "penetrometer":
                    Profiles(rows, check, plan, readings);
                    break;
                case "rain":
                    rain.AddRange(rows.Select(r => (r.Date, r["rain_mm"])));
                    break;
                case "photos":
                    photos.AddRange(rows.Select(r => (r.Date, r.Point, r.Row["link"])));
                    break;
                default:
                    Stations(form, rows, check);
                    readings.AddRange(rows.Select(r => One(form, r, check)).OfType<PlotReading>());
                    break;
            }
        }

        return new FormReadings(
            [.. readings.OrderBy(r => r.Measure.Id, StringComparer.Ordinal).ThenBy(r => r.Date).ThenBy(r => r.Point, StringComparer.Ordinal)], findings, [.. rain.Order()], [.. photos.Order()], count);
    }

    private static CheckedRow[] Once(TrialForm form, FormRowCheck check, List<FormRow> rows)
    {
        Dictionary<string, int> seen = [];
        List<CheckedRow> kept = [];
        foreach (FormRow row in rows)
        {
            if (check.Check(row) is not { } read)
            {
                continue;
            }

            string which = form.Id switch { "rings" => FormattableString.Invariant($"{read["time_min"]}"), "penetrometer" => FormattableString.Invariant($"{read["depth_cm"]}"), "cover" => row["group"], "soil" => FormattableString.Invariant($"{row["test"]}|{read["depth_cm"]}"), "photos" => row["link"], _ => "" };
            if (seen.TryGetValue($"{read.Date:yyyyMMdd}|{read.Point}|{which}", out int first))
            {
                check.Aside(row, $"it repeats line {first}; where both were measured, write the second with another date or leave one out");
                continue;
            }

            seen[$"{read.Date:yyyyMMdd}|{read.Point}|{which}"] = row.Line;
            kept.Add(read);
        }

        return [.. kept];
    }

    private static void Rings(CheckedRow[] rows, FormRowCheck check, TrialPlan plan, List<PlotReading> readings)
    {
        foreach (IGrouping<(DateOnly Date, string Point), CheckedRow> ring in rows.GroupBy(r => (r.Date, r.Point)))
        {
            CheckedRow[] run = [.. ring.OrderBy(r => r["time_min"])];
            int back = Enumerable.Range(1, run.Length - 1).FirstOrDefault(i => run[i]["infiltrated_mm"] < run[i - 1]["infiltrated_mm"]);
            double[] times = [.. run.Where(r => r["time_min"] > 0).Select(r => 60 * r["time_min"])], depths = [.. run.Where(r => r["time_min"] > 0).Select(r => r["infiltrated_mm"] / 1000)];
            if (back > 0)
            {
                Array.ForEach(run, r => check.Aside(r.Row, FormattableString.Invariant($"ring {ring.Key.Point} gains water: {run[back - 1]["infiltrated_mm"]:0.#} mm had gone in after {run[back - 1]["time_min"]:0.#} min and {run[back]["infiltrated_mm"]:0.#} mm after {run[back]["time_min"]:0.#} min; write what has gone in since the start, refills added")));
                continue;
            }

            if (times.Length < 3)
            {
                Array.ForEach(run, r => check.Aside(r.Row, $"ring {ring.Key.Point} has {times.Length} readings after the start, and three are needed for a steady rate"));
                continue;
            }

            RingReading read = RingInfiltration.Read(times, depths);
            CheckedRow head = run[^1];
            double conductivity = read.SteadyRate * RingInfiltration.ConductivityShare(head["radius_cm"] / 100, head["depth_cm"] / 100, head["head_cm"] / 100, RingInfiltration.Alpha(head.Row["soil"].ToLowerInvariant()));
            if (read.LastChange > StillChanging)
            {
                check.Note(head.Row, FormattableString.Invariant($"ring {ring.Key.Point} was not steady: its last two rates differ by {100 * read.LastChange:0} %; go on longer"));
            }

            (string Name, double Rate)[] curves = [("a two-term fit (Philip)", read.TwoTermRate), ("Green and Ampt's curve", read.GreenAmpt.Conductivity)];
            string[] off = [.. curves.Where(f => f.Rate > 0 && (read.SteadyRate > MostOff * f.Rate || read.SteadyRate < LeastOff * f.Rate)).Select(f => FormattableString.Invariant($"{f.Name} gives {MillimetresAnHour * f.Rate:0.#} mm/h"))];
            if (off.Length > 0)
            {
                check.Note(head.Row, FormattableString.Invariant($"ring {ring.Key.Point}: the steady rate is {MillimetresAnHour * read.SteadyRate:0.#} mm/h and {string.Join(", ", off)}; it may not have been steady, or had cracks: look at its readings"));
            }

            if (conductivity <= 0)
            {
                check.Note(head.Row, $"ring {ring.Key.Point} took in no water; it counts as 0.1 mm/h");
            }

            readings.Add(new PlotReading(ring.Key.Date, head.Plot, ring.Key.Point, TrialMeasure.Of(Named("infiltration", plan, ring.Key.Point)), MillimetresAnHour * conductivity));
        }
    }

    private static void Profiles(CheckedRow[] rows, FormRowCheck check, TrialPlan plan, List<PlotReading> readings)
    {
        foreach (IGrouping<(DateOnly Date, string Point), CheckedRow> group in rows.GroupBy(r => (r.Date, r.Point)))
        {
            CheckedRow first = group.First();
            PenetrometerProfile profile = new(group.Key.Point, 0, 0, GroundMoisture.Unknown, group.Select(r => (r["depth_cm"] / 100, 1000 * r["strength_kpa"])));
            HardLayer layer = profile.LayerAbove(Hard);
            if (layer.Found != true)
            {
                check.Note(first.Row, FormattableString.Invariant($"point {group.Key.Point} meets no 2 MPa down to {100 * profile.Depths[^1]:0} cm; it counts as that deep"));
            }

            if (group.Any(r => r.Row["moisture"] == "dry"))
            {
                check.Note(first.Row, $"point {group.Key.Point} was read in dry ground, where everything is hard; compare only with readings of the same day");
            }

            readings.Add(new PlotReading(group.Key.Date, first.Plot, group.Key.Point, TrialMeasure.Of(Named("depth-to-2-mpa", plan, group.Key.Point)), 100 * (layer.Found == true ? layer.Top : profile.Depths[^1])));
        }
    }

    // BLM Technical Reference 1734-4 (1996), modified pole: half-inch bands, 20 stations of four readings a transect, three transects or more for 259 ha (640 acres).
    private static void Stations(TrialForm form, CheckedRow[] rows, FormRowCheck check)
    {
        foreach (IGrouping<(DateOnly, string), CheckedRow> few in rows.Where(r => form.Id == "pole" && r.Row["bands"].Equals("half-inch", StringComparison.OrdinalIgnoreCase)).GroupBy(r => (r.Date, r.Plot)).Where(g => g.Count() < HalfInchStations))
        {
            check.Note(few.First().Row, $"plot {few.Key.Item2} has {few.Count()} {(few.Count() == 1 ? "station" : "stations")} read in half-inch bands; the published way takes {HalfInchStations} on a transect and three transects or more for 640 acres, so this compares plots and tells no pasture's height");
        }
    }

    private static PlotReading? One(TrialForm form, CheckedRow r, FormRowCheck check)
    {
        PlotReading Value(string id, double value, string unit = "") => new(r.Date, r.Plot, r.Point, TrialMeasure.Of(id, unit), value);
        PlotReading? Aside(string because)
        {
            check.Aside(r.Row, because);
            return null;
        }

        switch (form.Id)
        {
            case "cover":
                double percent = r.Row["method"].ToLowerInvariant() switch
                {
                    "points" => r["hits"] <= r["of"] ? 100 * r["hits"] / r["of"] : double.NaN,
                    "class" => r["class"] is >= 1 and <= 6 && r["class"] % 1 == 0 ? Forage.ClassMidpoint((int)r["class"]) : double.NaN,
                    _ => r["percent"],
                };
                return double.IsNaN(percent) ? Aside($"its method is {r.Row["method"]}, and {(r.Row["method"] == "points" ? "hits and of, hits no more than of," : r.Row["method"] == "class" ? "a whole class" : "percent")} must be there") : Value("cover-" + r.Row["group"].ToLowerInvariant(), percent);
            case "pole":
                double[] sides = [.. ((string[])["north", "east", "south", "west"]).Select(s => r[s]).Where(double.IsFinite)];
                if (sides.Length == 0)
                {
                    return Aside("it has no reading of any side");
                }

                if (sides.Length < 4)
                {
                    check.Note(r.Row, $"station {r.Point} was read from {sides.Length} of four sides");
                }

                return Value("obstruction", Forage.Station(sides) * Forage.BandHeight(r.Row["bands"].ToLowerInvariant()));
            case "clips":
                double dry = double.IsFinite(r["dry_g"]) ? r["dry_g"] : r["wet_g"] * r["dry_share"];
                return double.IsNaN(dry) ? Aside("it has neither dry_g nor wet_g with dry_share")
                    : r["dry_g"] > r["wet_g"] ? Aside(FormattableString.Invariant($"it weighs {r["dry_g"]:0.#} g dry and {r["wet_g"]:0.#} g wet: one of them is wrong"))
                    : Value("forage", Forage.KilogramsAHectare(dry, r["frame_m2"]));
            default:
                string test = string.Concat(r.Row["test"].ToLowerInvariant().Select(c => char.IsLetterOrDigit(c) ? c : '-'));
                return Value("soil-" + test + (double.IsFinite(r["depth_cm"]) ? FormattableString.Invariant($"-{r["depth_cm"]:0}-cm") : ""), r["value"], r.Row["unit"]);
        }
    }

    private static string Named(string measure, TrialPlan plan, string point) => plan.Points[point].OnRip ? measure + "-on-rip" : measure;
}
