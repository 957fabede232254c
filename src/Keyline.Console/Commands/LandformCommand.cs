using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Console.Views;
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
            OptionSpec.Threads, OptionSpec.UnitsOnScreen, OptionSpec.Quiet, OptionSpec.Json,
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
        return RasterCommand.Run("landform", ListName, Names, arguments, context, Course, fieldPath is null ? null : FieldFiles.Window(fieldPath), (source, rasters, progress) =>
        {
            FieldArea? field = fieldPath is null ? null : FieldFiles.Read(fieldPath, [], null, source.Crs);
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
            IReadOnlyList<string> said = LandformWords.Describe(landform, guide);
            rasters.WriteShapes(WordsName, "the land in plain words", said.Count, stream => stream.Write(System.Text.Encoding.UTF8.GetBytes(string.Join('\n', said) + "\n")));
            ValleyLine[] drawn = [.. landform.Valleys.Where(v => v.Profile is not null).Take(MostProfiles)];
            foreach ((int index, ValleyLine valley) in drawn.Index())
            {
                Keypoint[] breaks = [.. landform.Keypoints.Concat(landform.LesserBreaks).Where(k => k.ValleyNumber == valley.Number)];
                rasters.WritePicture(Profile(valley.Number), (double)index / drawn.Length, stream => ProfilePicture.Write(stream, valley, breaks));
            }

            return new LandformSettings(landform, spacing, common, said, WordsName);
        });
    }

    // The stages with their share of the time, as taken on a million cells of 1 m with sixteen valleys.
    private static (string, double)[] Course { get; } =
    [
        ("reading the ground", 11), ("mending the ground", 6), ("smoothing", 9), ("shape of the ground", 1), ("drainage", 4), ("valley lines", 6), ("ridge lines", 1), ("landform position", 3),
        ("keypoints", 2), ("keylines", 4), ("writing " + ShapesName, 4), ("writing position.tif", 9), ("writing " + WordsName, 1), (RasterFolder.Profiles, 35),
    ];

    private static string Profile(int number) => string.Create(CultureInfo.InvariantCulture, $"profiles/valley-{number}.png");
}
