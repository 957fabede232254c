using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Where each cell drains to, one neighbour each, with hollows drained along their own floors.</summary>
/// <remarks>
/// <para>Units: metres, square metres. Missing: missing cells have no part in it; cells on the grid's edge, and beside
/// missing ground that reaches the edge, drain out. A hole of missing cells within the ground is walked round.</para>
/// <para>Promises: no loops; every cell with a height ends at an outlet or at the bottom of a hollow deeper than the
/// sill allowed. Same input, same answer: equal heights go by cell number.</para>
/// <para>Cost: O(n log n), 37 bytes a cell.</para>
/// <para>Source: Ehlschlaeger 1989, "Using the A^T search algorithm to develop hydrologic models from digital elevation
/// data" (least-cost search from the outlets). Filling and draining the flats instead would carry valley lines straight
/// across a dammed hollow, and crest lines straight across a hilltop; see <c>docs/decisions</c>.</para>
/// </remarks>
internal sealed class DrainageTree
{
    // Shares of the time, for telling how far it has come: flooding, and then finding the fall lines.
    private const double SearchShare = 0.5;
    private const double StraightShare = 0.8;

    private DrainageTree(GridFrame frame, int[] downstream, int[] order, double[] area)
    {
        Frame = frame;
        Downstream = downstream;
        Order = order;
        Area = area;
    }

    public GridFrame Frame { get; }

    /// <summary>The cell each cell drains to; -1 where the water leaves or ends, -2 where the height is missing.</summary>
    public int[] Downstream { get; }

    /// <summary>Cells with heights, each before the cell it drains to.</summary>
    public int[] Order { get; }

    /// <summary>Ground drained through each cell, its own included, square metres.</summary>
    public double[] Area { get; }

    public static DrainageTree Build(ElevationGrid ground, double maximumSill, StageProgress? progress, CancellationToken cancellationToken)
    {
        GridFrame f = ground.Frame;
        float[] z = ground.Array;
        int[] downstream = new int[z.Length];
        int[] rank = new int[z.Length];
        int[] flooded = Search(f, z, downstream, rank, progress, cancellationToken);
        progress?.Report(SearchShare);
        FallLineSteps.Straighten(f, z, downstream, rank, flooded, cancellationToken);
        if (double.IsFinite(maximumSill))
        {
            CloseDeepHollows(f, z, downstream, maximumSill, cancellationToken);
        }

        progress?.Report(StraightShare);
        int[] order = Sort(downstream, flooded.Length, cancellationToken);
        double[] area = new double[z.Length];
        for (int k = 0; k < order.Length; k++)
        {
            cancellationToken.ThrowIfCancellationRequested(k);
            int c = order[k];
            area[c] += f.CellArea;
            if (downstream[c] >= 0)
            {
                area[downstream[c]] += area[c];
            }
        }

        progress?.Report(1);
        return new DrainageTree(f, downstream, order, area);
    }

    /// <summary>Floods from the outlets, always from the lowest cell reached; a cell drains to the one it was reached from.</summary>
    /// <returns>Cells in the order they were flooded; <paramref name="rank"/> holds each cell's place in it.</returns>
    private static int[] Search(GridFrame f, float[] z, int[] downstream, int[] rank, StageProgress? progress, CancellationToken cancellationToken)
    {
        Array.Fill(downstream, -2);
        Array.Fill(rank, int.MaxValue);
        CellHeap heap = new(Math.Max(16, 4 * (f.Rows + f.Columns)));
        bool[] outlet = OutletCells.Find(f, z, cancellationToken);
        int cells = 0;
        for (int at = 0; at < z.Length; at++)
        {
            cells += float.IsNaN(z[at]) ? 0 : 1;
            if (outlet[at])
            {
                downstream[at] = -1;
                heap.Push(z[at], at);
            }
        }

        // Ground walled in by a ring of missing cells is reached by no outlet and has no part in the drainage.
        int[] flooded = new int[cells];
        int done = 0;
        while (heap.Count > 0)
        {
            if ((done & 0xFFFF) == 0)
            {
                cancellationToken.ThrowIfCancellationRequested();
                progress?.Report(SearchShare * done / cells);
            }

            int at = heap.Pop();
            rank[at] = done;
            flooded[done++] = at;
            int row = at / f.Columns;
            int column = at - (row * f.Columns);
            for (int k = 0; k < 8; k++)
            {
                int next = Neighbours.At(f, row, column, k);
                if (next >= 0 && downstream[next] == -2 && !float.IsNaN(z[next]))
                {
                    downstream[next] = at;
                    heap.Push(z[next], next);
                }
            }
        }

        return flooded[..done];
    }

    /// <summary>Makes the bottom of each hollow deeper than the sill an end, and turns the way out round to lead to it.</summary>
    private static void CloseDeepHollows(GridFrame f, float[] z, int[] downstream, double maximumSill, CancellationToken cancellationToken)
    {
        for (int bottom = 0; bottom < z.Length; bottom++)
        {
            cancellationToken.ThrowIfCancellationRequested(bottom);
            int to = downstream[bottom];
            if (to < 0 || !(z[to] > z[bottom]) || Neighbours.HasLower(z, f, bottom))
            {
                continue;
            }

            cancellationToken.ThrowIfCancellationRequested();
            int sill = to;
            for (int next = to; next >= 0 && z[next] >= z[bottom]; next = downstream[next])
            {
                sill = z[next] > z[sill] ? next : sill;
            }

            if (z[sill] - (double)z[bottom] <= maximumSill)
            {
                continue;
            }

            int behind = -1;
            int at = bottom;
            while (at != sill)
            {
                int next = downstream[at];
                downstream[at] = behind;
                behind = at;
                at = next;
            }
        }
    }

    private static int[] Sort(int[] downstream, int cells, CancellationToken cancellationToken)
    {
        int[] donors = new int[downstream.Length];
        for (int c = 0; c < downstream.Length; c++)
        {
            cancellationToken.ThrowIfCancellationRequested(c);
            if (downstream[c] >= 0)
            {
                donors[downstream[c]]++;
            }
        }

        int[] order = new int[cells];
        int tail = 0;
        for (int c = 0; c < downstream.Length; c++)
        {
            if (downstream[c] != -2 && donors[c] == 0)
            {
                order[tail++] = c;
            }
        }

        for (int head = 0; head < tail; head++)
        {
            cancellationToken.ThrowIfCancellationRequested(head);
            int to = downstream[order[head]];
            if (to >= 0 && --donors[to] == 0)
            {
                order[tail++] = to;
            }
        }

        return order;
    }
}
