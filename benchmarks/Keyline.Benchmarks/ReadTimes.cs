using System.Diagnostics;
using System.Globalization;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Benchmarks;

/// <summary>Times reading a file whole and reading a hundredth of it.</summary>
internal static class ReadTimes
{
    private const double MillisecondsPerSecond = 1000.0;

    public static int Print(string path, int rounds)
    {
        ElevationSource whole = ElevationReader.Read(path);
        double side = Math.Sqrt(whole.Grid.Frame.CellCount / 100.0) * whole.Grid.Frame.CellSize / 2;
        (double x, double y) = ((whole.Grid.Frame.West + whole.Grid.Frame.East) / 2, (whole.Grid.Frame.South + whole.Grid.Frame.North) / 2);
        (double west, double south) = whole.Crs.ToLonLat(x - side, y - side);
        (double east, double north) = whole.Crs.ToLonLat(x + side, y + side);
        ElevationReadOptions part = new() { Window = new GroundWindow(new Envelope(west, east, south, north), 0) };
        List<double> wholes = [], parts = [];
        for (int i = 0; i < rounds; i++)
        {
            wholes.Add(Time(() => ElevationReader.Read(path)));
            parts.Add(Time(() => ElevationReader.Read(path, part)));
        }

        wholes.Sort();
        parts.Sort();
        double all = wholes[rounds / 2], some = parts[rounds / 2];
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{whole.Grid.Frame.Rows} x {whole.Grid.Frame.Columns} cells: whole {all:0.0} ms, a hundredth {some:0.00} ms ({100 * some / all:0.0} %), medians of {rounds}"));
        return 0;
    }

    private static double Time(Action work)
    {
        GC.Collect();
        long from = Stopwatch.GetTimestamp();
        work();
        return Stopwatch.GetElapsedTime(from).TotalSeconds * MillisecondsPerSecond;
    }
}
