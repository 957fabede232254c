using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Drains level ground that reaches over the rims of tiles, with only the rims kept in memory.</summary>
/// <remarks>
/// A tile's distances to the nearest way out and to the nearest higher ground follow from its own cells and from the distances
/// along the rims of its neighbours. They only ever fall, so tiles are done over until no rim changes; what is left are the
/// shortest distances in the whole grid, whatever the tiles.
/// </remarks>
internal sealed class SpanningFlats(TileRun run, IGridStore<float> filled, IGridStore<byte> directions, RimIndex rim)
{
    private const int Far = int.MaxValue / 4;

    // In place of a code: waits as well, but lies in another tile.
    private const byte WaitsBeside = FlatPiece.Met;

    private int[] _toWayOut = [];
    private int[] _toHigher = [];

    /// <summary>Finds the distances along all rims.</summary>
    public void Settle(int[] tiles)
    {
        if (tiles.Length == 0)
        {
            return;
        }

        _toWayOut = new int[rim.Count];
        _toHigher = new int[rim.Count];
        Array.Fill(_toWayOut, Far);
        Array.Fill(_toHigher, Far);

        // A tile that reads a rim just before it falls is asked again by the tile whose rim fell.
        int[] due = tiles;
        while (due.Length > 0)
        {
            SortedSet<int> next = [];
            run.ForEachAgain(due, static () => new Work(), (tile, work) =>
            {
                Load(work, tile);
                Store(work, tile);
                lock (next)
                {
                    next.UnionWith(Improved(work));
                }
            });
            due = [.. next];
        }
    }

    /// <summary>Writes the directions of a tile's waiting cells.</summary>
    public void Direct(int tile, Work work)
    {
        Load(work, tile);
        int width = work.Range.Columns;
        byte[] own = new byte[work.Range.CellCount];
        for (int r = 0; r < work.Range.Rows; r++)
        {
            ReadOnlySpan<byte> from = work.Codes.AsSpan(work.At(r, 0), width);
            Span<byte> to = own.AsSpan(r * width, width);
            from.CopyTo(to);
            for (int c = Next(from, 0); c < width; c = Next(from, c + 1))
            {
                to[c] = Downhill(work, work.At(r, c));
            }
        }

        run.Write<byte>(directions, work.Range, own);
    }

    /// <summary>The next waiting cell of a row, or the row's length.</summary>
    private static int Next(ReadOnlySpan<byte> row, int from)
    {
        int found = row[from..].IndexOf(FlatPiece.Waiting);
        return found < 0 ? row.Length : from + found;
    }

    private static byte Downhill(Work work, int at)
    {
        byte direction = FlowCode.None;
        int fewest = work.Steps(at);
        foreach (byte k in FlowCode.SidesFirst)
        {
            int next = at + work.StepOf(k);
            if (work.Heights[next] != work.Heights[at])
            {
                continue;
            }

            // A neighbour with flow is a way out, and goes before all that have none.
            int steps = work.Codes[next] < Neighbours.Count ? int.MinValue : work.Steps(next);
            if (steps < fewest)
            {
                fewest = steps;
                direction = k;
            }
        }

        return direction;
    }

    private void Load(Work work, int tile)
    {
        work.Take(run.Cut.RangeOf(tile), run.Around(tile, 1));
        run.Read(filled, work.Wide, work.Heights.AsSpan(0, work.Count));
        run.Read(directions, work.Wide, work.Codes.AsSpan(0, work.Count));
        TakeRims(work);
        Seeds ways = new(work.ToWayOut);
        Seeds walls = new(work.ToHigher);
        for (int r = 0; r < work.Range.Rows; r++)
        {
            ReadOnlySpan<byte> row = work.Codes.AsSpan(work.At(r, 0), work.Range.Columns);
            for (int c = Next(row, 0); c < row.Length; c = Next(row, c + 1))
            {
                AddSeeds(work, work.At(r, c), ways, walls);
            }
        }

        Spread(work, ways);
        Spread(work, walls);
    }

    // Neighbours whose directions are written already are known to have waited by the distances on their rims.
    private void TakeRims(Work work)
    {
        foreach (int i in TileRun.Ring(work.Range, work.Wide, 1))
        {
            int index = rim.OfGrid(work.Wide.Row + (i / work.Wide.Columns), work.Wide.Column + (i % work.Wide.Columns));
            if (work.Codes[i] == FlatPiece.Waiting || _toWayOut[index] < Far)
            {
                work.Codes[i] = WaitsBeside;
            }

            work.ToWayOut[i] = _toWayOut[index];
            work.ToHigher[i] = _toHigher[index];
        }
    }

    private static void AddSeeds(Work work, int at, Seeds ways, Seeds walls)
    {
        float[] heights = work.Heights;
        byte[] codes = work.Codes;
        float level = heights[at];
        int way = Far;
        int wall = Far;
        foreach (int step in work.AllSteps)
        {
            int next = at + step;
            float height = heights[next];
            if (height > level)
            {
                wall = 1;
            }
            else if (height == level)
            {
                byte code = codes[next];
                if (code < Neighbours.Count)
                {
                    way = 1;
                }
                else if (code == WaitsBeside)
                {
                    way = Math.Min(way, work.ToWayOut[next] + 1);
                    wall = Math.Min(wall, work.ToHigher[next] + 1);
                }
            }
        }

        ways.Add(way, at);
        walls.Add(wall, at);
    }

