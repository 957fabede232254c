using System.Diagnostics;
using System.Globalization;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Terrain;

namespace Keyline.Benchmarks;

/// <summary>One stage of the work on a grid, ready to be timed.</summary>
/// <param name="Name">What it does.</param>
/// <param name="Run">Does it once; the result keeps it from being left out.</param>
internal sealed record Stage(string Name, Func<object> Run);

/// <summary>Times the stages side by side in one run, so that their ratios can be trusted where their times cannot.</summary>
internal static class StageTimes
{
    /// <summary>Stages on one ground.</summary>
    public static IReadOnlyList<Stage> Of(ElevationGrid ground)
    {
        ElevationGrid filled = DepressionFilling.Fill(ground);
        D8Directions d8 = D8Directions.Route(filled);
        DInfinityDirections dInfinity = DInfinityDirections.Route(filled);
        double[] levels = Levels(ground, 1);
        return
        [
            new("memory copy of the heights", () => Copy(ground)),
            new("memory copy, shared among the cores", () => CopyShared(ground)),
            new("slope, percent", () => Slope.Percent(ground)),
            new("aspect", () => Aspect.Degrees(ground)),
            new("hillshade", () => Hillshade.Compute(ground)),
            new("profile curvature, window of 9 cells", () => Curvature.Profile(ground, 9)),
            new("contours at 1 m", () => ContourLines.Trace(ground, levels)),
            new("fill", () => DepressionFilling.Fill(ground)),
            new("D8 with level ground drained", () => D8Directions.Route(filled)),
            new("D8 accumulation", () => FlowAccumulation.Compute(d8)),
            new("fill + D8 + accumulation", () => FlowAccumulation.Compute(D8Directions.Route(DepressionFilling.Fill(ground)))),
            new("D-infinity directions", () => DInfinityDirections.Route(filled)),
            new("D-infinity accumulation", () => FlowAccumulation.Compute(dInfinity)),
        ];
    }

    /// <summary>Times each stage several times, in turn, after one run that does not count.</summary>
    /// <returns>For each stage its times in nanoseconds a cell, sorted.</returns>
    public static double[][] Measure(IReadOnlyList<Stage> stages, double cells, int rounds)
    {
        double[][] times = [.. stages.Select(_ => new double[rounds])];
        for (int round = -1; round < rounds; round++)
        {
            for (int s = 0; s < stages.Count; s++)
            {
                GC.Collect();
                GC.WaitForPendingFinalizers();
                long from = Stopwatch.GetTimestamp();
                object result = stages[s].Run();
                double nanoseconds = Stopwatch.GetElapsedTime(from).TotalNanoseconds;
                GC.KeepAlive(result);
                if (round >= 0)
                {
                    times[s][round] = nanoseconds / cells;
                }
            }
        }

        foreach (double[] t in times)
        {
            Array.Sort(t);
        }

        return times;
    }

    /// <summary>Prints a table: medians, spread, and the ratio to the memory copy and to the plain flood.</summary>
    public static int Print(int side, string kind, int rounds)
    {
        ElevationGrid ground = kind == "basins" ? MadeGround.Basins(side) : MadeGround.Valleys(side);
        List<Stage> stages = [.. Of(ground)];
        stages.Add(new("fill, plain flood with one queue", () => PlainPriorityFlood.Fill(ground)));
        double[][] times = Measure(stages, (double)side * side, rounds);
        double copy = Median(times[0]);
        double flood = Median(times[^1]);
        Write($"{side} x {side}, {kind}, {Environment.ProcessorCount} core(s), {rounds} rounds, nanoseconds a cell");
        Write("| stage | median | least | most | x copy | plain flood / this |");
        Write("|---|---|---|---|---|---|");
        for (int s = 0; s < stages.Count; s++)
        {
            double median = Median(times[s]);
            Write(FormattableString.Invariant(
                $"| {stages[s].Name} | {median:F2} | {times[s][0]:F2} | {times[s][^1]:F2} | {median / copy:F1} | {flood / median:F1} |"));
        }

        return 0;
    }

    /// <summary>Peak memory of filling, routing and adding up in memory, the heights included.</summary>
    public static int PrintMemory(int side)
    {
        ElevationGrid ground = MadeGround.Valleys(side);
        GC.Collect();
        long before = Environment.WorkingSet - (4L * side * side);
        Grid<double> area = FlowAccumulation.Compute(D8Directions.Route(DepressionFilling.Fill(ground)));
        using Process self = Process.GetCurrentProcess();
        double bytes = (self.PeakWorkingSet64 - before) / ((double)side * side);
        Write(FormattableString.Invariant($"{side} x {side}: at most {bytes:F1} bytes a cell at once (area of the first cell {area[0, 0]})"));
        GC.KeepAlive(ground);
        return 0;
    }

    public static double Median(double[] sorted) => sorted[sorted.Length / 2];

    private static float[] Copy(ElevationGrid ground)
    {
        float[] copy = GC.AllocateUninitializedArray<float>(ground.Heights.Length);
        ground.Heights.CopyTo(copy);
        return copy;
    }

    private static float[] CopyShared(ElevationGrid ground)
    {
        float[] copy = GC.AllocateUninitializedArray<float>(ground.Heights.Length);
        Parallel.For(0, (ground.Frame.Rows + 63) / 64, band =>
        {
            int first = band * 64 * ground.Frame.Columns;
            int length = Math.Min(64 * ground.Frame.Columns, copy.Length - first);
            ground.Heights.Slice(first, length).CopyTo(copy.AsSpan(first));
        });
        return copy;
    }

    private static double[] Levels(ElevationGrid ground, double interval)
    {
        float low = float.MaxValue;
        float high = float.MinValue;
        foreach (float z in ground.Heights)
        {
            low = MathF.Min(low, float.IsNaN(z) ? low : z);
            high = MathF.Max(high, float.IsNaN(z) ? high : z);
        }

        int first = (int)Math.Ceiling(low / interval);
        return [.. Enumerable.Range(first, Math.Max((int)Math.Floor(high / interval) - first + 1, 0)).Select(i => i * interval)];
    }

    private static void Write(FormattableString text) => Console.WriteLine(text.ToString(CultureInfo.InvariantCulture));

    private static void Write(string text) => Console.WriteLine(text);
}
