using Keyline.Field;
using Keyline.Planar;

namespace Keyline.Fieldwork;

/// <summary>Ways round what lies between two poses, over free ground.</summary>
/// <remarks>
/// <para>Units: metres. Promises: bends no tighter than the machine; whether the outline keeps clear is for the caller to ask. The same ground
/// gives the same way.</para>
/// <para>Cost: a search over cells of about 3 m, once a question. Source: best first search with the straight distance as bound (P. E. Hart, N. J. Nilsson and
/// B. Raphael 1968, "A formal basis for the heuristic determination of minimum cost paths"), shortened by lines of sight, its corners joined by forward turns.</para>
/// </remarks>
internal sealed class LinkWays
{
    private const double CellSide = 3;

    private readonly DrivableGround _ground;
    private readonly double _radius;
    private readonly double _room;
    private readonly Lazy<Mask> _mask;

    public LinkWays(Machine machine, DrivableGround ground)
    {
        _ground = ground;
        _radius = machine.Implement.RadiusLifted;
        _room = (Math.Max(machine.Tractor.Width, machine.Implement.WidthOverAll) / 2) + 0.5;
        _mask = new Lazy<Mask>(Build);
    }

    /// <summary>A way forward, or null where there is none over cells that have room.</summary>
    public TurnPath? Find(Pose from, Pose to)
    {
        // Somewhat ahead of the one and before the other, where the machine has turned off the rows.
        Mask mask = _mask.Value;
        int start = mask.NearestFree(from.X, from.Y), goal = mask.NearestFree(to.X, to.Y);
        if (start < 0 || goal < 0 || mask.Search(start, goal) is not { } cells)
        {
            return null;
        }

        List<(double X, double Y)> corners = [(from.X, from.Y)];
        int at = 0;
        while (at < cells.Count - 1)
        {
            int next = at + 1;
            while (next + 1 < cells.Count && mask.Sees(cells[at], cells[next + 1]))
            {
                next++;
            }

            at = next;
            corners.Add(mask.Centre(cells[at]));
        }

        corners[^1] = (to.X, to.Y);
        TurnPath way = new(from, []);
        for (int i = 1; i < corners.Count; i++)
        {
            if (i < corners.Count - 1 && Apart(corners[i], (way.End.X, way.End.Y)) < 2 * _radius)
            {
                continue;
            }

            Pose next = i == corners.Count - 1 ? to : new Pose(corners[i].X, corners[i].Y, Math.Atan2(corners[i + 1].Y - corners[i - 1].Y, corners[i + 1].X - corners[i - 1].X));
            way = way.Then(ForwardTurns.Between(way.End, next, _radius)[0]);
        }

        return way;
    }

    private static double Apart((double X, double Y) a, (double X, double Y) b) => Math.Sqrt(Math.Pow(a.X - b.X, 2) + Math.Pow(a.Y - b.Y, 2));

    private Mask Build()
    {
        NetTopologySuite.Geometries.Envelope box = _ground.Field.Boundary.EnvelopeInternal;
        double side = Math.Max(CellSide, Math.Sqrt(box.Area / 500_000));
        Mask mask = new(box.MinX, box.MinY, side, (int)Math.Ceiling(box.Height / side) + 1, (int)Math.Ceiling(box.Width / side) + 1);
        for (int i = 0; i < mask.Free.Length; i++)
        {
            (double x, double y) = mask.Centre(i);
            bool free = _ground.IsFree(x, y);
            for (int k = 0; k < 16 && free; k++)
            {
                (double sin, double cos) = Math.SinCos(k * Math.PI / 8);
                free = _ground.IsFree(x + (_room * cos), y + (_room * sin)) && _ground.IsFree(x + (_room / 2 * cos), y + (_room / 2 * sin));
            }

            mask.Free[i] = free;
        }

        return mask;
    }

    private sealed class Mask(double west, double south, double side, int rows, int columns)
    {
        private static readonly (int Row, int Column)[] Ways = [(0, 1), (1, 0), (0, -1), (-1, 0), (1, 1), (1, -1), (-1, 1), (-1, -1)];

        public bool[] Free { get; } = new bool[rows * columns];

        public (double X, double Y) Centre(int cell) => (west + ((cell % columns) + 0.5) * side, south + ((cell / columns) + 0.5) * side);

        public int NearestFree(double x, double y)
        {
            int row = (int)Math.Floor((y - south) / side), column = (int)Math.Floor((x - west) / side), best = -1;
            double least = double.PositiveInfinity;
            for (int r = Math.Max(0, row - 6); r <= Math.Min(rows - 1, row + 6); r++)
            {
                for (int c = Math.Max(0, column - 6); c <= Math.Min(columns - 1, column + 6); c++)
                {
                    double far = ((r - row) * (r - row)) + ((c - column) * (c - column));
                    if (Free[(r * columns) + c] && far < least)
                    {
                        (least, best) = (far, (r * columns) + c);
                    }
                }
            }

            return best;
        }

        public List<int>? Search(int start, int goal)
        {
            double[] way = new double[Free.Length];
            Array.Fill(way, double.PositiveInfinity);
            int[] before = new int[Free.Length];
            PriorityQueue<int, (double, int)> open = new();
            way[start] = 0;
            before[start] = -1;
            open.Enqueue(start, (0, start));
            while (open.TryDequeue(out int cell, out _))
            {
                if (cell == goal)
                {
                    List<int> found = [];
                    for (int at = goal; at >= 0; at = before[at])
                    {
                        found.Add(at);
                    }

                    found.Reverse();
                    return found;
                }

                foreach ((int down, int across) in Ways)
                {
                    int r = (cell / columns) + down, c = (cell % columns) + across, next = (r * columns) + c;
                    if ((uint)r >= (uint)rows || (uint)c >= (uint)columns || !Free[next])
                    {
                        continue;
                    }

                    double length = way[cell] + (down != 0 && across != 0 ? Math.Sqrt(2) : 1);
                    if (length < way[next] - 1e-9)
                    {
                        (way[next], before[next]) = (length, cell);
                        open.Enqueue(next, (length + Math.Sqrt(Math.Pow(r - (goal / columns), 2) + Math.Pow(c - (goal % columns), 2)), next));
                    }
                }
            }

            return null;
        }

        public bool Sees(int from, int to)
        {
            (double ax, double ay) = Centre(from);
            (double bx, double by) = Centre(to);
            int steps = (int)Math.Ceiling(Math.Sqrt(Math.Pow(bx - ax, 2) + Math.Pow(by - ay, 2)) / (side / 2));
            for (int k = 1; k < steps; k++)
            {
                int r = (int)Math.Floor((ay + ((by - ay) * k / steps) - south) / side), c = (int)Math.Floor((ax + ((bx - ax) * k / steps) - west) / side);
                if (!Free[(r * columns) + c])
                {
                    return false;
                }
            }

            return true;
        }
    }
}
