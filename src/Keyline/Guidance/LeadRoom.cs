using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Index.Strtree;
using NetTopologySuite.Operation.Union;

namespace Keyline.Guidance;

/// <summary>Where the lead of a line may run: in the field, clear of what is avoided.</summary>
/// <remarks>Units: metres. Cost: about the logarithm of the outline's points for each lead.</remarks>
internal sealed class LeadRoom
{
    private readonly STRtree<LineSegment> _edges = new();
    private readonly NetTopologySuite.Algorithm.Locate.IndexedPointInAreaLocator _inside;

    public LeadRoom(FieldArea field)
    {
        Geometry room = field.Avoided.Count == 0 ? field.Boundary : field.Boundary.Difference(UnaryUnionOp.Union(field.Avoided.Select(a => a.KeptClear)));
        _inside = new NetTopologySuite.Algorithm.Locate.IndexedPointInAreaLocator(room);
        foreach (LineString ring in NetTopologySuite.Geometries.Utilities.LinearComponentExtracter.GetLines(room).Cast<LineString>())
        {
            Coordinate[] c = ring.Coordinates;
            for (int i = 1; i < c.Length; i++)
            {
                LineSegment edge = new(c[i - 1], c[i]);
                _edges.Insert(new Envelope(c[i - 1], c[i]), edge);
            }
        }

        _edges.Build();
        _ = _inside.Locate(new Coordinate(0, 0));
    }

    /// <summary>How far one can go from a place in a direction, metres, up to a length; 0 from outside.</summary>
    public double Along(XY from, XY way, double length)
    {
        Coordinate start = new(from.X, from.Y);
        if (_inside.Locate(start) == Location.Exterior)
        {
            return 0;
        }

        XY to = from + (way * length);
        double free = length;
        foreach (LineSegment edge in _edges.Query(new Envelope(start, new Coordinate(to.X, to.Y))))
        {
            XY a = new(edge.P0.X, edge.P0.Y), along = new XY(edge.P1.X, edge.P1.Y) - a;
            double across = way.Cross(along);
            if (across == 0)
            {
                continue;
            }

            double t = (a - from).Cross(along) / across, u = (a - from).Cross(way) / across;
            free = t >= 0 && u is >= 0 and <= 1 ? Math.Min(free, t) : free;
        }

        return free;
    }
}
