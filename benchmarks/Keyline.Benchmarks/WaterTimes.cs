using System.Diagnostics;
using System.Globalization;
using Keyline.Elevation;
using Keyline.Water;
using NetTopologySuite.Geometries;

namespace Keyline.Benchmarks;

/// <summary>Times a storm on square fields of one metre's cells, without lines and with lines 3 m apart.</summary>
internal static class WaterTimes
{
    private const double Spacing = 3;

    /// <summary>Nanoseconds of processor time a cell and step, without lines.</summary>
    public static double PerCellAndStep(int side)
    {
        ElevationGrid ground = MadeGround.Valleys(side, holes: false);
        TimeSpan cpu = Process.GetCurrentProcess().TotalProcessorTime;
        StormResult run = StormRun.Run(ground, Soils(), Storm(), []);
        return (Process.GetCurrentProcess().TotalProcessorTime - cpu).TotalNanoseconds / run.Steps / side / side;
    }

    /// <summary>40 mm in two hours, type II, and an hour of recession on clay loam of 3 mm/h.</summary>
    public static int Print(int side, int rounds)
    {
        ElevationGrid ground = MadeGround.Valleys(side, holes: false);
        SoilMap soils = Soils();
        Hyetograph storm = Storm();
        WaterLine[] lines = Lines(side);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{side} x {side} cells of 1 m, {lines.Length} lines: CPU seconds, seconds, steps, nanoseconds of CPU a cell and step, runoff and taken in as shares of the rain"));
        for (int round = 0; round < rounds; round++)
        {
            Time("before", []);
            Time("after", lines);
        }

        return 0;

        void Time(string name, WaterLine[] given)
        {
            TimeSpan cpu = Process.GetCurrentProcess().TotalProcessorTime;
            long start = Stopwatch.GetTimestamp();
            StormResult run = StormRun.Run(ground, soils, storm, given);
            double seconds = Stopwatch.GetElapsedTime(start).TotalSeconds;
            double used = (Process.GetCurrentProcess().TotalProcessorTime - cpu).TotalSeconds;
            WaterBalance b = run.Balance;
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{name,-7} {used,7:0.0} {seconds,7:0.0} {run.Steps,7} {1e9 * used / run.Steps / side / side,7:0.0}  {b.Left / b.Rain:0.00000} {(b.Soil + b.Rips) / b.Rain:0.00000} balance {b.Error:0.0e+0}"));
        }
    }

    private static SoilMap Soils() => SoilMap.Uniform(SoilColumn.Uniform("3 mm/h", 3 / 3.6e6, 0.21, 0.2));

    private static Hyetograph Storm() => DesignStorms.Nrcs(StormType.TypeII, 0.04, 7200);

    // Across the ground's slope, bent as its valleys are.
    private static WaterLine[] Lines(int side)
    {
        List<WaterLine> lines = [];
        for (double y = Spacing; y < side - Spacing; y += Spacing)
        {
            double at = y;
            lines.Add(new WaterLine(FormattableString.Invariant($"L{lines.Count + 1}"), new LineString([.. Enumerable.Range(0, (side / 10) - 1).Select(k => new Coordinate(5 + (10 * k), at + (1.2 * Math.Sin(k / 3.0))))])));
        }

        return [.. lines];
    }
}
