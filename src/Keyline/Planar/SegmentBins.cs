using NetTopologySuite.Geometries;

namespace Keyline.Planar;

/// <summary>Line segments in square bins, to ask what lies near a place.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Promises: exact distances to segments; the same answers in any order of insertion.</para>
/// <para>Cost: a segment lies in the bins that it runs through, so time and memory grow with its length whichever way it
/// runs; a question about a radius r visits the (2 r / bin + 1)^2 bins around the place.</para>
/// </remarks>
internal sealed class SegmentBins
{
    // Metres: more than rounding moves a place, less than matters.
    private const double Slack = 1e-6;

    private readonly double _bin;
    private readonly double _west;
    private readonly double _south;
    private readonly int _columns;
    private readonly int _rows;
    private readonly int[] _heads;
    private int[]? _filled;
    private readonly List<(int Segment, int Next)> _entries = [];
    private readonly List<(XY Start, XY End, int Owner)> _segments = [];

    /// <summary>Makes an empty index.</summary>
    /// <param name="extent">Where most segments lie; those beyond it are kept in the rim bins, which is slower, not wrong.</param>
    /// <param name="bin">Side of a bin, metres.</param>
    public SegmentBins(Envelope extent, double bin)
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
        (int r0, int r1) = Rows(a, b);
        for (int r = r0; r <= r1; r++)
        {
            (int c0, int c1) = ColumnsOf(a, b, r);
            for (int c = c0; c <= c1; c++)
            {
                int bin = (r * _columns) + c;
                _entries.Add((id, _heads[bin]));
                _heads[bin] = _entries.Count - 1;
            }
        }
    }

    /// <summary>A segment by its number in the order they were added.</summary>
    public (XY Start, XY End, int Owner) Segment(int number) => _segments[number];

    /// <summary>Makes questions about wide, empty surroundings cheap. Nothing may be added after it.</summary>
    public void Freeze()
    {
        // For each row of bins, how many bins with segments lie before each column.
        _filled = new int[_rows * (_columns + 1)];
        for (int r = 0; r < _rows; r++)
        {
            for (int c = 0; c < _columns; c++)
            {
                int at = (r * (_columns + 1)) + c;
                _filled[at + 1] = _filled[at] + (_heads[(r * _columns) + c] >= 0 ? 1 : 0);
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
            if (_filled is not null)
            {
                // Only the bins that the circle reaches in this row; rim rows also hold what lies beyond the extent.
                double south = _south + (r * _bin);
                double dy = r == 0 || r == _rows - 1 ? 0 : Math.Max(0, Math.Max(south - p.Y, p.Y - south - _bin));
                double half = Math.Sqrt(Math.Max(0, square - (dy * dy)));
                c0 = Bin(p.X - half, p.Y).Column;
                c1 = Bin(p.X + half, p.Y).Column;
                int at = r * (_columns + 1);
                if (_filled[at + c1 + 1] == _filled[at + c0])
                {
                    continue;
                }
            }

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

    /// <summary>Numbers, in the order they were added, of segments that may come within a radius; one may come more than once.</summary>
    public void Collect(XY p, double radius, List<int> segments)
    {
        segments.Clear();
        (int c0, int r0) = Bin(p.X - radius, p.Y - radius);
        (int c1, int r1) = Bin(p.X + radius, p.Y + radius);
        for (int r = r0; r <= r1; r++)
        {
            for (int c = c0; c <= c1; c++)
            {
                for (int e = _heads[(r * _columns) + c]; e >= 0; e = _entries[e].Next)
                {
                    segments.Add(_entries[e].Segment);
                }
            }
        }
    }

    /// <summary>Nearest distances within a radius to segments of other owners than one's own: of any, of those in one's own
    /// group, and of those whose nearest point lies to the left and to the right of a direction.</summary>
    /// <returns>Metres; infinite where nothing is as near as that.</returns>
    public (double Any, double SameGroup, double Left, double Right) Nearest(XY p, XY direction, double radius, int self, int[] groups)
    {
        double any = double.PositiveInfinity;
        double same = double.PositiveInfinity;
        double left = double.PositiveInfinity;
        double right = double.PositiveInfinity;
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

                    XY away = NearestPoint(p, start, end) - p;
                    double d = away.Dot(away);
                    any = Math.Min(any, d);
                    same = groups[owner] == groups[self] ? Math.Min(same, d) : same;
                    double across = direction.Cross(away);
                    left = across > 0 ? Math.Min(left, d) : left;
                    right = across < 0 ? Math.Min(right, d) : right;
                }
            }
        }

        double most = radius * radius;
        return (Within(any), Within(same), Within(left), Within(right));

        double Within(double square) => square <= most ? Math.Sqrt(square) : double.PositiveInfinity;
    }

    /// <summary>Where along a segment (0 to 1) it crosses segments of the index; a crossing may come more than once.</summary>
    public void CutsAlong(XY a, XY b, List<double> found)
    {
        (int r0, int r1) = Rows(a, b);
        XY u = b - a;
        for (int r = r0; r <= r1; r++)
        {
            (int c0, int c1) = ColumnsOf(a, b, r);
            for (int c = c0; c <= c1; c++)
            {
                for (int e = _heads[(r * _columns) + c]; e >= 0; e = _entries[e].Next)
                {
                    (XY start, XY end, _) = _segments[_entries[e].Segment];
                    XY v = end - start;
                    double cross = u.Cross(v);
                    if (cross == 0)
                    {
                        continue;
                    }

                    double t = (start - a).Cross(v) / cross;
                    double s = (start - a).Cross(u) / cross;
                    if (t >= 0 && t <= 1 && s >= 0 && s <= 1 && !found.Contains(t))
                    {
                        found.Add(t);
                    }
                }
            }
        }
    }

    /// <summary>Owners above a given one whose segments meet a segment, and where; an owner may come more than once.</summary>
    public IEnumerable<(int Owner, Coordinate At)> Meeting(XY a, XY b, int above)
    {
        NetTopologySuite.Algorithm.RobustLineIntersector intersector = new();
        XY u = (b - a).Unit();
        (int r0, int r1) = Rows(a, b);
        for (int r = r0; r <= r1; r++)
        {
            (int c0, int c1) = ColumnsOf(a, b, r);
            for (int c = c0; c <= c1; c++)
            {
                for (int e = _heads[(r * _columns) + c]; e >= 0; e = _entries[e].Next)
                {
                    (XY start, XY end, int owner) = _segments[_entries[e].Segment];
                    if (owner <= above || LiesAside(u, start - a, end - a))
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
        double t = ((px * dx) + (py * dy)) / square;
        t = square > 0 ? (t < 0 ? 0 : t > 1 ? 1 : t) : 0;
        double ex = px - (t * dx);
        double ey = py - (t * dy);
        return (ex * ex) + (ey * ey);
    }

    // Whether both ends lie plainly on one side of a line through the origin: most segments that share a bin do.
    private static bool LiesAside(XY direction, XY start, XY end)
    {
        double a = direction.Cross(start);
        double b = direction.Cross(end);
        return (a > Slack && b > Slack) || (a < -Slack && b < -Slack);
    }

    private static XY NearestPoint(XY p, XY a, XY b)
    {
        XY along = b - a;
        double square = along.Dot(along);
        return a + (along * (square > 0 ? Math.Clamp((p - a).Dot(along) / square, 0, 1) : 0));
    }

    private (int First, int Last) Rows(XY a, XY b) => (Bin(a.X, Math.Min(a.Y, b.Y) - Slack).Row, Bin(a.X, Math.Max(a.Y, b.Y) + Slack).Row);

    // The columns that a segment runs through within a row of bins. Rim rows also hold what lies beyond the extent.
    private (int First, int Last) ColumnsOf(XY a, XY b, int row)
    {
        (XY low, XY high) = a.Y <= b.Y ? (a, b) : (b, a);
        double from = row == 0 ? low.Y : Math.Clamp(_south + (row * _bin) - Slack, low.Y, high.Y);
        double to = row == _rows - 1 ? high.Y : Math.Clamp(_south + ((row + 1) * _bin) + Slack, low.Y, high.Y);
        double rise = high.Y - low.Y;
        double perRise = rise > 0 ? (high.X - low.X) / rise : 0;
        double x0 = rise > Slack ? low.X + (perRise * (from - low.Y)) : low.X;
        double x1 = rise > Slack ? low.X + (perRise * (to - low.Y)) : high.X;
        return (Bin(Math.Min(x0, x1) - Slack, 0).Column, Bin(Math.Max(x0, x1) + Slack, 0).Column);
    }

    private (int Column, int Row) Bin(double x, double y) => (
        (int)Math.Clamp((x - _west) / _bin, 0, _columns - 1),
        (int)Math.Clamp((y - _south) / _bin, 0, _rows - 1));
}
