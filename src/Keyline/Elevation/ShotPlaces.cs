using NetTopologySuite.Geometries;
using NetTopologySuite.Index.Strtree;

namespace Keyline.Elevation;

/// <summary>Where shots lie: twice in one place, how far apart, and which cells they surround.</summary>
internal static class ShotPlaces
{
    // Two cells between neighbouring shots show all that the surface between them does; finer than a decimetre nothing is shot. Common practice, no source.
    private const double CellPerSpacing = 0.5;
    private const double LeastCell = 0.1;

    // Squares whose shots may be within the diagonal of one from its own, each pair of squares once.
    private static readonly (int Right, int Up)[] NearSquares = [(1, 0), (2, 0), (-2, 1), (-1, 1), (0, 1), (1, 1), (2, 1), (-2, 2), (-1, 2), (0, 2), (1, 2), (2, 2)];

    /// <summary>Makes one shot of those within a distance of one another, with their middle height.</summary>
    /// <remarks>Cost: linear in shots as surveys have them, however many lie in one place or on one line north.</remarks>
    public static (List<SurveyShot> Single, List<RepeatedShots> Repeated) Merge(IReadOnlyList<SurveyShot> shots, double samePlace)
    {
        int[] leader = [.. Enumerable.Range(0, shots.Count)];

        // Shots in one square are within the distance whichever they are, so of two squares one pair decides.
        double side = samePlace / Math.Sqrt(2);
        Dictionary<(long, long), List<int>> squares = [];
        HashSet<(double, double)> places = [];
        for (int i = 0; i < shots.Count; i++)
        {
            (long, long) square = ((long)Math.Floor(shots[i].X / side), (long)Math.Floor(shots[i].Y / side));
            if (!squares.TryGetValue(square, out List<int>? inSquare))
            {
                squares.Add(square, inSquare = []);
            }

            if (inSquare.Count > 0)
            {
                Join(leader, inSquare[0], i);
            }

            if (places.Add((shots[i].X, shots[i].Y)))
            {
                inSquare.Add(i);
            }
        }

        foreach (((long column, long row), List<int> here) in squares)
        {
            foreach ((int right, int up) in NearSquares)
            {
                if (squares.TryGetValue((column + right, row + up), out List<int>? there) && here.Exists(i => there.Exists(j => Distance(shots[i], shots[j]) <= samePlace)))
                {
                    Join(leader, here[0], there[0]);
                }
            }
        }

        List<SurveyShot> single = [];
        List<RepeatedShots> repeated = [];
        ILookup<int, int> groups = Enumerable.Range(0, shots.Count).ToLookup(i => Lead(leader, i));
        foreach (int first in Enumerable.Range(0, shots.Count).Where(i => Lead(leader, i) == i))
        {
            SurveyShot[] same = [.. groups[first].Select(i => shots[i])];
            if (same.Length > 1)
            {
                double[] heights = [.. same.Select(s => s.Height).Order()];
                repeated.Add(new RepeatedShots(same, heights[^1] - heights[0]));
                single.Add(shots[first] with { Height = Quantiles.Median(heights) });
            }
            else
            {
                single.Add(shots[first]);
            }
        }

        return (single, repeated);
    }

    /// <summary>Median distance of a shot to the nearest other, metres.</summary>
    public static double UsualSpacing(IReadOnlyList<SurveyShot> shots)
    {
        STRtree<int> tree = new();
        for (int i = 0; i < shots.Count; i++)
        {
            tree.Insert(new Envelope(shots[i].X, shots[i].X, shots[i].Y, shots[i].Y), i);
        }

        ShotDistance distance = new(shots);
        double[] nearest = new double[shots.Count];
        for (int i = 0; i < shots.Count; i++)
        {
            int[] two = tree.NearestNeighbour(new Envelope(shots[i].X, shots[i].X, shots[i].Y, shots[i].Y), i, distance, 2);
            nearest[i] = two.Max(j => Distance(shots[i], shots[j]));
        }

        Array.Sort(nearest);
        return Quantiles.Median(nearest);
    }

    /// <summary>A cell of half the usual spacing, rounded down to 1, 2 or 5.</summary>
    public static double CellFor(double spacing)
    {
        double wanted = Math.Max(LeastCell, CellPerSpacing * spacing), power = Math.Pow(10, Math.Floor(Math.Log10(wanted)));
        double digit = wanted / power * (1 + 1e-9);
        return (digit >= 5 ? 5 : digit >= 2 ? 2 : 1) * power;
    }

    /// <summary>The columns of each row whose centres lie within a convex outline.</summary>
    public static (int First, int End)[] Spans(Polygon outline, GridFrame frame)
    {
        Coordinate[] ring = outline.ExteriorRing.Coordinates;
        var spans = new (int First, int End)[frame.Rows];
        for (int r = 0; r < frame.Rows; r++)
        {
            double y = frame.CentreY(r), west = double.PositiveInfinity, east = double.NegativeInfinity;
            for (int i = 0; i + 1 < ring.Length; i++)
            {
                Coordinate a = ring[i], b = ring[i + 1];
                if ((a.Y <= y) != (b.Y <= y))
                {
                    double x = a.X + ((y - a.Y) / (b.Y - a.Y) * (b.X - a.X));
                    (west, east) = (Math.Min(west, x), Math.Max(east, x));
                }
            }

            spans[r] = west <= east
                ? ((int)Math.Max(0, Math.Ceiling(frame.ColumnAt(west) - 1e-9)), (int)Math.Min(frame.Columns, Math.Floor(frame.ColumnAt(east) + 1e-9) + 1))
                : (0, 0);
        }

        return spans;
    }

    public static double Distance(SurveyShot a, SurveyShot b) => Math.Sqrt(((a.X - b.X) * (a.X - b.X)) + ((a.Y - b.Y) * (a.Y - b.Y)));

    private static int Lead(int[] leader, int shot)
    {
        while (leader[shot] != shot)
        {
            leader[shot] = leader[leader[shot]];
            shot = leader[shot];
        }

        return shot;
    }

    private static void Join(int[] leader, int a, int b)
    {
        (int first, int second) = (Lead(leader, a), Lead(leader, b));
        leader[Math.Max(first, second)] = Math.Min(first, second);
    }

    private sealed class ShotDistance(IReadOnlyList<SurveyShot> shots) : IItemDistance<Envelope, int>
    {
        public double Distance(IBoundable<Envelope, int> item1, IBoundable<Envelope, int> item2) => ShotPlaces.Distance(shots[item1.Item], shots[item2.Item]);
    }
}
