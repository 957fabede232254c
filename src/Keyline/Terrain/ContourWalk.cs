using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Terrain;

/// <summary>The one contour that passes a place, followed both ways.</summary>
/// <param name="Points">Its points in order, higher ground on the left.</param>
/// <param name="Start">Index of the point nearest to the place.</param>
/// <param name="Closed">Whether it came back to where it began; the first point is then not repeated.</param>
/// <remarks>
/// <para>Units: metres. Missing: the contour ends where heights do.</para>
/// <para>Promises: the same line as <see cref="ContourTracer"/> draws of that level.</para>
/// <para>Cost: linear in the points followed, however large the ground is.</para>
/// <para>Source: as for <see cref="ContourTracer"/>.</para>
/// </remarks>
internal sealed record ContourWalk(Coordinate[] Points, int Start, bool Closed)
{
    /// <summary>Squares about the place that are searched for the contour.</summary>
    private const int Search = 2;

    /// <summary>Follows the contour of a level.</summary>
    /// <param name="ground">The ground.</param>
    /// <param name="place">A place on it or within two cells of it.</param>
    /// <param name="level">Its height, metres.</param>
    /// <param name="furthest">How far it is followed each way, metres.</param>
    /// <returns>The contour, or null where none is within reach of the place.</returns>
    public static ContourWalk? Through(ElevationGrid ground, Coordinate place, double level, double furthest)
    {
        GridFrame f = ground.Frame;
        int row = (int)Math.Floor(f.RowAt(place.Y)), column = (int)Math.Floor(f.ColumnAt(place.X));
        (int Row, int Column, int From, int To)? start = null;
        double nearest = double.PositiveInfinity;
        for (int r = row - Search; r <= row + Search; r++)
        {
            for (int c = column - Search; c <= column + Search; c++)
            {
                (int a, int b, int x, int y) = Ways(ground, r, c, level);
                foreach ((int from, int to) in ((int, int)[])[(a, b), (x, y)])
                {
                    if (from >= 0 && Crossing(ground, r, c, from, level).Distance(place) is double d && d < nearest)
                    {
                        (nearest, start) = (d, (r, c, from, to));
                    }
                }
            }
        }

        if (start is not { } s)
        {
            return null;
        }

        List<Coordinate> ahead = [Crossing(ground, s.Row, s.Column, s.From, level)];
        bool closed = Follow(ground, s.Row, s.Column, s.To, level, furthest, forward: true, (s.Row, s.Column, s.From), ahead);
        List<Coordinate> back = [];
        if (!closed)
        {
            // The side it came in by leads to the square behind.
            (int r, int c, int side) = Beyond(s.Row, s.Column, s.From);
            if (Leaving(ground, r, c, side, level) is int from and >= 0)
            {
                back.Add(ahead[0]);
                Follow(ground, r, c, from, level, furthest, forward: false, (-1, -1, -1), back);
                back.RemoveAt(0);
            }
        }

        back.Reverse();
        return new ContourWalk([.. back, .. ahead], back.Count, closed);
    }

    // Goes on from a square by a side, adding the crossing of every side; true where it comes back to the first.
    private static bool Follow(ElevationGrid ground, int row, int column, int side, double level, double furthest, bool forward, (int Row, int Column, int Side) first, List<Coordinate> points)
    {
        double walked = 0;
        while (true)
        {
            Coordinate at = Crossing(ground, row, column, side, level);
            (int r, int c, int entry) = Beyond(row, column, side);
            if ((r, c, entry) == first)
            {
                return true;
            }

            walked += at.Distance(points[^1]);
            points.Add(at);
            if (walked >= furthest)
            {
                return false;
            }

            int next = forward ? Entering(ground, r, c, entry, level) : Leaving(ground, r, c, entry, level);
            if (next < 0)
            {
                return false;
            }

            (row, column, side) = (r, c, next);
        }
    }

    // The square beyond a side, and that side as the square beyond sees it.
    private static (int Row, int Column, int Side) Beyond(int row, int column, int side) => side switch
    {
        0 => (row - 1, column, 2),
        1 => (row, column + 1, 3),
        2 => (row + 1, column, 0),
        _ => (row, column - 1, 1),
    };

    private static int Entering(ElevationGrid ground, int row, int column, int side, double level)
    {
        (int a, int b, int x, int y) = Ways(ground, row, column, level);
        return a == side ? b : x == side ? y : -1;
    }

    private static int Leaving(ElevationGrid ground, int row, int column, int side, double level)
    {
        (int a, int b, int x, int y) = Ways(ground, row, column, level);
        return b == side ? a : y == side ? x : -1;
    }

    private static (int From, int To, int SecondFrom, int SecondTo) Ways(ElevationGrid ground, int row, int column, double level)
    {
        GridFrame f = ground.Frame;
        if (row < 0 || column < 0 || row >= f.Rows - 1 || column >= f.Columns - 1)
        {
            return (-1, -1, -1, -1);
        }

        int i = (row * f.Columns) + column;
        float[] z = ground.Array;
        double nw = z[i], ne = z[i + 1], sw = z[i + f.Columns], se = z[i + f.Columns + 1];
        return double.IsNaN(nw + ne + sw + se) ? (-1, -1, -1, -1) : ContourTracer.Ways(nw, ne, se, sw, level);
    }

    private static Coordinate Crossing(ElevationGrid ground, int row, int column, int side, double level)
    {
        GridFrame f = ground.Frame;
        (int r, int c) = (row + (side == 2 ? 1 : 0), column + (side == 1 ? 1 : 0));
        bool southward = side is 1 or 3;
        double here = ground[r, c], there = southward ? ground[r + 1, c] : ground[r, c + 1];
        double t = (level - here) / (there - here);
        return southward ? new Coordinate(f.CentreX(c), f.CentreY(r + t)) : new Coordinate(f.CentreX(c + t), f.CentreY(r));
    }
}
