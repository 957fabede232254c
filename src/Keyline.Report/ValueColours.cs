using SkiaSharp;

namespace Keyline.Report;

/// <summary>Colours of the classes of a map of values.</summary>
/// <remarks>More is darker; where values go two ways, brown lies on one side and blue on the other, with lightness alike, so that grey prints and colour-blind eyes
/// still tell how far a place is from nothing, and hue tells which way.</remarks>
internal static class ValueColours
{
    public const float LineWidth = 0.13f;
    public const float PlaceWidth = 0.5f;
    public static readonly SKColor Line = new(0x1D, 0x24, 0x2B, 0xA0);
    public static readonly SKColor Place = new(0xC2, 0x18, 0x5B);

    public static readonly SKColor Mark = new(0xE6, 0x5C, 0x00);
    public const float MarkSize = 0.75f;

    private static readonly SKColor[] More = [new(0xFB, 0xF6, 0xE3), new(0xBF, 0xDC, 0xD8), new(0x62, 0xA6, 0xC8), new(0x1F, 0x62, 0xA5), new(0x0B, 0x2A, 0x5C)];
    private static readonly SKColor[] Less = [new(0xFB, 0xF6, 0xE3), new(0xE3, 0xC1, 0x8C), new(0xB8, 0x7A, 0x3A), new(0x7A, 0x45, 0x14), new(0x4A, 0x26, 0x06)];

    /// <summary>One colour for each class, from the lowest.</summary>
    /// <param name="bounds">Bounds between classes.</param>
    /// <param name="diverges">Whether classes below 0 are of the other kind.</param>
    public static SKColor[] Of(IReadOnlyList<double> bounds, bool diverges)
    {
        int classes = bounds.Count + 1;
        if (!diverges)
        {
            return [.. Enumerable.Range(0, classes).Select(k => Along(More, (double)k / (classes - 1)))];
        }

        // The class that holds 0 is the pale one; where 0 is a bound there is none, and both sides begin a step away.
        int below = bounds.Count(b => b <= 0), above = bounds.Count(b => b >= 0);
        bool parted = bounds.Contains(0);
        int most = Math.Max(below, above);
        return [.. Enumerable.Range(0, classes).Select(k => k < below
            ? Along(Less, (double)(below - k) / most)
            : Along(More, (double)(k - below + (parted ? 1 : 0)) / most))];
    }

    /// <summary>The class of a value.</summary>
    public static int ClassOf(IReadOnlyList<double> bounds, double value)
    {
        int k = 0;
        while (k < bounds.Count && value >= bounds[k])
        {
            k++;
        }

        return k;
    }

    private static SKColor Along(SKColor[] ramp, double share)
    {
        double at = Math.Clamp(share, 0, 1) * (ramp.Length - 1);
        int low = Math.Min((int)at, ramp.Length - 2);
        double rest = at - low;
        byte Mixed(byte a, byte b) => (byte)Math.Round(a + (rest * (b - a)));
        return new SKColor(Mixed(ramp[low].Red, ramp[low + 1].Red), Mixed(ramp[low].Green, ramp[low + 1].Green), Mixed(ramp[low].Blue, ramp[low + 1].Blue));
    }
}
