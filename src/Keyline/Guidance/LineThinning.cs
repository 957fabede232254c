using NetTopologySuite.Geometries;

namespace Keyline.Guidance;

/// <summary>Takes away vertices a guidance display does not need, within a stated cross-track error.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: coordinates must be finite; a missing height (NaN) is carried along.</para>
/// <para>Promises: ends are kept; every point of the line given lies within the tolerance of the line returned, measured
/// level; no two neighbours are farther apart than the greatest gap. Every vertex returned is a vertex given, save where
/// one edge given is itself longer than the greatest gap: that edge gets evenly spaced points with heights in between.
/// Heights do not steer the choice. Two lines thinned come closer to each other by twice the tolerance at most.</para>
/// <para>Cost: about n log n for n vertices, n squared at worst.</para>
/// <para>Source: Douglas, D. and Peucker, T. (1973), Algorithms for the reduction of the number of points required to
/// represent a digitized line or its caricature, The Canadian Cartographer 10(2), 112-122; with distance to the segment
/// rather than to its endless line, and a list of spans in place of recursion.</para>
/// </remarks>
public static class LineThinning
{
    /// <summary>Cross-track error allowed when none is given, metres: the repeatability of corrected satellite positioning.</summary>
    public const double DefaultTolerance = 0.02;

    /// <summary>Greatest distance between neighbours when none is given, metres.</summary>
    public const double DefaultGreatestGap = 50.0;

    /// <summary>Thins a line.</summary>
    /// <param name="line">The line, metres; heights may be NaN.</param>
    /// <param name="tolerance">Cross-track error allowed, metres, 0 or more.</param>
    /// <param name="greatestGap">Greatest distance between neighbours, metres, above 0; infinite for no limit.</param>
    /// <returns>A new line with the same ends and direction.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A tolerance below 0 or not finite, or a gap not above 0.</exception>
    /// <exception cref="ArgumentException">The line is empty or a coordinate is not finite.</exception>
    public static LineString Thin(LineString line, double tolerance = DefaultTolerance, double greatestGap = DefaultGreatestGap)
    {
        ArgumentNullException.ThrowIfNull(line);
        if (!(tolerance >= 0) || !double.IsFinite(tolerance))
        {
            throw new ArgumentOutOfRangeException(nameof(tolerance), tolerance, "The cross-track error must be a finite number of metres, 0 or more.");
        }

        if (!(greatestGap > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(greatestGap), greatestGap, "The greatest gap must be above 0 m.");
        }

        Coordinate[] given = line.Coordinates;
        if (given.Length < 2 || !Array.TrueForAll(given, c => double.IsFinite(c.X) && double.IsFinite(c.Y)))
        {
            throw new ArgumentException("A line to be thinned needs two finite positions or more.", nameof(line));
        }

        bool[] kept = Keep(given, tolerance, greatestGap);
        List<Coordinate> thinned = [Copy(given[0])];
        int last = 0;
        for (int i = 1; i < given.Length; i++)
        {
            if (!kept[i])
            {
                continue;
            }

            if (i == last + 1)
            {
                Fill(thinned, given[last], given[i], greatestGap);
            }

            thinned.Add(Copy(given[i]));
            last = i;
        }

        return line.Factory.CreateLineString([.. thinned]);
    }

    private static bool[] Keep(Coordinate[] given, double tolerance, double greatestGap)
    {
        bool[] kept = new bool[given.Length];
        kept[0] = kept[^1] = true;
        Stack<(int First, int Last)> open = new([(0, given.Length - 1)]);
        while (open.TryPop(out (int First, int Last) span))
        {
            if (span.Last - span.First < 2)
            {
                continue;
            }

            Coordinate a = given[span.First], b = given[span.Last];
            int farthest = span.First + 1;
            double most = -1;
            for (int i = span.First + 1; i < span.Last; i++)
            {
                double d = SquaredDistance(given[i], a, b);
                if (d > most)
                {
                    (most, farthest) = (d, i);
                }
            }

            if (most > tolerance * tolerance)
            {
                // Split where it strays most.
            }
            else if (a.Distance(b) > greatestGap)
            {
                farthest = NearestToMiddle(given, span.First, span.Last);
            }
            else
            {
                continue;
            }

            kept[farthest] = true;
            open.Push((span.First, farthest));
            open.Push((farthest, span.Last));
        }

        return kept;
    }

    private static int NearestToMiddle(Coordinate[] given, int first, int last)
    {
        double x = (given[first].X + given[last].X) / 2, y = (given[first].Y + given[last].Y) / 2;
        int nearest = first + 1;
        double least = double.PositiveInfinity;
        for (int i = first + 1; i < last; i++)
        {
            double dx = given[i].X - x, dy = given[i].Y - y;
            double d = (dx * dx) + (dy * dy);
            if (d < least)
            {
                (least, nearest) = (d, i);
            }
        }

        return nearest;
    }

    private static void Fill(List<Coordinate> thinned, Coordinate a, Coordinate b, double greatestGap)
    {
        double length = a.Distance(b);
        int pieces = double.IsInfinity(greatestGap) ? 1 : checked((int)Math.Ceiling(length / greatestGap));
        for (int i = 1; i < pieces; i++)
        {
            double t = (double)i / pieces;
            thinned.Add(new CoordinateZ(a.X + (t * (b.X - a.X)), a.Y + (t * (b.Y - a.Y)), a.Z + (t * (b.Z - a.Z))));
        }
    }

    // The distance to a segment is a convex function of place, so vertices within the tolerance carry their edges with them.
    private static double SquaredDistance(Coordinate p, Coordinate a, Coordinate b)
    {
        double dx = b.X - a.X, dy = b.Y - a.Y, px = p.X - a.X, py = p.Y - a.Y;
        double squared = (dx * dx) + (dy * dy);
        double t = squared > 0 ? Math.Clamp(((px * dx) + (py * dy)) / squared, 0, 1) : 0;
        double ox = px - (t * dx), oy = py - (t * dy);
        return (ox * ox) + (oy * oy);
    }

    private static CoordinateZ Copy(Coordinate c) => new(c.X, c.Y, c.Z);
}
