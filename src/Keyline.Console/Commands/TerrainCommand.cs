using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Terrain;

namespace Keyline.Console.Commands;

/// <summary><c>keyline terrain</c>: slope, aspect, relief, curvature and contours.</summary>
internal static class TerrainCommand
{
    private const string ListName = "terrain.json";
    private const int DefaultWindowCells = 9;
    private const int ContoursWanted = 20;
    private const string Measuring = "measuring and writing";

    private static readonly (CurvatureKind Kind, string File, string What)[] Bends =
    [
        (CurvatureKind.Profile, "bend-profile.tif", "profile curvature"),
        (CurvatureKind.Plan, "bend-plan.tif", "plan curvature"),
        (CurvatureKind.Contour, "bend-contour.tif", "curvature of the contour"),
        (CurvatureKind.Mean, "bend-mean.tif", "mean curvature"),
        (CurvatureKind.Minimum, "bend-least.tif", "least curvature"),
        (CurvatureKind.Maximum, "bend-greatest.tif", "greatest curvature"),
    ];

    public static Command Command { get; } = new("terrain", "slope, aspect, relief, curvature and contours of the ground", Run)
    {
        About =
        [
            "Measures the ground: slope, aspect, relief and curvature as GeoTIFF, contours as GeoJSON.",
            "Slope and aspect take the eight neighbours of a cell (Horn 1981); curvature the quadratic surface",
            "that fits a window best, positive where the ground bends like a dome.",
        ],
        Examples =
        [
            "keyline terrain --dem dem.tif --out terrain",
            "keyline terrain --dem dem.tif --only slope,contours --out terrain",
            "keyline terrain --dem dem.tif --interval \"2 ft\" --window \"15 m\" --calm \"5 m\" --out terrain",
        ],
        Options =
        [
            OptionSpec.Dem, OptionSpec.Interval, OptionSpec.Window, OptionSpec.Calm, FileChoice.Option("slope,contours"), OptionSpec.Crs, .. OptionSpec.GroundOptions,
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" },
            OptionSpec.Threads, OptionSpec.UnitsOnScreen, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Note = $"Lengths carry their unit ({Quantity.Units}).",
    };

    private static string[] Bands { get; } = ["slope.tif", "aspect.tif", "relief.tif", .. Bends.Select(b => b.File)];

    private static string[] Files { get; } = ["calmed.tif", .. Bands, "contours.geojson"];

    private static int Run(Arguments arguments, RunContext context)
    {
        double? interval = arguments.Above(OptionSpec.Interval);
        double? window = arguments.Above(OptionSpec.Window);
        double? calm = arguments.Above(OptionSpec.Calm);
        FileChoice choice = FileChoice.From(arguments, Files, new Dictionary<string, OptionSpec> { ["calmed.tif"] = OptionSpec.Calm });
        return RasterCommand.Run("terrain", ListName, [.. Files, ListName], arguments, context, Course(calm is not null, choice), (source, rasters, progress) =>
        {
            ElevationGrid ground = source.Grid;
            if (calm is double reach)
            {
                progress.Show("smoothing faces");
                ground = FaceSmoothing.Apply(ground, new FaceSmoothingOptions { Reach = reach }, context.Stop);
            }

            int cells = Cells(window, ground.Frame.CellSize);
            WriteRasters(ground, calm is not null, cells, choice, rasters, context.Stop);
            double? step = interval;
            if (choice.Wants("contours.geojson"))
            {
                progress.Show("drawing contours");
                IReadOnlyList<double> levels = ContourLevels.Of(ground, interval, ContoursWanted);
                IReadOnlyList<ContourLine> contours = ContourLines.Trace(ground, levels, context.Stop);
                rasters.WriteShapes("contours.geojson", "contours", contours.Count, stream =>
                    TerrainGeoJson.WriteContours(stream, contours, ground, source.Crs, rasters.Provenance, context.Stop));
                step = levels.Count > 1 ? Math.Round(levels[1] - levels[0], 6) : interval;
            }

            return new TerrainSettings(step, cells, calm);
        });
    }

    // Measured a band of rows at a time and written as measured, so that beside the ground none of the rasters is held.
    private static void WriteRasters(ElevationGrid ground, bool calms, int cells, FileChoice choice, RasterFolder rasters, CancellationToken stop)
    {
        if (calms && choice.Wants("calmed.tif"))
        {
            rasters.Write("calmed.tif", "smoothed heights", "m", ground);
        }

        List<(string Name, string What, string Unit)> files = [];
        List<Action<int, int, float[]>> measures = [];
        void Add(string name, string what, string unit, Action<int, int, float[]> measure)
        {
            if (choice.Wants(name))
            {
                files.Add((name, what, unit));
                measures.Add(measure);
            }
        }

        Add("slope.tif", "slope", "%", (first, rows, to) => Slope.Percent(ground, first, rows, to, SlopeMethod.Horn, stop));
        Add("aspect.tif", "way down, clockwise from north", "degrees", (first, rows, to) => Aspect.Degrees(ground, first, rows, to, SlopeMethod.Horn, stop));
        Add("relief.tif", "light of a sun in the north-west, 45 degrees high, 0 to 1", "", (first, rows, to) => Hillshade.Compute(ground, first, rows, to, cancellationToken: stop));
        (CurvatureKind Kind, string File, string What)[] bends = [.. Bends.Where(bend => choice.Wants(bend.File))];
        files.AddRange(bends.Select(bend => (bend.File, bend.What, "1/m")));
        CurvatureKind[] kinds = [.. bends.Select(bend => bend.Kind)];
        if (files.Count == 0)
        {
            return;
        }

        rasters.WriteBands(Measuring, files, ground.Frame, (first, rows, to) =>
        {
            for (int i = 0; i < measures.Count; i++)
            {
                measures[i](first, rows, to[i]);
            }

            if (kinds.Length > 0)
            {
                Curvature.Measure(ground, kinds, first, rows, [.. to.Skip(measures.Count)], cells, stop);
            }
        });
    }

    // The stages with their share of the time, as taken on a million cells of 1 m.
    private static (string, double)[] Course(bool calms, FileChoice choice) => choice.Course(
    [
        ("reading the ground", 6), ("mending the ground", 4), ("smoothing faces", calms ? 58 : 0), ("writing calmed.tif", calms ? 3 : 0),
        (Measuring, Bands.Sum(b => choice.Wants(b) ? 4.0 : 0)), ("drawing contours", choice.Wants("contours.geojson") ? 3 : 0), ("writing contours.geojson", 5),
    ]);

    // The odd number of cells nearest to a width, at least three.
    private static int Cells(double? width, double cell)
    {
        double half = ((width ?? (DefaultWindowCells * cell)) / cell / 2) - 0.5;
        return (2 * Math.Max(1, (int)Math.Round(half))) + 1;
    }
}
