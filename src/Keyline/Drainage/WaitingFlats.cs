using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Drains level ground that reaches over the rims of tiles, with the waiting cells of one tile at a time and the rims of all.</summary>
/// <remarks>
/// <para>Waiting cells that touch are of one height, because a higher one would drain to the lower; so heights are not needed here.</para>
/// <para>Distances only ever fall, so tiles are done over until no rim changes; what is left are the shortest in the whole grid.</para>
/// </remarks>
internal sealed class WaitingFlats
{
    private const int Far = int.MaxValue / 4;

    private readonly TileCut _cut;
    private readonly RimIndex _rim;
    private readonly int[] _toWayOut;
    private readonly int[] _toHigher;
    private readonly bool[] _waits;
    private readonly Room<int> _places = new();
    private CellRange _range;
    private TileFlow? _flow;
    private int[] _ways = [];
    private int[] _walls = [];

    public WaitingFlats(TileCut cut, RimIndex rim)
    {
        (_cut, _rim) = (cut, rim);
        (_toWayOut, _toHigher, _waits) = (new int[rim.Count], new int[rim.Count], new bool[rim.Count]);
        Array.Fill(_toWayOut, Far);
        Array.Fill(_toHigher, Far);
    }

    /// <summary>Notes which rim cells of a tile wait.</summary>
    public void Note(int tile, TileFlow flow)
    {
        CellRange range = _cut.RangeOf(tile);
        foreach (int at in flow.Waiting)
        {
            int index = RimIndex.In(range, at / range.Columns, at % range.Columns);
            if (index >= 0)
            {
                _waits[_rim.FirstOf(tile) + index] = true;
            }
        }
    }

    /// <summary>Finds the distances along all rims.</summary>
    /// <param name="tiles">The tiles with waiting cells.</param>
    /// <param name="flowOf">Reads the flow of a tile.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public void Settle(IReadOnlyList<int> tiles, Func<int, TileFlow> flowOf, CancellationToken cancellationToken)
    {
        IReadOnlyCollection<int> due = tiles;
        while (due.Count > 0)
        {
            SortedSet<int> next = [];
            foreach (int tile in due)
            {
                cancellationToken.ThrowIfCancellationRequested();
                Spread(tile, flowOf(tile));
                Store(tile, next);
                Forget();
            }

            due = next;
        }
    }

    /// <summary>The directions of a tile's waiting cells, once all have settled.</summary>
    public byte[] Directions(int tile, TileFlow flow)
    {
        Spread(tile, flow);
        byte[] directions = new byte[flow.Waiting.Length];
        for (int slot = 0; slot < directions.Length; slot++)
        {
            // A neighbour with flow is a way out, and goes before all that have none.
            directions[slot] = flow.Ways[slot] != FlowCode.None ? flow.Ways[slot] : Downhill(slot, flow.Waiting[slot]);
        }

        Forget();
        return directions;
    }

    private byte Downhill(int slot, int at)
    {
        byte best = FlowCode.None;
        int fewest = Steps(_ways[slot], _walls[slot]);
        foreach (byte direction in FlowCode.SidesFirst)
        {
            (int other, int ring) = Neighbour(at, direction);
            int steps = other >= 0 ? Steps(_ways[other], _walls[other]) : ring >= 0 ? Steps(_toWayOut[ring], _toHigher[ring]) : int.MaxValue;
            if (steps < fewest)
            {
                fewest = steps;
                best = direction;
            }
        }

        return best;
    }

    // Twice the distance to the way out less that to higher ground, which is 0 where there is none.
    private static int Steps(int way, int wall) => (2 * way) - (wall < Far ? wall : 0);

    /// <summary>The waiting cell beside a cell: its place in this tile's list, or its number among the rims where it lies in another; -1 for neither.</summary>
    private (int Slot, int Ring) Neighbour(int at, byte direction)
    {
        int row = (at / _range.Columns) + Neighbours.RowStep(direction);
        int column = (at % _range.Columns) + Neighbours.ColumnStep(direction);
        if ((uint)row < (uint)_range.Rows && (uint)column < (uint)_range.Columns)
        {
            return (_places.For(0)[(row * _range.Columns) + column] - 1, -1);
        }

        // Waiting cells never lie on the grid's edge.
        int ring = _rim.OfGrid(_range.Row + row, _range.Column + column);
        return (-1, _waits[ring] ? ring : -1);
    }

