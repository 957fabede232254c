using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Terrain;

/// <summary>A level line of a field.</summary>
/// <param name="Points">Its points in order, metres; a closed line repeats the first.</param>
/// <param name="Closed">Whether it closes on itself.</param>
internal sealed record ContourPath(Coordinate[] Points, bool Closed);

/// <summary>Traces level lines of a field given at cell centres.</summary>
/// <remarks>
/// <para>Units: metres for places, the field's own unit for the level.</para>
/// <para>Missing: a square of four centres with one missing carries no line; lines end at it.</para>
/// <para>Promises: higher values lie on the left of travel; a value equal to the level counts as above it; where the four
/// corners of a square alternate, the mean of the four decides which pair is joined; lines cross the sides of squares at
/// linear interpolation, so they are exact on a plane; open lines come first, both in the order of their first crossing.</para>
/// <para>Cost: linear in cells; 12 bytes a cell.</para>
/// <para>Source: marching squares, Lorensen and Cline 1987 (doi:10.1145/37402.37422) in two dimensions; the mean-value
/// rule at saddles, Wyvill, McPheeters and Wyvill 1986.</para>
/// </remarks>
internal static class ContourTracer
{
    // For each pattern of corners above the level (1 north-west, 2 north-east, 4 south-east, 8 south-west) the sides a line
    // goes from and to: 0 north, 1 east, 2 south, 3 west.
    private static readonly (int From, int To)[] Single =
    [
        (-1, -1), (3, 0), (0, 1), (3, 1), (1, 2), (-1, -1), (0, 2), (3, 2),
        (2, 3), (2, 0), (-1, -1), (2, 1), (1, 3), (1, 0), (0, 3), (-1, -1),
    ];

    /// <summary>The ways of a line through a square of four centres: from a side to a side, and a second pair where the corners
    /// alternate, sides 0 to 3 clockwise from north; -1 where there is none.</summary>
    public static (int From, int To, int SecondFrom, int SecondTo) Ways(double nw, double ne, double se, double sw, double level) =>
        Ways(Above(nw, ne, se, sw, level), (nw + ne + se + sw) / 4 >= level);

    /// <summary>The same by the pattern of corners above the level, and whether the mean of the four is, which counts where they alternate.</summary>
    public static (int From, int To, int SecondFrom, int SecondTo) Ways(int above, bool meanAbove) => (above, meanAbove) switch
    {
        (5, true) => (1, 0, 3, 2),
        (5, false) => (3, 0, 1, 2),
        (10, true) => (0, 3, 2, 1),
        (10, false) => (0, 1, 2, 3),
        _ => (Single[above].From, Single[above].To, -1, -1),
    };

    // The pattern of corners at or above a level.
    private static int Above(double nw, double ne, double se, double sw, double level) =>
        (nw >= level ? 1 : 0) | (ne >= level ? 2 : 0) | (se >= level ? 4 : 0) | (sw >= level ? 8 : 0);

    /// <summary>Traces one level.</summary>
    /// <param name="values">Row after row from the north.</param>
    /// <param name="frame">Where the values stand.</param>
    /// <param name="level">The level.</param>
    public static IReadOnlyList<ContourPath> Trace(double[] values, GridFrame frame, double level)
    {
        int rows = frame.Rows;
        int columns = frame.Columns;
        int cells = checked(rows * columns);

        // A side is numbered by its north or west end: eastward sides first, then southward ones. At most one line
        // leaves a side and at most one reaches it.
        Dictionary<int, int> next = [];
        HashSet<int> reached = [];
        List<int> starts = [];
        for (int r = 0; r < rows - 1; r++)
        {
            for (int c = 0; c < columns - 1; c++)
            {
                int i = (r * columns) + c;
                double nw = values[i];
                double ne = values[i + 1];
                double sw = values[i + columns];
                double se = values[i + columns + 1];
                int above = Above(nw, ne, se, sw, level);
                if (above is 0 or 15 || double.IsNaN(nw + ne + sw + se))
                {
                    continue;
                }

                (int a, int b, int x, int y) = Ways(above, (nw + ne + se + sw) / 4 >= level);
                Link(i, a, b);
                if (x >= 0)
                {
                    Link(i, x, y);
                }
            }
        }

        List<ContourPath> paths = [];
        HashSet<int> used = [];
        foreach (int start in starts)
        {
            if (!reached.Contains(start))
            {
                paths.Add(Follow(start, false));
            }
        }

        foreach (int start in starts)
        {
            if (!used.Contains(start))
            {
                paths.Add(Follow(start, true));
            }
        }

        return paths;

        void Link(int cell, int from, int to)
        {
            int a = Side(cell, from);
            int b = Side(cell, to);
            next[a] = b;
            reached.Add(b);
            starts.Add(a);
        }

        int Side(int cell, int side) => side switch
        {
            0 => cell,
            1 => cells + cell + 1,
            2 => cell + columns,
            _ => cells + cell,
        };

        ContourPath Follow(int start, bool closed)
        {
            List<Coordinate> points = [];
            int side = start;
            do
            {
                used.Add(side);
                points.Add(Crossing(side));
                if (!next.TryGetValue(side, out side))
                {
                    break;
                }
            }
            while (side != start);
            if (closed)
            {
                points.Add(points[0].Copy());
            }

            return new ContourPath([.. points], closed);
        }

        Coordinate Crossing(int side)
        {
            bool southward = side >= cells;
            int cell = southward ? side - cells : side;
            int other = southward ? cell + columns : cell + 1;
            double t = (level - values[cell]) / (values[other] - values[cell]);
            int r = cell / columns;
            int c = cell % columns;
            return southward
                ? new Coordinate(frame.CentreX(c), frame.CentreY(r + t))
                : new Coordinate(frame.CentreX(c + t), frame.CentreY(r));
        }
    }
}
