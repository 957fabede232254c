using Keyline.Elevation;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Draws one quantity over a field, in classes, on one A4 sheet: with boundary, lines, contours and named places, and a panel of figures, legend,
/// scale and north beside it.</summary>
/// <remarks>
/// <para>Units: the map is drawn at a plain scale (1 : 2 500 and the like) in the grid's own projection, grid north up. Missing: cells without a value stay white.</para>
/// <para>Promises: the same content gives the same bytes on the same kind of machine; a cell is drawn as its class and not smoothed; more is darker.</para>
/// <para>Cost: one image of 13 MB; under a second. Source: classes in place of shades, common map practice, no source.</para>
/// </remarks>
public static class ValueMap
{
    private const int PixelsPerInch = PlanMapOptions.DefaultPixelsPerInch;
    private const float MillimetresPerInch = 25.4f;
    private const int MostBytes = 960_000;

    /// <summary>Draws the map as a PNG image.</summary>
    /// <param name="png">Where the image goes; left open.</param>
    /// <param name="content">What is drawn.</param>
    /// <param name="cancellationToken">Stops the drawing.</param>
    /// <exception cref="ArgumentException">Bounds between classes that do not grow, or a language that maps are not drawn in.</exception>
    /// <exception cref="GroundDataException">A field too large for a sheet.</exception>
    public static void Write(Stream png, ValueMapContent content, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(png);
        ArgumentNullException.ThrowIfNull(content);
        if (!PageTongue.Languages.Contains(content.Language))
        {
            throw new ArgumentException($"No map is drawn in \"{content.Language}\".", nameof(content));
        }

        content.Validate();
        MapPage page = MapPage.For(content.Field.EnvelopeInternal);
        MapView view = new(page, content.Field.EnvelopeInternal);
        const float dots = PixelsPerInch / MillimetresPerInch;
        SKImageInfo info = new((int)MathF.Round(page.Width * dots), (int)MathF.Round(page.Height * dots), SKColorType.Rgba8888, SKAlphaType.Premul);
        using SKSurface surface = SKSurface.Create(info) ?? throw new InvalidOperationException("The image could not be made.");
        SKCanvas canvas = surface.Canvas;
        canvas.Clear(MapStyle.Paper);
        canvas.Scale(dots);
        SKColor[] colours = ValueColours.Of(content.Bounds, content.Diverges);
        canvas.Save();
        canvas.ClipRect(view.Frame);
        Cells(canvas, view, content, colours);
        cancellationToken.ThrowIfCancellationRequested();
        double interval = Contours(canvas, view, content, cancellationToken);
        Shapes(canvas, view, content);
        canvas.Restore();
        FrameLayer.Draw(canvas, view);
        new ValuePanel(page, view, content, colours, interval).Draw(canvas);
        cancellationToken.ThrowIfCancellationRequested();
        using SKImage image = surface.Snapshot();
        using SKPixmap pixels = image.PeekPixels() ?? throw new InvalidOperationException("The image cannot be read back.");
        PalettePng.Write(png, pixels, PixelsPerInch, MostBytes);
    }

    // A dot a cell, drawn without smoothing: what is seen is what was reckoned.
    private static void Cells(SKCanvas canvas, MapView view, ValueMapContent content, SKColor[] colours)
    {
        GridFrame f = content.Values.Frame;
        using SKBitmap bitmap = new(f.Columns, f.Rows, SKColorType.Rgba8888, SKAlphaType.Premul);
        Span<byte> bytes = bitmap.GetPixelSpan();
        for (int row = 0; row < f.Rows; row++)
        {
            for (int column = 0; column < f.Columns; column++)
            {
                Span<byte> dot = bytes.Slice((row * bitmap.RowBytes) + (column * 4), 4);
                float value = content.Values[row, column];
                dot.Clear();
                if (!float.IsNaN(value))
                {
                    SKColor c = colours[ValueColours.ClassOf(content.Bounds, value)];
                    (dot[0], dot[1], dot[2], dot[3]) = (c.Red, c.Green, c.Blue, 255);
                }
            }
        }

        bitmap.SetImmutable();
        using SKImage image = SKImage.FromBitmap(bitmap);
        SKPoint northWest = view.At(f.West, f.North), southEast = view.At(f.West + (f.Columns * f.CellSize), f.North - (f.Rows * f.CellSize));
        canvas.DrawImage(image, new SKRect(northWest.X, northWest.Y, southEast.X, southEast.Y), new SKSamplingOptions(SKFilterMode.Nearest));
    }

