using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Takes projected metres to millimetres on the sheet.</summary>
internal sealed class MapView
{
    /// <summary>Millimetres on the sheet by which a course may be drawn beside its place: a twentieth of the finest line. Most of a drawing's bytes are points of lines that bend slowly.</summary>
    public const float Thinning = 0.01f;

    private readonly PaperFrame _paper;

    public MapView(MapPage page, Envelope field)
        : this(page.Map, page.Scale, field.Centre)
    {
    }

    /// <param name="frame">Where the map lies on the sheet, millimetres.</param>
    /// <param name="scale">Denominator of the scale.</param>
    /// <param name="middle">The ground in the middle of the frame, projected metres.</param>
    public MapView(SKRect frame, int scale, Coordinate middle)
    {
        Frame = frame;
        Scale = scale;
        MillimetresPerMetre = 1000.0 / scale;
        double west = middle.X - (Frame.Width / MillimetresPerMetre / 2), north = middle.Y + (Frame.Height / MillimetresPerMetre / 2);
        _paper = new PaperFrame(west, north, Frame.Left, Frame.Top, MillimetresPerMetre);
        Window = new Envelope(west, west + (Frame.Width / MillimetresPerMetre), north - (Frame.Height / MillimetresPerMetre), north);
    }

    /// <summary>The map's frame on the sheet, millimetres.</summary>
    public SKRect Frame { get; }

    /// <summary>Denominator of the scale.</summary>
    public int Scale { get; }

    /// <summary>Millimetres on the sheet for one metre on the ground.</summary>
    public double MillimetresPerMetre { get; }

    /// <summary>The ground inside the frame, projected metres.</summary>
    public Envelope Window { get; }

    public SKPoint At(Coordinate place) => At(place.X, place.Y);

    public SKPoint At(double x, double y)
    {
        (double right, double down) = _paper.At(x, y);
        return new SKPoint((float)right, (float)down);
    }

    /// <summary>Points of a line on the sheet, those closer than a twentieth of a millimetre to the last one dropped.</summary>
    public SKPoint[] Points(LineString line)
    {
        List<SKPoint> points = [];
        Coordinate[] all = line.Coordinates;
        for (int i = 0; i < all.Length; i++)
        {
            SKPoint p = At(all[i]);
            if (points.Count == 0 || i == all.Length - 1 || SKPoint.DistanceSquared(points[^1], p) > 0.0025f)
            {
                points.Add(p);
            }
        }

        return [.. points];
    }

    /// <summary>All of the frame but an area. A clip to it holds in every kind of drawing; not every kind knows how to cut a shape out.</summary>
    public SKPath AllBut(SKPath area)
    {
        using SKPathBuilder path = new() { FillType = SKPathFillType.EvenOdd };
        SKRect all = Frame;
        all.Union(area.Bounds);
        all.Inflate(1, 1);
        path.AddRect(all, SKPathDirection.Clockwise);
        path.AddPath(area);
        return path.Detach();
    }

    /// <summary>The outlines of areas and the courses of lines as one path; points are left out. No place is drawn farther off than <see cref="Thinning"/>.</summary>
    public SKPath Path(Geometry shape)
    {
        using SKPathBuilder path = new() { FillType = SKPathFillType.EvenOdd };
        foreach ((LineString course, bool closed) in PaperFrame.Courses(shape))
        {
            path.AddPoly(Thinned(Points(course)), closed);
        }

        return path.Detach();
    }

    /// <summary>The points that a course needs so that every other lies within <see cref="Thinning"/> of it; its ends stay.</summary>
    /// <remarks>Source: Douglas and Peucker (1973).</remarks>
    internal static SKPoint[] Thinned(SKPoint[] points)
    {
        if (points.Length < 3)
        {
            return points;
        }

        bool[] kept = new bool[points.Length];
        kept[0] = kept[^1] = true;
        Stack<(int From, int To)> parts = new([(0, points.Length - 1)]);
        while (parts.TryPop(out (int From, int To) part))
        {
            (int at, float most) = (part.From, Thinning * Thinning);
            for (int i = part.From + 1; i < part.To; i++)
            {
                float off = SquaredDistance(points[i], points[part.From], points[part.To]);
                if (off > most)
                {
                    (at, most) = (i, off);
                }
            }

            if (at > part.From)
            {
                kept[at] = true;
                parts.Push((part.From, at));
                parts.Push((at, part.To));
            }
        }

        return [.. points.Where((_, i) => kept[i])];
    }

    // From a point to a stretch; to its nearer end where the point lies beyond it.
    private static float SquaredDistance(SKPoint p, SKPoint from, SKPoint to)
    {
        SKPoint along = to - from, off = p - from;
        float length = (along.X * along.X) + (along.Y * along.Y), t = length > 0 ? Math.Clamp(((off.X * along.X) + (off.Y * along.Y)) / length, 0, 1) : 0;
        return SKPoint.DistanceSquared(p, new SKPoint(from.X + (t * along.X), from.Y + (t * along.Y)));
    }
}
