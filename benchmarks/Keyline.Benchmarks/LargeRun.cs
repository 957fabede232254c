using System.Diagnostics;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Benchmarks;

/// <summary>Filling, directions and accumulation of a grid in files, end to end, with the time spent in the files apart.</summary>
internal static class LargeRun
{
    private const int Block = 4000;

    public static int Print(int side, string folder, int megabytes, int workers)
    {
        string work = Path.Combine(folder, $"keyline-large-{Environment.ProcessId}");
        Directory.CreateDirectory(work);
        try
        {
            GridFrame frame = new(side, side, 1, 0, side);
            using RawGridStore<float> ground = new(Path.Combine(work, "ground"), frame);
            using RawGridStore<float> filled = new(Path.Combine(work, "filled"), frame);
            using RawGridStore<byte> directions = new(Path.Combine(work, "directions"), frame);
            using RawGridStore<double> area = new(Path.Combine(work, "area"), frame);
            Prepare(ground);
            GC.Collect();
            Clock clock = new();
            LargeDrainageStores stores = new()
            {
                Filled = new Timed<float>(filled, clock),
                Directions = new Timed<byte>(directions, clock),
                Area = new Timed<double>(area, clock),
            };
            LargeDrainageOptions options = new() { MaximumBytes = (long)megabytes << 20, Workers = workers };
            long from = Stopwatch.GetTimestamp();
            LargeDrainage.Run(new Timed<float>(ground, clock), stores, options);
            double all = Stopwatch.GetElapsedTime(from).TotalNanoseconds / frame.CellCount;
            double files = clock.Nanoseconds / frame.CellCount;
            using Process self = Process.GetCurrentProcess();
            long peak = self.PeakWorkingSet64 >> 20;
            double inMemory = InMemory();
            Console.WriteLine(FormattableString.Invariant(
                $"{side} x {side}, {workers} worker(s), {megabytes} MB given: {all:F1} ns a cell, of which {files:F1} in the files; {all - files:F1} without them, {(all - files) / inMemory:F2} x the {inMemory:F1} of {Block} x {Block} in memory; peak {peak} MB"));
            return 0;
        }
        finally
        {
            Directory.Delete(work, true);
        }
    }

    /// <summary>The same chain in memory, nanoseconds a cell.</summary>
    private static double InMemory()
    {
        ElevationGrid block = MadeGround.Valleys(Block);
        Stage[] chain = [new("chain", () => FlowAccumulation.Compute(D8Directions.Route(DepressionFilling.Fill(block))))];
        return StageTimes.Median(StageTimes.Measure(chain, (double)Block * Block, 3)[0]);
    }

    private static void Prepare(RawGridStore<float> ground)
    {
        RepeatedGround made = new(ground.Frame.Rows);
        float[] row = new float[ground.Frame.Columns];
        for (int r = 0; r < ground.Frame.Rows; r++)
        {
            CellRange range = new(r, 0, 1, row.Length);
            made.Read(range, row);
            ground.Write(range, row);
        }
    }

    private sealed class Clock
    {
        public double Nanoseconds { get; private set; }

        public void Add(long from) => Nanoseconds += Stopwatch.GetElapsedTime(from).TotalNanoseconds;
    }

    private sealed class Timed<T>(IGridStore<T> inner, Clock clock) : IGridStore<T>
        where T : unmanaged
    {
        public GridFrame Frame => inner.Frame;

        public void Read(CellRange range, Span<T> values)
        {
            long from = Stopwatch.GetTimestamp();
            inner.Read(range, values);
            clock.Add(from);
        }

        public void Write(CellRange range, ReadOnlySpan<T> values)
        {
            long from = Stopwatch.GetTimestamp();
            inner.Write(range, values);
            clock.Add(from);
        }
    }
}
