using SkiaSharp;

namespace Keyline.Report;

/// <summary>The panel beside or below the map: title, figures, legend, scale and cautions, none of it over the map.</summary>
/// <remarks>Set once to measure and once to draw. Where it is too tall it is set smaller, down to three quarters;
/// cautions that still do not fit end in a pointer to the written summary.</remarks>
internal sealed class MapPanel
{
    private const float ColumnGap = 5;
    private const float RowHeight = 4.1f;
    private const float BlockGap = 3.2f;
    private const float SmallestSetting = 0.75f;

    private readonly MapPage _page;
    private readonly MapView _view;
    private readonly PanelText _text;
    private readonly MapLegend _legend;

    private readonly bool _isSigned;

    /// <param name="page">The sheet.</param>
    /// <param name="view">The map on it.</param>
    /// <param name="text">Words and figures.</param>
    /// <param name="legend">Samples of what is on the map.</param>
    /// <param name="isSigned">Whether there is to be room to sign.</param>
    public MapPanel(MapPage page, MapView view, PanelText text, MapLegend legend, bool isSigned = false)
    {
        _isSigned = isSigned;
        _page = page;
        _view = view;
        _text = text;
        _legend = legend;
    }

    public void Draw(SKCanvas canvas)
    {
        float setting = 1;
        while (setting > SmallestSetting && !Fits(setting))
        {
            setting -= 0.02f;
        }

        canvas.Save();
        canvas.Translate(_page.Panel.Left, _page.Panel.Top);
        canvas.Scale(setting);
        Set(canvas, _page.Panel.Width / setting, _page.Panel.Height / setting);
        canvas.Restore();
    }

    private bool Fits(float setting) => Set(null, _page.Panel.Width / setting, _page.Panel.Height / setting);

    /// <summary>Sets the blocks; without a canvas it only measures.</summary>
    /// <returns>Whether everything fits the height.</returns>
    private bool Set(SKCanvas? canvas, float width, float height)
    {
        if (!_page.PanelBelow)
        {
            float y = Title(canvas, 0, 0, width);
            y = Figures(canvas, 0, y + BlockGap, width);
            y = Legend(canvas, 0, y + BlockGap, width, 1);
            y += BlockGap + FrameLayer.DrawScale(canvas, _view, _text.Scale, 0, y + BlockGap, width);
            float foot = height - Footer(null, 0, 0, width) - Signature(canvas, 0, height - Footer(null, 0, 0, width), width);
            bool fits = Cautions(canvas, 0, y + BlockGap, width, foot - 1.5f);
            Footer(canvas, 0, height - Footer(null, 0, 0, width), width);
            return fits && y < foot;
        }

        int columns = _page.Width > _page.Height ? 4 : 3;
        float column = (width - ((columns - 1) * ColumnGap)) / columns;
        float at = column + ColumnGap;
        float first = Title(canvas, 0, 0, column);
        first = Figures(canvas, 0, first + BlockGap, column);
        float second = Legend(canvas, at, 0, columns == 4 ? column + at : column, columns == 4 ? 2 : 1);
        float last = (columns - 1) * at;
        float third = FrameLayer.DrawScale(canvas, _view, _text.Scale, last, 0, column);
        float footer = height - Footer(null, last, 0, column), bottom = footer - Signature(canvas, last, footer, column);
        bool room = Cautions(canvas, last, third + BlockGap, column, bottom - 1.5f);
        Footer(canvas, last, footer, column);
        return room && first <= height && second <= height;
    }

    // Above the footer; its height.
    private float Signature(SKCanvas? canvas, float left, float bottom, float width)
    {
        if (!_isSigned)
        {
            return 0;
        }

        if (canvas is not null)
        {
            SheetSignature.Draw(canvas, _text.Voice, new SKRect(left, bottom - SheetSignature.Height, left + width, bottom - 1));
        }

        return SheetSignature.Height + 1;
    }

    private float Title(SKCanvas? canvas, float left, float top, float width)
    {
        float size = MapStyle.TitleSize;
        using SKFont font = MapStyle.Font(size, strong: true);
        while (font.Size > 3.4f && font.MeasureText(_text.Title) > width)
        {
            font.Size -= 0.2f;
        }

        float y = top;
        foreach (string line in Lettering.Wrap(_text.Title, font, width).Take(3))
        {
            y += font.Size * 1.05f;
            Put(canvas, line, left, y - (font.Size * 0.12f), SKTextAlign.Left, font, MapStyle.Ink);
        }

        using SKFont body = MapStyle.Font(MapStyle.BodySize);
        foreach (string line in _text.Subtitle.SelectMany(s => Lettering.Wrap(s, body, width)))
        {
            y += MapStyle.BodySize * 1.4f;
            Put(canvas, line, left, y, SKTextAlign.Left, body, MapStyle.QuietInk);
        }

        return y + 0.8f;
    }

