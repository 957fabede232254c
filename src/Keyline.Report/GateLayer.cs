using SkiaSharp;

namespace Keyline.Report;

/// <summary>The gate: two posts and a bar, with its name where there is room.</summary>
internal static class GateLayer
{
    private const float Half = 1.5f;
    private const float Post = 0.75f;

    /// <summary>Draws it where it lies on the sheet.</summary>
    public static void Draw(SKCanvas canvas, MapView view, KeylinePlan plan, MapVoice voice, LabelPlacer labels)
    {
        if (!Shows(view, plan))
        {
            return;
        }

        SKPoint at = view.At(plan.Field.Gate!);
        Symbol(canvas, at);
        labels.Take(new SKRect(at.X - Half, at.Y - Half, at.X + Half, at.Y + Half));
        using SKFont font = MapStyle.Font(MapStyle.BodySize, strong: true);
        string gate = voice.Say("Gate");
        float half = font.MeasureText(gate) / 2, across = Half + half + 0.9f;
        foreach ((float dx, float dy) in ((float, float)[])[(across, 0), (-across, 0), (0, -3.4f), (0, 3.4f)])
        {
            if (labels.TryTake(new SKRect(at.X + dx - half, at.Y + dy - 1.3f, at.X + dx + half, at.Y + dy + 1.3f)))
            {
                Lettering.Haloed(canvas, gate, at.X + dx, at.Y + dy + 0.85f, SKTextAlign.Center, font, MapStyle.Ink);
                return;
            }
        }
    }

    /// <summary>Whether there is a gate, and it lies on the sheet.</summary>
    public static bool Shows(MapView view, KeylinePlan plan) => plan.Field.Gate is { } gate && view.Frame.Contains(view.At(gate));

    public static void Symbol(SKCanvas canvas, SKPoint at)
    {
        using SKPaint halo = MapStyle.Stroke(SKColors.White, 1.5f), bar = MapStyle.Stroke(MapStyle.Ink, 0.5f), posts = MapStyle.Stroke(MapStyle.Ink, Post);
        foreach (SKPaint paint in new[] { halo, posts })
        {
            canvas.DrawLine(at.X - Half, at.Y - (Half * 0.7f), at.X - Half, at.Y + (Half * 0.7f), paint);
            canvas.DrawLine(at.X + Half, at.Y - (Half * 0.7f), at.X + Half, at.Y + (Half * 0.7f), paint);
        }

        canvas.DrawLine(at.X - Half, at.Y, at.X + Half, at.Y, bar);
    }
}
