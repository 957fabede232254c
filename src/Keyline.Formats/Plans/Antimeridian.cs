using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Cuts shapes that cross the 180th meridian, as GeoJSON asks for.</summary>
/// <remarks>
/// <para>Units: degrees of longitude and latitude; longitudes may run past 180 or -180 so that no edge jumps.</para>
/// <para>Promises: lines keep their direction and the order of their parts; heights at a cut lie between their neighbours'.
/// What crosses nowhere comes back as it was.</para>
/// <para>Source: RFC 7946, section 3.1.9.</para>
/// </remarks>
internal static class Antimeridian
{
    /// <summary>Cuts a shape.</summary>
    public static Geometry Cut(Geometry shape)
    {
        Envelope extent = shape.EnvelopeInternal;
        if (extent.IsNull || (extent.MinX >= -180 && extent.MaxX <= 180))
        {
            return shape;
        }

        List<Geometry> parts = [];
        Collect(shape, parts);
        GeometryFactory factory = shape.Factory;
        return parts.Count == 1 ? parts[0]
            : parts.TrueForAll(p => p is Polygon) ? factory.CreateMultiPolygon([.. parts.Cast<Polygon>()])
            : parts.TrueForAll(p => p is LineString) ? factory.CreateMultiLineString([.. parts.Cast<LineString>()])
            : parts.TrueForAll(p => p is Point) ? factory.CreateMultiPoint([.. parts.Cast<Point>()])
            : factory.CreateGeometryCollection([.. parts]);
    }

    /// <summary>A longitude brought to -180 to 180.</summary>
    public static double Turn(double longitude) => longitude is >= -180 and <= 180 ? longitude : Math.IEEERemainder(longitude, 360.0);

    private static void Collect(Geometry shape, List<Geometry> parts)
    {
        switch (shape)
        {
            case Point p:
                parts.Add(Shift(p, World(p.X)));
                break;
            case LineString l:
                CutLine(l, parts);
                break;
            case Polygon p:
                CutPolygon(p, parts);
                break;
            default:
                for (int i = 0; i < shape.NumGeometries; i++)
                {
                    Collect(shape.GetGeometryN(i), parts);
                }

                break;
        }
    }

    // Which turn of the globe a longitude lies on: 0 from -180 to 180, 1 the next eastward.
    private static int World(double longitude) => (int)Math.Floor((longitude + 180.0) / 360.0);

    private static void CutLine(LineString line, List<Geometry> parts)
    {
        Coordinate[] path = line.Coordinates;
        int world = World(path[0].X);
        if (path[0].X == (360.0 * world) - 180.0 && path[1].X < path[0].X)
        {
            world--;
        }

        List<Coordinate> open = [path[0]];
        for (int i = 1; i < path.Length; i++)
        {
            Coordinate a = path[i - 1], b = path[i];
            double low = (360.0 * world) - 180.0, high = low + 360.0;
            if (b.X < low || b.X > high)
            {
                double edge = b.X < low ? low : high;
                double t = (edge - a.X) / (b.X - a.X);
                CoordinateZ cut = new(edge, a.Y + (t * (b.Y - a.Y)), a.Z + (t * (b.Z - a.Z)));
                Close(line, open, cut, world, parts);
                world += b.X < low ? -1 : 1;
                open = [cut];
            }

            open.Add(b);
        }

        Close(line, open, null, world, parts);
    }

    private static void Close(LineString line, List<Coordinate> open, CoordinateZ? end, int world, List<Geometry> parts)
    {
        if (end is not null && !end.Equals2D(open[^1]))
        {
            open.Add(end);
        }

        if (open.Count > 1)
        {
            parts.Add(Shift(line.Factory.CreateLineString([.. open]), world));
        }
    }

    private static void CutPolygon(Polygon polygon, List<Geometry> parts)
    {
        Envelope extent = polygon.EnvelopeInternal;
        for (int world = World(extent.MinX); world <= World(extent.MaxX); world++)
        {
            Envelope turn = new((360.0 * world) - 180.0, (360.0 * world) + 180.0, extent.MinY - 1, extent.MaxY + 1);
            Geometry piece = polygon.Intersection(polygon.Factory.ToGeometry(turn));
            for (int i = 0; i < piece.NumGeometries; i++)
            {
                if (piece.GetGeometryN(i) is Polygon { IsEmpty: false } p)
                {
                    parts.Add(Shift(p, world));
                }
            }
        }
    }

    private static Geometry Shift(Geometry shape, int world)
    {
        if (world == 0)
        {
            return shape;
        }

        Geometry moved = shape.Copy();
        moved.Apply(new Mover(-360.0 * world));
        moved.GeometryChanged();
        return moved;
    }

    private sealed class Mover(double by) : ICoordinateSequenceFilter
    {
        public bool Done => false;

        public bool GeometryChanged => true;

        public void Filter(CoordinateSequence seq, int i) => seq.SetX(i, seq.GetX(i) + by);
    }
}
