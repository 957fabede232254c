using Keyline.Elevation;

namespace Keyline.Water;

/// <summary>The edge of an area of cells, walked around and cut into stretches that each face one side.</summary>
/// <remarks>
/// <para>Units: cells. Promises: every face between a cell of the area and one that is none is given once; a stretch lies on one ring and ends where the edge turns, the
/// steps of an edge askew not counted; short rings have one for each side.</para>
/// <para>Cost: linear in cells, and in faces times corners. Source: corners by Douglas and Peucker, Cartographica 10, 1973; the rest ours.</para>
/// </remarks>
internal static class GaugeEdge
{
    /// <summary>About how long a stretch is, metres.</summary>
    public const double Stretch = 20;

    // How far, in cells, steps of an edge may lie off a straight side, and how many faces a ring has at least that is cut by more than its four sides.
    private const double Straight = 1.5;
    private const int FewFaces = 24;

    private static readonly (int Down, int Right)[] Outward = [(-1, 0), (0, 1), (1, 0), (0, -1)];
    private static readonly (int Down, int Right)[] Forward = [(0, 1), (1, 0), (0, -1), (-1, 0)];

    /// <summary>The faces of the edge.</summary>
    /// <param name="frame">The grid.</param>
    /// <param name="cells">Numbers of the cells of the area.</param>
    /// <returns>For each face its cell, its side (0 north, 1 east, 2 south, 3 west) and the number of its stretch; and how many stretches there are.</returns>
    public static (List<(int Cell, int Side, int Stretch)> Faces, int Stretches) Of(GridFrame frame, IReadOnlyList<int> cells)
    {
        HashSet<int> inside = [.. cells];
        HashSet<(int, int)> seen = [];
        List<(int, int, int)> faces = [];
        int stretches = 0;
        foreach (int cell in cells)
        {
            for (int side = 0; side < 4; side++)
            {
                if (!Lies(cell, Outward[side]) && !seen.Contains((cell, side)))
                {
                    List<(int Cell, int Side)> ring = Ring(cell, side);
                    int[] of = Cut(ring, Math.Max(1, Stretch / frame.CellSize), frame.Columns);
                    faces.AddRange(ring.Select((f, i) => (f.Cell, f.Side, stretches + of[i])));
                    stretches += of.Max() + 1;
                }
            }
        }

        return (faces, stretches);

        // With the area to the right; cells that only touch at a corner are apart.
        List<(int Cell, int Side)> Ring(int cell, int side)
        {
            List<(int, int)> ring = [];
            while (seen.Add((cell, side)))
            {
                ring.Add((cell, side));
                (int down, int right) = Forward[side];
                (int outDown, int outRight) = Outward[side];
                if (!Lies(cell, (down, right)))
                {
                    side = (side + 1) % 4;
                }
                else if (Lies(cell, (down + outDown, right + outRight)))
                {
                    cell += ((down + outDown) * frame.Columns) + right + outRight;
                    side = (side + 3) % 4;
                }
                else
                {
                    cell += (down * frame.Columns) + right;
                }
            }

            return ring;
        }

        bool Lies(int cell, (int Down, int Right) away)
        {
            (int r, int c) = ((cell / frame.Columns) + away.Down, (cell % frame.Columns) + away.Right);
            return frame.Contains(r, c) && inside.Contains((r * frame.Columns) + c);
        }
    }

    // Straight sides first, then each of them in even parts.
    private static int[] Cut(List<(int Cell, int Side)> ring, double wanted, int columns)
    {
        int n = ring.Count;
        if (n < FewFaces)
        {
            return [.. ring.Select(f => f.Side)];
        }

        (int Down, int Right)[] points = [.. ring.Select(f => ((f.Cell / columns) + (f.Side is 2 or 3 ? 1 : 0), (f.Cell % columns) + (f.Side is 1 or 2 ? 1 : 0)))];
        (double down, double right) = (points.Average(p => p.Down), points.Average(p => p.Right));
        int start = Enumerable.Range(0, n).MaxBy(i => Square(points[i].Down - down, points[i].Right - right));
        int[] of = new int[n];
        int count = 0;
        int from = 0;
        foreach (int to in Corners([.. Enumerable.Range(0, n + 1).Select(i => points[(start + i) % n])]))
        {
            int parts = Math.Max(1, (int)Math.Round((to - from) / wanted));
            for (int i = from; i < to; i++)
            {
                of[(start + i) % n] = count + (int)((long)(i - from) * parts / (to - from));
            }

            count += parts;
            from = to;
        }

        return of;
    }

    // The closed way's corners behind its first point, in order.
    private static List<int> Corners((int Down, int Right)[] way)
    {
        List<int> corners = [];
        Stack<(int From, int To)> open = new([(0, way.Length - 1)]);
        while (open.TryPop(out (int From, int To) part))
        {
            (double down, double right) = (way[part.To].Down - way[part.From].Down, way[part.To].Right - way[part.From].Right);
            double length = Math.Sqrt(Square(down, right));
            double most = Straight;
            int at = -1;
            for (int i = part.From + 1; i < part.To; i++)
            {
                (double y, double x) = (way[i].Down - way[part.From].Down, way[i].Right - way[part.From].Right);
                double off = length > 0 ? Math.Abs((y * right) - (x * down)) / length : Math.Sqrt(Square(y, x));
                (most, at) = off > most ? (off, i) : (most, at);
            }

            if (at < 0)
            {
                corners.Add(part.To);
            }
            else
            {
                open.Push((at, part.To));
                open.Push((part.From, at));
            }
        }

        return corners;
    }

    private static double Square(double a, double b) => (a * a) + (b * b);
}
