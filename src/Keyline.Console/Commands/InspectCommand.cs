using System.Globalization;
using System.Text.Json.Nodes;
using Keyline.Console.Cli;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.Console.Commands;

/// <summary><c>keyline inspect</c>: what elevation files are, and whether they are good enough.</summary>
internal static class InspectCommand
{
    // The spacing of a subsoiler's passes where nothing else is asked for: common practice, no source.
    private const double UsualSpacing = 3.048;
    private const int NameWidth = 14;
    private const int MostListed = 5;

    private static readonly (GroundGrade Grade, string Word, string Key)[] Words =
        [(GroundGrade.Good, "good", "good"), (GroundGrade.WithCare, "with care", "with_care"), (GroundGrade.NotGoodEnough, "not enough", "not_good_enough")];

    public static Command Command { get; } = new("inspect", "what elevation files are, and whether they are good enough", Run)
    {
        About =
        [
            "Says what elevation files are: size, place, units, datum, range, holes, noise, whether trees and",
            "buildings are left in, and whether they are good enough for lines at the spacing and fall.",
            "Ends with exit code 3 where a file is not good enough.",
        ],
        Examples =
        [
            "keyline inspect dem.tif",
            "keyline inspect tiles shots.csv --crs EPSG:32614 --spacing \"10 ft\" --fall 0.4",
        ],
        Options =
        [
            OptionSpec.Spacing with { Help = "distance between lines that the elevation must serve (default 10 ft)" },
            OptionSpec.Fall with { Help = "fall along them that it must show (default 0.5)" },
            OptionSpec.Crs, OptionSpec.HeightUnit, OptionSpec.Missing, OptionSpec.Surface, OptionSpec.Cell, OptionSpec.KeepSuspects, OptionSpec.Threads, OptionSpec.Json,
        ],
        Operand = "FILE",
        Note = $"Lengths carry their unit ({Quantity.Units}). Nothing is mended or written.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        if (arguments.Files.Count == 0)
        {
            throw new UsageException("No file to inspect: name one or more, as in keyline inspect dem.tif.");
        }

        double spacing = arguments.Above(OptionSpec.Spacing) ?? UsualSpacing;
        double fall = arguments.AtLeastNothing(OptionSpec.Fall, LayoutOptions.DefaultDesignFall);
        int exit = ExitCode.Done;
        JsonArray list = [];
        foreach (string path in arguments.Files)
        {
            try
            {
                ElevationSource source = GroundRequest.Of([path], "the command", arguments).ReadUnmended(context.Stop);
                GroundReport report = GroundInspection.Inspect(source.Grid, context.Stop);
                IReadOnlyList<GroundJudgement> judgements = GroundSuitability.Judge(report, spacing, fall);
                exit = exit == ExitCode.Done && judgements.Any(j => j.Grade == GroundGrade.NotGoodEnough) ? ExitCode.LimitNotKept : exit;
                list.Add(Json(path, source, report, judgements));
                if (!arguments.Has(OptionSpec.Json))
                {
                    Write(context.Output, path, source, report, judgements);
                }
            }
            catch (Exception error) when (error is KeylineException or UsageException && arguments.Files.Count > 1)
            {
                // The others are still wanted.
                exit = ExitCode.BadInput;
                list.Add(new JsonObject { ["file"] = path, ["refused"] = error.Message });
                context.Error.WriteLine(error.Message.ReplaceLineEndings(" "));
            }
        }

        if (arguments.Has(OptionSpec.Json))
        {
            context.Output.WriteLine(list.ToJsonString(RasterFolder.Indented));
        }

        return exit;
    }

