using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>The strip below the map of a sheet: what it is, legend, scale and north, index of sheets, room to sign.</summary>
internal sealed class SheetStrip(SheetTiling tiling, PanelText text, MapLegend legend, MapView view, Geometry field)
{
    private const float RowHeight = 3.7f;
    private const float Gap = 4;

    /// <summary>Draws it.</summary>
    public void Draw(SKCanvas canvas, SheetTile tile)
    {
        SKRect s = tiling.Strip;
        bool isWide = tiling.Paper.Width > tiling.Paper.Height;
        using SKPaint rule = MapStyle.Stroke(MapStyle.Ink, 0.3f);
        canvas.DrawLine(s.Left, s.Top, s.Right, s.Top, rule);
        if (isWide)
        {
            Title(canvas, tile, new SKRect(s.Left, s.Top, s.Left + 62, s.Bottom));
            Legend(canvas, new SKRect(s.Left + 62 + Gap, s.Top, s.Right - 92 - Gap, s.Bottom), 2);
            FrameLayer.DrawScale(canvas, view, text.Scale, s.Right - 92, s.Top + 1.5f, 56);
            SheetSignature.Draw(canvas, text.Voice, new SKRect(s.Right - 92, s.Top + 19.5f, s.Right - 36, s.Bottom));
            TileIndex.DrawSmall(canvas, new SKRect(s.Right - 32, s.Top + 2, s.Right, s.Bottom), tiling, tile, field);
        }
        else
        {
            float second = s.Top + 27;
            Title(canvas, tile, new SKRect(s.Left, s.Top, s.Left + 62, second));
            FrameLayer.DrawScale(canvas, view, text.Scale, s.Left + 62 + Gap, s.Top + 1.5f, 56);
            TileIndex.DrawSmall(canvas, new SKRect(s.Right - 58, s.Top + 2, s.Right, second - 1), tiling, tile, field);
            Legend(canvas, new SKRect(s.Left, second, s.Right - 60 - Gap, s.Bottom), 2);
            SheetSignature.Draw(canvas, text.Voice, new SKRect(s.Right - 60, second + 12, s.Right, s.Bottom));
        }
    }

    private void Title(SKCanvas canvas, SheetTile tile, SKRect box)
    {
        using SKFont large = MapStyle.Font(4.2f, strong: true), body = MapStyle.Font(MapStyle.SmallSize), strong = MapStyle.Font(MapStyle.BodySize, strong: true);
        float y = box.Top + 5;
        Lettering.Plain(canvas, Lettering.Shorten(text.Title, large, box.Width), box.Left, y, SKTextAlign.Left, large, MapStyle.Ink);
        y += 3.7f;
        Lettering.Plain(canvas, text.Voice.Say(FormattableString.Invariant($"Sheet {tile.Number} of {tiling.Tiles.Count}")), box.Left, y, SKTextAlign.Left, strong, MapStyle.Ink);
        string[] said = [.. text.Subtitle, text.Voice.Say("Before driving, read the cautions on the overview sheet: buried lines located and marked, side slopes, soil dry enough, outlets."), .. text.Footer];
        foreach (string line in said.SelectMany(t => Lettering.Wrap(t, body, box.Width)))
        {
            y += 2.75f;
            if (y > box.Bottom)
            {
                break;
            }

            Lettering.Plain(canvas, line, box.Left, y, SKTextAlign.Left, body, MapStyle.QuietInk);
        }
    }

    private void Legend(SKCanvas canvas, SKRect box, int columns)
    {
        using SKFont body = MapStyle.Font(MapStyle.SmallSize);
        int rows = (legend.Entries.Count + columns - 1) / columns;
        float column = (box.Width - ((columns - 1) * Gap)) / columns, pitch = Math.Min(RowHeight, (box.Height - 1.5f) / Math.Max(rows, 1));
        for (int i = 0; i < legend.Entries.Count; i++)
        {
            float x = box.Left + (i / rows * (column + Gap)), middle = box.Top + 1.5f + (((i % rows) + 0.5f) * pitch);
            legend.Entries[i].Draw(canvas, new SKRect(x, middle - 1.3f, x + 9, middle + 1.3f));
            Lettering.Plain(canvas, Lettering.Shorten(legend.Entries[i].Text, body, column - 11), x + 11, middle + 0.75f, SKTextAlign.Left, body, MapStyle.Ink);
        }
    }
}

/// <summary>Room to sign: who looked the sheets over, and when.</summary>
internal static class SheetSignature
{
    /// <summary>Least height that it needs, millimetres.</summary>
    public const float Height = 16;

    public static void Draw(SKCanvas canvas, MapVoice voice, SKRect box, float letters = 1.8f)
    {
        using SKFont font = MapStyle.Font(letters);
        using SKPaint line = MapStyle.Stroke(MapStyle.QuietInk, 0.15f);
        float pitch = box.Height / 3;
        string[] words = ["Drawn by, date", "Looked over by, date", "Landholder, date"];
        for (int i = 0; i < words.Length; i++)
        {
            float y = box.Top + ((i + 1) * pitch) - 0.6f;
            canvas.DrawLine(box.Left, y, box.Right, y, line);
            Lettering.Plain(canvas, voice.Say(words[i]), box.Left, y - 0.7f, SKTextAlign.Left, font, MapStyle.QuietInk);
        }
    }
}
