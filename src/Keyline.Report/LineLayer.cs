using Keyline.Elevation;
using Keyline.Landform;
using Keyline.Layout;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Rip lines, guides, keylines, valleys and ridges.</summary>
internal sealed class LineLayer
{
    private const float ArrowSize = 1.45f;
    private const float ArrowRoom = 11f;
    private const int FewGuides = 6;
    private const float NumberRoom = 2.4f;

    /// <summary>Every so manyth line has its number on the map.</summary>
    public const int EveryLine = 5;

    private readonly MapView _view;
    private readonly KeylinePlan _plan;
    private readonly List<DriftStretch> _stretches;

    /// <param name="view">Where they are drawn.</param>
    /// <param name="material">What was measured.</param>
    public LineLayer(MapView view, MapMaterial material)
    {
        _view = view;
        _plan = material.Plan;
        _stretches = [.. material.Stretches.Where(s => view.Window.Intersects(s.Extent))];

        // Lines must stay apart on paper: never wider than a third of the spacing.
        RipWidth = Math.Clamp((float)(_plan.Options.Spacing * view.MillimetresPerMetre / 3), 0.05f, MapStyle.RipWidth);
    }

    /// <summary>Every stretch of every line with the way its water drifts.</summary>
    public static IReadOnlyList<DriftStretch> Measure(KeylinePlan plan, CancellationToken cancellationToken)
    {
        // The same field that the figures of the plan were measured with.
        Grid<float> position = DriftPosition.Compute(plan.Smoothed, plan.Landform, cancellationToken);
        List<DriftStretch> stretches = [];
        foreach (RipLine line in plan.Layout.Lines)
        {
            cancellationToken.ThrowIfCancellationRequested();
            stretches.AddRange(LineDrift.Cut(line.Line, plan.Ground, position));
        }

        return stretches;
    }

    /// <summary>Width of a rip line on the sheet, millimetres.</summary>
    public float RipWidth { get; }

    /// <summary>Width of a guide on the sheet: twice a rip line.</summary>
    public float GuideWidth => MapStyle.GuideWidth * RipWidth / MapStyle.RipWidth;

    public bool Shows(Drift drift) => _stretches.Exists(s => s.Drift == drift);

    /// <summary>Valleys and ridges.</summary>
    /// <param name="canvas">Where to.</param>
    /// <param name="strength">1, or less to draw them faintly.</param>
    public void DrawLandform(SKCanvas canvas, float strength = 1)
    {
        using SKPaint casing = MapStyle.Stroke(MapStyle.Faint(new SKColor(0xFF, 0xFF, 0xFF, 0xCC), strength), MapStyle.ValleyWidth + 0.5f);
        using SKPaint ridge = MapStyle.Stroke(MapStyle.Faint(MapStyle.Ridge, strength), MapStyle.RidgeWidth, MapStyle.RidgeDash);
        using SKPaint main = MapStyle.Stroke(MapStyle.Faint(MapStyle.Ridge, strength), MapStyle.RidgeWidth * 1.5f, MapStyle.RidgeDash);
        foreach (RidgeLine line in _plan.Landform.Ridges)
        {
            Stroke(canvas, line.Line, casing);
            Stroke(canvas, line.Line, line.IsMain ? main : ridge);
        }

        using SKPaint valley = MapStyle.Stroke(MapStyle.Faint(MapStyle.Valley, strength), MapStyle.ValleyWidth);
        using SKPaint minor = MapStyle.Stroke(MapStyle.Faint(MapStyle.Valley, strength), MapStyle.ValleyWidth * 0.6f);
        foreach (ValleyLine line in _plan.Landform.Valleys)
        {
            Stroke(canvas, line.Line, casing);
            Stroke(canvas, line.Line, line.IsPrimary ? valley : minor);
        }
    }

