using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Guidance;
using Keyline.Layout;

namespace Keyline.Console.Commands;

/// <summary><c>keyline guidance</c>: a plan's lines for auto-steer displays.</summary>
internal static class GuidanceCommand
{
    private const string NotesName = "guidance.txt";
    private const double KilometresAnHour = 1 / 3.6;

    public static Command Command { get; } = new("guidance", "the plan's lines for auto-steer, in open formats", Run)
    {
        About =
        [
            "Writes the lines of a plan for auto-steer displays: thinned, led in and out, divided where a",
            "display takes few points, shifted where the implement is mounted to one side.",
            "PLAN is a plan's folder, its plan.geojson, or GeoJSON lines of any origin.",
        ],
        Examples =
        [
            "keyline guidance plan --to gpx,taskdata-zip --out cab --verify",
            "keyline guidance plan --to shapefile --plane --lead-in \"8 m\" --most-points 250 --out cab",
        ],
        Options =
        [
            OptionSpec.To, OptionSpec.Of, OptionSpec.Follow, OptionSpec.ImplementOffset, OptionSpec.Shanks with { Help = "shanks on the implement, where the plan does not say" },
            OptionSpec.ShankSpacing with { Help = "distance between shanks, where the plan does not say" }, OptionSpec.CrossTrack, OptionSpec.Gap, OptionSpec.MostPoints, OptionSpec.Overlap,
            OptionSpec.LeadIn, OptionSpec.LeadOut, OptionSpec.Plane, OptionSpec.Name, OptionSpec.Verify, OptionSpec.ClearedBy, OptionSpec.Ticket, OptionSpec.Until, OptionSpec.Out, OptionSpec.Overwrite, OptionSpec.Threads, OptionSpec.UnitsOnScreen, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Operand = "PLAN",
        Note = $"Lengths carry their unit ({Quantity.Units}).",
    };

    /// <summary>Formats by the word that asks for them.</summary>
    public static IReadOnlyDictionary<string, GuidanceFormat> Words { get; } = new Dictionary<string, GuidanceFormat>
    {
        ["gpx"] = GuidanceFormat.Gpx,
        ["gpx-routes"] = GuidanceFormat.GpxRoutes,
        ["gpx-waypoints"] = GuidanceFormat.GpxWaypoints,
        ["kml"] = GuidanceFormat.Kml,
        ["csv"] = GuidanceFormat.Csv,
        ["geojson"] = GuidanceFormat.GeoJson,
        ["taskdata"] = GuidanceFormat.TaskData,
        ["taskdata-zip"] = GuidanceFormat.TaskDataZip,
        ["shapefile"] = GuidanceFormat.Shapefile,
        ["geopackage"] = GuidanceFormat.GeoPackage,
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        string planPath = PlanPath.From(arguments, "guidance");
        GuidanceFormat[] formats = Formats(arguments);
        WrittenPlan plan = PlanReader.Read(planPath);
        ServiceRecord? services = ServiceOptions.From(arguments);
        GuidanceOptions options = OptionsFrom(arguments, plan) with { Notice = services is null ? ServiceRecord.MissingInShort : "" };
        bool guides = arguments.Word(OptionSpec.Of, "rips", "guides") == "guides";
        bool inPlane = arguments.Has(OptionSpec.Plane), quiet = arguments.Has(OptionSpec.Quiet);
        IReadOnlyList<PlannedPath> paths = guides ? Guides(plan) : plan.Lines;
        FieldArea? field = arguments[OptionSpec.Name] is not { } name ? plan.Field
            : plan.Field is { } f ? new FieldArea(f.Boundary, f.Avoided, name.Text.Trim())
            : throw new UsageException($"{name.Where} names the field, and {plan.File} holds no outline of one: leave it out.");

        string[] ours = [NotesName, .. Words.Values.SelectMany(GuidanceFiles.NamesOf).Distinct()];
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "guidance", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), ours);
        GuidanceSet set;
        List<RoundTrip> back = [];
        using (ProgressLine progress = new(context, quiet))
        {
            progress.Show("making lines ready");
            set = GuidancePreparation.Prepare(paths, options, field, plan.Spacing, context.Stop);
            foreach (GuidanceFormat format in formats)
            {
                progress.Show("writing " + GuidanceFiles.NamesOf(format)[0]);
                GuidanceFiles.Write(folder.Partial, format, set, plan.Crs, inPlane, context.Stop);
            }

            foreach (GuidanceFormat format in arguments.Has(OptionSpec.Verify) ? formats : [])
            {
                context.Stop.ThrowIfCancellationRequested();
                progress.Show("reading back " + GuidanceFiles.NamesOf(format)[0]);
                back.Add(GuidanceVerification.ReadBack(folder.Partial, format, set, plan.Crs, inPlane, options.SideOffsetIsNone ? paths : null));
            }
        }

