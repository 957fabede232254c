using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Water.Tests.Overland;

/// <summary>Grounds whose water can be worked out on paper.</summary>
internal static class Grounds
{
    public const double MmPerHour = 1 / 3.6e6;

    public static SoilMap Sealed { get; } = SoilMap.Uniform(SoilColumn.Uniform("sealed", 0, 0, 0));

    public static SoilMap Tight { get; } = SoilMap.Uniform(SoilColumn.Uniform("tight", 3 * MmPerHour, 0.21, 0.2));

    public static ElevationGrid Of(int rows, int columns, double cell, Func<double, double, double> height)
    {
        GridFrame frame = new(rows, columns, cell, 0, rows * cell);
        float[] z = new float[frame.CellCount];
        for (int i = 0; i < z.Length; i++)
        {
            z[i] = (float)height(frame.CentreX(i % columns), frame.CentreY(i / columns));
        }

        return ElevationGrid.Copy(frame, z);
    }

    /// <summary>Rolling ground of 90 by 120 m with a hollow, falling to the south.</summary>
    public static ElevationGrid Rolling(double cell = 1) => Of((int)(90 / cell), (int)(120 / cell), cell, (x, y) => (0.05 * y) + (0.8 * Math.Cos((x - 60) / 19)) + (0.15 * Math.Sin(x / 7) * Math.Cos(y / 9)));

    /// <summary>Lines along x, some metres apart.</summary>
    public static WaterLine[] Across(double spacing, double from, double to, double least, double most) =>
        [.. Enumerable.Range(0, (int)((most - least) / spacing) + 1).Select(k => Line($"L{k + 1}", from, least + (k * spacing), to, least + (k * spacing)))];

    public static WaterLine[] Along(double spacing, double from, double to, double least, double most) =>
        [.. Enumerable.Range(0, (int)((most - least) / spacing) + 1).Select(k => Line($"L{k + 1}", least + (k * spacing), from, least + (k * spacing), to))];

    public static WaterLine Line(string id, double x0, double y0, double x1, double y1) => new(id, new LineString([new Coordinate(x0, y0), new Coordinate(x1, y1)]));
}
