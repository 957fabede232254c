using System.Globalization;
using Keyline.Landform;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Keypoints: a filled diamond where the break of slope is clear, a hollow one where it is weak.</summary>
internal static class KeypointLayer
{
    private const float Size = 1.75f;

    /// <summary>Draws them: those in the field with their names, those beyond it faint and without.</summary>
    public static void Draw(SKCanvas canvas, MapView view, IReadOnlyList<Keypoint> keypoints, SKPath boundary, LabelPlacer labels)
    {
        SKRect room = view.Frame;
        room.Inflate(-Size * 3, -Size * 3);
        List<Keypoint> inside = [];
        foreach (Keypoint keypoint in keypoints)
        {
            SKPoint at = view.At(keypoint.Location.Coordinate);
            bool isInside = boundary.Contains(at.X, at.Y);
            if (!isInside && !room.Contains(at))
            {
                continue;
            }

            Symbol(canvas, at, keypoint.Class, isInside ? (byte)0xFF : (byte)0x80);
            labels.Take(new SKRect(at.X - Size, at.Y - Size, at.X + Size, at.Y + Size));
            if (isInside)
            {
                inside.Add(keypoint);
            }
        }

        using SKFont font = MapStyle.Font(MapStyle.BodySize, strong: true);
        foreach (Keypoint keypoint in inside)
        {
            SKPoint at = view.At(keypoint.Location.Coordinate);
            string text = "K" + keypoint.ValleyNumber.ToString(CultureInfo.InvariantCulture);
            float half = font.MeasureText(text) / 2;
            float across = Size + half + 0.9f;
            foreach ((float dx, float dy) in ((float, float)[])[(across, -1.6f), (-across, -1.6f), (across, 1.6f), (-across, 1.6f), (0, -3.2f), (0, 3.2f)])
            {
                SKRect place = new(at.X + dx - half, at.Y + dy - 1.3f, at.X + dx + half, at.Y + dy + 1.3f);
                if (labels.TryTake(place))
                {
                    Lettering.Haloed(canvas, text, at.X + dx, at.Y + dy + 0.85f, SKTextAlign.Center, font, MapStyle.Ink);
                    break;
                }
            }
        }
    }

    public static void Symbol(SKCanvas canvas, SKPoint at, KeypointClass kind, byte alpha = 0xFF)
    {
        using SKPathBuilder builder = new();
        builder.AddPoly([new SKPoint(at.X, at.Y - Size), new SKPoint(at.X + Size, at.Y), new SKPoint(at.X, at.Y + Size), new SKPoint(at.X - Size, at.Y)], true);
        using SKPath diamond = builder.Detach();
        using SKPaint halo = MapStyle.Stroke(SKColors.White.WithAlpha(alpha), 1.1f);
        using SKPaint fill = MapStyle.Fill((kind == KeypointClass.Clear ? MapStyle.KeypointFill : SKColors.White).WithAlpha(alpha));
        using SKPaint edge = MapStyle.Stroke(MapStyle.Ink.WithAlpha(alpha), 0.4f);
        canvas.DrawPath(diamond, halo);
        canvas.DrawPath(diamond, fill);
        canvas.DrawPath(diamond, edge);
        if (kind == KeypointClass.Clear)
        {
            using SKPaint dot = MapStyle.Fill(MapStyle.Ink.WithAlpha(alpha));
            canvas.DrawCircle(at, 0.42f, dot);
        }
    }
}
