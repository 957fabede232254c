using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Guidance;
using Keyline.Layout;

namespace Keyline.Console.Commands;

/// <summary><c>keyline work</c>: the machine, its turns, hours and cost, and a day's work on paper.</summary>
internal static class WorkCommand
{
    private const int DefaultMostLines = 50;
    private const int MostBlocks = 400;
    private const double EarthRadius = 6371008.8;

    // Common practice, no source.
    private const double RoadOverStraight = 1.3;

    // Metres; ours, no source.
    private const double MostMove = 300_000;

    private static readonly OptionSpec DepthZones = new("--depth-zones", ValueKind.Path, "FILE", "zones with depths of their own for the driver's sheets: zones.geojson of keyline soil");

    public static Command Command { get; } = new("work", "the machine on the plan: turns, hours, cost, sheets for the driver", Run)
    {
        About =
        [
            "Takes a plan into the field with a machine: whether the tractor pulls it, the order of the lines",
            "with turns it can drive, hours, litres and cost, and for the driver a sheet for each day with its",
            "map, and guidance files of so many lines. Several plans come in one table, one after the other.",
            "Ends with exit code 3 where a turn does not fit or the tractor does not pull the implement.",
        ],
        Examples =
        [
            "keyline work plan --machine front-assist-90 --out work",
            "keyline work plan --machine machine.json --soil fine --to gpx --most-lines 20 --out work",
            "keyline work plan --machine machine.json --cleared-by Anna --ticket 47 --until 2027-03-20 --out work",
        ],
        Options =
        [
            OptionSpec.Machine, OptionSpec.Soil, OptionSpec.Footing, OptionSpec.KeepOrder, OptionSpec.RipHeadland, OptionSpec.FieldNotes, OptionSpec.Located, OptionSpec.HandDig, OptionSpec.Depths, DepthZones, OptionSpec.HoursADay, OptionSpec.DaysLost, OptionSpec.Start,
            OptionSpec.To with { Help = "formats of the guidance files, several with commas (default gpx); keyline guidance --help lists them" }, OptionSpec.MostLines, OptionSpec.Separate,
            OptionSpec.ClearedBy, OptionSpec.Ticket, OptionSpec.Until,
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" }, OptionSpec.Threads, OptionSpec.UnitsOnPages, OptionSpec.Language, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Operand = "PLAN",
        Note = "PLAN is a plan's folder or its plan.geojson; several may be given. Prices stand in the machine's file.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        Machine machine = MachineOption.Read(arguments.Need(OptionSpec.Machine, "work", "The machine"));
        string[] paths = [.. (arguments.Files.Count > 0 ? arguments.Files : [""]).Select(f => PlanPath.From(new Arguments([], f.Length > 0 ? [f] : []), "work"))];
        ServiceRecord? services = ServiceOptions.From(arguments);
        DateOnly? start = ServiceOptions.Date(arguments, OptionSpec.Start);
        PageVoice voice = PageVoice.From(arguments);
        double[] depths = Depths(arguments, machine);
        _ = LocatedOptions.Check(arguments);
        GuidanceFormat[] formats = GuidanceCommand.FormatsOf(arguments, "gpx");
        int mostLines = arguments.Whole(OptionSpec.MostLines, 1, 100_000) ?? DefaultMostLines;
        WorkOptions options = OptionsFrom(arguments);
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "work", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), WorkFiles.NamesOf(paths.Length, MostBlocks, formats));
        List<WorkRow> rows = [];
        List<string> files = [];
        (double Longitude, double Latitude)? left = null;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet)))
        {
            for (int p = 0; p < paths.Length; p++)
            {
                WrittenPlan plan = PlanReader.Read(paths[p]);
                WorkLines work = WorkLines.Of(plan, paths[p], machine, arguments);
                FieldArea field = work.Field;
                string name = field.Name.Length > 0 ? field.Name : Path.GetFileName(Path.GetDirectoryName(Path.GetFullPath(paths[p]))!);
                (double Longitude, double Latitude) into = Place(plan, field.Gate ?? work.Lines[0].Line.StartPoint.Coordinate);
                WorkOptions own = options with { Spacing = plan.Spacing, Gate = field.Gate, Steep = plan.Steep, Last = work.Headland, MoveDistance = left is { } from ? Moved(Road(from, into), rows[^1].Name, name) : 0 };
                WorkJob? first = null;
                for (int year = 0; year < depths.Length; year++)
                {
                    progress.Show("turns of " + name);
                    Machine at = machine with { Implement = machine.Implement with { Depth = depths[year] } };
                    WorkJob job = first is null ? WorkJob.Plan(work.Lines, field, at, own, context.Stop) : first.With(at);
                    first ??= job;
                    rows.Add(new WorkRow(name, depths.Length > 1 ? year + 1 : 0, job, WorkBlock.ByDay(job), work.Changes));
                }

                left = Place(plan, field.Gate ?? first!.Stops[^1].Course.EndPoint.Coordinate);
                progress.Show("sheets of " + name);
                files.AddRange(new WorkFiles(folder, plan, rows[^depths.Length], services, paths.Length > 1 ? FormattableString.Invariant($"field-{p + 1}/") : "", context.Stop) { Depths = ReadZones(arguments, plan.Crs), Voice = voice }
                    .Write(formats, mostLines, !arguments.Has(OptionSpec.Separate)));
            }

            WriteTables(folder, rows, machine, options, services, start, files);
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        int exit = rows.Any(r => r.Job.Findings.Count > 0) ? ExitCode.LimitNotKept : ExitCode.Done;
        Screen.Show(new WorkView(rows, services, start, options, exit, new OutputFiles(folder, files)), arguments, context);
        return exit;
    }

    private static (double Longitude, double Latitude) Place(WrittenPlan plan, NetTopologySuite.Geometries.Coordinate at) => plan.Crs.ToLonLat(at.X, at.Y);

    // Two fields of one plan of work lie within a day's haul of a tractor; farther off, one of the plans is not the one meant.
    private static double Moved(double way, string from, string to) => way <= MostMove
        ? way
        : throw new UsageException(FormattableString.Invariant($"From {from} to {to} it would be {way / 1000:0} km by road, farther than {MostMove / 1000:0} km: give plans of fields that are worked in one round, or run keyline work for each."));

    // Straight over the globe (mean radius, haversine), and by so much longer by road.
    private static double Road((double Longitude, double Latitude) from, (double Longitude, double Latitude) to)
    {
        double a = from.Latitude * Math.PI / 180, b = to.Latitude * Math.PI / 180, east = (to.Longitude - from.Longitude) * Math.PI / 180;
        double h = Math.Pow(Math.Sin((b - a) / 2), 2) + (Math.Cos(a) * Math.Cos(b) * Math.Pow(Math.Sin(east / 2), 2));
        return RoadOverStraight * 2 * EarthRadius * Math.Asin(Math.Sqrt(h));
    }

    private static void WriteTables(OutputFolder folder, List<WorkRow> rows, Machine machine, WorkOptions options, ServiceRecord? services, DateOnly? start, List<string> files)
    {
        using (StreamWriter text = new(folder.Create(WorkFiles.TableName)) { NewLine = "\n" })
        {
            WorkText.Write(UnitText.Metric(text), rows, services, start, options);
        }

        using (Stream stream = folder.Create(WorkFiles.SummaryName))
        {
            using Utf8JsonWriter json = new(stream, JsonText.Readable);
            json.WriteStartObject();
            WorkText.WriteJson(json, rows, services, start, options);
            json.WriteEndObject();
        }

        files.AddRange([WorkFiles.TableName, WorkFiles.SummaryName]);
        if (start is { } day)
        {
            using Stream stream = folder.Create(WorkFiles.CalendarName);
            WorkCalendar.Write(stream, WorkText.Days(rows, machine, services, options, day), options.DaysLost);
            files.Add(WorkFiles.CalendarName);
        }
    }

    private static DepthZone[] ReadZones(Arguments arguments, GroundCrs crs)
    {
        if (arguments.File(DepthZones, "file of zones") is not { } path)
        {
            return [];
        }

        AttributedFile file = FieldFiles.ReadAttributed(path, "zones");
        return [.. file.On(crs).Where(s => s.Shape.Dimension == NetTopologySuite.Geometries.Dimension.Surface).Select(s => new DepthZone(
            s.Values.TryGetValue("number", out string? number) ? $"zone {number}, {s.Values.GetValueOrDefault("name", "")}" : s.Values.GetValueOrDefault("name", ""),
            s.Shape, Metres(s, "depth_from_cm"), Metres(s, "depth_to_cm"), s.Values.GetValueOrDefault("in_words", "")))];

        static double Metres(AttributedShape shape, string name) => !shape.Values.TryGetValue(name, out string? text)
            ? throw new GroundDataException($"{shape.Where} has no {name}: give the zones.geojson that keyline soil wrote.")
            : text.Length == 0 ? double.NaN
            : double.TryParse(text, System.Globalization.NumberStyles.Float, System.Globalization.CultureInfo.InvariantCulture, out double cm) && cm is > 0 and <= 100 * Implement.DeepestWork ? cm / 100
            : throw new GroundDataException(FormattableString.Invariant($"{shape.Where}: {name} is \"{text}\"; it must be a depth in centimetres, above 0 and up to {100 * Implement.DeepestWork:0}."));
    }

    private static double[] Depths(Arguments arguments, Machine machine)
    {
        if (arguments[OptionSpec.Depths] is not { } setting)
        {
            return [machine.Implement.Depth];
        }

        double[] depths = [.. setting.Text.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(t => Quantity.Length(t, setting.Where))];
        return depths.Length > 0 && depths.All(d => d > 0 && d <= Implement.DeepestWork) ? depths
            : throw new UsageException(FormattableString.Invariant($"{setting.Where} \"{setting.Text}\" is no list of depths: write each above 0 and up to {Implement.DeepestWork:0.#} m, as in \"30 cm,45 cm\"."));
    }

    private static WorkOptions OptionsFrom(Arguments arguments)
    {
        WorkOptions options = new()
        {
            Soil = arguments.Word(OptionSpec.Soil, "medium", "fine", "coarse") switch { "fine" => SoilTexture.Fine, "coarse" => SoilTexture.Coarse, _ => SoilTexture.Medium },
            Surface = arguments.Word(OptionSpec.Footing, "firm", "tilled", "soft") switch { "tilled" => SoilSurface.Tilled, "soft" => SoilSurface.Soft, _ => SoilSurface.Firm },
            ImproveOrder = !arguments.Has(OptionSpec.KeepOrder),
            HoursADay = arguments.Above(OptionSpec.HoursADay, 8),
            DaysLost = arguments.AtLeastNothing(OptionSpec.DaysLost, 25) / 100,
        };
        try
        {
            options.Validate();
        }
        catch (ArgumentException e)
        {
            throw new UsageException(e.Message.Split(" (Parameter", 2)[0] + " Check the options of keyline work.");
        }

        return options;
    }
}

/// <summary>A row of the table: a field in a year.</summary>
/// <param name="Name">The field.</param>
/// <param name="Year">Which year, from 1; 0 where there is only one.</param>
/// <param name="Job">The job.</param>
/// <param name="Blocks">Its days.</param>
/// <param name="Changes">What notes from the field changed.</param>
internal sealed record WorkRow(string Name, int Year, WorkJob Job, IReadOnlyList<WorkBlock> Blocks, IReadOnlyList<LineChange> Changes);
