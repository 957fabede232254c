using System.Globalization;
using Keyline.Landform;
using Keyline.Layout;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>One line of the legend.</summary>
/// <param name="Text">What it is.</param>
/// <param name="Draw">Draws the sample into a box, millimetres.</param>
internal sealed record LegendEntry(string Text, Action<SKCanvas, SKRect> Draw);

/// <summary>Samples of everything that is on the map, and of nothing that is not.</summary>
internal sealed class MapLegend
{
    public MapLegend(MapMaterial material, LineLayer lines, bool showsGate)
    {
        (KeylinePlan plan, UnitSystem units, double contourInterval) = (material.Plan, material.Units, material.ContourInterval);
        List<LegendEntry> entries = [];
        void Add(bool shown, string text, Action<SKCanvas, SKRect> draw)
        {
            if (shown)
            {
                entries.Add(new LegendEntry(material.Voice.Say(text), draw));
            }
        }

        LandformReading landform = plan.Landform;
        Add(lines.Shows(Drift.ToRidge), "Rip line, falls toward the ridge", (c, box) => Rip(c, box, Drift.ToRidge));
        Add(lines.Shows(Drift.ToValley), "Rip line, falls toward the valley", (c, box) => Rip(c, box, Drift.ToValley));
        Add(lines.Shows(Drift.Level), "Rip line, about level", (c, box) => Rip(c, box, Drift.Level));
        Add(lines.Shown.Any(), plan.Options.Pattern == LinePattern.Even ? "Guide: keyline, pinned or general line" : "Guide that lines run parallel to", (c, box) => Line(c, box, MapStyle.Guide, lines.GuideWidth, null));
        Add(plan.Layout.Lines.Count >= lines.NumberStep, lines.NumberStep == 1 ? "Number of a line, at its start" : "Number of every fifth line, at its start", LineNumber);
        Add(landform.Keylines.Count > 0, "Keyline", Keyline);
        Add(landform.Keypoints.Any(k => k.Class == KeypointClass.Clear), "Keypoint, clear", (c, box) => KeypointLayer.Symbol(c, Middle(box), KeypointClass.Clear));
        Add(landform.Keypoints.Any(k => k.Class == KeypointClass.Weak), "Keypoint, weak: walk it first", (c, box) => KeypointLayer.Symbol(c, Middle(box), KeypointClass.Weak));
        Add(landform.Valleys.Count > 0, "Valley floor, primary and lesser", Valleys);
        Add(landform.Ridges.Count > 0, "Ridge crest, main and lesser", Ridges);
        Add(true, "Field boundary", (c, box) => Line(c, box, MapStyle.Boundary, MapStyle.BoundaryWidth, null));
        Add(showsGate, "Gate", (c, box) => GateLayer.Symbol(c, Middle(box)));
        Add(plan.Options.Headland > 0, "Headland, " + units.Text(plan.Options.Headland, UnitKind.Length, "0.#"), Headland);
        Add(plan.Field.Avoided.Count > 0, "Avoided, with its setback", (c, box) => Swatch(c, box, AreaLayer.AvoidedSwatch));
        Add(!plan.Layout.Steep.IsEmpty, "Left out, steeper than " + Number(plan.Options.MaximumSlope) + " %", (c, box) => Swatch(c, box, AreaLayer.SteepSwatch));
        Add(contourInterval > 0, "Contours every " + units.Text(contourInterval, UnitKind.Length, "0.##"), Contours);
        Entries = entries;
    }

    public IReadOnlyList<LegendEntry> Entries { get; }

    private static void Rip(SKCanvas canvas, SKRect box, Drift drift)
    {
        SKColor color = LineLayer.ColorOf(drift);
        float width = drift == Drift.ToValley ? MapStyle.RipWidth * 1.6f : MapStyle.RipWidth;
        using SKPaint paint = MapStyle.Stroke(color, width);
        canvas.DrawLine(box.Left, box.Top + 0.6f, box.Right, box.Top + 0.6f, paint);
        canvas.DrawLine(box.Left, box.Bottom - 0.6f, box.Right, box.Bottom - 0.6f, paint);
        if (drift != Drift.Level)
        {
            LineLayer.DrawArrow(canvas, new SKPoint(box.MidX, box.Top + 0.6f), 0, color);
        }
    }

