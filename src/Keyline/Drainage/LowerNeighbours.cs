using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Keyline.Drainage;

/// <summary>Which of the eight neighbours of a cell come before it in the order of height, then of place.</summary>
/// <remarks>
/// <para>Units: bit k of a set stands for direction k, clockwise from north.</para>
/// <para>Missing: a missing neighbour counts as lower than everything, because water leaves there. A missing cell has all
/// eight bits, which makes it neither a pit nor a saddle.</para>
/// <para>Promises: of two neighbours one is lower, never both and never none, so that level ground has an order too; the
/// vector path and the scalar one give the same bits.</para>
/// <para>Cost: about a nanosecond a cell.</para>
/// <para>Source: the total order of "simulation of simplicity", Edelsbrunner and Mücke 1990, ACM Transactions on Graphics
/// 9(1), 66-104, with the place of a cell as its rank.</para>
/// </remarks>
internal readonly struct LowerNeighbours : INeighbourCode
{
    private const int Block = 32;

    // Directions whose cells come earlier in a grid: north-west, north, north-east and west. They win ties.
    private const int Corners = 0b1010_1010;

    /// <inheritdoc/>
    public static byte OfCell(ReadOnlySpan<float> north, ReadOnlySpan<float> here, ReadOnlySpan<float> south)
    {
        float z = here[1];
        int set = north[1] > z ? 0 : 1;
        set |= north[2] > z ? 0 : 1 << 1;
        set |= here[2] >= z ? 0 : 1 << 2;
        set |= south[2] >= z ? 0 : 1 << 3;
        set |= south[1] >= z ? 0 : 1 << 4;
        set |= south[0] >= z ? 0 : 1 << 5;
        set |= here[0] > z ? 0 : 1 << 6;
        set |= north[0] > z ? 0 : 1 << 7;
        return (byte)set;
    }

    /// <summary>The first direction, clockwise, of each run of lower neighbours; two runs or more make a saddle, none a pit.</summary>
    /// <remarks>Side neighbours north and east touch across their corner, so a corner between two lower sides joins them.</remarks>
    public static int RunStarts(int set)
    {
        int joined = set | (RotateUp(set) & RotateDown(set) & Corners);
        return joined & ~RotateUp(joined) & 0xFF;
    }

    /// <summary>Marks, one bit a cell, the pits and saddles among 32 sets.</summary>
    public static uint PitsAndSaddles(ReadOnlySpan<byte> sets)
    {
        if (Vector256.IsHardwareAccelerated && sets.Length >= Block)
        {
            Vector256<byte> set = Vector256.LoadUnsafe(ref MemoryMarshal.GetReference(sets));
            Vector256<byte> joined = set | (RotateUp(set) & RotateDown(set) & Vector256.Create((byte)Corners));
            Vector256<byte> starts = Vector256.AndNot(joined, RotateUp(joined));
            Vector256<byte> several = starts & (starts - Vector256<byte>.One);
            return (Vector256.Equals(set, Vector256<byte>.Zero) | ~Vector256.Equals(several, Vector256<byte>.Zero)).ExtractMostSignificantBits();
        }

        uint bits = 0;
        for (int i = 0; i < Math.Min(sets.Length, Block); i++)
        {
            bits |= sets[i] == 0 || BitOperations.PopCount((uint)RunStarts(sets[i])) > 1 ? 1u << i : 0;
        }

        return bits;
    }

    /// <inheritdoc/>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<uint> OfEight(ref float north, ref float here, ref float south, nuint column)
    {
        Vector256<float> z = Vector256.LoadUnsafe(ref here, column + 1);
        Vector256<uint> set = Vector256.AndNot(Vector256.Create(1u), Vector256.GreaterThan(Vector256.LoadUnsafe(ref north, column + 1), z).AsUInt32());
        set |= Vector256.AndNot(Vector256.Create(1u << 1), Vector256.GreaterThan(Vector256.LoadUnsafe(ref north, column + 2), z).AsUInt32());
        set |= Vector256.AndNot(Vector256.Create(1u << 2), Vector256.GreaterThanOrEqual(Vector256.LoadUnsafe(ref here, column + 2), z).AsUInt32());
        set |= Vector256.AndNot(Vector256.Create(1u << 3), Vector256.GreaterThanOrEqual(Vector256.LoadUnsafe(ref south, column + 2), z).AsUInt32());
        set |= Vector256.AndNot(Vector256.Create(1u << 4), Vector256.GreaterThanOrEqual(Vector256.LoadUnsafe(ref south, column + 1), z).AsUInt32());
        set |= Vector256.AndNot(Vector256.Create(1u << 5), Vector256.GreaterThanOrEqual(Vector256.LoadUnsafe(ref south, column), z).AsUInt32());
        set |= Vector256.AndNot(Vector256.Create(1u << 6), Vector256.GreaterThan(Vector256.LoadUnsafe(ref here, column), z).AsUInt32());
        set |= Vector256.AndNot(Vector256.Create(1u << 7), Vector256.GreaterThan(Vector256.LoadUnsafe(ref north, column), z).AsUInt32());
        return set;
    }

    private static int RotateUp(int set) => ((set << 1) | (set >> 7)) & 0xFF;

    private static int RotateDown(int set) => ((set >> 1) | (set << 7)) & 0xFF;

    private static Vector256<byte> RotateUp(Vector256<byte> set) => (set + set) | Vector256.ShiftRightLogical(set, 7);

    private static Vector256<byte> RotateDown(Vector256<byte> set) => Vector256.ShiftRightLogical(set, 1) | Vector256.ShiftLeft(set, 7);
}
