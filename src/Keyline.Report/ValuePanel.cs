using SkiaSharp;

namespace Keyline.Report;

/// <summary>What stands beside a map of values: title, figures, legend, scale and north, notes.</summary>
internal sealed class ValuePanel(MapPage page, MapView view, ValueMapContent content, SKColor[] colours, double contours)
{
    private const float Gap = 3.2f;
    private const float Row = 4.1f;
    private const float ColumnGap = 5;
    private const int Columns = 3;

    private readonly MapVoice _voice = new(content.Units, content.Language);

    public void Draw(SKCanvas canvas)
    {
        canvas.Save();
        canvas.Translate(page.Panel.Left, page.Panel.Top);
        float width = page.Panel.Width, height = page.Panel.Height;
        if (page.PanelBelow)
        {
            float column = (width - ((Columns - 1) * ColumnGap)) / Columns, step = column + ColumnGap;
            Figures(canvas, 0, Title(canvas, 0, 0, column) + Gap, column);
            Legend(canvas, step, 0, column);
            float scale = FrameLayer.DrawScale(canvas, view, new SheetScale(_voice, "A4", content.TrueNorth), 2 * step, 0, column);
            Notes(canvas, 2 * step, scale + Gap, column, height);
        }
        else
        {
            float y = Title(canvas, 0, 0, width);
            y = Figures(canvas, 0, y + Gap, width);
            y = Legend(canvas, 0, y + Gap, width) + Gap;
            y += FrameLayer.DrawScale(canvas, view, new SheetScale(_voice, "A4", content.TrueNorth), 0, y, width);
            Notes(canvas, 0, y + Gap, width, height);
        }

        canvas.Restore();
    }

    private float Title(SKCanvas canvas, float left, float top, float width)
    {
        using SKFont font = MapStyle.Font(MapStyle.TitleSize * 0.85f, strong: true);
        using SKFont body = MapStyle.Font(MapStyle.BodySize);
        float y = top;
        foreach (string line in Lettering.Wrap(_voice.Say(content.Title), font, width).Take(3))
        {
            y += font.Size * 1.05f;
            Lettering.Plain(canvas, line, left, y - (font.Size * 0.12f), SKTextAlign.Left, font, MapStyle.Ink);
        }

        foreach (string line in content.Subtitle.SelectMany(s => Lettering.Wrap(_voice.Say(content.Units.Reworded(s)), body, width)))
        {
            y += MapStyle.BodySize * 1.4f;
            Lettering.Plain(canvas, line, left, y, SKTextAlign.Left, body, MapStyle.QuietInk);
        }

        return y + 0.8f;
    }

    private float Figures(SKCanvas canvas, float left, float top, float width)
    {
        using SKFont body = MapStyle.Font(MapStyle.BodySize);
        using SKFont strong = MapStyle.Font(MapStyle.BodySize, strong: true);
        using SKPaint rule = MapStyle.Stroke(MapStyle.Rule, 0.1f);
        float y = top;
        foreach ((string name, string value) in content.Figures)
        {
            y += Row;
            string shown = _voice.Say(value);
            Lettering.Plain(canvas, Lettering.Shorten(_voice.Say(name), body, width - strong.MeasureText(shown) - 2), left, y - 1.15f, SKTextAlign.Left, body, MapStyle.Ink);
            Lettering.Plain(canvas, shown, left + width, y - 1.15f, SKTextAlign.Right, strong, MapStyle.Ink);
            canvas.DrawLine(left, y, left + width, y, rule);
        }

        return y;
    }

    private float Legend(SKCanvas canvas, float left, float top, float width)
    {
        using SKFont head = MapStyle.Font(MapStyle.HeadingSize, strong: true);
        using SKFont body = MapStyle.Font(MapStyle.BodySize);
        using SKPaint rule = MapStyle.Stroke(MapStyle.Ink, 0.3f);
        using SKPaint edge = MapStyle.Stroke(MapStyle.QuietInk, 0.12f);
        Lettering.Plain(canvas, Lettering.Shorten(LegendHead(content), head, width), left, top + MapStyle.HeadingSize, SKTextAlign.Left, head, MapStyle.Ink);
        float y = top + (MapStyle.HeadingSize * 1.5f);
        canvas.DrawLine(left, y, left + width, y, rule);
        y += 1.2f;
        for (int k = colours.Length - 1; k >= 0; k--)
        {
            SKRect box = new(left, y, left + 11, y + Row);
            using SKPaint fill = MapStyle.Fill(colours[k]);
            canvas.DrawRect(box, fill);
            canvas.DrawRect(box, edge);
            Label(Class(k));
        }

        y += 1;
        Entry(content.Lines.Count > 0, _voice.Say(content.LineName), box => Stroke(box, ValueColours.Line, ValueColours.LineWidth * 1.5f));
        Entry(true, _voice.Say("Field boundary"), box => Stroke(box, MapStyle.Boundary, MapStyle.BoundaryWidth));
        Entry(content.Places.Count > 0, _voice.Say("Counted place"), box => Stroke(box, ValueColours.Place, ValueColours.PlaceWidth));
        Entry(content.Marks.Count > 0, _voice.Say(content.MarkName), box => ValueMap.Mark(canvas, new SKPoint(box.MidX, box.MidY)));
        Entry(contours > 0, _voice.Say("Contours every " + content.Units.Text(contours, UnitKind.Length, "0.##")), box => Stroke(box, MapStyle.Contour, MapStyle.IndexContourWidth));
        return y;

        void Entry(bool shown, string text, Action<SKRect> draw)
        {
            if (shown)
            {
                draw(new SKRect(left, y, left + 11, y + Row));
                Label(text);
            }
        }

        void Stroke(SKRect box, SKColor colour, float thick)
        {
            using SKPaint paint = MapStyle.Stroke(colour, thick);
            canvas.DrawLine(box.Left, box.MidY, box.Right, box.MidY, paint);
        }

        void Label(string text)
        {
            Lettering.Plain(canvas, Lettering.Shorten(text, body, width - 13), left + 13, y + (Row / 2) + 0.85f, SKTextAlign.Left, body, MapStyle.Ink);
            y += Row;
        }
    }

    private string Class(int k)
    {
        string Number(double value) => content.Units.Number(value, content.Unit, "0.##");
        return _voice.Say(k == 0 ? "below " + Number(content.Bounds[0])
            : k == content.Bounds.Count ? Number(content.Bounds[^1]) + " and more"
            : $"{Number(content.Bounds[k - 1])} to {Number(content.Bounds[k])}");
    }

    /// <summary>What the values are, with their unit: as "pulg" for "in", which is said with its number.</summary>
    internal static string LegendHead(ValueMapContent content)
    {
        MapVoice voice = new(content.Units, content.Language);
        return $"{voice.Say(content.Quantity)}, {voice.Say("1 " + content.Units.Symbol(content.Unit))[2..]}";
    }

    private void Notes(SKCanvas canvas, float left, float top, float width, float bottom)
    {
        using SKFont font = MapStyle.Font(MapStyle.SmallSize);
        float y = top;
        foreach (string note in content.Notes)
        {
            foreach (string line in Lettering.Wrap(_voice.Say(content.Units.Reworded(note)), font, width))
            {
                y += MapStyle.SmallSize * 1.32f;
                if (y > bottom)
                {
                    return;
                }

                Lettering.Plain(canvas, line, left, y, SKTextAlign.Left, font, MapStyle.QuietInk);
            }

            y += 0.7f;
        }
    }
}
