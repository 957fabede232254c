using Keyline.Drainage;
using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>Ridge lines: valleys of the ground turned upside down, favoured where two valleys' catchments meet.</summary>
/// <remarks>
/// <para>Units: metres. Missing: no ridge passes a missing cell.</para>
/// <para>Promises: each runs from its higher end; none comes within two working cells of a valley line, so none crosses one;
/// each has different valleys on its two sides, or none on one, over a good part of its length; numbered by length, longest
/// first.</para>
/// <para>Cost: O(n log n) for the upside-down drainage; 40 bytes a cell while it runs.</para>
/// <para>Source: own, from the duality of valleys and ridges noted by Cayley 1859 and Maxwell 1870, "On hills and dales".</para>
/// </remarks>
internal static class RidgeLines
{
    /// <summary>Stretches of crest with no ridge shape are bridged up to this length, metres.</summary>
    private const double LongestGap = 40;

    /// <summary>Cells this near a divide between catchments count as on it, metres.</summary>
    private const double DivideWidth = 12;

    /// <summary>A ridge carries a valley whose head lies within this distance of it, walked uphill, metres.</summary>
    private const double LongestClimb = 250;

    /// <summary>What lies on either side of a crest is looked up this far from it, metres.</summary>
    private const double SideReach = 24;

    /// <summary>A crest parts valleys over at least this share of its length.</summary>
    private const double LeastParting = 0.3;

    // Shares of the stage's time, for telling how far it has come.
    private const double DividesShare = 0.2;
    private const double NetworkShare = 0.6;

    /// <summary>A main ridge carries at least this many heads.</summary>
    private const int HeadsOfMain = 2;

    public static (List<RidgeLine> Ridges, Dictionary<int, int> RidgeOfStem) Make(
        ElevationGrid ground, ElevationGrid inverted, DrainageTree tree, DrainageTree up, GroundShape shape, List<Stem> valleys, LandformOptions options, StageProgress? progress, CancellationToken cancellationToken)
    {
        int[] basins = Basins(tree, valleys, cancellationToken);
        bool[] divide = Divides(tree.Frame, basins, cancellationToken);
        progress?.Report(DividesShare);
        List<Stem> stems = LineNetwork.Find(inverted, up, shape, -1, options, divide, cancellationToken);
        progress?.Report(NetworkShare);

        bool[] closed = NearValleys(tree.Frame, valleys, cancellationToken);
        List<(List<int> Cells, Coordinate[] Points)> crests = [];
        Dictionary<int, Coordinate> placed = [];
        int done = 0;
        foreach (Stem s in stems.OrderByDescending(s => s.Area).ThenBy(s => s.Id))
        {
            cancellationToken.ThrowIfCancellationRequested();
            progress?.Report(NetworkShare + ((1 - NetworkShare) * done++ / stems.Count));
            foreach (List<int> run in Runs(s, up, shape, closed, options, divide))
            {
                placed.TryGetValue(run[^1], out Coordinate? end);
                if (!Parts(run, basins, tree.Frame))
                {
                    continue;
                }

                (Coordinate[] points, int begin) = LineFitting.Fit(ground, run, tree.Frame, -1, null, end);
                for (int i = begin; i < run.Count; i++)
                {
                    placed.TryAdd(run[i], points[i]);
                }

                crests.Add((run, points[begin..]));
            }
        }

        Dictionary<int, int> carried = CarriedHeads(up, valleys, crests);
        ILookup<int, int> heads = carried.ToLookup(p => p.Value, p => p.Key);
        (LineString Line, int Crest)[] longest = [.. crests.Select((c, i) => (Line: FromHigherEnd(c.Points), i)).OrderByDescending(c => c.Line.Length)];
        int[] numbers = new int[crests.Count];
        List<RidgeLine> ridges = [];
        foreach ((LineString line, int crest) in longest)
        {
            numbers[crest] = ridges.Count + 1;
            ridges.Add(new RidgeLine(numbers[crest], line, heads[crest].Count() >= HeadsOfMain));
        }

        progress?.Report(1);
        return (ridges, carried.ToDictionary(p => p.Key, p => numbers[p.Value]));
    }

    /// <summary>The valley that each cell drains to, by its stem's number and one; 0 where it is none.</summary>
    private static int[] Basins(DrainageTree tree, List<Stem> valleys, CancellationToken cancellationToken)
    {
        int[] basin = new int[tree.Area.Length];
        foreach (Stem s in valleys)
        {
            for (int i = 0; i < s.OwnCells; i++)
            {
                basin[s.Cells[i]] = s.Id + 1;
            }
        }

        for (int i = tree.Order.Length - 1; i >= 0; i--)
        {
            cancellationToken.ThrowIfCancellationRequested(i);
            int c = tree.Order[i];
            int to = tree.Downstream[c];
            if (basin[c] == 0 && to >= 0)
            {
                basin[c] = basin[to];
            }
        }

        return basin;
    }

    /// <summary>Cells at the border between the catchments of two valleys, and those beside them.</summary>
    private static bool[] Divides(GridFrame f, int[] basin, CancellationToken cancellationToken)
    {
        bool[] divide = new bool[basin.Length];
        for (int r = 0; r < f.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int c = 0; c < f.Columns; c++)
            {
                int at = (r * f.Columns) + c;
                bool right = c + 1 < f.Columns && Differ(basin[at], basin[at + 1]);
                bool below = r + 1 < f.Rows && Differ(basin[at], basin[at + f.Columns]);
                divide[at] = right || below;
            }
        }

