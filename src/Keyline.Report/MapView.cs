using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Takes projected metres to millimetres on the sheet.</summary>
internal sealed class MapView
{
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

    /// <summary>The outlines of areas and the courses of lines as one path; points are left out.</summary>
    public SKPath Path(Geometry shape)
    {
        using SKPathBuilder path = new() { FillType = SKPathFillType.EvenOdd };
        foreach ((LineString course, bool closed) in PaperFrame.Courses(shape))
        {
            path.AddPoly(Points(course), closed);
        }

        return path.Detach();
    }
}
