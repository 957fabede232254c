using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Accumulation tile by tile: first each tile by itself, then what flows over the rims, then each tile again.</summary>
internal static class LargeAccumulation
{
    public static void Compute(TileRun run, IGridStore<byte> directions, IGridStore<double> area)
    {
        TileCut cut = run.Cut;
        RimIndex rim = new(cut);
        double[] amount = new double[rim.Count];
        int[] exit = new int[rim.Count];
        int[] target = new int[rim.Count];
        run.ForEach(run.All(), static () => new Worker(), (t, worker) =>
        {
            worker.Load(run, directions, t);
            worker.Link(rim, t, exit, target);
            worker.Walk(null, rim, t);
            worker.TakeOutflow(rim, t, amount);
        });
        double[] inflow = Route(amount, exit, target, rim);
        double cellArea = cut.Frame.CellArea;
        run.ForEach(run.All(), static () => new Worker(), (t, worker) =>
        {
            worker.Load(run, directions, t);
            worker.Walk(inflow, rim, t);
            run.Write(area, cut.RangeOf(t), worker.Scaled(cellArea));
        });
    }

    /// <summary>Carries the outflow of every tile on, from rim cell to rim cell.</summary>
    public static double[] Route(double[] amount, int[] exit, int[] target, RimIndex rim)
    {
        int[] awaited = new int[amount.Length];
        foreach (int to in target)
        {
            if (to != RimIndex.Nowhere)
            {
                awaited[to]++;
            }
        }

        int[] entries = new int[amount.Length];
        for (int i = 0; i < exit.Length; i++)
        {
            if (awaited[i] > 0 && exit[i] != RimIndex.Nowhere)
            {
                entries[exit[i]]++;
            }
        }

        double[] inflow = new double[amount.Length];
        Stack<int> ready = new();
        int waiting = 0;
        for (int i = 0; i < target.Length; i++)
        {
            if (target[i] != RimIndex.Nowhere)
            {
                waiting++;
                if (entries[i] == 0)
                {
                    ready.Push(i);
                }
            }
        }

        while (ready.TryPop(out int from))
        {
            waiting--;
            int entry = target[from];
            inflow[entry] += amount[from];
            int leaves = exit[entry];
            if (--awaited[entry] == 0 && leaves != RimIndex.Nowhere)
            {
                amount[leaves] += inflow[entry];
                if (--entries[leaves] == 0)
                {
                    ready.Push(leaves);
                }
            }
        }

        if (waiting > 0)
        {
            int stuck = Array.FindIndex(entries, count => count > 0);
            (int row, int column) = rim.CellOf(stuck);
            throw new FlowLoopException(row, column);
        }

        return inflow;
    }

    /// <summary>The arrays one thread works with.</summary>
    private sealed class Worker
    {
        private readonly Room<byte> _around = new();
        private readonly FlowRooms _rooms = new();
        private CellRange _range;
        private CellRange _wide;

        public void Load(TileRun run, IGridStore<byte> directions, int tile)
        {
            _range = run.Cut.RangeOf(tile);
            _wide = run.Around(tile, 1);
            byte[] around = _around.For(_wide.CellCount);
            run.Read(directions, _wide, around.AsSpan(0, (int)_wide.CellCount));

            // On filled ground every cell with a height has a direction.
            _rooms.Take(_wide, around, _range);
        }

        public void Walk(double[]? inflow, RimIndex rim, int tile) =>
            _rooms.Walk(inflow is null ? [] : inflow.AsSpan(rim.FirstOf(tile), RimIndex.CountOf(_range)));

        /// <summary>Finds for every rim cell the rim cell where water that enters there leaves the tile, and the rim cell of
        /// another tile that it goes to from there.</summary>
        public void Link(RimIndex rim, int tile, int[] exit, int[] target)
        {
            int[] ends = _rooms.Ends.For(_rooms.Count);
            foreach ((int row, int column, int index) in rim.CellsOf(tile))
            {
                target[index] = Target(rim, row, column);
            }

            foreach ((int row, int column, int index) in rim.CellsOf(tile))
            {
                int end = _rooms.End(ends, (row * _range.Columns) + column);
                int leaves = end == RimIndex.Nowhere ? RimIndex.Nowhere : rim.Of(tile, end / _range.Columns, end % _range.Columns);
                exit[index] = leaves >= 0 && target[leaves] != RimIndex.Nowhere ? leaves : RimIndex.Nowhere;
            }
        }

        public void TakeOutflow(RimIndex rim, int tile, double[] amount)
        {
            foreach ((int row, int column, int index) in rim.CellsOf(tile))
            {
                amount[index] = _rooms.Amounts[(row * _range.Columns) + column];
            }
        }

        public ReadOnlySpan<double> Scaled(double cellArea) => _rooms.Scaled(cellArea);

        /// <summary>The rim cell of another tile that a cell drains to, or nowhere.</summary>
        private int Target(RimIndex rim, int row, int column)
        {
            int cell = (row * _range.Columns) + column;
            byte code = _rooms.Codes.For(_rooms.Count)[cell];
            if (code == FlowCode.None || _rooms.Next(cell, code) >= 0)
            {
                return RimIndex.Nowhere;
            }

            int r = row + Neighbours.RowStep(code) + _range.Row;
            int c = column + Neighbours.ColumnStep(code) + _range.Column;
            return (uint)(r - _wide.Row) < (uint)_wide.Rows && (uint)(c - _wide.Column) < (uint)_wide.Columns
                && _around.For(0)[((r - _wide.Row) * _wide.Columns) + c - _wide.Column] != FlowCode.None
                ? rim.OfGrid(r, c)
                : RimIndex.Nowhere;
        }
    }
}
