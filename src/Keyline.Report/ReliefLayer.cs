using Keyline.Elevation;
using Keyline.Terrain;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Soft shaded relief under a pale tint that warms with height.</summary>
/// <remarks>
/// Light comes from the north-west, as on printed maps. Gentle ground is exaggerated so that a fall of one in a
/// hundred can be seen; the shading shows shape and is not to be measured. Missing heights stay paper white.
/// </remarks>
internal static class ReliefLayer
{
    private const double Azimuth = 315;
    private const double Altitude = 45;

    public static void Draw(SKCanvas canvas, MapView view, KeylinePlan plan, CancellationToken cancellationToken)
    {
        if (Paint(plan, view.Window, cancellationToken) is not { } painted)
        {
            return;
        }

        using SKBitmap bitmap = painted.Bitmap;
        using SKImage image = SKImage.FromBitmap(bitmap);
        SKPoint northWest = view.At(painted.Covers.MinX, painted.Covers.MaxY);
        SKPoint southEast = view.At(painted.Covers.MaxX, painted.Covers.MinY);
        canvas.DrawImage(image, new SKRect(northWest.X, northWest.Y, southEast.X, southEast.Y), new SKSamplingOptions(SKCubicResampler.Mitchell));
    }

    /// <summary>The relief of the cells that a window touches, a dot a cell, and the ground they cover; null where there are none.</summary>
    public static (SKBitmap Bitmap, Envelope Covers)? Paint(KeylinePlan plan, Envelope window, CancellationToken cancellationToken)
    {
        GridFrame frame = plan.Ground.Frame;
        int left = Math.Clamp((int)Math.Floor(frame.ColumnAt(window.MinX)) - 2, 0, frame.Columns);
        int right = Math.Clamp((int)Math.Ceiling(frame.ColumnAt(window.MaxX)) + 3, 0, frame.Columns);
        int top = Math.Clamp((int)Math.Floor(frame.RowAt(window.MaxY)) - 2, 0, frame.Rows);
        int bottom = Math.Clamp((int)Math.Ceiling(frame.RowAt(window.MinY)) + 3, 0, frame.Rows);
        if (right <= left || bottom <= top)
        {
            return null;
        }

        double factor = VerticalFactor(plan.Smoothed, top, bottom, left, right);
        Grid<float> fine = Hillshade.Compute(plan.Ground, Azimuth, Altitude, factor, cancellationToken);
        Grid<float> soft = Hillshade.Compute(plan.Smoothed, Azimuth, Altitude, factor, cancellationToken);
        (float low, float high) = HeightRange(plan.Ground, top, bottom, left, right);
        SKBitmap bitmap = new(right - left, bottom - top, SKColorType.Rgba8888, SKAlphaType.Premul);
        Span<byte> pixels = bitmap.GetPixelSpan();
        float level = (float)Math.Sin(Altitude * Math.PI / 180);
        for (int row = top; row < bottom; row++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int column = left; column < right; column++)
            {
                Span<byte> pixel = pixels.Slice(((row - top) * bitmap.RowBytes) + ((column - left) * 4), 4);
                Tint(pixel, plan.Ground[row, column], fine[row, column], soft[row, column], level, low, high);
            }
        }

        return (bitmap, new Envelope(
            frame.West + (left * frame.CellSize), frame.West + (right * frame.CellSize), frame.North - (bottom * frame.CellSize), frame.North - (top * frame.CellSize)));
    }

    private static void Tint(Span<byte> pixel, float height, float fine, float soft, float level, float low, float high)
    {
        if (float.IsNaN(height))
        {
            pixel.Clear();
            return;
        }

        float shade = float.IsNaN(fine) ? soft : float.IsNaN(soft) ? fine : (0.4f * fine) + (0.6f * soft);
        float light = float.IsNaN(shade) ? 0 : Math.Clamp((shade - level) / level, -1f, 0.42f);
        float share = high > low ? Math.Clamp((height - low) / (high - low), 0, 1) : 0.5f;
        // Level ground keeps its tint; shade darkens by at most 45 % and light lifts toward white.
        for (int i = 0; i < 3; i++)
        {
            float from = Channel(MapStyle.LowGround, i);
            float tint = from + (share * (Channel(MapStyle.HighGround, i) - from));
            float value = light < 0 ? tint * (1 + (0.45f * light)) : tint + ((255 - tint) * 1.6f * light);
            pixel[i] = (byte)Math.Clamp(MathF.Round(value), 0, 255);
        }

        pixel[3] = 255;
    }

    private static float Channel(SKColor color, int index) => index switch { 0 => color.Red, 1 => color.Green, _ => color.Blue };

    /// <summary>Exaggeration that gives the middling slope of the view a plain shade.</summary>
    private static double VerticalFactor(ElevationGrid ground, int top, int bottom, int left, int right)
    {
        List<double> slopes = [];
        int step = Math.Max(1, (int)Math.Sqrt((bottom - top) * (double)(right - left) / 20_000));
        for (int row = top; row < bottom - 1; row += step)
        {
            for (int column = left; column < right - 1; column += step)
            {
                double east = ground[row, column + 1] - (double)ground[row, column];
                double south = ground[row + 1, column] - (double)ground[row, column];
                double slope = Math.Sqrt((east * east) + (south * south)) / ground.Frame.CellSize;
                if (double.IsFinite(slope))
                {
                    slopes.Add(slope);
                }
            }
        }

        if (slopes.Count == 0)
        {
            return 1;
        }

        slopes.Sort();
        double middling = slopes[slopes.Count / 2];
        return Math.Clamp(0.36 / Math.Max(middling, 1e-6), 1, 12);
    }

    private static (float Low, float High) HeightRange(ElevationGrid ground, int top, int bottom, int left, int right)
    {
        float low = float.PositiveInfinity;
        float high = float.NegativeInfinity;
        for (int row = top; row < bottom; row++)
        {
            foreach (float height in ground.Row(row)[left..right])
            {
                if (height < low)
                {
                    low = height;
                }

                if (height > high)
                {
                    high = height;
                }
            }
        }

        return (low, high);
    }
}
