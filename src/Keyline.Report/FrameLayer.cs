using System.Globalization;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>What is said beside the scale bar.</summary>
/// <param name="Voice">The bar's units, and the language of words.</param>
/// <param name="Paper">The paper that the scale holds on.</param>
/// <param name="TrueNorth">Where true north lies from grid north, degrees, clockwise above 0; NaN where it is not known.</param>
internal sealed record SheetScale(MapVoice Voice, string Paper, double TrueNorth)
{
    /// <summary>On the two norths; empty where they are not known.</summary>
    public string North => Voice.Say(!double.IsFinite(TrueNorth) ? ""
        : Math.Abs(TrueNorth) < 0.05 ? "N is grid north, here true north as well"
        : FormattableString.Invariant($"N is grid north; true north {Math.Abs(TrueNorth):0.0}° {(TrueNorth > 0 ? "right" : "left")} of it"));
}

/// <summary>The map's frame with coordinates in its margin, the scale bar and the north arrow.</summary>
internal static class FrameLayer
{
    public static void Draw(SKCanvas canvas, MapView view)
    {
        Envelope window = view.Window;
        double step = RoundStep.AtMost(window.Width / 5);
        using SKFont font = MapStyle.Font(1.7f);
        using SKPaint tick = MapStyle.Stroke(MapStyle.Ink, 0.2f);
        using SKPaint cross = MapStyle.Stroke(MapStyle.Ink.WithAlpha(0x60), 0.12f);
        SKRect frame = view.Frame;
        for (double x = Math.Ceiling(window.MinX / step) * step; x < window.MaxX; x += step)
        {
            float at = view.At(x, window.MinY).X;
            canvas.DrawLine(at, frame.Bottom - 1.6f, at, frame.Bottom, tick);
            canvas.DrawLine(at, frame.Top, at, frame.Top + 1.6f, tick);
            if (at > frame.Left + 12 && at < frame.Right - 12)
            {
                string text = x.ToString("0", CultureInfo.InvariantCulture) + " E";
                Lettering.Haloed(canvas, text, at, frame.Bottom - 2.1f, SKTextAlign.Center, font, MapStyle.QuietInk);
            }

            for (double y = Math.Ceiling(window.MinY / step) * step; y < window.MaxY; y += step)
            {
                SKPoint p = view.At(x, y);
                canvas.DrawLine(p.X - 0.9f, p.Y, p.X + 0.9f, p.Y, cross);
                canvas.DrawLine(p.X, p.Y - 0.9f, p.X, p.Y + 0.9f, cross);
            }
        }

        for (double y = Math.Ceiling(window.MinY / step) * step; y < window.MaxY; y += step)
        {
            float at = view.At(window.MinX, y).Y;
            canvas.DrawLine(frame.Left, at, frame.Left + 1.6f, at, tick);
            canvas.DrawLine(frame.Right - 1.6f, at, frame.Right, at, tick);
            if (at > frame.Top + 12 && at < frame.Bottom - 12)
            {
                canvas.Save();
                canvas.Translate(frame.Left + 3.3f, at);
                canvas.RotateDegrees(-90);
                Lettering.Haloed(canvas, y.ToString("0", CultureInfo.InvariantCulture) + " N", 0, 0, SKTextAlign.Center, font, MapStyle.QuietInk);
                canvas.Restore();
            }
        }

        using SKPaint edge = MapStyle.Stroke(MapStyle.Ink, 0.35f);
        canvas.DrawRect(frame, edge);
    }

    /// <summary>Places along the frame that the coordinates need, for the label placer.</summary>
    public static IEnumerable<SKRect> Reserved(MapView view)
    {
        SKRect frame = view.Frame;
        yield return new SKRect(frame.Left, frame.Bottom - 4.2f, frame.Right, frame.Bottom);
        yield return new SKRect(frame.Left, frame.Top, frame.Left + 4.2f, frame.Bottom);
    }

    /// <summary>Scale bar, scale and north arrow in a strip of the panel.</summary>
    /// <returns>Height of the strip, millimetres.</returns>
    public static float DrawScale(SKCanvas? canvas, MapView view, SheetScale sheet, float left, float top, float width)
    {
        float height = sheet.North.Length > 0 ? 15.4f : 12.5f;
        if (canvas is null)
        {
            return height;
        }

        float room = width - 16;
        double unit = sheet.Voice.Units.Size(UnitKind.Length), length = RoundStep.AtMost(room / view.MillimetresPerMetre / unit * 0.98);
        float bar = (float)(length * unit * view.MillimetresPerMetre);
        using SKFont font = MapStyle.Font(MapStyle.SmallSize);
        using SKPaint edge = MapStyle.Stroke(MapStyle.Ink, 0.2f);
        using SKPaint dark = MapStyle.Fill(MapStyle.Ink);
        using SKPaint light = MapStyle.Fill(SKColors.White);
        float y = top + 3.4f;
        for (int i = 0; i < 4; i++)
        {
            SKRect part = new(left + (bar * i / 4), y, left + (bar * (i + 1) / 4), y + 1.4f);
            canvas.DrawRect(part, i % 2 == 0 ? dark : light);
            canvas.DrawRect(part, edge);
        }

        foreach (int i in (int[])[0, 2, 4])
        {
            string text = sheet.Voice.Say((length * i / 4).ToString("0.##", CultureInfo.InvariantCulture) + (i == 4 ? " " + sheet.Voice.Units.Symbol(UnitKind.Length) : ""));
            SKTextAlign align = i == 0 ? SKTextAlign.Left : i == 4 ? SKTextAlign.Right : SKTextAlign.Center;
            Lettering.Plain(canvas, text, left + (bar * i / 4), y - 0.8f, align, font, MapStyle.Ink);
        }

        string scale = sheet.Voice.Say("1 : " + view.Scale.ToString("#,0", CultureInfo.InvariantCulture).Replace(',', ' ') + " on " + sheet.Paper);
        Lettering.Plain(canvas, scale, left, y + 4.6f, SKTextAlign.Left, font, MapStyle.QuietInk);
        if (sheet.North.Length > 0)
        {
            Lettering.Plain(canvas, sheet.North, left, y + 7.5f, SKTextAlign.Left, font, MapStyle.QuietInk);
        }

        DrawNorth(canvas, left + width - 5, top);
        return height;
    }

    private static void DrawNorth(SKCanvas canvas, float x, float top)
    {
        using SKFont font = MapStyle.Font(MapStyle.BodySize, strong: true);
        using SKPaint dark = MapStyle.Fill(MapStyle.Ink);
        using SKPaint edge = MapStyle.Stroke(MapStyle.Ink, 0.25f);
        float y = top + 3;
        using SKPathBuilder east = new();
        east.AddPoly([new SKPoint(x, y), new SKPoint(x + 1.9f, y + 7.4f), new SKPoint(x, y + 5.9f)], true);
        using SKPath eastHalf = east.Detach();
        using SKPathBuilder west = new();
        west.AddPoly([new SKPoint(x, y), new SKPoint(x - 1.9f, y + 7.4f), new SKPoint(x, y + 5.9f)], true);
        using SKPath westHalf = west.Detach();
        canvas.DrawPath(eastHalf, dark);
        canvas.DrawPath(eastHalf, edge);
        canvas.DrawPath(westHalf, edge);
        Lettering.Plain(canvas, "N", x, top + 2.2f, SKTextAlign.Center, font, MapStyle.Ink);
    }
}