    public void DrawRipLines(SKCanvas canvas)
    {
        foreach (Drift drift in (Drift[])[Drift.Level, Drift.ToRidge, Drift.ToValley])
        {
            using SKPaint paint = MapStyle.Stroke(ColorOf(drift), drift == Drift.ToValley ? RipWidth * 1.6f : RipWidth);
            foreach (DriftStretch stretch in _stretches)
            {
                if (stretch.Drift == drift)
                {
                    using SKPathBuilder path = new();
                    path.AddPoly(MapView.Thinned([.. stretch.Points.Select(_view.At)]), false);
                    using SKPath drawn = path.Detach();
                    canvas.DrawPath(drawn, paint);
                }
            }
        }
    }

    /// <summary>Arrowheads down the fall on drifting stretches, far apart; the longest stretches are served first.</summary>
    public void DrawArrows(SKCanvas canvas)
    {
        List<SKPoint> placed = [];
        foreach (DriftStretch stretch in _stretches.Where(s => s.Drift != Drift.Level && s.Points.Count >= 7).OrderByDescending(s => s.Points.Count))
        {
            int at = stretch.Points.Count / 2;
            SKPoint here = _view.At(stretch.Points[at]);
            if (!_view.Frame.Contains(here) || placed.Exists(p => SKPoint.Distance(p, here) < ArrowRoom))
            {
                continue;
            }

            placed.Add(here);
            SKPoint before = _view.At(stretch.Points[at - 1]);
            SKPoint after = _view.At(stretch.Points[Math.Min(at + 1, stretch.Points.Count - 1)]);
            SKPoint way = stretch.FallsForward ? after - before : before - after;
            DrawArrow(canvas, here, MathF.Atan2(way.Y, way.X), ColorOf(stretch.Drift));
        }
    }

    public static void DrawArrow(SKCanvas canvas, SKPoint at, float angle, SKColor color)
    {
        canvas.Save();
        canvas.Translate(at);
        canvas.RotateRadians(angle);
        using SKPathBuilder head = new();
        head.AddPoly([new SKPoint(ArrowSize, 0), new SKPoint(-ArrowSize * 0.6f, ArrowSize * 0.62f), new SKPoint(-ArrowSize * 0.25f, 0), new SKPoint(-ArrowSize * 0.6f, -ArrowSize * 0.62f)], true);
        using SKPath path = head.Detach();
        using SKPaint halo = MapStyle.Stroke(SKColors.White, 0.4f);
        using SKPaint fill = MapStyle.Fill(color);
        canvas.DrawPath(path, halo);
        canvas.DrawPath(path, fill);
        canvas.Restore();
    }

    public void DrawGuides(SKCanvas canvas)
    {
        using SKPaint casing = MapStyle.Stroke(new SKColor(0xFF, 0xFF, 0xFF, 0xC0), GuideWidth * 1.9f);
        using SKPaint paint = MapStyle.Stroke(MapStyle.Guide, GuideWidth);
        foreach (GuideLine guide in Shown)
        {
            Stroke(canvas, guide.Line, casing);
            Stroke(canvas, guide.Line, paint);
        }
    }

    /// <summary>Guides drawn as such: those through keypoints and pinned ones, and all of them where they are few.</summary>
    public IEnumerable<GuideLine> Shown => _plan.Layout.Guides.Where(g => g.IsKeyline || g.IsPinned || _plan.Layout.Guides.Count <= FewGuides);

    /// <summary>Every so manyth line has its number: all of them where there is room between lines.</summary>
    public int NumberStep => _plan.Options.Spacing * _view.MillimetresPerMetre >= NumberRoom ? 1 : EveryLine;

