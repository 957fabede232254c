using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>Ridge lines: valleys of the ground turned upside down, favoured where two valleys' catchments meet.</summary>
/// <remarks>
/// <para>Units: metres. Missing: no ridge passes a missing cell.</para>
/// <para>Promises: each runs from its higher end; none crosses a valley line;
/// numbered by length, longest first.</para>
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
    private const double LongestClimb = 400;

    /// <summary>A main ridge carries at least this many heads.</summary>
    private const int HeadsOfMain = 2;

    public static List<RidgeLine> Make(
        ElevationGrid ground, ElevationGrid working, DrainageTree tree, GroundShape shape, List<Stem> valleys,
        IReadOnlyList<LineString> floors, LandformOptions options, CancellationToken cancellationToken)
    {
        ElevationGrid inverted = Invert(working);
        DrainageTree up = DrainageTree.Build(inverted, double.PositiveInfinity, cancellationToken);
        bool[] divide = CatchmentDivides.Find(tree, valleys, DivideWidth);
        List<Stem> stems = LineNetwork.Find(inverted, up, shape, -1, options, divide);

        bool[] closed = CatchmentDivides.NearValleys(tree.Frame, valleys, 2);
        List<(List<int> Cells, Coordinate[] Points)> crests = [];
        Dictionary<int, Coordinate> placed = [];
        foreach (Stem s in stems)
        {
            foreach (List<int> run in Runs(s, up, shape, closed, options, divide))
            {
                placed.TryGetValue(run[^1], out Coordinate? end);
                Coordinate[] points = LineFitting.Fit(ground, run, tree.Frame, -1, null, end);
                for (int i = 0; i < run.Count; i++)
                {
                    placed.TryAdd(run[i], points[i]);
                }

                foreach ((int from, int count) in ClearOf(floors, points, options.MinimumLength))
                {
                    crests.Add((run.GetRange(from, count), points[from..(from + count)]));
                }
            }
        }

        int[] heads = CarriedHeads(up, valleys, crests);
        return [.. crests
            .Select((c, i) => (Line: FromHigherEnd(c.Points), Main: heads[i] >= HeadsOfMain))
            .OrderByDescending(c => c.Line.Length)
            .Select((c, i) => new RidgeLine(i + 1, c.Line, c.Main))];
    }

    private static ElevationGrid Invert(ElevationGrid ground)
    {
        float[] z = ground.Array;
        float[] turned = new float[z.Length];
        for (int i = 0; i < z.Length; i++)
        {
            turned[i] = -z[i];
        }

        return new ElevationGrid(ground.Frame, turned);
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
            bool crest = -shape.ContourCurvature[c] * Math.Sqrt(up.Area[c]) >= share * options.MinimumConvergence;
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

    /// <summary>The stretches of a line that cross no valley floor; nearly always the whole line, for its cells keep clear of
    /// the floors' cells and only the fitting can bring them together.</summary>
    private static List<(int From, int Count)> ClearOf(IReadOnlyList<LineString> floors, Coordinate[] points, double shortest)
    {
        LineString line = new(points);
        LineString[] crossed = [.. floors.Where(f => f.EnvelopeInternal.Intersects(line.EnvelopeInternal) && f.Intersects(line))];
        if (crossed.Length == 0)
        {
            return [(0, points.Length)];
        }

        List<(int From, int Count)> clear = [];
        int from = 0;
        for (int i = 1; i <= points.Length; i++)
        {
            if (i < points.Length && !Array.Exists(crossed, f => f.Intersects(new LineString([points[i - 1], points[i]]))))
            {
                continue;
            }

            if (i - from > 1 && new LineString(points[from..i]).Length >= shortest)
            {
                clear.Add((from, i - from));
            }

            from = i;
        }

        return clear;
    }

    /// <summary>How many valley heads, walked on uphill, come to each crest.</summary>
    private static int[] CarriedHeads(DrainageTree up, List<Stem> valleys, List<(List<int> Cells, Coordinate[] Points)> crests)
    {
        Dictionary<int, int> owner = [];
        for (int i = 0; i < crests.Count; i++)
        {
            foreach (int c in crests[i].Cells)
            {
                owner.TryAdd(c, i);
            }
        }

        int[] heads = new int[crests.Count];
        int furthest = (int)(LongestClimb / up.Frame.CellSize);
        foreach (Stem s in valleys)
        {
            int at = s.Cells[0];
            for (int i = 0; i <= furthest && at >= 0; i++, at = up.Downstream[at])
            {
                if (owner.TryGetValue(at, out int crest))
                {
                    heads[crest]++;
                    break;
                }
            }
        }

        return heads;
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
