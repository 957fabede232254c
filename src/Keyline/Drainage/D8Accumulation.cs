using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Adds up area along D8 directions, in bands of rows side by side.</summary>
/// <remarks>
/// <para>Units: square metres. Missing: NaN.</para>
/// <para>Promises: the same bits on any number of cores: cells are counted, and whole numbers add up exactly in any order.</para>
/// <para>Cost: linear in cells; 9 bytes a cell with the result.</para>
/// <para>Source: counting donors, as in Freeman 1991, Computers and Geosciences 17(3), 413-422; flow over a band's border is
/// added once all bands are done.</para>
/// </remarks>
internal static class D8Accumulation
{
    private const int BandRows = 128;

    /// <summary>Adds up.</summary>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<double> Compute(D8Directions directions, CancellationToken cancellationToken)
    {
        GridFrame frame = directions.Frame;
        int columns = frame.Columns;
        byte[] codes = directions.CodeArray;
        bool[] ground = directions.GroundArray;
        byte[] donors = GC.AllocateUninitializedArray<byte>(codes.Length);
        double[] area = GC.AllocateUninitializedArray<double>(codes.Length);
        int bands = (frame.Rows + BandRows - 1) / BandRows;
        FlowWalk[] walks = new FlowWalk[bands];
        ParallelOptions parallel = WorkThreads.Options(cancellationToken);
        Parallel.For(0, bands, parallel, band =>
        {
            (int first, int end) = Cells(band, frame);
            DonorCounts.Fill(codes, ground, frame.Rows, columns, first / columns, end / columns, donors);
            area.AsSpan(first, end - first).Fill(1);
            walks[band] = new FlowWalk(codes, donors, area, columns);
            walks[band].FromDivides(first, end);
        });

        // Cells are counted, so that the sums are exact in whatever order they are made.
        FlowWalk rest = new(codes, donors, area, columns);
        foreach (FlowWalk walk in walks)
        {
            cancellationToken.ThrowIfCancellationRequested();
            foreach ((int Cell, double Amount) crossing in walk.Crossings)
            {
                rest.Receive(crossing, 0, codes.Length);
            }
        }

        int stuck = donors.AsSpan().IndexOfAnyExcept(DonorCounts.Missing);
        if (stuck >= 0)
        {
            // Nothing drains out of a loop, and what drains into one has been taken off, so a cell still waiting is in one.
            throw new FlowLoopException(stuck / columns, stuck % columns);
        }

        Parallel.For(0, bands, parallel, band =>
        {
            (int first, int end) = Cells(band, frame);
            Finish(area.AsSpan(first, end - first), ground.AsSpan(first, end - first), frame.CellArea);
        });
        return new Grid<double>(frame, area);
    }

    /// <summary>From cells to square metres.</summary>
    public static void Finish(Span<double> area, ReadOnlySpan<bool> ground, double cellArea)
    {
        int i = 0;
        if (Vector256.IsHardwareAccelerated)
        {
            ref double first = ref MemoryMarshal.GetReference(area);
            for (; i <= area.Length - Vector256<double>.Count; i += Vector256<double>.Count)
            {
                (Vector256.LoadUnsafe(ref first, (nuint)i) * cellArea).StoreUnsafe(ref first, (nuint)i);
            }
        }

        for (; i < area.Length; i++)
        {
            area[i] *= cellArea;
        }

        for (int at = ground.IndexOf(false); at >= 0 && at < ground.Length; at++)
        {
            int run = ground[at..].IndexOf(true);
            int end = run < 0 ? ground.Length : at + run;
            area[at..end].Fill(double.NaN);
            int next = ground[end..].IndexOf(false);
            if (next < 0)
            {
                return;
            }

            at = end + next - 1;
        }
    }

    private static (int First, int End) Cells(int band, GridFrame frame) =>
        (band * BandRows * frame.Columns, Math.Min((band + 1) * BandRows, frame.Rows) * frame.Columns);
}
