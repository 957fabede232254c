using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>The shaded relief of a map as a small image to be put into a page.</summary>
/// <remarks>Cost: proportional to the cells of the ground; at most <see cref="LongestSide"/> dots a side are kept, some hundred kilobytes.</remarks>
internal static class ReliefImage
{
    /// <summary>Dots along the longer side, at most.</summary>
    public const int LongestSide = 1400;

    private const int Quality = 80;
    private static readonly SKColor Beyond = new(0xF4, 0xF2, 0xEC);

    /// <summary>Draws it.</summary>
    /// <returns>The bytes of a JPEG and the ground it covers; null where there is none.</returns>
    public static (byte[] Jpeg, Envelope Covers)? Draw(KeylinePlan plan, Envelope window, CancellationToken cancellationToken)
    {
        if (ReliefLayer.Paint(plan, window, cancellationToken) is not { } painted)
        {
            return null;
        }

        using SKBitmap bitmap = painted.Bitmap;
        double shrink = Math.Min(1, LongestSide / (double)Math.Max(bitmap.Width, bitmap.Height));
        SKImageInfo size = new(Math.Max(1, (int)(bitmap.Width * shrink)), Math.Max(1, (int)(bitmap.Height * shrink)), SKColorType.Rgba8888, SKAlphaType.Opaque);
        using SKSurface surface = SKSurface.Create(size) ?? throw new InvalidOperationException("The relief could not be made.");
        // Where nothing is known of the ground it is as the map is beyond it.
        surface.Canvas.Clear(Beyond);
        using SKImage image = SKImage.FromBitmap(bitmap);
        surface.Canvas.DrawImage(image, new SKRect(0, 0, size.Width, size.Height), new SKSamplingOptions(SKFilterMode.Linear, SKMipmapMode.Linear));
        using SKImage drawn = surface.Snapshot();
        using SKData data = drawn.Encode(SKEncodedImageFormat.Jpeg, Quality) ?? throw new InvalidOperationException("The relief cannot be packed as JPEG.");
        return (data.ToArray(), painted.Covers);
    }
}