    /// <summary>Numbers in driving order, at the start of a line or where it comes into the part of the sheet that is given; the least room between two of them is kept.</summary>
    public void DrawLineNumbers(SKCanvas canvas, LabelPlacer labels, SKRect within)
    {
        using SKFont font = MapStyle.Font(MapStyle.NumberSize);
        int step = NumberStep;
        foreach (RipLine line in _plan.Layout.Lines.Where(l => l.Sequence % step == 0 && _view.Window.Intersects(l.Line.EnvelopeInternal)))
        {
            SKPoint[] points = _view.Points(line.Line);
            int first = Array.FindIndex(points, within.Contains);
            if (points.Length < 2 || first < 0)
            {
                continue;
            }

            string number = line.Sequence.ToString(System.Globalization.CultureInfo.InvariantCulture);
            float half = (font.MeasureText(number) / 2) + 0.25f;
            // Before its first point; on the line itself where it comes from another sheet.
            SKPoint way = first == 0 ? points[0] - points[1] : points[first] - points[first - 1];
            float length = Math.Max(way.Length, 1e-3f), along = half + 0.4f;
            SKPoint at = new(points[first].X + (way.X / length * along), points[first].Y + (way.Y / length * along));
            if (_view.Frame.Contains(at) && labels.TryTake(new SKRect(at.X - half, at.Y - 0.9f, at.X + half, at.Y + 0.9f)))
            {
                Lettering.Haloed(canvas, number, at.X, at.Y + 0.55f, SKTextAlign.Center, font, MapStyle.Ink);
            }
        }
    }

    public void DrawKeylines(SKCanvas canvas, float strength = 1)
    {
        foreach (ContourKeyline keyline in _plan.Landform.Keylines)
        {
            if (_view.Window.Intersects(keyline.Line.EnvelopeInternal))
            {
                using SKPath path = _view.Path(keyline.Line);
                DrawKeyline(canvas, path, strength);
            }
        }
    }

    /// <summary>Yellow between two dark edges, like nothing else on the sheet but the keypoints.</summary>
    public static void DrawKeyline(SKCanvas canvas, SKPath path, float strength = 1)
    {
        // Mixed with white, not thinned: the edge must not shine through the core.
        using SKPaint halo = MapStyle.Stroke(SKColors.White, MapStyle.KeylineWidth + 1.1f);
        using SKPaint edge = MapStyle.Stroke(MapStyle.Pale(MapStyle.Ink, strength), MapStyle.KeylineWidth + 0.6f);
        using SKPaint core = MapStyle.Stroke(MapStyle.Pale(MapStyle.Keyline, strength), MapStyle.KeylineWidth);
        canvas.DrawPath(path, halo);
        canvas.DrawPath(path, edge);
        canvas.DrawPath(path, core);
    }

    /// <summary>Ids of the guides near one of their ends.</summary>
    public void DrawGuideNames(SKCanvas canvas, LabelPlacer labels)
    {
        using SKFont font = MapStyle.Font(MapStyle.SmallSize, strong: true);
        foreach (GuideLine guide in Shown)
        {
            SKPoint[] points = _view.Points(guide.Line);
            if (points.Length < 2)
            {
                continue;
            }

            float half = (font.MeasureText(guide.Id) / 2) + 0.4f;
            foreach ((SKPoint end, SKPoint inward) in ((SKPoint, SKPoint)[])[(points[0], points[1]), (points[^1], points[^2])])
            {
                SKPoint way = end - inward;
                float length = Math.Max(way.Length, 1e-3f);
                SKPoint at = new(end.X + (way.X / length * (half + 1)), end.Y + (way.Y / length * (half + 1)));
                if (labels.TryTake(new SKRect(at.X - half, at.Y - 1.25f, at.X + half, at.Y + 1.25f)))
                {
                    Lettering.Haloed(canvas, guide.Id, at.X, at.Y + 0.75f, SKTextAlign.Center, font, MapStyle.Ink);
                    break;
                }
            }
        }
    }

    public static SKColor ColorOf(Drift drift) => drift switch
    {
        Drift.ToRidge => MapStyle.ToRidge,
        Drift.ToValley => MapStyle.ToValley,
        _ => MapStyle.LevelLine,
    };

    private void Stroke(SKCanvas canvas, LineString line, SKPaint paint)
    {
        if (_view.Window.Intersects(line.EnvelopeInternal))
        {
            using SKPath path = _view.Path(line);
            canvas.DrawPath(path, paint);
        }
    }
}
