using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Keyline.Drainage;

/// <summary>The direction in which each cell of a row drops most steeply.</summary>
/// <remarks>
/// <para>Units: codes 0 to 7 clockwise from north, 255 where no neighbour is lower.</para>
/// <para>Missing: 255; a missing neighbour is no lower one.</para>
/// <para>Promises: of equal drops the lowest code wins; the vector path and the scalar one give the same codes, because
/// both work in single precision in the same order. Turned ground gives turned directions where no drops are equal.</para>
/// <para>Cost: about a nanosecond a cell.</para>
/// <para>Source: O'Callaghan and Mark 1984, Computer Vision, Graphics and Image Processing 28, 323-344.</para>
/// </remarks>
internal static class SteepestDrop
{
    private const float PerDiagonal = 0.70710678f;
    private const int Block = 32;

    /// <summary>Finds the codes of one row.</summary>
    /// <param name="north">The row above, one value further west and one further east than the cells asked for.</param>
    /// <param name="here">The row itself, as wide.</param>
    /// <param name="south">The row below, as wide.</param>
    /// <param name="codes">The answer; its length says how many cells are asked for.</param>
    public static void OfRow(ReadOnlySpan<float> north, ReadOnlySpan<float> here, ReadOnlySpan<float> south, Span<byte> codes)
    {
        int count = codes.Length;
        ArgumentOutOfRangeException.ThrowIfLessThan(Math.Min(Math.Min(north.Length, here.Length), south.Length), count + 2);
        int c = 0;
        if (Vector256.IsHardwareAccelerated && count >= Block)
        {
            ref float n = ref MemoryMarshal.GetReference(north);
            ref float h = ref MemoryMarshal.GetReference(here);
            ref float s = ref MemoryMarshal.GetReference(south);
            ref byte to = ref MemoryMarshal.GetReference(codes);
            for (; c <= count - Block; c += Block)
            {
                Vector256<ushort> first = Vector256.Narrow(Eight(ref n, ref h, ref s, c), Eight(ref n, ref h, ref s, c + 8));
                Vector256<ushort> second = Vector256.Narrow(Eight(ref n, ref h, ref s, c + 16), Eight(ref n, ref h, ref s, c + 24));
                Vector256.Narrow(first, second).StoreUnsafe(ref to, (nuint)c);
            }
        }

        for (; c < count; c++)
        {
            codes[c] = OfCell(north.Slice(c, 3), here.Slice(c, 3), south.Slice(c, 3));
        }
    }

    /// <summary>Finds the code of the cell in the middle of three rows of three.</summary>
    public static byte OfCell(ReadOnlySpan<float> north, ReadOnlySpan<float> here, ReadOnlySpan<float> south)
    {
        float z = here[1];
        float steepest = 0;
        byte code = D8Directions.NoFlow;
        Try(z - north[1], 0, ref steepest, ref code);
        Try((z - north[2]) * PerDiagonal, 1, ref steepest, ref code);
        Try(z - here[2], 2, ref steepest, ref code);
        Try((z - south[2]) * PerDiagonal, 3, ref steepest, ref code);
        Try(z - south[1], 4, ref steepest, ref code);
        Try((z - south[0]) * PerDiagonal, 5, ref steepest, ref code);
        Try(z - here[0], 6, ref steepest, ref code);
        Try((z - north[0]) * PerDiagonal, 7, ref steepest, ref code);
        return code;
    }

    // A missing height makes the drop NaN, which is not above anything.
    private static void Try(float drop, byte direction, ref float steepest, ref byte code)
    {
        if (drop > steepest)
        {
            steepest = drop;
            code = direction;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<uint> Eight(ref float north, ref float here, ref float south, int column)
    {
        nuint at = (nuint)column;
        Vector256<float> z = Vector256.LoadUnsafe(ref here, at + 1);
        Vector256<float> perDiagonal = Vector256.Create(PerDiagonal);
        Vector256<float> steepest = Vector256<float>.Zero;
        Vector256<uint> code = Vector256.Create((uint)D8Directions.NoFlow);
        Try(z - Vector256.LoadUnsafe(ref north, at + 1), 0, ref steepest, ref code);
        Try((z - Vector256.LoadUnsafe(ref north, at + 2)) * perDiagonal, 1, ref steepest, ref code);
        Try(z - Vector256.LoadUnsafe(ref here, at + 2), 2, ref steepest, ref code);
        Try((z - Vector256.LoadUnsafe(ref south, at + 2)) * perDiagonal, 3, ref steepest, ref code);
        Try(z - Vector256.LoadUnsafe(ref south, at + 1), 4, ref steepest, ref code);
        Try((z - Vector256.LoadUnsafe(ref south, at)) * perDiagonal, 5, ref steepest, ref code);
        Try(z - Vector256.LoadUnsafe(ref here, at), 6, ref steepest, ref code);
        Try((z - Vector256.LoadUnsafe(ref north, at)) * perDiagonal, 7, ref steepest, ref code);
        return code;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Try(Vector256<float> drop, uint direction, ref Vector256<float> steepest, ref Vector256<uint> code)
    {
        Vector256<float> steeper = Vector256.GreaterThan(drop, steepest);
        steepest = Vector256.ConditionalSelect(steeper, drop, steepest);
        code = Vector256.ConditionalSelect(steeper.AsUInt32(), Vector256.Create(direction), code);
    }
}
