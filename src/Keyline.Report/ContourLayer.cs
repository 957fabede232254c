using System.Globalization;
using Keyline.Elevation;
using Keyline.Terrain;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Contours of the smoothed ground at a plain interval, every fourth or fifth one heavier and labelled.</summary>
internal sealed class ContourLayer
{
    private static readonly (double Interval, int Index)[] Intervals =
    [
        (0.05, 4), (0.1, 5), (0.2, 5), (0.25, 4), (0.5, 4), (1, 5), (2, 5), (2.5, 4), (5, 4), (10, 5), (20, 5), (25, 4), (50, 4), (100, 5), (200, 5),
    ];

    private readonly List<(ContourLine Contour, bool IsIndex)> _lines;
    private readonly MapView _view;
    private readonly double _unit;
    private readonly double _interval;

    /// <param name="view">Where they are drawn.</param>
    /// <param name="material">What was traced.</param>
    public ContourLayer(MapView view, MapMaterial material)
    {
        _view = view;
        _unit = material.Units.Size(UnitKind.Length);
        _interval = material.ContourInterval / _unit;
        _lines = [.. material.Contours.Where(c => view.Window.Intersects(c.Contour.Line.EnvelopeInternal))];
    }

    /// <summary>The interval in metres, and the contours that touch a window, with whether each is a heavy one; at plain heights in a unit of so many metres.</summary>
    public static (double Interval, List<(ContourLine Contour, bool IsIndex)> Lines) Trace(KeylinePlan plan, Envelope window, CancellationToken cancellationToken, double unit = 1)
    {
        (double low, double high) = FieldHeights(plan);
        (double plain, int index) = Choose((high - low) / unit);
        double interval = plain * unit;
        List<(ContourLine, bool)> lines = [];
        if (!double.IsFinite(high - low) || high <= low)
        {
            return (interval, lines);
        }

        (double windowLow, double windowHigh) = WindowHeights(plan.Smoothed, window);
        long first = (long)Math.Ceiling(windowLow / interval);
        long last = (long)Math.Floor(windowHigh / interval);
        if (last < first || last - first > 400)
        {
            // A cliff beside a gentle field: keep to the field's own heights.
            first = (long)Math.Ceiling(low / interval);
            last = (long)Math.Floor(high / interval);
        }

        double[] levels = [.. Enumerable.Range(0, (int)Math.Max(0, last - first + 1)).Select(i => (first + i) * interval)];
        foreach (ContourLine contour in ContourLines.Trace(plan.Smoothed, levels, cancellationToken))
        {
            if (window.Intersects(contour.Line.EnvelopeInternal))
            {
                lines.Add((contour, (long)Math.Round(contour.Height / interval) % index == 0));
            }
        }

        return (interval, lines);
    }

    /// <summary>Contours of any ground in a window, about fifteen over its heights, with their interval in metres.</summary>
    /// <param name="ground">The ground, smoothed as much as they should be.</param>
    /// <param name="window">The ground that is drawn.</param>
    /// <param name="unit">The unit that heights are plain in, metres.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static (double Interval, IReadOnlyList<LineString> Lines) Plain(ElevationGrid ground, Envelope window, double unit, CancellationToken cancellationToken)
    {
        (double low, double high) = WindowHeights(ground, window);
        if (!double.IsFinite(high - low) || high <= low)
        {
            return (0, []);
        }

        double interval = Choose((high - low) / unit).Interval * unit;
        long first = (long)Math.Ceiling(low / interval), last = (long)Math.Floor(high / interval);
        double[] levels = [.. Enumerable.Range(0, (int)Math.Max(0, last - first + 1)).Select(i => (first + i) * interval)];
        return (interval, [.. ContourLines.Trace(ground, levels, cancellationToken).Select(c => c.Line).Where(l => window.Intersects(l.EnvelopeInternal))]);
    }

    public void Draw(SKCanvas canvas)
    {
        using SKPaint thin = MapStyle.Stroke(MapStyle.Contour.WithAlpha(0x90), MapStyle.ContourWidth);
        using SKPaint heavy = MapStyle.Stroke(MapStyle.Contour.WithAlpha(0xC8), MapStyle.IndexContourWidth);
        foreach ((ContourLine contour, bool isIndex) in _lines)
        {
            using SKPath path = _view.Path(contour.Line);
            canvas.DrawPath(path, isIndex ? heavy : thin);
        }
    }

