using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>A measure that follows from how much the ground rises over one cell eastward and northward, in metres.</summary>
internal interface IGradientMeasure
{
    /// <summary>The measure of one cell.</summary>
    float One(float east, float north);

    /// <summary>The measure of eight cells, the same bits as <see cref="One"/>.</summary>
    Vector256<float> Eight(Vector256<float> east, Vector256<float> north);
}

/// <summary>Measures every cell of a grid by its gradient.</summary>
/// <remarks>
/// <para>Missing: NaN where the height is missing. A missing neighbour, and one beyond the edge, is made up as
/// <see cref="CellWindow"/> states.</para>
/// <para>Promises: opposite heights are subtracted first, so that nothing is lost to high ground; the vector path and the
/// scalar one give the same bits, on any number of cores.</para>
/// <para>Cost: bound by memory where the measure is cheap; 4 bytes a cell.</para>
/// <para>Source: the gradients of <see cref="Slope"/>.</para>
/// </remarks>
internal static class GradientRows
{
    private const int BandRows = 64;
    private const int Lanes = 8;

    /// <summary>Measures a grid.</summary>
    public static Grid<float> Map<TMeasure>(ElevationGrid ground, SlopeMethod method, TMeasure measure, CancellationToken cancellationToken)
        where TMeasure : struct, IGradientMeasure
    {
        float[] values = GC.AllocateUninitializedArray<float>(ground.Array.Length);
        Fill(ground, method, measure, 0, ground.Frame.Rows, values, cancellationToken);
        return new Grid<float>(ground.Frame, values);
    }

    /// <summary>Measures some rows of a grid, the same bits as of the whole.</summary>
    public static void Fill<TMeasure>(ElevationGrid ground, SlopeMethod method, TMeasure measure, int firstRow, int rows, float[] values, CancellationToken cancellationToken)
        where TMeasure : struct, IGradientMeasure
    {
        RowRange.Check(ground, firstRow, rows, values);
        GridFrame frame = ground.Frame;
        int bands = (rows + BandRows - 1) / BandRows;
        Parallel.For(0, bands, WorkThreads.Options(cancellationToken), band =>
        {
            for (int i = band * BandRows; i < Math.Min((band + 1) * BandRows, rows); i++)
            {
                int r = firstRow + i;
                Span<float> row = values.AsSpan(i * frame.Columns, frame.Columns);
                if (r == 0 || r == frame.Rows - 1 || frame.Columns < 3)
                {
                    for (int c = 0; c < row.Length; c++)
                    {
                        row[c] = Mended(ground, method, measure, r, c);
                    }

                    continue;
                }

                row[0] = Mended(ground, method, measure, r, 0);
                row[^1] = Mended(ground, method, measure, r, row.Length - 1);
                Inner(ground, method, measure, r, row);
            }
        });
    }

    /// <summary>The measure of a cell, with what is missing around it made up.</summary>
    public static float Mended<TMeasure>(ElevationGrid ground, SlopeMethod method, TMeasure measure, int row, int column)
        where TMeasure : struct, IGradientMeasure
    {
        if (float.IsNaN(ground.Array[(row * ground.Frame.Columns) + column]))
        {
            return float.NaN;
        }

        (double east, double north) = CellWindow.Read(ground, row, column).Rise(method);
        return measure.One((float)east, (float)north);
    }

    /// <summary>Measures some cells of a row from three rows of heights, one wider at each end; NaN where one that counts is missing.</summary>
    public static void Row<TMeasure>(
        ReadOnlySpan<float> above, ReadOnlySpan<float> here, ReadOnlySpan<float> below, SlopeMethod method, TMeasure measure, Span<float> values)
        where TMeasure : struct, IGradientMeasure
    {
        int count = values.Length;
        ArgumentOutOfRangeException.ThrowIfLessThan(Math.Min(Math.Min(above.Length, here.Length), below.Length), count + 2);
        int c = 0;
        if (Vector256.IsHardwareAccelerated)
        {
            ref float n = ref MemoryMarshal.GetReference(above);
            ref float h = ref MemoryMarshal.GetReference(here);
            ref float s = ref MemoryMarshal.GetReference(below);
            ref float to = ref MemoryMarshal.GetReference(values);
            for (; c <= count - Lanes; c += Lanes)
            {
                Eight(ref n, ref h, ref s, c, method, measure).StoreUnsafe(ref to, (nuint)c);
            }
        }

        for (; c < count; c++)
        {
            values[c] = One(above.Slice(c, 3), here.Slice(c, 3), below.Slice(c, 3), method, measure);
        }
    }