    private static void Write(TextWriter output, string path, ElevationSource source, GroundReport report, IReadOnlyList<GroundJudgement> judgements)
    {
        GridFrame f = report.Frame;
        (double west, double south, double east, double north) = Box(source);
        double missing = 1 - ((double)report.KnownCells / f.CellCount);
        output.WriteLine(path);
        Row("Grid", FormattableString.Invariant($"{f.Rows} rows by {f.Columns} columns, cells of {f.CellSize:0.####} m, {f.CellCount * f.CellArea / 10_000:0.0} ha"));
        Row("Place", FormattableString.Invariant($"longitude {west:0.00000} to {east:0.00000}, latitude {south:0.00000} to {north:0.00000}"));
        Row("Coordinates", (source.Crs.EpsgCode is int code ? FormattableString.Invariant($"EPSG:{code}, ") : "") + source.Crs.Name);
        Row("Datum", $"{source.Crs.DatumName} across; heights from {source.VerticalDatum ?? "a level the file does not state"}");
        Row("Heights", FormattableString.Invariant($"{report.Lowest:0.00} to {report.Highest:0.00} m{(report.Step > 0 ? FormattableString.Invariant($", in steps of {report.Step:0.####} m") : "")}"));
        Row("Missing", report.Voids.Count == 0 ? "nothing" : FormattableString.Invariant($"{100 * missing:0.00} % of the cells, in {report.Voids.Count} {(report.Voids.Count == 1 ? "hole" : "holes")}"));
        Row("Scatter", double.IsNaN(report.Noise) ? "cannot be told" : FormattableString.Invariant($"{100 * report.Noise:0.0} cm from cell to cell"));
        foreach (string note in source.Notes.Append(source.Crs.DatumNote))
        {
            Row("Note", note);
        }

        foreach (HeightSpike spike in report.Spikes.OrderByDescending(s => Math.Abs(s.Above)).Take(MostListed))
        {
            (double lon, double lat) = source.Crs.ToLonLat(spike.X, spike.Y);
            Row("Spike", FormattableString.Invariant($"{spike.Above:+0.0;-0.0} m at {lon:0.00000}, {lat:0.00000}"));
        }

        foreach (TileSeam seam in source.Seams)
        {
            Row("Seam", $"{seam.First} and {seam.Second}: " + (seam.OverlapCells > 0
                ? FormattableString.Invariant($"{seam.OverlapCells} cells in both, apart by {seam.MeanDifference:0.000} m on average and {seam.GreatestDifference:0.000} m at most")
                : FormattableString.Invariant($"step of {seam.Step:0.000} m over {seam.EdgeCells} cells")));
        }

        output.WriteLine("  For the job:");
        foreach (GroundJudgement judgement in judgements)
        {
            Row("  " + Words[(int)judgement.Grade].Word, judgement.Sentence);
        }

        output.WriteLine();

        void Row(string name, string value) => output.WriteLine("  " + name.PadRight(NameWidth) + value);
    }

    private static JsonObject Json(string path, ElevationSource source, GroundReport report, IReadOnlyList<GroundJudgement> judgements)
    {
        GridFrame f = report.Frame;
        (double west, double south, double east, double north) = Box(source);
        return new JsonObject
        {
            ["file"] = path,
            ["grid"] = new JsonObject { ["rows"] = f.Rows, ["columns"] = f.Columns, ["cell_m"] = f.CellSize, ["west"] = f.West, ["north"] = f.North },
            ["bbox"] = new JsonArray(Degrees(west), Degrees(south), Degrees(east), Degrees(north)),
            ["crs"] = new JsonObject { ["name"] = source.Crs.Name, ["epsg"] = source.Crs.EpsgCode, ["datum"] = source.Crs.DatumName, ["datum_note"] = source.Crs.DatumNote },
            ["vertical_datum"] = source.VerticalDatum,
            ["heights"] = new JsonObject { ["lowest_m"] = Metres(report.Lowest), ["highest_m"] = Metres(report.Highest), ["step_m"] = report.Step, ["scatter_m"] = Metres(report.Noise) },
            ["missing_cells"] = f.CellCount - report.KnownCells,
            ["holes"] = report.Voids.Count,
            ["spikes"] = report.Spikes.Count,
            ["abrupt_share"] = Metres(report.AbruptShare),
            ["cover"] = report.Cover switch { GroundCover.Bare => "bare", GroundCover.PartlyCovered => "partly-covered", GroundCover.Covered => "covered", _ => "cannot-tell" },
            ["seams"] = new JsonArray([.. source.Seams.Select(s => (JsonNode)new JsonObject
            {
                ["first"] = s.First,
                ["second"] = s.Second,
                ["overlap_cells"] = s.OverlapCells,
                ["mean_difference_m"] = Metres(s.MeanDifference),
                ["greatest_difference_m"] = Metres(s.GreatestDifference),
                ["step_m"] = Metres(s.Step),
            })]),
            ["survey"] = source.Survey is { } survey ? new JsonObject
            {
                ["shots"] = survey.Residuals.Count,
                ["left_out_median_m"] = Metres(survey.MedianSize),
                ["left_out_rms_m"] = Metres(survey.RootMeanSquare),
                ["suspects"] = new JsonArray([.. survey.Suspects.Select(s => (JsonNode)new JsonObject { ["shot"] = s.Shot.Name, ["residual_m"] = Metres(s.Residual) })]),
            }
            : null,
            ["notes"] = new JsonArray([.. source.Notes.Select(n => (JsonNode)n)]),
            ["judgements"] = new JsonArray([.. judgements.Select(j => (JsonNode)new JsonObject { ["about"] = j.About, ["grade"] = Words[(int)j.Grade].Key, ["sentence"] = j.Sentence })]),
        };

        static JsonNode? Metres(double v) => double.IsFinite(v) ? Math.Round(v, 6) : null;
        static JsonNode? Degrees(double v) => double.IsFinite(v) ? Math.Round(v, 7) : null;
    }

    private static (double West, double South, double East, double North) Box(ElevationSource source)
    {
        GridFrame f = source.Grid.Frame;
        (double Longitude, double Latitude)[] corners =
            [source.Crs.ToLonLat(f.West, f.North), source.Crs.ToLonLat(f.East, f.North), source.Crs.ToLonLat(f.West, f.South), source.Crs.ToLonLat(f.East, f.South)];
        return (corners.Min(c => c.Longitude), corners.Min(c => c.Latitude), corners.Max(c => c.Longitude), corners.Max(c => c.Latitude));
    }
}
