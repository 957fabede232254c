using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>What is known of a tile's flow once it is routed within itself: where water that enters over its rim leaves, what leaves by itself, and the
/// level ground that waits for other tiles.</summary>
/// <remarks>Rim cells are numbered as <see cref="RimIndex"/> does within a tile. An end is a rim cell where water leaves, <see cref="RimIndex.Nowhere"/>,
/// or a waiting cell: <see cref="OfWaiting"/>.</remarks>
internal sealed class TileFlow
{
    private TileFlow(int rim) => (Leaves, Exit, Amount) = (new byte[rim], new int[rim], new double[rim]);

    /// <summary>The direction in which a rim cell drains onto ground of another tile; none where it does not.</summary>
    public byte[] Leaves { get; }

    /// <summary>The end of what enters at a rim cell.</summary>
    public int[] Exit { get; }

    /// <summary>Cells of this tile whose water comes by a rim cell, as far as none of it waits.</summary>
    public double[] Amount { get; }

    /// <summary>Places of the waiting cells in the tile, in their order.</summary>
    public int[] Waiting { get; private set; } = [];

    /// <summary>The first neighbour of equal height that has flow, for each waiting cell; none where there is none.</summary>
    public byte[] Ways { get; private set; } = [];

    /// <summary>Whether each waiting cell lies beside higher ground.</summary>
    public bool[] Walls { get; private set; } = [];

    /// <summary>Cells of this tile whose water comes to each waiting cell without coming by another; itself included.</summary>
    public double[] Gathered { get; private set; } = [];

    /// <summary>The end of the way that a waiting cell has, where that lies in the tile.</summary>
    public int[] WayEnds { get; private set; } = [];

    /// <summary>The mark of a waiting cell among ends, and back.</summary>
    public static int OfWaiting(int slot) => -2 - slot;

    /// <summary>Reads the flow of a tile from its directions.</summary>
    /// <param name="window">Filled heights of the tile and what lies around it.</param>
    /// <param name="around">Directions of the same window, waiting cells marked.</param>
    /// <param name="range">The tile.</param>
    /// <param name="rooms">Working arrays.</param>
    public static TileFlow Of(in HeightWindow window, byte[] around, CellRange range, FlowRooms rooms)
    {
        rooms.Take(window.Range, around, range);
        TileFlow flow = new(RimIndex.CountOf(range));
        flow.FindWaiting(window, around, range, rooms);
        foreach ((int row, int column, int index) in RimIndex.CellsOf(range))
        {
            flow.Leaves[index] = rooms.Leaving(window, row, column);
        }

        int[] ends = rooms.Ends.For(rooms.Count);
        for (int slot = 0; slot < flow.Waiting.Length; slot++)
        {
            // A way may lie outside the tile: then the cell leaves over the rim, which the join sees by itself.
            int way = flow.Ways[slot] == FlowCode.None ? -1 : rooms.Next(flow.Waiting[slot], flow.Ways[slot]);
            flow.WayEnds[slot] = way < 0 ? RimIndex.Nowhere : flow.EndOf(rooms.End(ends, way), range);
        }

        foreach ((int row, int column, int index) in RimIndex.CellsOf(range))
        {
            flow.Exit[index] = flow.EndOf(rooms.End(ends, (row * range.Columns) + column), range);
        }

        double[] amounts = rooms.Walk([]);
        foreach ((int row, int column, int index) in RimIndex.CellsOf(range))
        {
            flow.Amount[index] = amounts[(row * range.Columns) + column];
        }

        flow.Gathered = Array.ConvertAll(flow.Waiting, at => amounts[at]);
        return flow;
    }

    public static TileFlow Read(PartReader from, CellRange range)
    {
        TileFlow flow = new(RimIndex.CountOf(range));
        from.Take<byte>(flow.Leaves);
        from.Take<int>(flow.Exit);
        from.Take<double>(flow.Amount);
        flow.Waiting = from.TakeMany<int>();
        int count = flow.Waiting.Length;
        flow.Ways = from.Take<byte>(count);
        flow.Walls = from.Take<bool>(count);
        flow.Gathered = from.Take<double>(count);
        flow.WayEnds = from.Take<int>(count);
        return flow;
    }

    public void Write(PartWriter to)
    {
        to.Add<byte>(Leaves);
        to.Add<int>(Exit);
        to.Add<double>(Amount);
        to.AddMany<int>(Waiting);
        to.Add<byte>(Ways);
        to.Add<bool>(Walls);
        to.Add<double>(Gathered);
        to.Add<int>(WayEnds);
    }

    private void FindWaiting(in HeightWindow window, byte[] around, CellRange range, FlowRooms rooms)
    {
        List<int> cells = [];
        List<byte> ways = [];
        List<bool> walls = [];
        CellRange wide = window.Range;
        ReadOnlySpan<byte> codes = rooms.Codes.For(rooms.Count).AsSpan(0, rooms.Count);
        for (int at = codes.IndexOf(FlatPiece.Waiting); at >= 0;)
        {
            int place = (((at / range.Columns) + range.Row - wide.Row) * wide.Columns) + (at % range.Columns) + range.Column - wide.Column;
            byte way = FlowCode.None;
            bool wall = false;
            foreach (byte direction in FlowCode.SidesFirst)
            {
                // Waiting cells never lie on the grid's edge, so all their neighbours are in the window.
                int next = place + (Neighbours.RowStep(direction) * wide.Columns) + Neighbours.ColumnStep(direction);
                wall |= window.Heights[next] > window.Heights[place];
                if (way == FlowCode.None && window.Heights[next] == window.Heights[place] && around[next] < Neighbours.Count)
                {
                    way = direction;
                }
            }

            cells.Add(at);
            ways.Add(way);
            walls.Add(wall);
            int found = codes[(at + 1)..].IndexOf(FlatPiece.Waiting);
            at = found < 0 ? -1 : at + 1 + found;
        }

        (Waiting, Ways, Walls) = ([.. cells], [.. ways], [.. walls]);
        WayEnds = new int[cells.Count];
    }

    private int EndOf(int cell, CellRange range)
    {
        if (cell == RimIndex.Nowhere)
        {
            return RimIndex.Nowhere;
        }

        int slot = Array.BinarySearch(Waiting, cell);
        if (slot >= 0)
        {
            return OfWaiting(slot);
        }

        int index = RimIndex.In(range, cell / range.Columns, cell % range.Columns);
        return index >= 0 && Leaves[index] != FlowCode.None ? index : RimIndex.Nowhere;
    }
}