    private static void Keyline(SKCanvas canvas, SKRect box)
    {
        using SKPathBuilder builder = new();
        builder.AddPoly([new SKPoint(box.Left + 0.7f, box.MidY), new SKPoint(box.Right - 0.7f, box.MidY)], false);
        using SKPath path = builder.Detach();
        LineLayer.DrawKeyline(canvas, path);
    }

    private static void LineNumber(SKCanvas canvas, SKRect box)
    {
        using SKFont font = MapStyle.Font(MapStyle.NumberSize);
        Lettering.Haloed(canvas, "25", box.MidX, box.MidY + 0.55f, SKTextAlign.Center, font, MapStyle.Ink);
    }

    private static void Valleys(SKCanvas canvas, SKRect box)
    {
        Line(canvas, new SKRect(box.Left, box.Top, box.MidX - 0.4f, box.Bottom), MapStyle.Valley, MapStyle.ValleyWidth, null);
        Line(canvas, new SKRect(box.MidX + 0.4f, box.Top, box.Right, box.Bottom), MapStyle.Valley, MapStyle.ValleyWidth * 0.6f, null);
    }

    private static void Ridges(SKCanvas canvas, SKRect box)
    {
        Line(canvas, new SKRect(box.Left, box.Top, box.MidX - 0.4f, box.Bottom), MapStyle.Ridge, MapStyle.RidgeWidth * 1.5f, MapStyle.RidgeDash);
        Line(canvas, new SKRect(box.MidX + 0.4f, box.Top, box.Right, box.Bottom), MapStyle.Ridge, MapStyle.RidgeWidth, MapStyle.RidgeDash);
    }

    private static void Headland(SKCanvas canvas, SKRect box)
    {
        using SKPaint ground = MapStyle.Fill(MapStyle.LowGround);
        using SKPaint band = MapStyle.Fill(MapStyle.Headland);
        using SKPaint edge = MapStyle.Stroke(MapStyle.QuietInk.WithAlpha(0x90), 0.14f, [0.8f, 0.6f]);
        using SKPaint boundary = MapStyle.Stroke(MapStyle.Boundary, MapStyle.BoundaryWidth * 0.7f);
        canvas.DrawRect(box, ground);
        canvas.DrawRect(new SKRect(box.Left, box.Top, box.Right, box.MidY + 0.5f), band);
        canvas.DrawLine(box.Left, box.MidY + 0.5f, box.Right, box.MidY + 0.5f, edge);
        canvas.DrawLine(box.Left, box.Top, box.Right, box.Top, boundary);
    }

    private static void Contours(SKCanvas canvas, SKRect box)
    {
        using SKPaint thin = MapStyle.Stroke(MapStyle.Contour.WithAlpha(0x90), MapStyle.ContourWidth);
        using SKPaint heavy = MapStyle.Stroke(MapStyle.Contour.WithAlpha(0xC8), MapStyle.IndexContourWidth);
        canvas.DrawLine(box.Left, box.Top + 0.4f, box.Right, box.Top + 0.4f, thin);
        canvas.DrawLine(box.Left, box.MidY, box.Right, box.MidY, heavy);
        canvas.DrawLine(box.Left, box.Bottom - 0.4f, box.Right, box.Bottom - 0.4f, thin);
    }

    private static void Swatch(SKCanvas canvas, SKRect box, Action<SKCanvas, SKPath> fill)
    {
        using SKPathBuilder builder = new();
        builder.AddRect(box, SKPathDirection.Clockwise);
        using SKPath path = builder.Detach();
        fill(canvas, path);
    }

    private static void Line(SKCanvas canvas, SKRect box, SKColor color, float width, float[]? dash)
    {
        using SKPaint paint = MapStyle.Stroke(color, width, dash);
        canvas.DrawLine(box.Left, box.MidY, box.Right, box.MidY, paint);
    }

    private static SKPoint Middle(SKRect box) => new(box.MidX, box.MidY);

    private static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}