    private float Figures(SKCanvas? canvas, float left, float top, float width)
    {
        float y = Heading(canvas, _text.Voice.Say("The layout in figures"), left, top, width);
        using SKFont body = MapStyle.Font(MapStyle.BodySize);
        using SKFont strong = MapStyle.Font(MapStyle.BodySize, strong: true);
        foreach ((string name, string value) in _text.Figures)
        {
            y += RowHeight;
            Put(canvas, name, left, y - 1.15f, SKTextAlign.Left, body, MapStyle.Ink);
            Put(canvas, value, left + width, y - 1.15f, SKTextAlign.Right, strong, MapStyle.Ink);
            if (canvas is not null)
            {
                using SKPaint rule = MapStyle.Stroke(MapStyle.Rule, 0.1f);
                canvas.DrawLine(left, y, left + width, y, rule);
            }
        }

        return y;
    }

    private float Legend(SKCanvas? canvas, float left, float top, float width, int columns)
    {
        float y = Heading(canvas, _text.Voice.Say("Legend"), left, top, width);
        float column = (width - ((columns - 1) * ColumnGap)) / columns;
        int rows = (_legend.Entries.Count + columns - 1) / columns;
        using SKFont body = MapStyle.Font(MapStyle.BodySize);
        for (int i = 0; i < _legend.Entries.Count; i++)
        {
            float x = left + (i / rows * (column + ColumnGap));
            float middle = y + 0.6f + (((i % rows) + 0.5f) * RowHeight);
            if (canvas is not null)
            {
                LegendEntry entry = _legend.Entries[i];
                entry.Draw(canvas, new SKRect(x, middle - 1.5f, x + 11, middle + 1.5f));
                string text = Lettering.Shorten(entry.Text, body, column - 13);
                Put(canvas, text, x + 13, middle + 0.85f, SKTextAlign.Left, body, MapStyle.Ink);
            }
        }

        return y + 0.6f + (rows * RowHeight);
    }

    /// <returns>Whether all cautions fit above the limit.</returns>
    private bool Cautions(SKCanvas? canvas, float left, float top, float width, float limit)
    {
        if (_text.Cautions.Count == 0)
        {
            return true;
        }

        float y = Heading(canvas, _text.Voice.Say("Before you drive"), left, top, width) + 0.8f;
        using SKFont font = MapStyle.Font(MapStyle.SmallSize);
        float pitch = MapStyle.SmallSize * 1.32f;
        for (int i = 0; i < _text.Cautions.Count; i++)
        {
            IReadOnlyList<string> lines = Lettering.Wrap(_text.Cautions[i], font, width - 2.4f);
            bool isLast = i == _text.Cautions.Count - 1;
            float needed = (lines.Count * pitch) + 0.7f + (isLast ? 0 : pitch);
            if (y + needed > limit)
            {
                Put(canvas, _text.Voice.Say("More in plan.json."), left, y + pitch, SKTextAlign.Left, font, MapStyle.QuietInk);
                return false;
            }

            if (canvas is not null)
            {
                using SKPaint dot = MapStyle.Fill(MapStyle.Ink);
                canvas.DrawCircle(left + 0.6f, y + pitch - (MapStyle.SmallSize * 0.32f), 0.38f, dot);
            }

            foreach (string line in lines)
            {
                y += pitch;
                Put(canvas, line, left + 2.4f, y, SKTextAlign.Left, font, MapStyle.Ink);
            }

            y += 0.7f;
        }

        return true;
    }

    private float Footer(SKCanvas? canvas, float left, float top, float width)
    {
        using SKFont font = MapStyle.Font(1.75f);
        float y = top;
        foreach (string line in _text.Footer.SelectMany(s => Lettering.Wrap(s, font, width)))
        {
            y += 2.4f;
            Put(canvas, line, left, y - 0.4f, SKTextAlign.Left, font, MapStyle.QuietInk);
        }

        return y - top;
    }

    private static float Heading(SKCanvas? canvas, string text, float left, float top, float width)
    {
        using SKFont font = MapStyle.Font(MapStyle.HeadingSize, strong: true);
        Put(canvas, text, left, top + MapStyle.HeadingSize, SKTextAlign.Left, font, MapStyle.Ink);
        float y = top + (MapStyle.HeadingSize * 1.5f);
        if (canvas is not null)
        {
            using SKPaint rule = MapStyle.Stroke(MapStyle.Ink, 0.3f);
            canvas.DrawLine(left, y, left + width, y, rule);
        }

        return y;
    }

    private static void Put(SKCanvas? canvas, string text, float x, float y, SKTextAlign align, SKFont font, SKColor color)
    {
        if (canvas is not null)
        {
            Lettering.Plain(canvas, text, x, y, align, font, color);
        }
    }
}
