using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Driven;
using Keyline.Elevation;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary><c>keyline driven</c>: what was driven, held against the plan.</summary>
internal static class DrivenCommand
{
    public const string ShapesName = "driven.geojson";
    public const string SummaryName = "driven.json";
    private const string TableName = "driven.txt";

    // Beyond it a projected system no longer keeps lengths, and the track is of another field anyway.
    private const double FarthestDegrees = 1;

    public static Command Command { get; } = new("driven", "what was driven, held against the plan", Run)
    {
        About =
        [
            "Holds what was driven against a plan: which lines, how far off, how steep, how far apart.",
            "PLAN is a plan's folder, its plan.geojson, or GeoJSON lines of any origin.",
            "Ends with exit code 3 where a stretch was skipped, driven twice, off its line or steeper than planned.",
        ],
        Examples =
        [
            "keyline driven plan --track log.nmea",
            "keyline driven plan --track monday.gpx --track tuesday.gpx --dem dem.tif --max-grade 2 --out driven",
        ],
        Options =
        [
            OptionSpec.Track,
            OptionSpec.CrossTrack with { Help = "cross-track error allowed (default: a tenth of the spacing)" }, OptionSpec.Reach, OptionSpec.Least, OptionSpec.WithoutShift,
            OptionSpec.Gap with { Help = "fixes farther apart than this are a break in the log (default 50 m)" },
            OptionSpec.ImplementOffset with { Help = "how far the implement is mounted right of the antenna's track; below 0 to the left (default 0 m)" },
            OptionSpec.Spacing with { Help = "distance between neighbouring lines, where the plan does not say" },
            OptionSpec.MaxGrade with { Help = "steepest grade a pass may have (default: none is judged)" },
            OptionSpec.Dem with { Help = "elevation to take grades from; without it, the heights of the track" },
            OptionSpec.Crs, .. OptionSpec.GroundOptions,
            OptionSpec.Out with { Help = "folder to write driven.geojson, driven.txt and driven.json into; without it nothing is written" },
            OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" }, OptionSpec.Threads, OptionSpec.UnitsOnScreen, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Operand = "PLAN",
        Note = $"Lengths carry their unit ({Quantity.Units}). Errors are above 0 to the right as driven.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        string planPath = PlanPath.From(arguments, "driven");
        string[] paths = arguments.NeedFiles(OptionSpec.Track, "driven", "The track", "track");
        GroundRequest? request = arguments.Has(OptionSpec.Dem) ? GroundRequest.From(arguments, "driven") : null;
        bool quiet = arguments.Has(OptionSpec.Quiet);
        using OutputFolder? folder = arguments[OptionSpec.Out] is { } target ? OutputFolder.Begin(target.Text, arguments.Has(OptionSpec.Overwrite), [ShapesName, TableName, SummaryName]) : null;

        DrivenView view;
        using (ProgressLine progress = new(context, quiet))
        {
            ElevationSource? ground = request?.Read(FieldFiles.Window(planPath), progress, context.Stop);
            progress.Show("reading plan and track");
            WrittenPlan plan = PlanReader.Read(planPath, ground?.Crs);
            DrivenOptions options = OptionsFrom(arguments, plan);
            LineString[] driven = [.. paths.SelectMany(path => OnPlan(path, plan))];
            progress.Show("matching");
            DrivenResult result = DrivenComparison.Compare(plan.Lines, driven, options, ground?.Grid, context.Stop);
            view = new DrivenView(result, plan.Notes, options, request is not null, folder is null ? null : new OutputFiles(folder, [ShapesName, TableName, SummaryName]));
            if (folder is not null)
            {
                progress.Show("writing");
                Write(folder, view, plan.Crs, new PlanProvenance(Product.Version, [PlanInput.Of("plan", planPath), .. paths.Select(p => PlanInput.Of("track", p)), .. ground?.Files.Select(f => PlanInput.Of("dem", f)) ?? []], plan.Notes), context.Stop);
            }
        }

        context.Stop.ThrowIfCancellationRequested();
        folder?.Commit(context);
        Screen.Show(view, arguments, context);
        return view.ExitCode;
    }

    private static void Write(OutputFolder folder, DrivenView view, GroundCrs crs, PlanProvenance provenance, CancellationToken stop)
    {
        using (Stream shapes = folder.Create(ShapesName))
        {
            DrivenGeoJson.Write(shapes, view.Result, crs, provenance, stop);
        }

        using (StreamWriter text = new(folder.Create(TableName)) { NewLine = "\n" })
        {
            view.WriteTable(UnitText.Metric(text));
        }

        using Stream summary = folder.Create(SummaryName);
        using Utf8JsonWriter json = new(summary, JsonText.Readable);
        json.WriteStartObject();
        view.WriteMembers(json);
        json.WriteEndObject();
    }

    private static IEnumerable<LineString> OnPlan(string path, WrittenPlan plan)
    {
        Coordinate middle = plan.Lines[0].Line.Coordinate;
        (double longitude, double latitude) = plan.Crs.ToLonLat(middle.X, middle.Y);
        foreach (PlaceTrack track in TrackReader.Read(path))
        {
            CoordinateZ? far = track.Points.FirstOrDefault(p => !(Math.Abs(p.Y - latitude) < FarthestDegrees && Math.Abs(Math.IEEERemainder(p.X - longitude, 360)) * Math.Cos(latitude * Math.PI / 180) < FarthestDegrees));
            yield return far is null
                ? track.On(plan.Crs)
                : throw new GroundDataException(FormattableString.Invariant($"{Path.GetFileName(path)}: its position {far.X:0.#####}, {far.Y:0.#####} is more than 100 km from the plan at {longitude:0.#####}, {latitude:0.#####}: check that both are of the same field."));
        }
    }

    private static DrivenOptions OptionsFrom(Arguments arguments, WrittenPlan plan)
    {
        DrivenOptions usual = new();
        DrivenOptions options = new()
        {
            Spacing = arguments.Above(OptionSpec.Spacing, plan.Spacing > 0 ? plan.Spacing : double.PositiveInfinity) is double spacing && double.IsFinite(spacing) ? spacing : double.NaN,
            Tolerance = arguments.Above(OptionSpec.CrossTrack) ?? double.NaN,
            Reach = arguments.Above(OptionSpec.Reach) ?? double.NaN,
            LeastStretch = arguments.Above(OptionSpec.Least) ?? usual.LeastStretch,
            GreatestGap = arguments.Above(OptionSpec.Gap) ?? usual.GreatestGap,
            ImplementOffset = arguments.Signed(OptionSpec.ImplementOffset),
            TakesOffShift = arguments.Has(OptionSpec.WithoutShift),
            MaximumGrade = arguments.Above(OptionSpec.MaxGrade, double.PositiveInfinity),
        };
        try
        {
            options.Validate();
        }
        catch (ArgumentException e)
        {
            throw new UsageException(e.Message + " Check the options of keyline driven.");
        }

        return options;
    }
}
