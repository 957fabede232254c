using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>Line segments in square bins, to ask what lies near a place.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Promises: exact distances to segments; the same answers in any order of insertion.</para>
/// <para>Cost: a question about a radius r visits the (2 r / bin + 1)^2 bins around the place.</para>
/// </remarks>
internal sealed class SegmentIndex
{
    private readonly double _bin;
    private readonly double _west;
    private readonly double _south;
    private readonly int _columns;
    private readonly int _rows;
    private readonly int[] _heads;
    private readonly List<(int Segment, int Next)> _entries = [];
    private readonly List<(XY Start, XY End, int Owner)> _segments = [];

    /// <summary>Makes an empty index.</summary>
    /// <param name="extent">Where most segments lie; those beyond it are kept in the rim bins, which is slower, not wrong.</param>
    /// <param name="bin">Side of a bin, metres.</param>
    public SegmentIndex(Envelope extent, double bin)
    {
        const int MostBins = 4_000_000;
        _bin = Math.Max(bin, Math.Sqrt(extent.Area / MostBins));
        _west = extent.MinX;
        _south = extent.MinY;
        _columns = (int)(extent.Width / _bin) + 1;
        _rows = (int)(extent.Height / _bin) + 1;
        _heads = new int[_columns * _rows];
        Array.Fill(_heads, -1);
    }

    public void Add(LinePath path, int owner)
    {
        for (int i = 0; i < path.SegmentCount; i++)
        {
            Add(path.Points[i], path.End(i), owner);
        }
    }

    public void Add(XY a, XY b, int owner)
    {
        int id = _segments.Count;
        _segments.Add((a, b, owner));
        (int c0, int r0) = Bin(Math.Min(a.X, b.X), Math.Min(a.Y, b.Y));
        (int c1, int r1) = Bin(Math.Max(a.X, b.X), Math.Max(a.Y, b.Y));
        for (int r = r0; r <= r1; r++)
        {
            for (int c = c0; c <= c1; c++)
            {
                int bin = (r * _columns) + c;
                _entries.Add((id, _heads[bin]));
                _heads[bin] = _entries.Count - 1;
            }
        }
    }

    /// <summary>Whether any segment comes nearer than a radius.</summary>
    public bool AnyWithin(XY p, double radius)
    {
        double square = radius * radius;
        (int c0, int r0) = Bin(p.X - radius, p.Y - radius);
        (int c1, int r1) = Bin(p.X + radius, p.Y + radius);
        for (int r = r0; r <= r1; r++)
        {
            for (int c = c0; c <= c1; c++)
            {
                for (int e = _heads[(r * _columns) + c]; e >= 0; e = _entries[e].Next)
                {
                    (XY start, XY end, _) = _segments[_entries[e].Segment];
                    if (SquareDistance(p, start, end) < square)
                    {
                        return true;
                    }
                }
            }
        }

        return false;
    }

    /// <summary>Nearest distances within a radius to segments of other owners than one's own: of any, and of those in
    /// one's own group. Infinity where none.</summary>
    /// <param name="p">The place.</param>
    /// <param name="radius">How far to look, metres.</param>
    /// <param name="self">The owner not to count.</param>
    /// <param name="groups">Group of each owner.</param>
    public (double Any, double SameGroup) Nearest(XY p, double radius, int self, int[] groups)
    {
        double any = double.PositiveInfinity;
        double same = double.PositiveInfinity;
        (int c0, int r0) = Bin(p.X - radius, p.Y - radius);
        (int c1, int r1) = Bin(p.X + radius, p.Y + radius);
        for (int r = r0; r <= r1; r++)
        {
            for (int c = c0; c <= c1; c++)
            {
                for (int e = _heads[(r * _columns) + c]; e >= 0; e = _entries[e].Next)
                {
                    (XY start, XY end, int owner) = _segments[_entries[e].Segment];
                    if (owner == self)
                    {
                        continue;
                    }

                    double d = SquareDistance(p, start, end);
                    any = Math.Min(any, d);
                    same = groups[owner] == groups[self] ? Math.Min(same, d) : same;
                }
            }
        }

        double most = radius * radius;
        return (any <= most ? Math.Sqrt(any) : double.PositiveInfinity, same <= most ? Math.Sqrt(same) : double.PositiveInfinity);
    }

    /// <summary>Owners above a given one whose segments meet a segment, and where; an owner may come more than once.</summary>
    public IEnumerable<(int Owner, Coordinate At)> Meeting(XY a, XY b, int above)
    {
        NetTopologySuite.Algorithm.RobustLineIntersector intersector = new();
        (int c0, int r0) = Bin(Math.Min(a.X, b.X), Math.Min(a.Y, b.Y));
        (int c1, int r1) = Bin(Math.Max(a.X, b.X), Math.Max(a.Y, b.Y));
        for (int r = r0; r <= r1; r++)
        {
            for (int c = c0; c <= c1; c++)
            {
                for (int e = _heads[(r * _columns) + c]; e >= 0; e = _entries[e].Next)
                {
                    (XY start, XY end, int owner) = _segments[_entries[e].Segment];
                    if (owner <= above)
                    {
                        continue;
                    }

                    intersector.ComputeIntersection(new Coordinate(a.X, a.Y), new Coordinate(b.X, b.Y), new Coordinate(start.X, start.Y), new Coordinate(end.X, end.Y));
                    if (intersector.HasIntersection)
                    {
                        yield return (owner, intersector.GetIntersection(0));
                    }
                }
            }
        }
    }

    public static double SquareDistance(XY p, XY a, XY b)
    {
        double dx = b.X - a.X;
        double dy = b.Y - a.Y;
        double px = p.X - a.X;
        double py = p.Y - a.Y;
        double square = (dx * dx) + (dy * dy);
        double t = square > 0 ? Math.Clamp(((px * dx) + (py * dy)) / square, 0, 1) : 0;
        double ex = px - (t * dx);
        double ey = py - (t * dy);
        return (ex * ex) + (ey * ey);
    }

    private (int Column, int Row) Bin(double x, double y) => (
        (int)Math.Clamp((x - _west) / _bin, 0, _columns - 1),
        (int)Math.Clamp((y - _south) / _bin, 0, _rows - 1));
}