        return Widen(f, divide, (int)Math.Ceiling(DivideWidth / f.CellSize), cancellationToken);
    }

    private static bool Differ(int a, int b) => a != b && a > 0 && b > 0;

    private static bool[] Widen(GridFrame f, bool[] cells, int by, CancellationToken cancellationToken)
    {
        bool[] across = new bool[cells.Length];
        bool[] wide = new bool[cells.Length];
        for (int r = 0; r < f.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int c = 0; c < f.Columns; c++)
            {
                if (cells[(r * f.Columns) + c])
                {
                    int from = (r * f.Columns) + Math.Max(0, c - by);
                    int to = (r * f.Columns) + Math.Min(f.Columns - 1, c + by);
                    across.AsSpan(from, to - from + 1).Fill(true);
                }
            }
        }

        for (int r = 0; r < f.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int k = Math.Max(0, r - by); k <= Math.Min(f.Rows - 1, r + by); k++)
            {
                for (int c = 0; c < f.Columns; c++)
                {
                    wide[(r * f.Columns) + c] |= across[(k * f.Columns) + c];
                }
            }
        }

        return wide;
    }

    private static bool[] NearValleys(GridFrame f, List<Stem> valleys, CancellationToken cancellationToken)
    {
        bool[] cells = new bool[checked((int)f.CellCount)];
        foreach (Stem s in valleys)
        {
            foreach (int c in s.Cells)
            {
                cells[c] = true;
            }
        }

        return Widen(f, cells, 2, cancellationToken);
    }

    /// <summary>Stretches of a stem that are ridge-shaped, with short gaps bridged, and clear of valleys.</summary>
    private static List<List<int>> Runs(Stem stem, DrainageTree up, GroundShape shape, bool[] closed, LandformOptions options, bool[] divide)
    {
        double cell = up.Frame.CellSize;
        int bridge = (int)Math.Ceiling(LongestGap / cell);
        List<List<int>> runs = [];
        List<int> run = [];
        int sound = 0; // cells of the run up to its last ridge-shaped one
        void Close()
        {
            if (sound > 1 && sound * cell >= options.MinimumLength)
            {
                runs.Add(run.GetRange(0, sound));
            }

            run = [];
            sound = 0;
        }

        foreach (int c in stem.Cells)
        {
            if (closed[c])
            {
                Close();
                continue;
            }

            double share = divide[c] ? 0.1 : 0.25;
            bool crest = -shape.ContourCurvature.Array[c] * Math.Sqrt(up.Area[c]) >= share * options.MinimumConvergence;
            if (crest || run.Count > 0)
            {
                run.Add(c);
            }

            if (crest)
            {
                sound = run.Count;
            }
            else if (run.Count - sound > bridge)
            {
                Close();
            }
        }

        if (stem.Joins >= 0 && run.Count > 0 && run.Count - sound <= bridge)
        {
            sound = run.Count;
        }

        Close();
        return runs;
    }

    /// <summary>Whether a crest has different valleys on its two sides, or none on one, over a good part of its length: a swelling
    /// within one valley's ground is no ridge.</summary>
    private static bool Parts(List<int> run, int[] basins, GridFrame f)
    {
        int aside = Math.Max(2, (int)Math.Round(SideReach / f.CellSize)), along = Math.Max(1, aside / 2), parts = 0;
        for (int i = 0; i < run.Count; i++)
        {
            int a = run[Math.Max(0, i - along)], b = run[Math.Min(run.Count - 1, i + along)];
            double down = (b / f.Columns) - (a / f.Columns), right = (b % f.Columns) - (a % f.Columns), length = Math.Sqrt((down * down) + (right * right));
            int Beside(int side)
            {
                int r = (run[i] / f.Columns) + (int)Math.Round(side * aside * right / length), c = (run[i] % f.Columns) - (int)Math.Round(side * aside * down / length);
                return f.Contains(r, c) ? basins[(r * f.Columns) + c] : 0;
            }

            int left = Beside(1), other = Beside(-1);
            parts += left != other || left == 0 ? 1 : 0;
        }

        return parts >= LeastParting * run.Count;
    }

    /// <summary>The crest that each valley's head comes to, walked on uphill, by the valley's stem.</summary>
    private static Dictionary<int, int> CarriedHeads(DrainageTree up, List<Stem> valleys, List<(List<int> Cells, Coordinate[] Points)> crests)
    {
        Dictionary<int, int> owner = [];
        for (int i = 0; i < crests.Count; i++)
        {
            foreach (int c in crests[i].Cells)
            {
                owner.TryAdd(c, i);
            }
        }

        Dictionary<int, int> carried = [];
        int furthest = (int)(LongestClimb / up.Frame.CellSize);
        foreach (Stem s in valleys)
        {
            int at = s.Cells[0];
            for (int i = 0; i <= furthest && at >= 0; i++, at = up.Downstream[at])
            {
                if (owner.TryGetValue(at, out int crest))
                {
                    carried[s.Id] = crest;
                    break;
                }
            }
        }

        return carried;
    }

    private static LineString FromHigherEnd(Coordinate[] points)
    {
        if (points[^1].Z > points[0].Z)
        {
            Array.Reverse(points);
        }

        return new LineString(points);
    }
}
