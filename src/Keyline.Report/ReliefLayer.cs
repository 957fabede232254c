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

    // A sheet of A3 across at the default fineness has fewer dots.
    internal const int MostDots = 3072;

    // Fine enough for soft shades, whatever the printer.
    private const float PackedDotsPerMillimetre = 150 / 25.4f;

    /// <summary>Draws painted relief.</summary>
    /// <param name="canvas">Where to.</param>
    /// <param name="view">Where the ground lies on the sheet.</param>
    /// <param name="image">A dot a cell.</param>
    /// <param name="covers">The ground it covers.</param>
    public static void Draw(SKCanvas canvas, MapView view, SKImage image, Envelope covers)
    {
        SKPoint northWest = view.At(covers.MinX, covers.MaxY), southEast = view.At(covers.MaxX, covers.MinY);
        canvas.DrawImage(image, new SKRect(northWest.X, northWest.Y, southEast.X, southEast.Y), new SKSamplingOptions(SKCubicResampler.Mitchell));
    }

    /// <summary>Draws the part of it in the frame as a small packed image, for drawings that keep images as they are.</summary>
    public static void DrawPacked(SKCanvas canvas, MapView view, SKImage image, Envelope covers)
    {
        SKRect frame = view.Frame;
        SKImageInfo info = new((int)MathF.Ceiling(frame.Width * PackedDotsPerMillimetre), (int)MathF.Ceiling(frame.Height * PackedDotsPerMillimetre), SKColorType.Rgba8888, SKAlphaType.Opaque);
        using SKSurface surface = SKSurface.Create(info) ?? throw new InvalidOperationException("The image could not be made.");
        surface.Canvas.Clear(MapStyle.Paper);
        surface.Canvas.Scale(info.Width / frame.Width, info.Height / frame.Height);
        surface.Canvas.Translate(-frame.Left, -frame.Top);
        Draw(surface.Canvas, view, image, covers);
        using SKImage drawn = surface.Snapshot();
        using SKData packed = drawn.Encode(SKEncodedImageFormat.Jpeg, 82);
        using SKImage small = SKImage.FromEncodedData(packed);
        canvas.DrawImage(small, frame, new SKSamplingOptions(SKFilterMode.Linear));
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

        // Ground of more cells than any sheet or screen has dots is painted from means of blocks of them.
        int block = (Math.Max(bottom - top, right - left) + MostDots - 1) / MostDots;
        if (block > 1)
        {
            return Paint(Means(plan.Ground, block, top, bottom, left, right), Means(plan.Smoothed, block, top, bottom, left, right), cancellationToken);
        }

        double factor = VerticalFactor(plan.Smoothed, top, bottom, left, right);
        // A rim of one cell more, so that the light at the edge is that of the whole grid.
        int rimLeft = Math.Max(0, left - 1), rimTop = Math.Max(0, top - 1), rimRight = Math.Min(frame.Columns, right + 1), rimBottom = Math.Min(frame.Rows, bottom + 1);
        Grid<float> fine = Hillshade.Compute(Cells(plan.Ground, rimTop, rimBottom, rimLeft, rimRight), Azimuth, Altitude, factor, cancellationToken);
        Grid<float> soft = Hillshade.Compute(Cells(plan.Smoothed, rimTop, rimBottom, rimLeft, rimRight), Azimuth, Altitude, factor, cancellationToken);
        SKBitmap bitmap = Tinted(plan.Ground, fine, soft, top, bottom, left, right, rimTop, rimLeft, cancellationToken);
        return (bitmap, new Envelope(
            frame.West + (left * frame.CellSize), frame.West + (right * frame.CellSize), frame.North - (bottom * frame.CellSize), frame.North - (top * frame.CellSize)));
    }

    private static SKBitmap Tinted(ElevationGrid ground, Grid<float> fine, Grid<float> soft, int top, int bottom, int left, int right, int rimTop, int rimLeft, CancellationToken cancellationToken)
    {
        (float low, float high) = HeightRange(ground, top, bottom, left, right);
        SKBitmap bitmap = new(right - left, bottom - top, SKColorType.Rgba8888, SKAlphaType.Premul);
        Span<byte> pixels = bitmap.GetPixelSpan();
        float level = (float)Math.Sin(Altitude * Math.PI / 180);
        for (int row = top; row < bottom; row++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int column = left; column < right; column++)
            {
                Span<byte> pixel = pixels.Slice(((row - top) * bitmap.RowBytes) + ((column - left) * 4), 4);
                Tint(pixel, ground[row, column], fine[row - rimTop, column - rimLeft], soft[row - rimTop, column - rimLeft], level, low, high);
            }
        }

        return bitmap;
    }

    private static (SKBitmap Bitmap, Envelope Covers) Paint(ElevationGrid ground, ElevationGrid smoothed, CancellationToken cancellationToken)
    {
        GridFrame frame = ground.Frame;
        double factor = VerticalFactor(smoothed, 0, frame.Rows, 0, frame.Columns);
        Grid<float> fine = Hillshade.Compute(ground, Azimuth, Altitude, factor, cancellationToken), soft = Hillshade.Compute(smoothed, Azimuth, Altitude, factor, cancellationToken);
        return (Tinted(ground, fine, soft, 0, frame.Rows, 0, frame.Columns, 0, 0, cancellationToken), frame.Extent);
    }

    // Blocks at the far edges may reach beyond the cells asked for, never beyond the ground.
    private static ElevationGrid Means(ElevationGrid ground, int block, int top, int bottom, int left, int right)
    {
        GridFrame f = ground.Frame;
        GridFrame frame = new(Math.Min((bottom - top + block - 1) / block, (f.Rows - top) / block), Math.Min((right - left + block - 1) / block, (f.Columns - left) / block), f.CellSize * block, f.West + (left * f.CellSize), f.North - (top * f.CellSize));
        float[] means = new float[frame.Rows * frame.Columns];
        Parallel.For(0, frame.Rows, WorkThreads.Options(CancellationToken.None), r =>
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                float sum = 0;
                int known = 0;
                for (int i = 0; i < block; i++)
                {
                    foreach (float z in ground.Row(top + (r * block) + i).Slice(left + (c * block), block))
                    {
                        (sum, known) = float.IsNaN(z) ? (sum, known) : (sum + z, known + 1);
                    }
                }

                means[(r * frame.Columns) + c] = known > 0 ? sum / known : float.NaN;
            }
        });
        return ElevationGrid.TakeOver(frame, means);
    }

    private static ElevationGrid Cells(ElevationGrid ground, int top, int bottom, int left, int right)
    {
        GridFrame frame = ground.Frame;
        if (top == 0 && left == 0 && bottom == frame.Rows && right == frame.Columns)
        {
            return ground;
        }

        float[] heights = new float[(bottom - top) * (right - left)];
        for (int row = top; row < bottom; row++)
        {
            ground.Row(row)[left..right].CopyTo(heights.AsSpan((row - top) * (right - left)));
        }

        return ElevationGrid.TakeOver(new GridFrame(bottom - top, right - left, frame.CellSize, frame.West + (left * frame.CellSize), frame.North - (top * frame.CellSize)), heights);
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
