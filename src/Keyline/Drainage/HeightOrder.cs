namespace Keyline.Drainage;

/// <summary>Keys of 64 bits that sort as heights do, and cells of one height by their number.</summary>
internal static class HeightOrder
{
    private const uint Sign = 0x80000000u;

    /// <summary>The key of a cell. The height must not be missing.</summary>
    public static ulong Key(float height, int cell)
    {
        // Adding zero makes the negative zero positive: the two are one height.
        uint bits = BitConverter.SingleToUInt32Bits(height + 0f);
        bits = (bits & Sign) == 0 ? bits | Sign : ~bits;
        return ((ulong)bits << 32) | (uint)cell;
    }

    /// <summary>The cell of a key.</summary>
    public static int Cell(ulong key) => (int)(uint)key;

    /// <summary>The height of a key.</summary>
    public static float Height(ulong key)
    {
        uint bits = (uint)(key >> 32);
        return BitConverter.UInt32BitsToSingle((bits & Sign) != 0 ? bits & ~Sign : ~bits);
    }
}