    private static double Contours(SKCanvas canvas, MapView view, ValueMapContent content, CancellationToken cancellationToken)
    {
        if (content.Ground is not { } ground)
        {
            return 0;
        }

        (double interval, IReadOnlyList<LineString> lines) = ContourLayer.Plain(ground, view.Window, content.Units.Size(UnitKind.Length), cancellationToken);
        using SKPaint paint = MapStyle.Stroke(MapStyle.Contour.WithAlpha(0xB0), MapStyle.IndexContourWidth * 0.8f);
        foreach (LineString line in lines)
        {
            using SKPath path = view.Path(line);
            canvas.DrawPath(path, paint);
        }

        return lines.Count > 0 ? interval : 0;
    }

    private static void Shapes(SKCanvas canvas, MapView view, ValueMapContent content)
    {
        using SKPath boundary = view.Path(content.Field);
        AreaLayer.DrawOutside(canvas, view, boundary);
        using (SKPaint thin = MapStyle.Stroke(ValueColours.Line, ValueColours.LineWidth))
        {
            foreach (LineString line in content.Lines)
            {
                using SKPath path = view.Path(line);
                canvas.DrawPath(path, thin);
            }
        }

        using (SKPaint casing = MapStyle.Stroke(new SKColor(0xFF, 0xFF, 0xFF, 0xC0), MapStyle.BoundaryWidth + 0.6f))
        using (SKPaint edge = MapStyle.Stroke(MapStyle.Boundary, MapStyle.BoundaryWidth))
        {
            canvas.DrawPath(boundary, casing);
            canvas.DrawPath(boundary, edge);
        }

        foreach (Coordinate mark in content.Marks)
        {
            Mark(canvas, view.At(mark));
        }

        Places(canvas, view, content);
    }

    /// <summary>Draws the mark of a place where something is wrong.</summary>
    internal static void Mark(SKCanvas canvas, SKPoint at)
    {
        using SKPaint fill = MapStyle.Fill(ValueColours.Mark);
        using SKPaint edge = MapStyle.Stroke(SKColors.White, ValueColours.MarkSize / 4);
        canvas.DrawCircle(at, ValueColours.MarkSize, fill);
        canvas.DrawCircle(at, ValueColours.MarkSize, edge);
    }

    private static void Places(SKCanvas canvas, MapView view, ValueMapContent content)
    {
        LabelPlacer labels = new(view.Frame);
        foreach (SKRect taken in FrameLayer.Reserved(view))
        {
            labels.Take(taken);
        }

        using SKPaint line = MapStyle.Stroke(ValueColours.Place, ValueColours.PlaceWidth);
        using SKPaint dot = MapStyle.Fill(ValueColours.Place);
        using SKFont font = MapStyle.Font(MapStyle.SmallSize, strong: true);
        foreach ((string name, Geometry shape) in content.Places)
        {
            using SKPath path = view.Path(shape);
            canvas.DrawPath(path, line);
            foreach (Coordinate place in shape.Dimension == Dimension.Point ? shape.Coordinates : [])
            {
                canvas.DrawCircle(view.At(place), 1.1f, dot);
            }

            SKPoint at = view.At(shape.InteriorPoint.Coordinate);
            float half = font.MeasureText(name) / 2;
            foreach (float dy in (float[])[-2.2f, 3.4f, -5, 6, -8, 9])
            {
                if (labels.TryTake(new SKRect(at.X - half - 0.4f, at.Y + dy - 1.9f, at.X + half + 0.4f, at.Y + dy + 0.6f)))
                {
                    Lettering.Haloed(canvas, name, at.X, at.Y + dy, SKTextAlign.Center, font, ValueColours.Place);
                    break;
                }
            }
        }
    }
}
