using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Adds up area along D8 directions, in bands of rows side by side.</summary>
/// <remarks>
/// <para>Units: square metres. Missing: NaN.</para>
/// <para>Promises: the same bits on any number of cores: cells are counted, and whole numbers add up exactly in any order.</para>
/// <para>Cost: linear in cells; 9 bytes a cell with the result.</para>
/// <para>Source: counting donors, as in Freeman 1991, Computers and Geosciences 17(3), 413-422.</para>
/// </remarks>
internal static class D8Accumulation
{
    /// <summary>Adds up.</summary>
    /// <exception cref="FlowLoopException">The directions run in a loop.</exception>
    public static Grid<double> Compute(D8Directions directions, CancellationToken cancellationToken)
    {
        GridFrame frame = directions.Frame;
        double[] area = GC.AllocateUninitializedArray<double>(directions.Codes.Length);
        FlowBands.Carry<CarriedCells, double>(directions, new CarriedCells(area), (first, end) => area.AsSpan(first, end - first).Fill(1), cancellationToken);
        FlowBands.ForEach(
            frame, (_, first, end) => Finish(area.AsSpan(first, end - first), directions.GroundArray.AsSpan(first, end - first), frame.CellArea), cancellationToken);
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

        SetMissing(area, ground);
    }

    /// <summary>NaN wherever there is no ground.</summary>
    public static void SetMissing(Span<double> values, ReadOnlySpan<bool> ground)
    {
        for (int at = ground.IndexOf(false); at >= 0 && at < ground.Length; at++)
        {
            int run = ground[at..].IndexOf(true);
            int end = run < 0 ? ground.Length : at + run;
            values[at..end].Fill(double.NaN);
            int next = ground[end..].IndexOf(false);
            if (next < 0)
            {
                return;
            }

            at = end + next - 1;
        }
    }
}
