using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Directions tile by tile. Level ground within a tile is drained at once; pieces that reach over a rim get their
/// distances by handing them from tile to tile until none falls, and their directions last.</summary>
internal static class LargeRouting
{
    public static void Route(TileRun run, IGridStore<float> filled, IGridStore<byte> directions)
    {
        bool[] waiting = new bool[run.Cut.Count];
        run.ForEach(run.All(), static () => new Worker(), (t, worker) => waiting[t] = worker.RouteTile(run, filled, directions, t));

        RimIndex rim = new(run.Cut);
        int[] spanning = [.. Enumerable.Range(0, run.Cut.Count).Where(t => waiting[t])];
        SpanningFlats flats = new(run, filled, directions, rim);
        flats.Settle(spanning);
        run.ForEach(spanning, static () => new SpanningFlats.Work(), flats.Direct);
    }

    /// <summary>The arrays one thread works with.</summary>
    private sealed class Worker
    {
        private readonly Room<float> _heights = new();
        private readonly Room<byte> _codes = new();
        private readonly Room<byte> _own = new();
        private readonly Room<int> _steps = new();

        /// <summary>Routes a tile.</summary>
        /// <returns>Whether level ground waits for its neighbours.</returns>
        public bool RouteTile(TileRun run, IGridStore<float> filled, IGridStore<byte> directions, int tile)
        {
            // Two cells around: one to see whether the cells beside the tile have flow, one more for their drops.
            CellRange range = run.Cut.RangeOf(tile);
            CellRange wide = run.Around(tile, 2);
            CellRange routed = run.Around(tile, 1);
            int cells = (int)wide.CellCount;
            float[] z = _heights.For(cells);
            run.Read(filled, wide, z.AsSpan(0, cells));
            byte[] codes = _codes.For(cells);
            Array.Fill(codes, FlatPiece.Beyond, 0, cells);
            int offset = ((routed.Row - wide.Row) * wide.Columns) + routed.Column - wide.Column;
            D8Rows.Route(new HeightWindow(z, wide), routed, codes, offset, wide.Columns);

            // Level ground beside the tile is its neighbour's to drain.
            foreach (int at in TileRun.Ring(range, wide, 1))
            {
                codes[at] = codes[at] == FlowCode.None ? FlatPiece.Beyond : codes[at];
            }

            int[] steps = _steps.For(cells);
            Array.Clear(steps, 0, cells);
            FlatPiece piece = new(z, codes, steps, wide.Columns);
            int first = (range.Row - wide.Row) * wide.Columns;
            piece.DrainAll(first, first + (range.Rows * wide.Columns), FlowCode.None, FlatPiece.Waiting, run.CancellationToken);

            byte[] own = _own.For(range.CellCount);
            for (int r = 0; r < range.Rows; r++)
            {
                int from = ((r + range.Row - wide.Row) * wide.Columns) + range.Column - wide.Column;
                codes.AsSpan(from, range.Columns).CopyTo(own.AsSpan(r * range.Columns));
            }

            run.Write<byte>(directions, range, own.AsSpan(0, (int)range.CellCount));
            return piece.HasWaiting;
        }
    }
}
