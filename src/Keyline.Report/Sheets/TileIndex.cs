using System.Globalization;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Which sheet shows what: frames of sheets over the field, small on every sheet and large on the overview.</summary>
internal static class TileIndex
{
    /// <summary>Draws the frames over a map.</summary>
    public static void DrawOver(SKCanvas canvas, MapView view, SheetTiling tiling)
    {
        using SKPaint halo = MapStyle.Stroke(new SKColor(0xFF, 0xFF, 0xFF, 0xB0), 0.9f), edge = MapStyle.Stroke(MapStyle.Ink, 0.3f, [2.2f, 1.2f]), plate = MapStyle.Fill(new SKColor(0xFF, 0xFF, 0xFF, 0xD8)), rim = MapStyle.Stroke(MapStyle.Ink, 0.25f);
        using SKFont font = MapStyle.Font(3.6f, strong: true);
        canvas.Save();
        canvas.ClipRect(view.Frame);
        foreach (SheetTile tile in tiling.Tiles)
        {
            SKRect own = Own(view, tile, tiling);
            canvas.DrawRect(own, halo);
            canvas.DrawRect(own, edge);
            SKPoint at = new(Math.Clamp(own.Left + 5, view.Frame.Left + 5, view.Frame.Right - 5), Math.Clamp(own.Top + 5, view.Frame.Top + 5, view.Frame.Bottom - 5));
            canvas.DrawCircle(at, 3, plate);
            canvas.DrawCircle(at, 3, rim);
            Lettering.Plain(canvas, Number(tile), at.X, at.Y + 1.3f, SKTextAlign.Center, font, MapStyle.Ink);
        }

        canvas.Restore();
    }

    /// <summary>Draws a small one into a box, with one sheet dark.</summary>
    public static void DrawSmall(SKCanvas canvas, SKRect box, SheetTiling tiling, SheetTile here, Geometry field)
    {
        Envelope all = field.EnvelopeInternal.Copy();
        foreach (SheetTile tile in tiling.Tiles)
        {
            all.ExpandToInclude(tile.Window);
        }

        int scale = (int)Math.Ceiling(1000 * Math.Max(all.Width / box.Width, all.Height / box.Height));
        MapView view = new(box, scale, all.Centre);
        using SKPaint dark = MapStyle.Fill(MapStyle.Ink), edge = MapStyle.Stroke(MapStyle.QuietInk, 0.15f), ground = MapStyle.Fill(MapStyle.HighGround), outline = MapStyle.Stroke(MapStyle.Ink, 0.3f);
        using SKPath shape = view.Path(field);
        using SKFont font = MapStyle.Font(2.2f, strong: true);
        canvas.DrawPath(shape, ground);
        foreach (SheetTile tile in tiling.Tiles)
        {
            SKRect own = Own(view, tile, tiling);
            if (tile == here)
            {
                canvas.DrawRect(own, dark);
            }

            canvas.DrawRect(own, edge);
        }

        canvas.DrawPath(shape, outline);
        foreach (SheetTile tile in tiling.Tiles)
        {
            SKRect own = Own(view, tile, tiling);
            Lettering.Plain(canvas, Number(tile), own.MidX, own.MidY + 0.8f, SKTextAlign.Center, font, tile == here ? SKColors.White : MapStyle.Ink);
        }
    }

    // A sheet up to its match lines, or its frame where nothing joins it.
    private static SKRect Own(MapView view, SheetTile tile, SheetTiling tiling)
    {
        double metres = tiling.Scale / 1000.0;
        SKRect all = tiling.Frame, own = MatchLines.Within(tiling, tile);
        SKPoint northWest = view.At(tile.Window.MinX + ((own.Left - all.Left) * metres), tile.Window.MaxY - ((own.Top - all.Top) * metres));
        SKPoint southEast = view.At(tile.Window.MaxX - ((all.Right - own.Right) * metres), tile.Window.MinY + ((all.Bottom - own.Bottom) * metres));
        return new SKRect(northWest.X, northWest.Y, southEast.X, southEast.Y);
    }

    private static string Number(SheetTile tile) => tile.Number.ToString(CultureInfo.InvariantCulture);
}
