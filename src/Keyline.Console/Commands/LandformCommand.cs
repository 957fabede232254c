using System.Globalization;
using System.Text.Json.Nodes;
using Keyline.Console.Cli;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Formats;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Report;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary><c>keyline landform</c>: valleys, ridges, keypoints and keylines, profiles, and the land in plain words.</summary>
internal static class LandformCommand
{
    private const string ListName = "landform.json";
    private const string ShapesName = "landform.geojson";
    private const string WordsName = "reading.txt";

    // The spacing of a subsoiler's passes where nothing else is asked for: common practice, no source.
    private const double UsualSpacing = 3.048;
    private const int MostProfiles = 9999;

    // A whole county's keypoints are for the file, not for the screen.
    private const int MostSaid = 40;

    public static Command Command { get; } = new("landform", "valleys, ridges, keypoints and keylines, with their evidence", Run)
    {
        About =
        [
            "Reads the landform: valley and ridge lines, long profiles, keypoints with their evidence, keylines,",
            "and what the land is in plain words. Writes landform.geojson, position.tif (0 on valley lines to",
            "1 on ridge lines), profiles/ (a picture a valley) and reading.txt.",
        ],
        Examples =
        [
            "keyline landform --dem dem.tif --out landform",
            "keyline landform --dem dem.tif --field field.geojson --flagged keypoints.geojson --out landform",
        ],
        Options =
        [
            OptionSpec.Dem,
            OptionSpec.Field with { Help = "read only the ground that has a say in this field, and place the general guide in it" },
            OptionSpec.Flagged, OptionSpec.CommonHeight,
            OptionSpec.Spacing with { Help = "distance between lines; the ground is smoothed to suit it (default 10 ft)" },
            OptionSpec.Crs, .. OptionSpec.GroundOptions,
            OptionSpec.Out, OptionSpec.Overwrite with { Help = "replace an earlier result in the folder, once the new one is whole" },
            OptionSpec.Threads, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Note = $"Lengths carry their unit ({Quantity.Units}).",
    };

    private static IReadOnlyCollection<string> Names { get; } =
        new HashSet<string>([ShapesName, "position.tif", WordsName, ListName, .. Enumerable.Range(1, MostProfiles).Select(Profile)]);

    private static int Run(Arguments arguments, RunContext context)
    {
        double spacing = arguments.Above(OptionSpec.Spacing) ?? UsualSpacing;
        double common = arguments.Above(OptionSpec.CommonHeight) ?? LandformOptions.DefaultCommonHeight;
        string? fieldPath = arguments.File(OptionSpec.Field, "field file");
        string? pinsPath = arguments.File(OptionSpec.Flagged, "file of flagged keypoints");
        IReadOnlyList<string> said = [];
        int exit = RasterCommand.Run("landform", ListName, Names, arguments, context, fieldPath is null ? null : FieldFiles.Window(fieldPath), (source, rasters, progress) =>
        {
            FieldArea? field = fieldPath is null ? null : FieldFiles.Read(fieldPath, null, null, source.Crs);
            LandformOptions options = new()
            {
                CommonHeight = common,
                PinnedKeypoints = pinsPath is null ? [] : FieldFiles.ReadPoints(pinsPath, source.Crs),
            };
            GroundReading reading = GroundReading.Of(source.Grid, spacing, options, progress, context.Stop);
            LandformReading landform = reading.Landform;
            LineString? guide = landform.Keypoints.Count > 0 ? null
                : field is null ? landform.GeneralGuide : GeneralGuide.Place(reading.Smoothed, field.Boundary, context.Stop);
            int shapes = landform.Valleys.Count + landform.Ridges.Count + landform.Keypoints.Count + landform.LesserBreaks.Count + landform.Keylines.Count + landform.CommonKeylines.Count + (guide is null ? 0 : 1);
            rasters.WriteShapes(ShapesName, "valleys, ridges, keypoints and keylines", shapes, stream =>
                LandformGeoJson.Write(stream, landform, guide, source.Grid, source.Crs, rasters.Provenance, context.Stop));
            rasters.Write("position.tif", "landform position, 0 on valley lines to 1 on ridge lines", "", landform.Position);
            said = LandformWords.Describe(landform, guide);
            rasters.WriteShapes(WordsName, "the land in plain words", said.Count, stream => stream.Write(System.Text.Encoding.UTF8.GetBytes(string.Join('\n', said) + "\n")));
            foreach (ValleyLine valley in landform.Valleys.Where(v => v.Profile is not null).Take(MostProfiles))
            {
                Keypoint[] breaks = [.. landform.Keypoints.Concat(landform.LesserBreaks).Where(k => k.ValleyNumber == valley.Number)];
                rasters.WritePicture(Profile(valley.Number), stream => ProfilePicture.Write(stream, valley, breaks));
            }

            return Settings(landform, spacing, common, said);
        });
        if (exit == ExitCode.Done && !arguments.Has(OptionSpec.Json) && !arguments.Has(OptionSpec.Quiet))
        {
            context.Output.WriteLine();
            foreach (string sentence in said.Count <= MostSaid ? said : [.. said.Take(MostSaid - 1), said[^1]])
            {
                context.Output.WriteLine(sentence);
            }

            if (said.Count > MostSaid)
            {
                context.Output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"The other {said.Count - MostSaid} sentences are in {WordsName}."));
            }
        }

        return exit;
    }

    private static string Profile(int number) => string.Create(CultureInfo.InvariantCulture, $"profiles/valley-{number}.png");

    private static JsonObject Settings(LandformReading landform, double spacing, double common, IReadOnlyList<string> said) => new()
    {
        ["spacing_m"] = spacing,
        ["common_height_m"] = common,
        ["shape"] = new JsonObject
        {
            ["kind"] = LandformKeys.Of(landform.Shape.Kind),
            ["mean_slope_pct"] = Rounded(landform.Shape.MeanSlope, 2),
            ["relief_m"] = Rounded(landform.Shape.Relief, 2),
            ["falls_to_deg"] = Rounded(landform.Shape.FallDirection, 1),
            ["one_way"] = Rounded(landform.Shape.OneWay, 3),
            ["spreading"] = Rounded(landform.Shape.Spreading, 3),
        },
        ["valleys"] = landform.Valleys.Count,
        ["ridges"] = landform.Ridges.Count,
        ["keypoints_clear"] = landform.Keypoints.Count(k => k.Class == KeypointClass.Clear),
        ["keypoints_weak"] = landform.Keypoints.Count(k => k.Class == KeypointClass.Weak),
        ["flagged_left_out"] = landform.UnplacedPins.Count,
        ["sequences"] = new JsonArray([.. landform.Sequences.Select(s => (JsonNode)new JsonObject
        {
            ["ridge"] = s.RidgeNumber,
            ["valleys"] = new JsonArray([.. s.ValleyNumbers.Select(v => (JsonNode)v)]),
            ["heights_m"] = new JsonArray([.. s.Heights.Select(h => (JsonNode)Math.Round(h, 2))]),
            ["rises"] = s.Rises,
        })]),
        ["reading"] = new JsonArray([.. said.Select(s => (JsonNode)s)]),
    };

    private static JsonNode? Rounded(double value, int decimals) => double.IsFinite(value) ? Math.Round(value, decimals) : null;
}