    /// <summary>Heights on the index contours where there is room, upright, along the line.</summary>
    public void DrawLabels(SKCanvas canvas, LabelPlacer labels)
    {
        string format = _interval < 0.099 ? "0.00" : _interval < 2.6 ? "0.##" : "0";
        foreach ((ContourLine contour, bool isIndex) in _lines)
        {
            if (!isIndex)
            {
                continue;
            }

            SKPoint[] points = _view.Points(contour.Line);
            string text = (contour.Height / _unit).ToString(format, CultureInfo.InvariantCulture);
            float walked = 0;
            float next = 14;
            for (int i = 1; i < points.Length; i++)
            {
                float step = SKPoint.Distance(points[i - 1], points[i]);
                walked += step;
                if (walked >= next)
                {
                    next = walked + (TryLabel(canvas, labels, points, i, text) ? 70 : 6);
                }
            }
        }
    }

    private static bool TryLabel(SKCanvas canvas, LabelPlacer labels, SKPoint[] points, int at, string text)
    {
        using SKFont font = MapStyle.Font(MapStyle.SmallSize, strong: true);
        float width = font.MeasureText(text) + 1f;
        int from = Back(points, at, width / 2, -1);
        int to = Back(points, at, width / 2, 1);
        float chord = SKPoint.Distance(points[from], points[to]);
        float along = 0;
        for (int i = from + 1; i <= to; i++)
        {
            along += SKPoint.Distance(points[i - 1], points[i]);
        }

        // Only where the contour runs nearly straight under its label.
        if (to <= from || chord < 0.96f * along || chord < width * 0.8f)
        {
            return false;
        }

        float angle = MathF.Atan2(points[to].Y - points[from].Y, points[to].X - points[from].X);
        if (MathF.Abs(angle) > MathF.PI / 2)
        {
            angle += MathF.PI;
        }

        SKPoint middle = new((points[from].X + points[to].X) / 2, (points[from].Y + points[to].Y) / 2);
        float halfWidth = (width / 2 * MathF.Abs(MathF.Cos(angle))) + (MapStyle.SmallSize / 2 * MathF.Abs(MathF.Sin(angle))) + 0.4f;
        float halfHeight = (width / 2 * MathF.Abs(MathF.Sin(angle))) + (MapStyle.SmallSize / 2 * MathF.Abs(MathF.Cos(angle))) + 0.4f;
        if (!labels.TryTake(new SKRect(middle.X - halfWidth, middle.Y - halfHeight, middle.X + halfWidth, middle.Y + halfHeight)))
        {
            return false;
        }

        canvas.Save();
        canvas.Translate(middle);
        canvas.RotateRadians(angle);
        Lettering.Haloed(canvas, text, 0, MapStyle.SmallSize * 0.36f, SKTextAlign.Center, font, new SKColor(0x6B, 0x52, 0x38));
        canvas.Restore();
        return true;
    }

    private static int Back(SKPoint[] points, int from, float distance, int step)
    {
        int i = from;
        float walked = 0;
        while (i + step >= 0 && i + step < points.Length && walked < distance)
        {
            walked += SKPoint.Distance(points[i], points[i + step]);
            i += step;
        }

        return i;
    }

    private static (double Interval, int Index) Choose(double relief)
    {
        // About fifteen contours over the field's own relief.
        foreach ((double Interval, int Index) candidate in Intervals)
        {
            if (relief / candidate.Interval <= 26)
            {
                return candidate;
            }
        }

        return Intervals[^1];
    }

    private static (double Low, double High) FieldHeights(KeylinePlan plan) =>
        WindowHeights(plan.Smoothed, plan.Field.Boundary.EnvelopeInternal);

    private static (double Low, double High) WindowHeights(ElevationGrid ground, Envelope window)
    {
        GridFrame frame = ground.Frame;
        double low = double.PositiveInfinity;
        double high = double.NegativeInfinity;
        int left = Math.Clamp((int)Math.Floor(frame.ColumnAt(window.MinX)), 0, frame.Columns);
        int right = Math.Clamp((int)Math.Ceiling(frame.ColumnAt(window.MaxX)) + 1, 0, frame.Columns);
        int top = Math.Clamp((int)Math.Floor(frame.RowAt(window.MaxY)), 0, frame.Rows);
        int bottom = Math.Clamp((int)Math.Ceiling(frame.RowAt(window.MinY)) + 1, 0, frame.Rows);
        for (int row = top; row < bottom; row++)
        {
            foreach (float height in ground.Row(row)[left..Math.Max(left, right)])
            {
                low = height < low ? height : low;
                high = height > high ? height : high;
            }
        }

        return (low, high);
    }
}
