using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Joins the flow of all tiles: what enters each over its rim, and where its waiting cells drain.</summary>
/// <remarks>
/// <para>Cost: linear in the cells along the rims and the waiting cells; about 50 bytes for each cell along the rims of all tiles, and the
/// waiting cells of one tile at a time.</para>
/// </remarks>
internal static class FlowJoin
{
    /// <summary>Joins.</summary>
    /// <param name="cut">How the grid was cut.</param>
    /// <param name="flowOf">Reads the flow of a tile.</param>
    /// <param name="put">Given for each tile the directions of its waiting cells, and what enters at each rim cell.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static void Run(TileCut cut, Func<int, TileFlow> flowOf, Action<int, byte[], double[]> put, CancellationToken cancellationToken)
    {
        RimIndex rim = new(cut);
        WaitingFlats flats = new(cut, rim);
        List<int> waiting = [];
        for (int t = 0; t < cut.Count; t++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            TileFlow flow = flowOf(t);
            flats.Note(t, flow);
            if (flow.Waiting.Length > 0)
            {
                waiting.Add(t);
            }
        }

        flats.Settle(waiting, flowOf, cancellationToken);
        double[] amount = new double[rim.Count];
        int[] exit = new int[rim.Count];
        int[] target = new int[rim.Count];
        byte[][] directions = new byte[cut.Count][];
        for (int t = 0; t < cut.Count; t++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            TileFlow flow = flowOf(t);
            directions[t] = flats.Directions(t, flow);
            Link(cut, rim, t, flow, directions[t], (amount, exit, target));
        }

        double[] inflow = LargeAccumulation.Route(amount, exit, target, rim);
        for (int t = 0; t < cut.Count; t++)
        {
            put(t, directions[t], inflow[rim.FirstOf(t)..rim.FirstOf(t + 1)]);
        }
    }

    private static void Link(TileCut cut, RimIndex rim, int tile, TileFlow flow, byte[] directions, (double[] Amount, int[] Exit, int[] Target) to)
    {
        CellRange range = cut.RangeOf(tile);
        int first = rim.FirstOf(tile);
        byte[] leaves = [.. flow.Leaves];
        double[] amounts = [.. flow.Amount];
        int[] ends = EndsOfWaiting(range, flow, directions, leaves, amounts);
        for (int i = 0; i < leaves.Length; i++)
        {
            int end = flow.Exit[i] <= TileFlow.OfWaiting(0) ? ends[TileFlow.OfWaiting(flow.Exit[i])] : flow.Exit[i];
            to.Exit[first + i] = end == RimIndex.Nowhere ? RimIndex.Nowhere : first + end;
            to.Target[first + i] = RimIndex.Nowhere;
        }

        amounts.CopyTo(to.Amount, first);
        foreach ((int row, int column, int index) in RimIndex.CellsOf(range))
        {
            if (leaves[index] != FlowCode.None)
            {
                to.Target[first + index] = rim.OfGrid(
                    range.Row + row + Neighbours.RowStep(leaves[index]), range.Column + column + Neighbours.ColumnStep(leaves[index]));
            }
        }
    }

    /// <summary>Follows the waiting cells of a tile down: the end of each, and what they bring there.</summary>
    private static int[] EndsOfWaiting(CellRange range, TileFlow flow, byte[] directions, byte[] leaves, double[] amounts)
    {
        int count = directions.Length;
        int[] ends = new int[count];
        int[] next = new int[count];
        int[] awaited = new int[count];
        for (int slot = 0; slot < count; slot++)
        {
            int row = (flow.Waiting[slot] / range.Columns) + Neighbours.RowStep(directions[slot]);
            int column = (flow.Waiting[slot] % range.Columns) + Neighbours.ColumnStep(directions[slot]);
            bool inside = (uint)row < (uint)range.Rows && (uint)column < (uint)range.Columns;
            if (!inside)
            {
                ends[slot] = RimIndex.In(range, flow.Waiting[slot] / range.Columns, flow.Waiting[slot] % range.Columns);
                leaves[ends[slot]] = directions[slot];
                amounts[ends[slot]] = 0;
                next[slot] = -1;
                continue;
            }

            int end = flow.Ways[slot] != FlowCode.None ? flow.WayEnds[slot] : TileFlow.OfWaiting(Array.BinarySearch(flow.Waiting, (row * range.Columns) + column));
            next[slot] = end <= TileFlow.OfWaiting(0) ? TileFlow.OfWaiting(end) : -1;
            ends[slot] = next[slot] < 0 ? end : RimIndex.Nowhere;
            if (next[slot] >= 0)
            {
                awaited[next[slot]]++;
            }
        }

        // From the divides down; then the ends from the outlets up.
        double[] carried = [.. flow.Gathered];
        List<int> order = [];
        for (int slot = 0; slot < count; slot++)
        {
            if (awaited[slot] == 0)
            {
                order.Add(slot);
            }
        }

        for (int i = 0; i < order.Count; i++)
        {
            int slot = order[i];
            if (next[slot] >= 0)
            {
                carried[next[slot]] += carried[slot];
                if (--awaited[next[slot]] == 0)
                {
                    order.Add(next[slot]);
                }
            }
            else if (ends[slot] != RimIndex.Nowhere)
            {
                amounts[ends[slot]] += carried[slot];
            }
        }

        if (order.Count < count)
        {
            int stuck = flow.Waiting[Array.FindIndex(awaited, left => left > 0)];
            throw new FlowLoopException(range.Row + (stuck / range.Columns), range.Column + (stuck % range.Columns));
        }

        for (int i = order.Count - 1; i >= 0; i--)
        {
            ends[order[i]] = next[order[i]] >= 0 ? ends[next[order[i]]] : ends[order[i]];
        }

        return ends;
    }
}
