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

    // Sides first, clockwise from north, then the corners.
    private static readonly byte[] Order = [0, 2, 4, 6, 1, 3, 5, 7];

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
        HashSet<int> concerned = [.. tiles];
        Queue<int> due = new(tiles);
        HashSet<int> queued = [.. tiles];
        while (due.TryDequeue(out int tile))
        {
            run.Stop.ThrowIfCancellationRequested();
            queued.Remove(tile);
            Work work = Load(tile);
            if (!Store(work, tile))
            {
                continue;
            }

            foreach (int beside in Around(tile))
            {
                if (concerned.Contains(beside) && queued.Add(beside))
                {
                    due.Enqueue(beside);
                }
            }
        }
    }

    /// <summary>Writes the directions of a tile's waiting cells.</summary>
    public void Direct(int tile)
    {
        Work work = Load(tile);
        byte[] own = new byte[work.Range.CellCount];
        for (int r = 0; r < work.Range.Rows; r++)
        {
            for (int c = 0; c < work.Range.Columns; c++)
            {
                int at = work.At(r, c);
                own[(r * work.Range.Columns) + c] = work.Codes[at] == FlatPiece.Waiting ? Downhill(work, at) : work.Codes[at];
            }
        }

        run.Write<byte>(directions, work.Range, own);
    }

    private static byte Downhill(Work work, int at)
    {
        byte direction = D8Directions.NoFlow;
        int fewest = work.Steps(at);
        foreach (byte k in Order)
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

    private Work Load(int tile)
    {
        Work work = new(run.Cut.RangeOf(tile), run.Around(tile, 1));
        run.Read(filled, work.Wide, work.Heights);
        run.Read(directions, work.Wide, work.Codes);
        List<(int Distance, int Cell)> ways = [];
        List<(int Distance, int Cell)> walls = [];
        TakeRims(work);
        for (int r = 0; r < work.Range.Rows; r++)
        {
            for (int c = 0; c < work.Range.Columns; c++)
            {
                int at = work.At(r, c);
                if (work.Codes[at] == FlatPiece.Waiting)
                {
                    AddSeeds(work, at, ways, walls);
                }
            }
        }

        Spread(work, ways, work.ToWayOut);
        Spread(work, walls, work.ToHigher);
        return work;
    }

    // Neighbours whose directions are written already are known to have waited by the distances on their rims.
    private void TakeRims(Work work)
    {
        for (int i = 0; i < work.Codes.Length; i++)
        {
            int row = work.Wide.Row + (i / work.Wide.Columns);
            int column = work.Wide.Column + (i % work.Wide.Columns);
            if (work.IsOwn(row, column))
            {
                continue;
            }

            int index = rim.OfGrid(row, column);
            if (_toWayOut[index] < Far)
            {
                work.Codes[i] = FlatPiece.Waiting;
            }

            work.ToWayOut[i] = _toWayOut[index];
            work.ToHigher[i] = _toHigher[index];
        }
    }

    private static void AddSeeds(Work work, int at, List<(int Distance, int Cell)> ways, List<(int Distance, int Cell)> walls)
    {
        int way = Far;
        int wall = Far;
        for (int k = 0; k < Neighbours.Count; k++)
        {
            int next = at + work.StepOf(k);
            if (work.Heights[next] > work.Heights[at])
            {
                wall = 1;
            }
            else if (work.Heights[next] == work.Heights[at])
            {
                bool waits = work.Codes[next] == FlatPiece.Waiting;
                way = Math.Min(way, work.Codes[next] < Neighbours.Count ? 1 : waits ? work.ToWayOut[next] + 1 : Far);
                wall = Math.Min(wall, waits ? work.ToHigher[next] + 1 : Far);
            }
        }

        if (way < Far)
        {
            ways.Add((way, at));
        }

        if (wall < Far)
        {
            walls.Add((wall, at));
        }
    }

    /// <summary>Counts steps outward from cells that start with a distance each.</summary>
    private static void Spread(Work work, List<(int Distance, int Cell)> seeds, int[] distances)
    {
        seeds.Sort();
        List<int> front = [];
        List<int> next = [];
        int taken = 0;
        for (int distance = 0; taken < seeds.Count || front.Count > 0; distance++)
        {
            distance = front.Count == 0 ? seeds[taken].Distance : distance;
            for (; taken < seeds.Count && seeds[taken].Distance == distance; taken++)
            {
                if (distances[seeds[taken].Cell] > distance)
                {
                    distances[seeds[taken].Cell] = distance;
                    front.Add(seeds[taken].Cell);
                }
            }

            foreach (int cell in front)
            {
                for (int k = 0; k < Neighbours.Count; k++)
                {
                    int other = cell + work.StepOf(k);
                    if (work.Codes[other] == FlatPiece.Waiting && work.Heights[other] == work.Heights[cell]
                        && work.IsOwnAt(other) && distances[other] > distance + 1)
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

    /// <summary>Keeps a tile's rim.</summary>
    /// <returns>Whether a distance fell.</returns>
    private bool Store(Work work, int tile)
    {
        bool fell = false;
        foreach ((int row, int column, int index) in rim.CellsOf(tile))
        {
            int at = work.At(row, column);
            fell |= work.ToWayOut[at] < _toWayOut[index] || work.ToHigher[at] < _toHigher[index];
            _toWayOut[index] = work.ToWayOut[at];
            _toHigher[index] = work.ToHigher[at];
        }

        return fell;
    }

    private IEnumerable<int> Around(int tile)
    {
        TileCut cut = run.Cut;
        for (int k = 0; k < Neighbours.Count; k++)
        {
            int row = (tile / cut.Across) + Neighbours.RowStep(k);
            int column = (tile % cut.Across) + Neighbours.ColumnStep(k);
            if ((uint)row < (uint)cut.Down && (uint)column < (uint)cut.Across)
            {
                yield return (row * cut.Across) + column;
            }
        }
    }

    /// <summary>A tile with one cell around it. Waiting cells never lie on the grid's edge, so all their neighbours are here.</summary>
    private sealed class Work
    {
        public Work(CellRange range, CellRange wide)
        {
            (Range, Wide) = (range, wide);
            Heights = new float[wide.CellCount];
            Codes = new byte[wide.CellCount];
            ToWayOut = new int[wide.CellCount];
            ToHigher = new int[wide.CellCount];
            Array.Fill(ToWayOut, Far);
            Array.Fill(ToHigher, Far);
        }

        public CellRange Range { get; }

        public CellRange Wide { get; }

        public float[] Heights { get; }

        public byte[] Codes { get; }

        public int[] ToWayOut { get; }

        public int[] ToHigher { get; }

        public int At(int row, int column) => ((row + Range.Row - Wide.Row) * Wide.Columns) + column + Range.Column - Wide.Column;

        public int StepOf(int direction) => (Neighbours.RowStep(direction) * Wide.Columns) + Neighbours.ColumnStep(direction);

        public bool IsOwn(int row, int column) =>
            row >= Range.Row && row < Range.Row + Range.Rows && column >= Range.Column && column < Range.Column + Range.Columns;

        public bool IsOwnAt(int at) => IsOwn(Wide.Row + (at / Wide.Columns), Wide.Column + (at % Wide.Columns));

        /// <summary>Twice the distance to the way out less that to higher ground, which is 0 where there is none.</summary>
        public int Steps(int at) => (2 * ToWayOut[at]) - (ToHigher[at] < Far ? ToHigher[at] : 0);
    }
}
