using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Elevation;
using Keyline.Fieldwork;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary><c>keyline soil</c>: whether to rip, which parts, how deep, and why.</summary>
internal static class SoilCommand
{
    // A survey of conductivity has thousands of readings; cores are chosen among so many of them, evenly taken.
    private const int MostCandidates = 2000;

    public static Command Command { get; } = new("soil", "whether to rip, which parts, how deep, and why", Run)
    {
        About =
        [
            "Judges soil and site zone by zone: rip, a test strip first, rip after something else (rest, gypsum,",
            "draining, weeds), or do not rip, each with its reasons, their sources and the bounds in force. Maps",
            "readings between points with their errors, proposes places to core, and writes a page for the owner,",
            "zones.geojson, and avoid.geojson for keyline plan --avoid: what is not to be ripped, or not yet.",
        ],
        Examples =
        [
            "keyline soil --sites soil.geojson --points readings.csv --field field.geojson --out soil",
            "keyline soil --sites soil.geojson --names ssurgo --machine front-assist-90 --out soil",
            "keyline soil --field field.geojson --points eca.csv --split eca_ms_m --classes 3 --out soil",
        ],
        Options =
        [
            .. SoilRequest.All, OptionSpec.Crs with { Help = "projected system to work in (default: the UTM zone of the place)" },
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" },
            OptionSpec.Threads, OptionSpec.UnitsOnPages, OptionSpec.Language, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Note = "Attributes and columns carry their unit in their name, as pan_depth_cm and pressure_psi.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        SoilRequest request = SoilRequest.From(arguments);
        PageVoice voice = PageVoice.From(arguments);
        using OutputFolder folder = OutputFolder.Begin(arguments.Need(OptionSpec.Out, "soil", "The folder to write").Text, arguments.Has(OptionSpec.Overwrite), SoilFiles.Names);
        SoilResult result;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet)))
        {
            progress.Show("reading soil and points");
            result = Judge(request, progress, context.Stop);
            new SoilFiles(folder, result, progress, voice, context.Stop).Write();
        }

        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        Screen.Show(new SoilView(result, new OutputFiles(folder, SoilFiles.Written(result))), arguments, context);
        return ExitCode.Done;
    }

    private static SoilResult Judge(SoilRequest request, ProgressLine progress, CancellationToken stop)
    {
        List<string> notes = [];
        AttributedFile? sitesFile = request.SitesPath is { } s ? FieldFiles.ReadAttributed(s, "sites") : null;
        AttributedFile[] pointFiles = [.. request.PointPaths.Select(p => FieldFiles.ReadAttributed(p, "readings"))];
        GroundCrs crs = CrsOf(request, sitesFile, pointFiles, notes);
        Field.FieldArea? field = request.FieldPath is { } f ? FieldFiles.Read(f, [], null, crs) : null;
        IReadOnlyList<SoilSite> sites = sitesFile is null ? [] : SiteReader.Read(Records(sitesFile, crs), request.Fields, notes);
        SoilReadings? readings = pointFiles.Length == 0 ? null : ReadingsReader.Read(pointFiles.SelectMany(p => Records(p, crs)), request.Rules.StopStrength, request.DropsOutliers);
        Geometry land = field?.Boundary ?? sites.Select(x => x.Shape).Aggregate((a, b) => NetTopologySuite.Operation.OverlayNG.OverlayNGRobust.Overlay(a, b, NetTopologySuite.Operation.Overlay.SpatialFunction.Union));
        GridFrame frame = request.Frame(land.EnvelopeInternal);
        List<(ReadingSeries Series, PointMap Map)> maps = [];
        foreach (ReadingSeries series in readings?.Series ?? [])
        {
            progress.Show("mapping " + series.Name);
            maps.Add((series, PointMap.Of(series.Name, series.Unit, series.Points, frame, land, request.Map, progress, stop)));
        }

        IReadOnlyList<(string, Geometry)> classes = Classes(request, maps, notes, stop);
        progress.Show("judging");
        IReadOnlyList<SoilZone> zones = SoilZones.Of(field?.Boundary, sites, classes, readings, request.Rules, request.Machine, request.LeastArea);
        double[] deepest = [.. zones.Select(z => z.Verdict.Depth?.Most ?? double.NaN).Where(double.IsFinite)];
        return new SoilResult
        {
            Name = field?.Name ?? "",
            Crs = crs,
            Field = field?.Boundary,
            Zones = zones,
            Readings = readings,
            Maps = maps,
            Cores = Cores(request, readings, land),
            Rules = request.Rules,
            Notice = NoticeRule.Say(request.StateName, deepest.Length > 0 ? deepest.Max() : double.NaN, request.AskedNotice),
            Notes = notes,
            Inputs =
            [
                .. request.SitesPath is { } sp ? [PlanInput.Of("sites", sp)] : (PlanInput[])[], .. request.PointPaths.Select(p => PlanInput.Of("points", p)), .. request.FieldPath is { } fp ? [PlanInput.Of("field", fp)] : (PlanInput[])[],
            ],
        };
    }

    private static GroundCrs CrsOf(SoilRequest request, AttributedFile? sites, AttributedFile[] points, List<string> notes)
    {
        if (request.Crs is { } given)
        {
            return given.IsGeographic ? throw new UsageException($"{OptionSpec.Crs.Flag} {given.Name} is in degrees: give a projected system.") : given;
        }

        (double Longitude, double Latitude)? middle = request.FieldPath is { } field ? FieldFiles.ReadAttributed(field, "field").Middle : sites?.Middle ?? points.Select(p => p.Middle).FirstOrDefault(m => m is not null);
        if (middle is not { } at || Array.Exists(points, p => p.Middle is null))
        {
            throw new UsageException($"Readings with easting and northing do not say their system: give it with {OptionSpec.Crs.Flag} {OptionSpec.Crs.ValueName}.");
        }

        GroundCrs crs = GroundCrs.UtmAt(at.Longitude, Math.Clamp(at.Latitude, -80, 84));
        notes.Add($"Worked in {crs.Name}.");
        return crs;
    }

    private static IEnumerable<SiteRecord> Records(AttributedFile file, GroundCrs crs) => file.On(crs).Select(s => new SiteRecord(s.Shape, s.Values, s.Where));

    // The classes of one or several maps as outlines, with the mean of each map in words.
    private static List<(string, Geometry)> Classes(SoilRequest request, List<(ReadingSeries Series, PointMap Map)> maps, List<string> notes, CancellationToken stop)
    {
        if (request.SplitBy.Count == 0)
        {
            return [];
        }

        List<(ReadingSeries Series, PointMap Map)> used = [];
        foreach (string name in request.SplitBy)
        {
            (ReadingSeries Series, PointMap Map)[] found = [.. maps.Where(m => m.Series.Quantity == name)];
            if (found.Length == 0)
            {
                throw new UsageException($"{SoilRequest.Split.Flag} {name}: there are no such readings; there are {(maps.Count == 0 ? "none" : string.Join(", ", maps.Select(m => m.Series.Quantity)))}.");
            }

            if (found[0].Map.Map is null)
            {
                notes.Add($"The land is not parted by {found[0].Series.Name}, of which there is no map.");
            }
            else
            {
                used.Add(found[0]);
            }
        }

        if (used.Count == 0)
        {
            return [];
        }

        Grid<byte> classes = request.Bounds.Count > 0 ? ZoneClasses.ByBounds(used[0].Map.Map!.Values, request.Bounds) : ZoneClasses.ByLikeness([.. used.Select(u => u.Map.Map!.Values)], request.ClassCount, stop);
        Grid<byte> joined = ZonePieces.Joined(classes, request.LeastArea);
        return [.. ZonePieces.Outlines(joined).Select(o => (string.Join(", ", used.Select(u => u.Series.Name + string.Create(CultureInfo.InvariantCulture, $" about {Mean(u.Map.Map!.Values, joined, o.Class):0.#} {u.Series.Unit}"))), o.Shape))];
    }

    private static double Mean(Grid<double> values, Grid<byte> classes, int wanted)
    {
        double sum = 0;
        int count = 0;
        for (int i = 0; i < values.Values.Length; i++)
        {
            if (classes.Values[i] == wanted && !double.IsNaN(values.Values[i]))
            {
                (sum, count) = (sum + values.Values[i], count + 1);
            }
        }

        return sum / count;
    }

    private static Coordinate[] Cores(SoilRequest request, SoilReadings? readings, Geometry land)
    {
        if (readings?.Series.FirstOrDefault(x => x.Quantity == "eca_ms_m") is not { } survey)
        {
            return [];
        }

        NetTopologySuite.Geometries.Prepared.IPreparedGeometry inside = NetTopologySuite.Geometries.Prepared.PreparedGeometryFactory.Prepare(land);
        SoilPoint[] within = [.. survey.Points.Where(p => inside.Contains(land.Factory.CreatePoint(new Coordinate(p.X, p.Y))))];
        int step = Math.Max(1, (within.Length + MostCandidates - 1) / MostCandidates);
        CoreCandidate[] places = [.. within.Where((_, i) => i % step == 0).Select(p => new CoreCandidate(p.X, p.Y, [p.Value]))];
        return places.Length < request.CoreCount ? [] : [.. CoreDesign.Choose(places, request.CoreCount).Select(i => new Coordinate(places[i].X, places[i].Y))];
    }
}

/// <summary>What keyline soil found.</summary>
internal sealed record SoilResult
{
    public required string Name { get; init; }

    public required GroundCrs Crs { get; init; }

    public required Geometry? Field { get; init; }

    public required IReadOnlyList<SoilZone> Zones { get; init; }

    public required SoilReadings? Readings { get; init; }

    public required IReadOnlyList<(ReadingSeries Series, PointMap Map)> Maps { get; init; }

    public required IReadOnlyList<Coordinate> Cores { get; init; }

    public required RipRules Rules { get; init; }

    public required string Notice { get; init; }

    public required IReadOnlyList<string> Notes { get; init; }

    public required IReadOnlyList<PlanInput> Inputs { get; init; }
}
