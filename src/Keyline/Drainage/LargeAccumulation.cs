using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Accumulation tile by tile: first each tile by itself, then what flows over the rims, then each tile again.</summary>
internal static class LargeAccumulation
{
    private const int Nowhere = -1;
    private const int Unknown = -2;

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
    private static double[] Route(double[] amount, int[] exit, int[] target, RimIndex rim)
    {
        int[] awaited = new int[amount.Length];
        foreach (int to in target)
        {
            if (to != Nowhere)
            {
                awaited[to]++;
            }
        }

        int[] entries = new int[amount.Length];
        for (int i = 0; i < exit.Length; i++)
        {
            if (awaited[i] > 0 && exit[i] != Nowhere)
            {
                entries[exit[i]]++;
            }
        }

        double[] inflow = new double[amount.Length];
        Stack<int> ready = new();
        int waiting = 0;
        for (int i = 0; i < target.Length; i++)
        {
            if (target[i] != Nowhere)
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
            if (--awaited[entry] == 0 && leaves != Nowhere)
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
        private readonly Room<byte> _codes = new();
        private readonly Room<bool> _ground = new();
        private readonly Room<byte> _donors = new();
        private readonly Room<double> _amounts = new();
        private readonly Room<int> _ends = new();
        private readonly int[] _steps = new int[Neighbours.Count];
        private CellRange _range;
        private CellRange _wide;

        private int Count => (int)_range.CellCount;

        public void Load(TileRun run, IGridStore<byte> directions, int tile)
        {
            _range = run.Cut.RangeOf(tile);
            _wide = run.Around(tile, 1);
            byte[] around = _around.For(_wide.CellCount);
            run.Read(directions, _wide, around.AsSpan(0, (int)_wide.CellCount));
            byte[] codes = _codes.For(Count);
            bool[] ground = _ground.For(Count);
            for (int r = 0; r < _range.Rows; r++)
            {
                int from = ((r + _range.Row - _wide.Row) * _wide.Columns) + _range.Column - _wide.Column;
                around.AsSpan(from, _range.Columns).CopyTo(codes.AsSpan(r * _range.Columns));
            }

            // On filled ground every cell with a height has a direction.
            DonorCounts.HaveFlow(codes.AsSpan(0, Count), ground.AsSpan(0, Count));
            DonorCounts.Fill(codes, ground, _range.Rows, _range.Columns, 0, _range.Rows, _donors.For(Count));
            for (int k = 0; k < Neighbours.Count; k++)
            {
                _steps[k] = (Neighbours.RowStep(k) * _range.Columns) + Neighbours.ColumnStep(k);
            }
        }

        public void Walk(double[]? inflow, RimIndex rim, int tile)
        {
            byte[] donors = _donors.For(Count);
            double[] amounts = _amounts.For(Count);
            amounts.AsSpan(0, Count).Fill(1);
            if (inflow is not null)
            {
                foreach ((int row, int column, int index) in rim.CellsOf(tile))
                {
                    amounts[(row * _range.Columns) + column] += inflow[index];
                }
            }

            new FlowWalk(_codes.For(Count), donors, amounts, _range.Columns).FromDivides(0, Count);
            int stuck = donors.AsSpan(0, Count).IndexOfAnyExcept(DonorCounts.Missing);
            if (stuck >= 0)
            {
                throw new FlowLoopException(_range.Row + (stuck / _range.Columns), _range.Column + (stuck % _range.Columns));
            }
        }

        /// <summary>Finds for every rim cell the rim cell where water that enters there leaves the tile, and the rim cell of
        /// another tile that it goes to from there.</summary>
        public void Link(RimIndex rim, int tile, int[] exit, int[] target)
        {
            int[] ends = _ends.For(Count);
            Array.Fill(ends, Unknown, 0, Count);
            foreach ((int row, int column, int index) in rim.CellsOf(tile))
            {
                target[index] = Target(rim, row, column);
            }

            foreach ((int row, int column, int index) in rim.CellsOf(tile))
            {
                int end = End(ends, (row * _range.Columns) + column);
                int leaves = end == Nowhere ? Nowhere : rim.Of(tile, end / _range.Columns, end % _range.Columns);
                exit[index] = leaves >= 0 && target[leaves] != Nowhere ? leaves : Nowhere;
            }
        }

        public void TakeOutflow(RimIndex rim, int tile, double[] amount)
        {
            double[] amounts = _amounts.For(Count);
            foreach ((int row, int column, int index) in rim.CellsOf(tile))
            {
                amount[index] = amounts[(row * _range.Columns) + column];
            }
        }

        public ReadOnlySpan<double> Scaled(double cellArea)
        {
            Span<double> amounts = _amounts.For(Count).AsSpan(0, Count);
            D8Accumulation.Finish(amounts, _ground.For(Count).AsSpan(0, Count), cellArea);
            return amounts;
        }

        /// <summary>The rim cell of another tile that a cell drains to, or nowhere.</summary>
        private int Target(RimIndex rim, int row, int column)
        {
            byte code = _codes.For(Count)[(row * _range.Columns) + column];
            if (code == FlowCode.None)
            {
                return Nowhere;
            }

            int r = row + Neighbours.RowStep(code);
            int c = column + Neighbours.ColumnStep(code);
            if ((uint)r < (uint)_range.Rows && (uint)c < (uint)_range.Columns)
            {
                return Nowhere;
            }

            int wideRow = r + _range.Row - _wide.Row;
            int wideColumn = c + _range.Column - _wide.Column;
            return (uint)wideRow < (uint)_wide.Rows && (uint)wideColumn < (uint)_wide.Columns
                && _around.For(0)[(wideRow * _wide.Columns) + wideColumn] != FlowCode.None
                ? rim.OfGrid(r + _range.Row, c + _range.Column)
                : Nowhere;
        }

        /// <summary>The last cell of the tile on the way down, or nowhere where that way is a loop. What is walked is
        /// remembered.</summary>
        private int End(int[] ends, int start)
        {
            byte[] codes = _codes.For(Count);
            byte[] donors = _donors.For(Count);
            int cell = start;
            while (ends[cell] == Unknown && (donors[cell] & DonorCounts.Ends) == 0)
            {
                ends[cell] = Nowhere;
                cell += _steps[codes[cell]];
            }

            int end = ends[cell] == Unknown ? cell : ends[cell];
            ends[cell] = end;
            for (cell = start; ends[cell] != end; cell += _steps[codes[cell]])
            {
                ends[cell] = end;
            }

            return end;
        }
    }
}