    /// <summary>Counts steps outward from cells that start with a distance each.</summary>
    private static void Spread(Work work, Seeds seeds)
    {
        int[] distances = seeds.Distances;
        float[] heights = work.Heights;
        byte[] codes = work.Codes;
        List<int> front = seeds.Nearest;
        List<int> next = [];
        List<(int Distance, int Cell)> farther = seeds.Farther;
        farther.Sort();
        int taken = 0;
        for (int distance = 1; taken < farther.Count || front.Count > 0; distance++)
        {
            distance = front.Count == 0 ? farther[taken].Distance : distance;
            for (; taken < farther.Count && farther[taken].Distance == distance; taken++)
            {
                if (distances[farther[taken].Cell] > distance)
                {
                    distances[farther[taken].Cell] = distance;
                    front.Add(farther[taken].Cell);
                }
            }

            foreach (int cell in front)
            {
                float level = heights[cell];
                foreach (int step in work.AllSteps)
                {
                    int other = cell + step;
                    if (distances[other] > distance + 1 && codes[other] == FlatPiece.Waiting && heights[other] == level)
                    {
                        distances[other] = distance + 1;
                        next.Add(other);
                    }
                }
            }

            (front, next) = (next, front);
            next.Clear();
        }
    }

    private void Store(Work work, int tile)
    {
        foreach ((int row, int column, int index) in rim.CellsOf(tile))
        {
            int at = work.At(row, column);
            _toWayOut[index] = work.ToWayOut[at];
            _toHigher[index] = work.ToHigher[at];
        }
    }

    /// <summary>The tiles that have a rim cell with a shorter way through this one.</summary>
    private HashSet<int> Improved(Work work)
    {
        HashSet<int> tiles = [];
        foreach (int ring in TileRun.Ring(work.Range, work.Wide, 1))
        {
            if (work.Codes[ring] != WaitsBeside)
            {
                continue;
            }

            int row = work.Wide.Row + (ring / work.Wide.Columns);
            int column = work.Wide.Column + (ring % work.Wide.Columns);
            for (int k = 0; k < Neighbours.Count; k++)
            {
                if (!work.IsOwn(row + Neighbours.RowStep(k), column + Neighbours.ColumnStep(k)))
                {
                    continue;
                }

                int at = ring + work.StepOf(k);
                if (work.Codes[at] == FlatPiece.Waiting && work.Heights[at] == work.Heights[ring]
                    && (work.ToWayOut[ring] > work.ToWayOut[at] + 1 || work.ToHigher[ring] > work.ToHigher[at] + 1))
                {
                    tiles.Add(run.Cut.TileAt(row, column));
                }
            }
        }

        return tiles;
    }

    /// <summary>Cells to count from: those one step away, and those that a neighbouring tile leads to.</summary>
    private sealed class Seeds(int[] distances)
    {
        public int[] Distances { get; } = distances;

        public List<int> Nearest { get; } = [];

        public List<(int Distance, int Cell)> Farther { get; } = [];

        public void Add(int distance, int cell)
        {
            if (distance == 1)
            {
                Distances[cell] = 1;
                Nearest.Add(cell);
            }
            else if (distance < Far)
            {
                Farther.Add((distance, cell));
            }
        }
    }

    /// <summary>A tile with one cell around it. Waiting cells never lie on the grid's edge, so all their neighbours are here.</summary>
    internal sealed class Work
    {
        private readonly int[] _steps = new int[Neighbours.Count];

        public CellRange Range { get; private set; }

        public CellRange Wide { get; private set; }

        public int Count { get; private set; }

        public float[] Heights { get; private set; } = [];

        public byte[] Codes { get; private set; } = [];

        public int[] ToWayOut { get; private set; } = [];

        public int[] ToHigher { get; private set; } = [];

        public void Take(CellRange range, CellRange wide)
        {
            (Range, Wide, Count) = (range, wide, checked((int)wide.CellCount));
            if (Heights.Length < Count)
            {
                (Heights, Codes, ToWayOut, ToHigher) = (new float[Count], new byte[Count], new int[Count], new int[Count]);
            }

            Array.Fill(ToWayOut, Far, 0, Count);
            Array.Fill(ToHigher, Far, 0, Count);
            for (int k = 0; k < Neighbours.Count; k++)
            {
                _steps[k] = (Neighbours.RowStep(k) * wide.Columns) + Neighbours.ColumnStep(k);
            }
        }

        public int At(int row, int column) => ((row + Range.Row - Wide.Row) * Wide.Columns) + column + Range.Column - Wide.Column;

        public bool IsOwn(int row, int column) =>
            row >= Range.Row && row < Range.Row + Range.Rows && column >= Range.Column && column < Range.Column + Range.Columns;

        public int[] AllSteps => _steps;

        public int StepOf(int direction) => _steps[direction];

        /// <summary>Twice the distance to the way out less that to higher ground, which is 0 where there is none.</summary>
        public int Steps(int at) => (2 * ToWayOut[at]) - (ToHigher[at] < Far ? ToHigher[at] : 0);
    }
}
