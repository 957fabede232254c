using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Keyline.Drainage;

/// <summary>Something told of a cell from its eight neighbours, in one byte.</summary>
internal interface INeighbourCode
{
    /// <summary>The code of the cell in the middle of three rows of three.</summary>
    static abstract byte OfCell(ReadOnlySpan<float> north, ReadOnlySpan<float> here, ReadOnlySpan<float> south);

    /// <summary>The codes of eight cells, the first in the middle of the three values at a column of each row.</summary>
    static abstract Vector256<uint> OfEight(ref float north, ref float here, ref float south, nuint column);
}

/// <summary>Codes row by row, 32 cells at a time.</summary>
internal static class NeighbourRows
{
    private const int Block = 32;

    /// <summary>Finds the codes of one row.</summary>
    /// <param name="north">The row above, one value further west and one further east than the cells asked for.</param>
    /// <param name="here">The row itself, as wide.</param>
    /// <param name="south">The row below, as wide.</param>
    /// <param name="codes">The answer, one byte a cell; its length says how many cells are asked for.</param>
    public static void OfRow<TCode>(ReadOnlySpan<float> north, ReadOnlySpan<float> here, ReadOnlySpan<float> south, Span<byte> codes)
        where TCode : struct, INeighbourCode
    {
        int count = codes.Length;
        ArgumentOutOfRangeException.ThrowIfLessThan(Math.Min(Math.Min(north.Length, here.Length), south.Length), count + 2);
        int c = 0;
        if (Vector256.IsHardwareAccelerated)
        {
            ref float n = ref MemoryMarshal.GetReference(north);
            ref float h = ref MemoryMarshal.GetReference(here);
            ref float s = ref MemoryMarshal.GetReference(south);
            ref byte to = ref MemoryMarshal.GetReference(codes);
            for (; c <= count - Block; c += Block)
            {
                nuint at = (nuint)c;
                Vector256<ushort> first = Vector256.Narrow(TCode.OfEight(ref n, ref h, ref s, at), TCode.OfEight(ref n, ref h, ref s, at + 8));
                Vector256<ushort> second = Vector256.Narrow(TCode.OfEight(ref n, ref h, ref s, at + 16), TCode.OfEight(ref n, ref h, ref s, at + 24));
                Vector256.Narrow(first, second).StoreUnsafe(ref to, at);
            }
        }

        for (; c < count; c++)
        {
            codes[c] = TCode.OfCell(north.Slice(c, 3), here.Slice(c, 3), south.Slice(c, 3));
        }
    }
}