    private bool IsOnRim(int at) => RimIndex.In(_range, at / _range.Columns, at % _range.Columns) >= 0;

    private void Spread(int tile, TileFlow flow)
    {
        (_range, _flow) = (_cut.RangeOf(tile), flow);
        int count = flow.Waiting.Length;
        (_ways, _walls) = (new int[count], new int[count]);
        int[] places = _places.For(_range.CellCount);
        for (int slot = 0; slot < count; slot++)
        {
            places[flow.Waiting[slot]] = slot + 1;
        }

        Spread(_ways, _toWayOut, slot => flow.Ways[slot] != FlowCode.None);
        Spread(_walls, _toHigher, slot => flow.Walls[slot]);
    }

    // The places of a tile are cleared one by one, so that a tile with few waiting cells costs little.
    private void Forget()
    {
        foreach (int at in _flow!.Waiting)
        {
            _places.For(0)[at] = 0;
        }
    }

    /// <summary>Counts steps outward from the cells that are one step away, and from those that a neighbouring tile leads to.</summary>
    private void Spread(int[] distances, int[] beside, Func<int, bool> isNearest)
    {
        Array.Fill(distances, Far);
        List<int> front = [];
        List<int> next = [];
        List<(int Distance, int Slot)> farther = [];
        for (int slot = 0; slot < distances.Length; slot++)
        {
            if (isNearest(slot))
            {
                distances[slot] = 1;
                front.Add(slot);
            }
            else if (IsOnRim(_flow!.Waiting[slot]) && Nearest(slot, beside) is int from && from < Far)
            {
                farther.Add((from + 1, slot));
            }
        }

        farther.Sort();
        int taken = 0;
        for (int distance = 1; taken < farther.Count || front.Count > 0; distance++)
        {
            distance = front.Count == 0 ? farther[taken].Distance : distance;
            for (; taken < farther.Count && farther[taken].Distance == distance; taken++)
            {
                if (distances[farther[taken].Slot] > distance)
                {
                    distances[farther[taken].Slot] = distance;
                    front.Add(farther[taken].Slot);
                }
            }

            foreach (int slot in front)
            {
                for (byte direction = 0; direction < Neighbours.Count; direction++)
                {
                    int other = Neighbour(_flow!.Waiting[slot], direction).Slot;
                    if (other >= 0 && distances[other] > distance + 1)
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

    private int Nearest(int slot, int[] beside)
    {
        int nearest = Far;
        for (byte direction = 0; direction < Neighbours.Count; direction++)
        {
            int ring = Neighbour(_flow!.Waiting[slot], direction).Ring;
            nearest = ring >= 0 ? Math.Min(nearest, beside[ring]) : nearest;
        }

        return nearest;
    }

    /// <summary>Keeps what was found along the rim, and names the tiles that have a shorter way through this one.</summary>
    private void Store(int tile, SortedSet<int> due)
    {
        for (int slot = 0; slot < _ways.Length; slot++)
        {
            int at = _flow!.Waiting[slot];
            int index = RimIndex.In(_range, at / _range.Columns, at % _range.Columns);
            if (index < 0)
            {
                continue;
            }

            _toWayOut[_rim.FirstOf(tile) + index] = _ways[slot];
            _toHigher[_rim.FirstOf(tile) + index] = _walls[slot];
            for (byte direction = 0; direction < Neighbours.Count; direction++)
            {
                int ring = Neighbour(at, direction).Ring;
                if (ring >= 0 && (_toWayOut[ring] > _ways[slot] + 1 || _toHigher[ring] > _walls[slot] + 1))
                {
                    due.Add(_rim.TileOf(ring));
                }
            }
        }
    }
}