    /// <summary>Measures the cell in the middle of three rows of three; NaN where a height that counts is missing.</summary>
    public static float One<TMeasure>(
        ReadOnlySpan<float> above, ReadOnlySpan<float> here, ReadOnlySpan<float> below, SlopeMethod method, TMeasure measure)
        where TMeasure : struct, IGradientMeasure
    {
        float east = here[2] - here[0];
        float north = above[1] - below[1];
        if (method == SlopeMethod.Horn)
        {
            east = ((above[2] - above[0]) + (below[2] - below[0]) + (east + east)) * 0.125f;
            north = ((above[0] - below[0]) + (above[2] - below[2]) + (north + north)) * 0.125f;
        }
        else
        {
            east *= 0.5f;
            north *= 0.5f;
        }

        return measure.One(east, north) + (here[1] - here[1]);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<float> Eight<TMeasure>(ref float above, ref float here, ref float below, int column, SlopeMethod method, TMeasure measure)
        where TMeasure : struct, IGradientMeasure
    {
        nuint at = (nuint)column;
        Vector256<float> centre = Vector256.LoadUnsafe(ref here, at + 1);
        Vector256<float> east = Vector256.LoadUnsafe(ref here, at + 2) - Vector256.LoadUnsafe(ref here, at);
        Vector256<float> north = Vector256.LoadUnsafe(ref above, at + 1) - Vector256.LoadUnsafe(ref below, at + 1);
        if (method == SlopeMethod.Horn)
        {
            Vector256<float> northWest = Vector256.LoadUnsafe(ref above, at);
            Vector256<float> northEast = Vector256.LoadUnsafe(ref above, at + 2);
            Vector256<float> southWest = Vector256.LoadUnsafe(ref below, at);
            Vector256<float> southEast = Vector256.LoadUnsafe(ref below, at + 2);
            east = ((northEast - northWest) + (southEast - southWest) + (east + east)) * Vector256.Create(0.125f);
            north = ((northWest - southWest) + (northEast - southEast) + (north + north)) * Vector256.Create(0.125f);
        }
        else
        {
            east *= Vector256.Create(0.5f);
            north *= Vector256.Create(0.5f);
        }

        return measure.Eight(east, north) + (centre - centre);
    }

    // All but the first and last cell of a row that is not the grid's first or last.
    private static void Inner<TMeasure>(ElevationGrid ground, SlopeMethod method, TMeasure measure, int r, Span<float> row)
        where TMeasure : struct, IGradientMeasure
    {
        int columns = row.Length;
        Span<float> inner = row[1..^1];
        ReadOnlySpan<float> z = ground.Heights;
        Row(z.Slice((r - 1) * columns, columns), z.Slice(r * columns, columns), z.Slice((r + 1) * columns, columns), method, measure, inner);

        int c = 0;
        if (Vector256.IsHardwareAccelerated)
        {
            ref float first = ref MemoryMarshal.GetReference(inner);
            for (; c <= inner.Length - Lanes; c += Lanes)
            {
                Vector256<float> made = Vector256.LoadUnsafe(ref first, (nuint)c);
                uint missing = ~Vector256.Equals(made, made).ExtractMostSignificantBits() & 0xFF;
                for (; missing != 0; missing &= missing - 1)
                {
                    int at = c + BitOperations.TrailingZeroCount(missing);
                    inner[at] = Mended(ground, method, measure, r, at + 1);
                }
            }
        }

        for (; c < inner.Length; c++)
        {
            if (float.IsNaN(inner[c]))
            {
                inner[c] = Mended(ground, method, measure, r, c + 1);
            }
        }
    }
}
