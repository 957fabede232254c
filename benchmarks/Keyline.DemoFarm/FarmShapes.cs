namespace Keyline.DemoFarm;

/// <summary>The field of the demo farm and what to avoid in it, metres from the south-west corner of the ground.</summary>
internal static class FarmShapes
{
    /// <summary>The outline, counter-clockwise.</summary>
    public static readonly (double X, double Y)[] Field =
    [
        (72, 92), (150, 58), (286, 52), (402, 66), (548, 60), (566, 180), (556, 312), (538, 428), (430, 446), (300, 438),
        (206, 452), (96, 440), (64, 330), (58, 200),
    ];

    /// <summary>A dam below the middle valley's keypoint.</summary>
    public static readonly (double X, double Y)[] Dam =
    [
        (303, 236), (318, 228), (336, 231), (345, 243), (341, 258), (326, 267), (309, 263), (300, 250),
    ];

    /// <summary>A belt of trees along the eastern ridge.</summary>
    public static readonly (double X, double Y)[] Trees =
    [
        (424, 300), (434, 300), (440, 352), (444, 408), (434, 410), (429, 354),
    ];

    /// <summary>The creek bank in the south-west, too steep to work: it stays under grass, with a strip above it that takes the water
    /// of the lines that end there.</summary>
    public static readonly (double X, double Y)[] Bank =
    [
        (52, 158), (212, 38), (190, 8), (30, 128),
    ];

    /// <summary>A buried water pipe from the dam to the southern fence.</summary>
    public static readonly (double X, double Y)[] Pipe = [(326, 228), (352, 150), (362, 52)];
}
