using SkiaSharp;

namespace Keyline.Report;

/// <summary>Text on the sheet.</summary>
internal static class Lettering
{
    /// <summary>Text with a white edge, so that it reads over lines.</summary>
    /// <remarks>The edge is drawn as an outline, so that a drawing with text in it holds every word once.</remarks>
    public static void Haloed(SKCanvas canvas, string text, float x, float y, SKTextAlign align, SKFont font, SKColor color)
    {
        using SKPaint halo = MapStyle.Stroke(new SKColor(0xFF, 0xFF, 0xFF, 0xE6), font.Size * 0.42f);
        using SKPaint ink = MapStyle.Fill(color);
        float left = align switch { SKTextAlign.Left => x, SKTextAlign.Right => x - font.MeasureText(text), _ => x - (font.MeasureText(text) / 2) };
        using SKPath? outline = font.GetTextPath(text, new SKPoint(left, y));
        if (outline is not null)
        {
            canvas.DrawPath(outline, halo);
        }

        canvas.DrawText(text, x, y, align, font, ink);
    }

    public static void Plain(SKCanvas canvas, string text, float x, float y, SKTextAlign align, SKFont font, SKColor color)
    {
        using SKPaint ink = MapStyle.Fill(color);
        canvas.DrawText(text, x, y, align, font, ink);
    }

    /// <summary>Breaks text into lines no wider than a width; a single word that is wider is cut.</summary>
    public static IReadOnlyList<string> Wrap(string text, SKFont font, float width)
    {
        List<string> lines = [];
        string line = "";
        foreach (string word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            string longer = line.Length == 0 ? word : line + " " + word;
            if (font.MeasureText(longer) <= width)
            {
                line = longer;
                continue;
            }

            if (line.Length > 0)
            {
                lines.Add(line);
            }

            line = Shorten(word, font, width);
        }

        if (line.Length > 0)
        {
            lines.Add(line);
        }

        return lines;
    }

    /// <summary>The text, or its beginning and an ellipsis where it is wider than a width.</summary>
    public static string Shorten(string text, SKFont font, float width)
    {
        if (font.MeasureText(text) <= width)
        {
            return text;
        }

        int kept = text.Length;
        while (kept > 1 && font.MeasureText(text[..kept] + "…") > width)
        {
            kept--;
        }

        return text[..kept] + "…";
    }
}
