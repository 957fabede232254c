using SkiaSharp;

namespace Keyline.Report;

/// <summary>Match lines: where a sheet joins the next, in the middle of what both show, with the number of that sheet beyond it.</summary>
internal static class MatchLines
{
    private const float Inset = SheetTiling.Overlap / 2;

    private static readonly (int Down, int Right)[] Sides = [(-1, 0), (1, 0), (0, -1), (0, 1)];

    /// <summary>The part of a frame up to the match lines that the sheet has.</summary>
    public static SKRect Within(SheetTiling tiling, SheetTile tile)
    {
        SKRect f = tiling.Frame;
        float At(int down, int right) => tiling.Beside(tile, down, right) is null ? 0 : Inset;
        return new SKRect(f.Left + At(0, -1), f.Top + At(-1, 0), f.Right - At(0, 1), f.Bottom - At(1, 0));
    }

    /// <summary>Places of their words, for labels to keep off.</summary>
    public static IEnumerable<SKRect> Reserved(SheetTiling tiling, SheetTile tile) =>
        Sides.Where(s => tiling.Beside(tile, s.Down, s.Right) is not null).Select(s => Place(tiling.Frame, s.Down, s.Right));

    /// <summary>Draws them.</summary>
    public static void Draw(SKCanvas canvas, SheetTiling tiling, SheetTile tile, MapVoice voice)
    {
        using SKPaint halo = MapStyle.Stroke(new SKColor(0xFF, 0xFF, 0xFF, 0xC0), 1.1f), line = MapStyle.Stroke(MapStyle.Ink, 0.45f, [6, 1.5f, 1.5f, 1.5f]), plate = MapStyle.Fill(new SKColor(0xFF, 0xFF, 0xFF, 0xE6));
        using SKFont font = MapStyle.Font(2.6f, strong: true);
        SKRect f = tiling.Frame;
        foreach ((int down, int right) in Sides)
        {
            if (tiling.Beside(tile, down, right) is not { } next)
            {
                continue;
            }

            (SKPoint from, SKPoint to) = (down, right) switch
            {
                (-1, 0) => (new SKPoint(f.Left, f.Top + Inset), new SKPoint(f.Right, f.Top + Inset)),
                (1, 0) => (new SKPoint(f.Left, f.Bottom - Inset), new SKPoint(f.Right, f.Bottom - Inset)),
                (0, -1) => (new SKPoint(f.Left + Inset, f.Top), new SKPoint(f.Left + Inset, f.Bottom)),
                _ => (new SKPoint(f.Right - Inset, f.Top), new SKPoint(f.Right - Inset, f.Bottom)),
            };
            canvas.DrawLine(from, to, halo);
            canvas.DrawLine(from, to, line);
            SKRect place = Place(f, down, right);
            canvas.DrawRect(place, plate);
            canvas.Save();
            canvas.Translate(place.MidX, place.MidY);
            canvas.RotateDegrees(right == 0 ? 0 : -90);
            Lettering.Plain(canvas, voice.Say(FormattableString.Invariant($"joins sheet {next.Number}")), 0, 0.95f, SKTextAlign.Center, font, MapStyle.Ink);
            canvas.Restore();
        }
    }

    // Beyond the match line; a quarter of the way along, clear of coordinates in the middle.
    private static SKRect Place(SKRect f, int down, int right)
    {
        const float half = 10, thick = 1.9f, into = 3;
        float x = right == 0 ? f.Left + (f.Width * 0.7f) : right < 0 ? f.Left + into : f.Right - into;
        float y = down == 0 ? f.Top + (f.Height * 0.7f) : down < 0 ? f.Top + into : f.Bottom - into;
        return right == 0 ? new SKRect(x - half, y - thick, x + half, y + thick) : new SKRect(x - thick, y - half, x + thick, y + half);
    }
}
