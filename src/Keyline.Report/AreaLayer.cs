using Keyline.Field;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Areas of the field: what lies outside it, its headland, what is avoided and what is too steep.</summary>
internal static class AreaLayer
{
    /// <summary>Whitens everything beyond the field, so that the field stands out.</summary>
    public static void DrawOutside(SKCanvas canvas, MapView view, SKPath boundary)
    {
        canvas.Save();
        using SKPath outside = view.AllBut(boundary);
        canvas.ClipPath(outside, SKClipOperation.Intersect, true);
        using SKPaint veil = MapStyle.Fill(new SKColor(0xFF, 0xFF, 0xFF, 0x60));
        canvas.DrawRect(view.Frame, veil);
        canvas.Restore();
    }

    /// <summary>The headland as a pale band inside the boundary.</summary>
    public static void DrawHeadland(SKCanvas canvas, MapView view, SKPath outline, Geometry inner)
    {
        using SKPath inside = view.Path(inner);
        canvas.Save();
        canvas.ClipPath(outline, SKClipOperation.Intersect, true);
        using SKPath rim = view.AllBut(inside);
        canvas.ClipPath(rim, SKClipOperation.Intersect, true);
        using SKPaint band = MapStyle.Fill(MapStyle.Headland);
        canvas.DrawRect(view.Frame, band);
        canvas.Restore();
        using SKPaint edge = MapStyle.Stroke(MapStyle.QuietInk.WithAlpha(0x90), 0.14f, [0.8f, 0.6f]);
        canvas.DrawPath(inside, edge);
    }

    /// <summary>Land left out as too steep: fine hatching down to the right.</summary>
    public static void DrawSteep(SKCanvas canvas, MapView view, Geometry steep)
    {
        if (steep.IsEmpty)
        {
            return;
        }

        using SKPath path = view.Path(steep);
        SteepSwatch(canvas, path);
    }

    public static void SteepSwatch(SKCanvas canvas, SKPath path)
    {
        using SKPaint wash = MapStyle.Fill(MapStyle.Steep.WithAlpha(0x1C));
        canvas.DrawPath(path, wash);
        Hatch(canvas, path, MapStyle.Steep.WithAlpha(0xB0), 1.1f, 0.16f, falling: true);
        using SKPaint edge = MapStyle.Stroke(MapStyle.Steep.WithAlpha(0xC0), 0.16f);
        canvas.DrawPath(path, edge);
    }

    /// <summary>Avoided areas: the thing itself solid, its setback hatched up to the right.</summary>
    public static void DrawAvoided(SKCanvas canvas, MapView view, IReadOnlyList<AvoidedArea> avoided)
    {
        foreach (AvoidedArea area in avoided)
        {
            using SKPath clear = view.Path(area.KeptClear);
            AvoidedSwatch(canvas, clear);
        }

        using SKPaint solid = MapStyle.Fill(MapStyle.Avoided.WithAlpha(0xB8));
        using SKPaint line = MapStyle.Stroke(MapStyle.Avoided, 0.5f);
        foreach (AvoidedArea area in avoided)
        {
            using SKPath shape = view.Path(area.Shape);
            if (area.Shape.Dimension == Dimension.Surface)
            {
                canvas.DrawPath(shape, solid);
            }
            else if (area.Shape.Dimension == Dimension.Curve)
            {
                canvas.DrawPath(shape, line);
            }
            else
            {
                foreach (Coordinate place in area.Shape.Coordinates)
                {
                    canvas.DrawCircle(view.At(place), 0.5f, solid);
                }
            }
        }
    }

    public static void AvoidedSwatch(SKCanvas canvas, SKPath path)
    {
        using SKPaint wash = MapStyle.Fill(new SKColor(0xFF, 0xFF, 0xFF, 0xB0));
        canvas.DrawPath(path, wash);
        Hatch(canvas, path, MapStyle.Avoided.WithAlpha(0xD0), 1.3f, 0.2f, falling: false);
        using SKPaint edge = MapStyle.Stroke(MapStyle.Avoided, 0.22f);
        canvas.DrawPath(path, edge);
    }

    /// <summary>Names of avoided areas where there is room beside them.</summary>
    public static void DrawNames(SKCanvas canvas, MapView view, IReadOnlyList<AvoidedArea> avoided, LabelPlacer labels)
    {
        using SKFont font = MapStyle.Font(MapStyle.SmallSize, strong: true);
        foreach (AvoidedArea area in avoided)
        {
            if (area.Name.Length == 0)
            {
                continue;
            }

            SKPoint at = view.At(area.Shape.InteriorPoint.Coordinate);
            Envelope extent = area.KeptClear.EnvelopeInternal;
            float half = font.MeasureText(area.Name) / 2;
            float high = (float)(extent.Height * view.MillimetresPerMetre / 2);
            foreach (float dy in (float[])[0, high + 1.6f, -high - 1.6f, 4, -4, 8, -8])
            {
                SKRect place = new(at.X - half - 0.4f, at.Y + dy - 1.3f, at.X + half + 0.4f, at.Y + dy + 1.3f);
                if (labels.TryTake(place))
                {
                    Lettering.Haloed(canvas, area.Name, at.X, at.Y + dy + 0.75f, SKTextAlign.Center, font, MapStyle.Avoided);
                    break;
                }
            }
        }
    }

    private static void Hatch(SKCanvas canvas, SKPath path, SKColor color, float pitch, float width, bool falling)
    {
        SKRect box = path.Bounds;
        if (canvas.LocalClipBounds is SKRect clip && !box.IntersectsWith(clip))
        {
            return;
        }

        box.Intersect(canvas.LocalClipBounds);
        canvas.Save();
        canvas.ClipPath(path, SKClipOperation.Intersect, true);
        using SKPaint paint = MapStyle.Stroke(color, width);
        // Strokes stand on one lattice for the whole sheet, so that neighbouring areas hatch alike.
        float sign = falling ? 1 : -1;
        float least = Math.Min(box.Left - (sign * box.Top), box.Left - (sign * box.Bottom));
        float most = Math.Max(box.Right - (sign * box.Top), box.Right - (sign * box.Bottom));
        float step = pitch * MathF.Sqrt(2);
        for (int k = (int)MathF.Floor(least / step); k <= (int)MathF.Ceiling(most / step); k++)
        {
            float c = k * step;
            canvas.DrawLine(c + (sign * box.Top), box.Top, c + (sign * box.Bottom), box.Bottom, paint);
        }

        canvas.Restore();
    }
}
