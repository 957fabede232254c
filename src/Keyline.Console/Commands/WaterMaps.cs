using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Report;
using Keyline.Water;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>The maps of a storm: GeoTIFF to reckon with, PNG to look at.</summary>
internal sealed class WaterMaps(RasterFolder rasters, WaterCase before, WaterCase after, Hyetograph storm)
{
    private const int Classes = 6;

    // Depths that mean something on land: a puddle, a boot's sole, a furrow full.
    private static readonly double[] Depths = [0.005, 0.01, 0.02, 0.05, 0.1, 0.2];

    // About the same in inches.
    private static readonly double[] Inches = [0.2, 0.5, 1, 2, 4, 8];

    private static readonly (string Name, string What)[] Maps =
    [
        ("taken-before", "water taken in without lines"), ("taken-after", "water taken in with the plan"), ("gain", "water taken in with the plan less without"),
        ("deepest-before", "deepest standing water without lines"), ("deepest-after", "deepest standing water with the plan"),
    ];

    public static IReadOnlyList<string> Names { get; } = [.. Maps.SelectMany(m => (string[])[m.Name + ".tif", m.Name + ".png"])];

    /// <summary>Language and units of the pictures.</summary>
    public required PageVoice Voice { get; init; }

    /// <summary>The field's name for the titles.</summary>
    public required string FieldName { get; init; }

    public required string SoilName { get; init; }

    public required Geometry Field { get; init; }

    /// <summary>Smoothed ground, for contours.</summary>
    public required ElevationGrid Ground { get; init; }

    public required IReadOnlyList<WaterLine> Lines { get; init; }

    public required IReadOnlyList<WatchedPlace> Places { get; init; }

    /// <summary>Where water would cut.</summary>
    public required IReadOnlyList<Coordinate> Marks { get; init; }

    public required double TrueNorth { get; init; }

    public void Write(CancellationToken stop)
    {
        Grid<float> gain = Difference(after.Result.TakenIn, before.Result.TakenIn);
        Grid<float>[] grids = [before.Result.TakenIn, after.Result.TakenIn, gain, before.Result.GreatestDepth, after.Result.GreatestDepth];
        for (int i = 0; i < Maps.Length; i++)
        {
            rasters.Write(Maps[i].Name + ".tif", Maps[i].What, "m", grids[i]);
        }

        double most = Share(after.Result.TakenIn, 0.98), moved = Share(gain, 0.95);
        double unit = Voice.Units.Size(UnitKind.WaterDepth);
        double[] depths = Voice.Units == UnitSystem.Us ? [.. Inches.Select(d => d * unit)] : Depths;
        double[] taken = Steps(most / Classes, unit, Enumerable.Range(1, Classes));
        double[] change = Steps(moved / 3, unit, [-3, -2, -1, 1, 2, 3]);
        Picture(0, grids[0], taken, "Taken in", false);
        Picture(1, grids[1], taken, "Taken in", true);
        Picture(2, grids[2], change, "Taken in, more or less", true, diverges: true);
        Picture(3, grids[3], depths, "Deepest water", false);
        Picture(4, grids[4], depths, "Deepest water", true);

        void Picture(int map, Grid<float> values, double[] bounds, string quantity, bool withLines, bool diverges = false) => rasters.WriteMap(Maps[map].Name + ".png", Maps[map].What, stream => ValueMap.Write(
            stream,
            new ValueMapContent
            {
                Title = FieldName.Length > 0 ? FieldName : "Water of a storm",
                Subtitle = [Words(Maps[map].What), "Storm: " + storm.Name, "Soil: " + SoilName],
                Quantity = quantity,
                Units = Voice.Units,
                Language = Voice.Language,
                Values = values,
                Bounds = bounds,
                Diverges = diverges,
                Field = Field,
                Ground = Ground,
                Lines = withLines ? [.. Lines.Select(l => l.Line)] : [],
                Places = [.. Places.Select(p => (p.Name, p.Shape))],
                Marks = withLines ? Marks : [],
                MarkName = "Water would cut here",
                Figures = Figures(),
                Notes =
                [
                    "Cells are drawn as they were reckoned; what a line took is counted in the cells it runs through.",
                    "A model of water is an aid to judgement, not engineering advice; conductivity may be ten times off in one field: measure it.",
                ],
                TrueNorth = TrueNorth,
            },
            stop));
    }

    private (string, string)[] Figures()
    {
        string Rain(double metres) => Voice.Units.Text(metres, UnitKind.WaterDepth, Voice.Units == UnitSystem.Us ? "0.00" : "0.0");
        return
        [
            ("Field", Voice.Units.Text(after.Result.Gauges[0].Area, UnitKind.Area, "0.0")), ("Rain", Rain(storm.Depth)), ("Lines", Voice.Units.Text(1000 * after.Kilometres, UnitKind.Way, "0.0")),
            ("Taken in as it is", Rain(before.Kept)), ("Taken in with the plan", Rain(after.Kept)), ("Runs off as it is", Rain(before.Runoff)), ("Runs off with the plan", Rain(after.Runoff)),
        ];
    }

    private static string Words(string what) => char.ToUpper(what[0], CultureInfo.InvariantCulture) + what[1..];

    // Steps of 1, 2 or 5 of the units shown, times ten and so on.
    private static double[] Steps(double about, double unit, IEnumerable<int> times)
    {
        double least = Math.Max(about, 1e-4) / unit, power = Math.Pow(10, Math.Floor(Math.Log10(least))), share = least / power;
        double step = power * (share < 1.5 ? 1 : share < 3.5 ? 2 : share < 7.5 ? 5 : 10) * unit;
        return [.. times.Select(k => k * step)];
    }

    // The size that a share of the cells stay below.
    private static double Share(Grid<float> grid, double share)
    {
        float[] sizes = [.. grid.Values.ToArray().Where(v => !float.IsNaN(v)).Select(Math.Abs).Order()];
        return sizes.Length == 0 ? 0 : sizes[(int)(share * (sizes.Length - 1))];
    }

    private static Grid<float> Difference(Grid<float> a, Grid<float> b)
    {
        float[] difference = new float[a.Values.Length];
        for (int i = 0; i < difference.Length; i++)
        {
            difference[i] = a.Values[i] - b.Values[i];
        }

        return Grid.Copy<float>(a.Frame, difference);
    }
}
