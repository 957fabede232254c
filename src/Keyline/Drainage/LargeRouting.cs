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

    /// <summary>Routes a tile.</summary>
    /// <param name="filled">Heights of the tile and of two cells around it: one to see whether the cells beside the tile have flow, one more for their drops.</param>
    /// <param name="routed">The tile and one cell around it.</param>
    /// <param name="range">The tile.</param>
    /// <param name="codes">Directions of the window; level ground that waits for other tiles is <see cref="FlatPiece.Waiting"/>.</param>
    /// <param name="steps">Scratch as long as the window.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Whether level ground waits for other tiles.</returns>
    public static bool RouteWindow(in HeightWindow filled, CellRange routed, CellRange range, byte[] codes, int[] steps, CancellationToken cancellationToken)
    {
        CellRange wide = filled.Range;
        int cells = (int)wide.CellCount;
        Array.Fill(codes, FlatPiece.Beyond, 0, cells);
        int offset = ((routed.Row - wide.Row) * wide.Columns) + routed.Column - wide.Column;
        D8Rows.Route(filled, routed, codes, offset, wide.Columns);

        // Level ground beside the tile is its neighbour's to drain.
        foreach (int at in TileRun.Ring(range, wide, 1))
        {
            codes[at] = codes[at] == FlowCode.None ? FlatPiece.Beyond : codes[at];
        }

        Array.Clear(steps, 0, cells);
        FlatPiece piece = new(filled.Heights, codes, steps, wide.Columns);
        int first = (range.Row - wide.Row) * wide.Columns;
        piece.DrainAll(first, first + (range.Rows * wide.Columns), FlowCode.None, FlatPiece.Waiting, cancellationToken);
        return piece.HasWaiting;
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
            CellRange range = run.Cut.RangeOf(tile);
            CellRange wide = run.Around(tile, 2);
            CellRange routed = run.Around(tile, 1);
            int cells = (int)wide.CellCount;
            float[] z = _heights.For(cells);
            run.Read(filled, wide, z.AsSpan(0, cells));
            byte[] codes = _codes.For(cells);
            bool waits = RouteWindow(new HeightWindow(z, wide), routed, range, codes, _steps.For(cells), run.CancellationToken);

            byte[] own = _own.For(range.CellCount);
            for (int r = 0; r < range.Rows; r++)
            {
                int from = ((r + range.Row - wide.Row) * wide.Columns) + range.Column - wide.Column;
                codes.AsSpan(from, range.Columns).CopyTo(own.AsSpan(r * range.Columns));
            }

            run.Write<byte>(directions, range, own.AsSpan(0, (int)range.CellCount));
            return waits;
        }
    }
}