        string[] sentences = Sentences(plan, set, options, formats, inPlane, guides, services, back);
        using (StreamWriter text = new(folder.Create(NotesName)))
        {
            WriteNotes(text, set, plan, formats, sentences);
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        int exit = back.Any(b => !Holds(b, options)) ? ExitCode.LimitNotKept : ExitCode.Done;
        string[] files = [NotesName, .. formats.SelectMany(GuidanceFiles.NamesOf)];
        Screen.Show(new GuidanceView(set, back, sentences, exit, new OutputFiles(folder, files)), arguments, context);
        return exit;
    }

    private static GuidanceFormat[] Formats(Arguments arguments)
    {
        _ = arguments.Need(OptionSpec.To, "guidance", "The format");
        return FormatsOf(arguments, "");
    }

    /// <summary>The formats asked for, or those that hold where none is.</summary>
    public static GuidanceFormat[] FormatsOf(Arguments arguments, string otherwise)
    {
        Setting to = arguments[OptionSpec.To] ?? new Setting(otherwise, OptionSpec.To.Flag);
        return [.. to.Texts.SelectMany(t => t.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
            .Select(word => Words.TryGetValue(word, out GuidanceFormat format) ? format : throw new UsageException($"{to.Where} \"{word}\" is no format: write one of {string.Join(", ", Words.Keys)}."))
            .Distinct()];
    }

    private static GuidanceOptions OptionsFrom(Arguments arguments, WrittenPlan plan)
    {
        string follow = arguments.Word(OptionSpec.Follow, "tractor", "implement", "shanks");
        ShankSet? shanks = LimitOptions.Shanks(arguments) ?? plan.Shanks;
        if (follow == "shanks" && shanks is null)
        {
            throw new UsageException($"{arguments[OptionSpec.Follow]!.Where} shanks needs the shanks, and the plan does not say: give them with {OptionSpec.Shanks.Flag} and {OptionSpec.ShankSpacing.Flag}.");
        }

        GuidanceOptions options = new()
        {
            Tolerance = Length(OptionSpec.CrossTrack, LineThinning.DefaultTolerance),
            StraightTolerance = Length(OptionSpec.CrossTrack, LineThinning.DefaultTolerance),
            GreatestGap = arguments.Above(OptionSpec.Gap, LineThinning.DefaultGreatestGap),
            MostPoints = arguments.Whole(OptionSpec.MostPoints, 3, int.MaxValue) ?? int.MaxValue,
            Overlap = Length(OptionSpec.Overlap, GuidanceOptions.DefaultOverlap),
            LeadIn = Length(OptionSpec.LeadIn, 0),
            LeadOut = Length(OptionSpec.LeadOut, 0),
            ImplementOffset = arguments.Signed(OptionSpec.ImplementOffset),
            Follows = follow switch { "tractor" => FollowedLine.Tractor, "implement" => FollowedLine.Implement, _ => FollowedLine.Shanks },
            Shanks = shanks,
        };
        try
        {
            options.Validate();
        }
        catch (ArgumentException e)
        {
            throw new UsageException(e.Message + " Check the options of keyline guidance.");
        }

        return options;

        double Length(OptionSpec option, double otherwise) => arguments.AtLeastNothing(option, otherwise);
    }

    private static IReadOnlyList<PlannedPath> Guides(WrittenPlan plan) => plan.Guides.Count > 0
        ? [.. plan.Guides.Select((g, i) => new PlannedPath(g.Id, i + 1, g.Line, g.IsKeyline ? "through a keypoint" : g.IsPinned ? "pinned" : ""))]
        : throw new UsageException($"{plan.File} holds no guides: leave out {OptionSpec.Of.Flag}, or give the plan.geojson that keyline plan wrote.");

    private static bool Holds(RoundTrip back, GuidanceOptions options) =>
        back.Missing.Count == 0 && back.FromPrepared <= Math.Max(0.001, options.StraightTolerance + 0.001) && !(back.FromPlanned > options.Tolerance + options.StraightTolerance + 0.001);

    private static string[] Sentences(WrittenPlan plan, GuidanceSet set, GuidanceOptions options, GuidanceFormat[] formats, bool inPlane, bool guides, ServiceRecord? services, List<RoundTrip> back)
    {
        GuidanceFigures f = set.Figures;
        List<string> all = [.. plan.Notes];
        all.Add(FormattableString.Invariant($"{f.PlannedLines} lines; {f.PointsAfter} points of {f.PointsBefore}, within {100 * options.Tolerance:0.#} cm, at most {options.GreatestGap:0.#} m apart; {f.StraightLines} straight, {f.MostPoints} points in the longest."));
        if (f.Steering.CurvatureRate > 0)
        {
            double slow = f.Steering.SteeringRate(4 * KilometresAnHour), fast = f.Steering.SteeringRate(6 * KilometresAnHour);
            all.Add(FormattableString.Invariant(
                $"Tightest turn {1 / f.Steering.Curvature:0.0} m; curvature changes by up to {f.Steering.CurvatureRate:0.0000} 1/m per metre ({f.HardestLine}): the wheels turn {slow:0} degrees a second at 4 km/h and {fast:0} at 6 km/h (wheelbase {SteeringDemand.DefaultWheelbase:0.0} m); up to {f.Steering.SpeedFor() / KilometresAnHour:0.0} km/h they turn no faster than {SteeringDemand.EasySteering:0}."));
        }

        if (guides)
        {
            all.Add("Guides are what lines are parallel to, for setting out: they are not rounded to the tractor's turning radius as the lines are, so drive the lines.");
        }

        all.Add(ServiceRecord.Say(services));
        all.AddRange(set.Notes);
        all.AddRange(back.Select(b => b.Missing.Count > 0
            ? FormattableString.Invariant($"{GuidanceFiles.NamesOf(b.Format)[0]}: {b.Missing.Count} lines were not found again ({string.Join(", ", b.Missing.Take(5))}).")
            : FormattableString.Invariant($"{GuidanceFiles.NamesOf(b.Format)[0]}: {b.Lines} lines read back, {1000 * b.FromPrepared:0.00} mm from what was to be written")
                + (double.IsNaN(b.FromPlanned) ? "." : FormattableString.Invariant($"; the plan's points lie within {1000 * b.FromPlanned:0.0} mm ({b.FarthestLine})."))));
        all.AddRange(formats.Select(format => $"{GuidanceFiles.NamesOf(format)[0]}: {GuidanceFiles.PrecisionOf(format, inPlane)}"));
        return [.. all];
    }

    private static void WriteNotes(StreamWriter text, GuidanceSet set, WrittenPlan plan, GuidanceFormat[] formats, string[] sentences)
    {
        text.NewLine = "\n";
        text.WriteLine($"Lines for guidance{(set.FieldName.Length > 0 ? $": {set.FieldName}" : "")}");
        text.WriteLine();
        Array.ForEach(sentences, text.WriteLine);
        text.WriteLine();
        text.WriteLine("Datum");
        foreach (string note in GuidanceNotes.Datum(plan.Crs))
        {
            text.WriteLine(note);
        }

        text.WriteLine();
        text.WriteLine("Before driving");
        foreach (Caution caution in Cautions.All)
        {
            text.WriteLine(caution.Text);
        }

        if (formats.Contains(GuidanceFormat.TaskData) || formats.Contains(GuidanceFormat.TaskDataZip))
        {
            text.WriteLine();
            text.WriteLine("In the task data no line is extended or repeated to its sides: each is driven as it is, from A to B.");
        }
    }
}
