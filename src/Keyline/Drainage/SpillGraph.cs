using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Joins tiles by their rims and finds the level to which water stands in each label.</summary>
/// <remarks>
/// <para>Promises: the level of a label is the lowest height for which its pit is joined to the outside by sills and by
/// steps over the rims that are nowhere higher. The answer does not depend on how the grid is cut.</para>
/// <para>Cost: sorting the sills; about two hundredths of a sill a cell with tiles of 256.</para>
/// <para>Source: the graph of spill elevations of Barnes 2016, Computers and Geosciences 96, 56-68, solved by joining sets
/// in order of height (Kruskal 1956, Proceedings of the American Mathematical Society 7(1), 48-50).</para>
/// </remarks>
internal static class SpillGraph
{
    /// <summary>Solves.</summary>
    /// <param name="cut">How the grid was cut.</param>
    /// <param name="tiles">What was found in each tile.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>For each tile the level of each label, the first at index 1.</returns>
    public static float[][] Levels(TileCut cut, TileSpills[] tiles, CancellationToken cancellationToken)
    {
        int[] first = new int[tiles.Length + 1];
        for (int t = 0; t < tiles.Length; t++)
        {
            first[t + 1] = checked(first[t] + tiles[t].Pits.Count);
        }

        float[] levels = Flood(Collect(cut, tiles, first, cancellationToken), first[^1] + 1, cancellationToken);
        float[][] byTile = new float[tiles.Length][];
        for (int t = 0; t < tiles.Length; t++)
        {
            byTile[t] = levels[first[t]..(first[t + 1] + 1)];
        }

        return byTile;
    }

    private static SillList Collect(TileCut cut, TileSpills[] tiles, int[] first, CancellationToken cancellationToken)
    {
        SillList sills = new();
        for (int t = 0; t < tiles.Length; t++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            foreach (Sill s in tiles[t].Sills)
            {
                sills.Add(Global(s.A, first[t]), Global(s.B, first[t]), s.Height);
            }

            int column = t % cut.Across;
            bool east = column + 1 < cut.Across;
            bool south = t / cut.Across + 1 < cut.Down;
            if (east)
            {
                Sides(tiles, first, t, 1, t + 1, 3, sills);
            }

            if (south)
            {
                Sides(tiles, first, t, 2, t + cut.Across, 0, sills);
            }

            if (south && east)
            {
                Corner(tiles, first, t, ^1, t + cut.Across + 1, 0, sills);
            }

            if (south && column > 0)
            {
                Corner(tiles, first, t, 0, t + cut.Across - 1, ^1, sills);
            }
        }

        return sills;
    }

    // Two sides face to face: each cell touches three across.
    private static void Sides(TileSpills[] tiles, int[] first, int one, int side, int other, int facing, SillList sills)
    {
        ReadOnlySpan<int> labels = tiles[one].RimLabels(side);
        ReadOnlySpan<float> heights = tiles[one].RimHeights(side);
        ReadOnlySpan<int> labelsAcross = tiles[other].RimLabels(facing);
        ReadOnlySpan<float> heightsAcross = tiles[other].RimHeights(facing);
        for (int k = 0; k < labels.Length; k++)
        {
            for (int m = Math.Max(k - 1, 0); m <= Math.Min(k + 1, labels.Length - 1); m++)
            {
                Step(Global(labels[k], first[one]), heights[k], Global(labelsAcross[m], first[other]), heightsAcross[m], sills);
            }
        }
    }

    // The last or first cell of a south side and the first or last of a north side, which touch by their corners.
    private static void Corner(TileSpills[] tiles, int[] first, int one, Index at, int other, Index across, SillList sills) => Step(
        Global(tiles[one].RimLabels(2)[at], first[one]),
        tiles[one].RimHeights(2)[at],
        Global(tiles[other].RimLabels(0)[across], first[other]),
        tiles[other].RimHeights(0)[across],
        sills);

    private static void Step(int a, float heightA, int b, float heightB, SillList sills)
    {
        // Water leaves a cell beside a missing one at its own height: the missing cell's label is outside.
        float height = float.IsNaN(heightA) ? heightB : float.IsNaN(heightB) ? heightA : Math.Max(heightA, heightB);
        if (!float.IsNaN(height))
        {
            sills.Add(a, b, height);
        }
    }

    private static int Global(int label, int first) => label == 0 ? 0 : first + label;

    private static float[] Flood(SillList sills, int labels, CancellationToken cancellationToken)
    {
        float[] levels = new float[labels];
        int[] parent = new int[labels];
        int[] next = new int[labels];
        int[] last = new int[labels];
        for (int i = 0; i < labels; i++)
        {
            (parent[i], next[i], last[i]) = (i, -1, i);
        }

        ArraySegment<ulong> sorted = sills.Sorted();
        for (int k = 0; k < sorted.Count; k++)
        {
            cancellationToken.ThrowIfCancellationRequested(k);
            ulong key = sorted[k];
            (int a, int b) = sills.Ends(HeightOrder.Cell(key));
            a = Root(parent, a);
            b = Root(parent, b);
            if (a == b)
            {
                continue;
            }

            if (b == 0)
            {
                (a, b) = (b, a);
            }

            if (a == 0)
            {
                float level = HeightOrder.Height(key);
                for (int label = b; label >= 0; label = next[label])
                {
                    levels[label] = level;
                }
            }
            else
            {
                next[last[a]] = b;
                last[a] = last[b];
            }

            parent[b] = a;
        }

        return levels;
    }

    private static int Root(int[] parent, int label)
    {
        while (parent[label] != label)
        {
            parent[label] = parent[parent[label]];
            label = parent[label];
        }

        return label;
    }

    /// <summary>Sills as they are found; a run between the same two labels keeps only its lowest.</summary>
    private sealed class SillList
    {
        private readonly List<(int A, int B)> _ends = [];
        private readonly List<float> _heights = [];

        public void Add(int a, int b, float height)
        {
            if (a == b)
            {
                return;
            }

            int last = _ends.Count - 1;
            if (last >= 0 && _ends[last] == (a, b))
            {
                _heights[last] = Math.Min(_heights[last], height);
                return;
            }

            _ends.Add((a, b));
            _heights.Add(height);
        }

        public (int A, int B) Ends(int sill) => _ends[sill];

        public ArraySegment<ulong> Sorted()
        {
            ulong[] keys = new ulong[_ends.Count];
            ulong[] scratch = new ulong[_ends.Count];
            for (int i = 0; i < keys.Length; i++)
            {
                keys[i] = HeightOrder.Key(_heights[i], i);
            }

            return new ArraySegment<ulong>(RadixSort.Sort(keys, ref scratch, keys.Length), 0, _ends.Count);
        }
    }
}
