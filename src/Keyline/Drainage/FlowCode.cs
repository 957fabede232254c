namespace Keyline.Drainage;

/// <summary>What directions that are one byte a cell have in common: 0 to 7 clockwise from north, and one code for no flow.</summary>
internal static class FlowCode
{
    /// <summary>The code of a cell that drains nowhere.</summary>
    public const byte None = 255;

    /// <summary>The order in which equal ways are tried: sides first, clockwise from north, then the corners.</summary>
    public static ReadOnlySpan<byte> SidesFirst => [0, 2, 4, 6, 1, 3, 5, 7];
}
