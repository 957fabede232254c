using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Takes projected metres to millimetres on the sheet.</summary>
internal sealed class MapView
{
    private readonly double _west;
    private readonly double _north;

    public MapView(MapPage page, Envelope field)
    {
        Frame = page.Map;
        Scale = page.Scale;
        MillimetresPerMetre = 1000.0 / page.Scale;
        _west = field.Centre.X - (Frame.Width / MillimetresPerMetre / 2);
        _north = field.Centre.Y + (Frame.Height / MillimetresPerMetre / 2);
    }

    /// <summary>The map's frame on the sheet, millimetres.</summary>
    public SKRect Frame { get; }

    /// <summary>Denominator of the scale.</summary>
    public int Scale { get; }

    /// <summary>Millimetres on the sheet for one metre on the ground.</summary>
    public double MillimetresPerMetre { get; }

    /// <summary>The ground inside the frame, projected metres.</summary>
    public Envelope Window => new(
        _west, _west + (Frame.Width / MillimetresPerMetre), _north - (Frame.Height / MillimetresPerMetre), _north);

    public SKPoint At(Coordinate place) => At(place.X, place.Y);

    public SKPoint At(double x, double y) => new(
        (float)(Frame.Left + ((x - _west) * MillimetresPerMetre)),
        (float)(Frame.Top + ((_north - y) * MillimetresPerMetre)));

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

    /// <summary>The outlines of areas and the courses of lines as one path; points are left out.</summary>
    public SKPath Path(Geometry shape)
    {
        using SKPathBuilder path = new() { FillType = SKPathFillType.EvenOdd };
        Add(path, shape);
        return path.Detach();
    }

    private void Add(SKPathBuilder path, Geometry shape)
    {
        switch (shape)
        {
            case Polygon area:
                path.AddPoly(Points(area.ExteriorRing), true);
                foreach (LineString hole in area.InteriorRings)
                {
                    path.AddPoly(Points(hole), true);
                }

                break;
            case LineString line when !line.IsEmpty:
                path.AddPoly(Points(line), line.IsClosed);
                break;
            case GeometryCollection many:
                foreach (Geometry one in many.Geometries)
                {
                    Add(path, one);
                }

                break;
        }
    }
}
