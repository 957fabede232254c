using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>Distances to the next line, left and right of places along every line.</summary>
/// <remarks>
/// <para>Units: metres, square to the line; a place every <see cref="Step"/>. Where no other line lies within <see cref="Reach"/> spacings there is none.</para>
/// <para>Cost: proportional to the length of the lines: segments lie in cells of one spacing.</para>
/// </remarks>
internal static class LineGaps
{
    /// <summary>Metres between places.</summary>
    public const double Step = 8;

    /// <summary>How many spacings are looked through.</summary>
    public const double Reach = 2;

    /// <summary>The distances, in no order that means anything.</summary>
    public static IReadOnlyList<double> Of(IReadOnlyList<RipLine> lines, double spacing, CancellationToken cancellationToken)
    {
        Dictionary<(int, int), List<(int Line, Coordinate A, Coordinate B)>> cells = [];
        Coordinate[][] courses = [.. lines.Select(l => l.Line.Coordinates)];
        for (int i = 0; i < courses.Length; i++)
        {
            for (int k = 1; k < courses[i].Length; k++)
            {
                (Coordinate a, Coordinate b) = (courses[i][k - 1], courses[i][k]);
                foreach ((int, int) cell in Box(a.X, a.Y, b.X, b.Y, spacing))
                {
                    (cells.TryGetValue(cell, out List<(int, Coordinate, Coordinate)>? list) ? list : cells[cell] = []).Add((i, a, b));
                }
            }
        }

        List<double> gaps = [];
        for (int i = 0; i < courses.Length; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            double due = Step / 2;
            for (int k = 1; k < courses[i].Length; k++)
            {
                (Coordinate a, Coordinate b) = (courses[i][k - 1], courses[i][k]);
                double length = a.Distance(b), at = due;
                for (; at < length; at += Step)
                {
                    double t = at / length, x = a.X + (t * (b.X - a.X)), y = a.Y + (t * (b.Y - a.Y)), nx = (a.Y - b.Y) / length, ny = (b.X - a.X) / length;
                    foreach (int side in (int[])[1, -1])
                    {
                        double gap = First(cells, i, x, y, side * nx * Reach * spacing, side * ny * Reach * spacing, spacing) * Reach * spacing;
                        if (double.IsFinite(gap))
                        {
                            gaps.Add(gap);
                        }
                    }
                }

                due = at - length;
            }
        }

        return gaps;
    }

    // How far along a ray, from 0 to 1, it first meets another line.
    private static double First(Dictionary<(int, int), List<(int Line, Coordinate A, Coordinate B)>> cells, int self, double x, double y, double dx, double dy, double spacing)
    {
        double first = double.PositiveInfinity;
        foreach ((int, int) cell in Box(x, y, x + dx, y + dy, spacing))
        {
            foreach ((int line, Coordinate a, Coordinate b) in cells.TryGetValue(cell, out List<(int, Coordinate, Coordinate)>? list) ? list : [])
            {
                double ex = b.X - a.X, ey = b.Y - a.Y, cross = (dx * ey) - (dy * ex);
                if (line == self || cross == 0)
                {
                    continue;
                }

                double t = (((a.X - x) * ey) - ((a.Y - y) * ex)) / cross, u = (((a.X - x) * dy) - ((a.Y - y) * dx)) / cross;
                if (t > 0 && t <= 1 && u >= 0 && u <= 1 && t < first)
                {
                    first = t;
                }
            }
        }

        return first;
    }

    private static IEnumerable<(int, int)> Box(double ax, double ay, double bx, double by, double cell)
    {
        for (int i = (int)Math.Floor(Math.Min(ax, bx) / cell); i <= (int)Math.Floor(Math.Max(ax, bx) / cell); i++)
        {
            for (int j = (int)Math.Floor(Math.Min(ay, by) / cell); j <= (int)Math.Floor(Math.Max(ay, by) / cell); j++)
            {
                yield return (i, j);
            }
        }
    }
}
