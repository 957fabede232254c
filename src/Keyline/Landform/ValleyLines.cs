using Keyline.Drainage;
using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>Valley lines with their orders, catchments and kind, from the network of cells.</summary>
/// <remarks>
/// <para>Units: metres, square metres. Missing: none; lines pass only where there are heights.</para>
/// <para>Promises: numbered by catchment area, largest first; a tributary ends on a point of the line it joins.</para>
/// <para>Cost: O(cells) for the tops of the catchments, and a little for each line.</para>
/// <para>Source: the three land shapes after P. A. Yeomans, The City Forest, 1971, ch. 3: a primary valley falls from the
/// main ridge to the valley below.</para>
/// </remarks>
internal static class ValleyLines
{
    /// <summary>A primary valley's line covers at least this part of the rise from its foot to the top of its ground. Ours, no source, as are the two below.</summary>
    private const double LeastShareOfRise = 0.35;

    /// <summary>Valleys of a higher order than this are main valleys.</summary>
    private const int HighestPrimaryOrder = 2;

    /// <summary>A valley joined by this many others, and flatter than they are, is a main valley.</summary>
    private const int TributariesOfMain = 3;

    // Share of the stage's time by which lines lie where they belong: the network before, then each line's profile.
    private const double LinesShare = 0.7;

    /// <summary>One valley with the stem it was made from.</summary>
    internal readonly record struct Made(ValleyLine Valley, Stem Stem);

    public static List<Made> Make(ElevationGrid ground, ElevationGrid working, DrainageTree tree, List<Stem> stems, StageProgress? progress, CancellationToken cancellationToken)
    {
        float[] top = Tops(working, tree, cancellationToken);
        Dictionary<int, List<Stem>> joining = [];
        foreach (Stem s in stems.Where(s => s.Joins >= 0))
        {
            if (!joining.TryGetValue(s.Joins, out List<Stem>? list))
            {
                joining[s.Joins] = list = [];
            }

            list.Add(s);
        }

        Dictionary<int, Coordinate[]> lines = Place(ground, tree, stems, joining, cancellationToken);
        progress?.Report(LinesShare);
        Stem[] falling = [.. stems.OrderByDescending(s => s.Area).ThenBy(s => s.Id)];
        Dictionary<int, int> numbers = falling.Select((s, i) => (s.Id, Number: i + 1)).ToDictionary(p => p.Id, p => p.Number);
        Made[] made = new Made[falling.Length];
        int done = 0;
        Parallel.For(0, falling.Length, WorkThreads.Options(cancellationToken), i =>
        {
            Stem s = falling[i];
            LineString line = new(lines[s.Id]);
            ValleyKind kind = KindOf(working, tree, top, s, joining.GetValueOrDefault(s.Id));
            ValleyEnd end = s.Joins >= 0 ? ValleyEnd.Confluence : LeavesGround(working, s.Cells[^1]) ? ValleyEnd.Edge : ValleyEnd.Hollow;
            ValleyProfile? profile = ValleyProfile.Sample(line.Coordinates, ground.Frame.CellSize, double.PositiveInfinity);
            made[i] = new Made(new ValleyLine(i + 1, line, s.Order, s.Area, kind, s.Joins >= 0 ? numbers[s.Joins] : 0, end, profile), s);
            progress?.Report(LinesShare + ((1 - LinesShare) * Interlocked.Increment(ref done) / falling.Length));
        });
        return [.. made];
    }

    // A cell at the grid's edge or beside a missing one.
    private static bool LeavesGround(ElevationGrid working, int cell)
    {
        GridFrame f = working.Frame;
        for (int k = 0; k < 8; k++)
        {
            int next = Neighbours.At(f, cell, k);
            if (next < 0 || float.IsNaN(working.Array[next]))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Lines of all stems, those joined before those that join them.</summary>
    private static Dictionary<int, Coordinate[]> Place(ElevationGrid ground, DrainageTree tree, List<Stem> stems, Dictionary<int, List<Stem>> joining, CancellationToken cancellationToken)
    {
        Dictionary<int, Coordinate[]> lines = [];
        Dictionary<int, Coordinate> placed = [];
        Queue<Stem> ready = new(stems.Where(s => s.Joins < 0));
        while (ready.TryDequeue(out Stem? s))
        {
            cancellationToken.ThrowIfCancellationRequested();
            Coordinate? foot = s.Joins >= 0 ? placed[s.Cells[^1]] : null;
            (Coordinate[] points, int begin) = LineFitting.Fit(ground, s.Cells, tree.Frame, 1, null, foot);
            for (int i = 0; i < s.OwnCells; i++)
            {
                placed[s.Cells[i]] = points[i];
            }

            foreach (Stem tributary in joining.GetValueOrDefault(s.Id) ?? [])
            {
                begin = Math.Min(begin, s.Cells.IndexOf(tributary.Cells[^1]));
                ready.Enqueue(tributary);
            }

            lines[s.Id] = points[begin..];
        }

        return lines;
    }

    private static ValleyKind KindOf(ElevationGrid working, DrainageTree tree, float[] top, Stem stem, List<Stem>? tributaries)
    {
        if (stem.Order > HighestPrimaryOrder)
        {
            return ValleyKind.Main;
        }

        if (tributaries is not null && tributaries.Count >= TributariesOfMain
            && tributaries.Count(t => Slope(working, tree, t) > Slope(working, tree, stem)) * 2 > tributaries.Count)
        {
            return ValleyKind.Main;
        }

        float[] z = working.Array;
        int foot = stem.Cells[stem.OwnCells - 1];
        double rise = top[foot] - z[foot];
        return z[stem.Cells[0]] - z[foot] >= LeastShareOfRise * rise ? ValleyKind.Primary
            : tributaries is { Count: > 0 } ? ValleyKind.Main : ValleyKind.Minor;
    }

    private static double Slope(ElevationGrid working, DrainageTree tree, Stem stem)
    {
        float[] z = working.Array;
        return (z[stem.Cells[0]] - z[stem.Cells[^1]]) / (stem.Cells.Count * tree.Frame.CellSize);
    }

    /// <summary>Height of the highest ground that drains through each cell.</summary>
    private static float[] Tops(ElevationGrid working, DrainageTree tree, CancellationToken cancellationToken)
    {
        float[] top = (float[])working.Array.Clone();
        for (int k = 0; k < tree.Order.Length; k++)
        {
            cancellationToken.ThrowIfCancellationRequested(k);
            int c = tree.Order[k];
            int to = tree.Downstream[c];
            if (to >= 0)
            {
                top[to] = Math.Max(top[to], top[c]);
            }
        }

        return top;
    }
}
