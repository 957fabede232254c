using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Drains connected pieces of level ground one at a time.</summary>
/// <remarks>
/// A cell's steps are twice its distance from the nearest way out less its distance from the nearest higher ground, with
/// the greatest of the latter added so that they stay above zero. On the way to a way out the first falls by two a step and
/// the second by at most one, so every cell has a neighbour with fewer.
/// </remarks>
internal sealed class FlatPiece(float[] z, byte[] codes, int[] steps, int columns)
{
    /// <summary>In place of a code: part of a piece that reaches beyond the cells worked on.</summary>
    public const byte Waiting = 254;

    /// <summary>In place of a code: met, and about to get its direction.</summary>
    public const byte Met = 253;

    /// <summary>In place of a code: part of a piece without a way out.</summary>
    public const byte WalledIn = 252;

    /// <summary>In place of a code: without flow, and beyond the cells worked on.</summary>
    public const byte Beyond = 251;

    private static readonly byte[] Order = FlowCode.SidesFirst.ToArray();

    private readonly int[] _stepInOrder = Array.ConvertAll(
        Order, direction => (Neighbours.RowStep(direction) * columns) + Neighbours.ColumnStep(direction));

    private int[] _cells = new int[256];
    private byte[] _out = new byte[256];
    private int[] _front = new int[256];
    private int _count;
    private int _walked;

    /// <summary>Whether a piece was met that reaches beyond the cells worked on.</summary>
    public bool HasWaiting { get; private set; }

    /// <summary>Whether a piece without a way out was met.</summary>
    public bool HasWalledIn { get; private set; }

    /// <summary>Drains every piece that lies wholly among some cells; the others are marked as waiting.</summary>
    /// <param name="first">First cell worked on.</param>
    /// <param name="end">The cell after the last one worked on.</param>
    /// <param name="unseen">The mark of the cells asked for.</param>
    /// <param name="seen">The mark they get when they are met.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public void DrainAll(int first, int end, byte unseen, byte seen, CancellationToken cancellationToken)
    {
        for (int at = first; at < end; at++)
        {
            int found = codes.AsSpan(at, end - at).IndexOf(unseen);
            if (found < 0)
            {
                return;
            }

            at += found;
            if (!float.IsNaN(z[at]))
            {
                Drain(at, first, end, unseen, seen, cancellationToken);
            }
        }
    }

    private void Drain(int seed, int first, int end, byte unseen, byte seen, CancellationToken cancellationToken)
    {
        bool beyond = Collect(seed, first, end, unseen, seen, out int ways, out int walls, cancellationToken);
        if (beyond)
        {
            HasWaiting = true;
            return;
        }

        if (ways == 0)
        {
            HasWalledIn = true;
            for (int i = 0; i < _count; i++)
            {
                codes[_cells[i]] = WalledIn;
            }

            return;
        }

        if (ways < _count)
        {
            int farthest = walls == 0 ? 0 : Spread(seen, fromWalls: true, 0, cancellationToken);
            Spread(seen, fromWalls: false, farthest, cancellationToken);
            for (int i = 0; i < _count; i++)
            {
                cancellationToken.ThrowIfCancellationRequested(i);
                if (DirectionOf(_out[i]) == FlowCode.None)
                {
                    _out[i] = Downhill(_cells[i], seen);
                }
            }
        }

        for (int i = 0; i < _count; i++)
        {
            codes[_cells[i]] = DirectionOf(_out[i]);
        }
    }

    // The lower bits hold the direction of a way out, 0 to 7, or 15; bit 4 says that the cell lies beside higher ground.
    private static byte DirectionOf(byte state) => (state & 15) == 15 ? FlowCode.None : (byte)(state & 15);

    private static bool BesideHigher(byte state) => (state & 16) != 0;

    /// <summary>Lists the cells of a piece, and for each its first way out and whether it lies beside higher ground.</summary>
    private bool Collect(int seed, int first, int end, byte unseen, byte seen, out int ways, out int walls, CancellationToken cancellationToken)
    {
        float level = z[seed];
        bool beyond = false;
        ways = 0;
        walls = 0;
        _count = 0;
        codes[seed] = seen;
        Add(seed);
        for (int head = 0; head < _count; head++)
        {
            cancellationToken.ThrowIfCancellationRequested(++_walked);
            int cell = _cells[head];
            int way = 15;
            bool higher = false;
            for (int k = 0; k < Order.Length; k++)
            {
                int next = cell + _stepInOrder[k];
                float height = z[next];
                if (height == level)
                {
                    byte code = codes[next];
                    if (code < Neighbours.Count)
                    {
                        way = way == 15 ? Order[k] : way;
                    }
                    else if (next < first || next >= end || code == Beyond)
                    {
                        beyond = true;
                    }
                    else if (code == unseen)
                    {
                        codes[next] = seen;
                        Add(next);
                    }
                }
                else
                {
                    higher |= height > level;
                }
            }

            ways += way == 15 ? 0 : 1;
            walls += higher ? 1 : 0;
            _out[head] = (byte)(way | (higher ? 16 : 0));
        }

        return beyond;
    }

    /// <summary>Counts steps outward over the piece, from the cells beside higher ground or from those with a way out.</summary>
    /// <returns>The greatest count.</returns>
    private int Spread(byte seen, bool fromWalls, int farthest, CancellationToken cancellationToken)
    {
        int tail = 0;
        for (int i = 0; i < _count; i++)
        {
            if (fromWalls ? BesideHigher(_out[i]) : DirectionOf(_out[i]) != FlowCode.None)
            {
                Visit(_cells[i], 1);
            }
        }

        int round = 1;
        for (int head = 0; head < tail; round++)
        {
            for (int rest = tail; head < rest; head++)
            {
                cancellationToken.ThrowIfCancellationRequested(head);
                int cell = _front[head];
                float level = z[cell];
                for (int k = 0; k < Order.Length; k++)
                {
                    int next = cell + _stepInOrder[k];
                    if (codes[next] == seen && z[next] == level && (fromWalls ? steps[next] == 0 : steps[next] <= 0))
                    {
                        Visit(next, round + 1);
                    }
                }
            }
        }

        return round - 1;

        // Steps from higher ground stand as negative numbers until the count from the ways out meets the cell.
        void Visit(int cell, int distance)
        {
            steps[cell] = fromWalls ? -distance : farthest + steps[cell] + (2 * distance);
            _front[tail++] = cell;
        }
    }

    private byte Downhill(int cell, byte seen)
    {
        int fewest = steps[cell];
        byte direction = FlowCode.None;
        for (int k = 0; k < Order.Length; k++)
        {
            int next = cell + _stepInOrder[k];
            if (codes[next] == seen && z[next] == z[cell] && steps[next] < fewest)
            {
                fewest = steps[next];
                direction = Order[k];
            }
        }

        return direction;
    }

    private void Add(int cell)
    {
        if (_count == _cells.Length)
        {
            int room = checked(2 * _count);
            Array.Resize(ref _cells, room);
            Array.Resize(ref _out, room);
            _front = new int[room];
        }

        _cells[_count++] = cell;
    }
}
