using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>The arrays in which the flow of one tile is followed, used for one tile after another.</summary>
internal sealed class FlowRooms
{
    private const int Unknown = -2;

    private readonly Room<bool> _ground = new();
    private readonly Room<byte> _donors = new();
    private double[] _amounts = [];
    private readonly int[] _steps = new int[Neighbours.Count];
    private CellRange _range;

    public int Count => (int)_range.CellCount;

    /// <summary>Directions of the tile; waiting cells are marked.</summary>
    public Room<byte> Codes { get; } = new();

    /// <summary>What <see cref="Walk"/> counted.</summary>
    public double[] Amounts => _amounts;

    /// <summary>Scratch as long as the tile.</summary>
    public Room<int> Ends { get; } = new();

    /// <summary>Takes the tile's own directions out of a window.</summary>
    public void Take(CellRange wide, byte[] around, CellRange range)
    {
        byte[] codes = Codes.For(range.CellCount);
        for (int r = 0; r < range.Rows; r++)
        {
            int from = ((r + range.Row - wide.Row) * wide.Columns) + range.Column - wide.Column;
            around.AsSpan(from, range.Columns).CopyTo(codes.AsSpan(r * range.Columns));
        }

        Begin(range);
        Array.Fill(Ends.For(Count), Unknown, 0, Count);
    }

    /// <summary>Begins with the directions that stand in <see cref="Codes"/>.</summary>
    public void Begin(CellRange range)
    {
        _range = range;
        byte[] codes = Codes.For(Count);
        bool[] ground = _ground.For(Count);
        byte[] donors = _donors.For(Count);
        DonorCounts.HaveFlow(codes.AsSpan(0, Count), ground.AsSpan(0, Count));
        DonorCounts.Fill(codes, ground, range.Rows, range.Columns, 0, range.Rows, donors);
        for (int at = 0; at < Count; at++)
        {
            int found = codes.AsSpan(at, Count - at).IndexOf(FlatPiece.Waiting);
            if (found < 0)
            {
                break;
            }

            at += found;
            donors[at] |= DonorCounts.Ends;
        }

        for (int k = 0; k < Neighbours.Count; k++)
        {
            _steps[k] = (Neighbours.RowStep(k) * range.Columns) + Neighbours.ColumnStep(k);
        }
    }

    /// <summary>The neighbour of a cell of the tile in some direction, or -1 outside the tile.</summary>
    public int Next(int cell, byte direction)
    {
        int row = (cell / _range.Columns) + Neighbours.RowStep(direction);
        int column = (cell % _range.Columns) + Neighbours.ColumnStep(direction);
        return (uint)row < (uint)_range.Rows && (uint)column < (uint)_range.Columns ? (row * _range.Columns) + column : -1;
    }

    /// <summary>The direction in which a cell drains onto ground of another tile, or none.</summary>
    public byte Leaving(in HeightWindow window, int row, int column)
    {
        byte code = Codes.For(Count)[(row * _range.Columns) + column];
        if (code >= Neighbours.Count || Next((row * _range.Columns) + column, code) >= 0)
        {
            return FlowCode.None;
        }

        Span<float> beyond = [0];
        window.CopyRow(_range.Row + row + Neighbours.RowStep(code), _range.Column + column + Neighbours.ColumnStep(code), beyond);
        return float.IsNaN(beyond[0]) ? FlowCode.None : code;
    }

    /// <summary>The last cell of the tile on the way down, or nowhere where that way is a loop. What is walked is remembered; to be asked before
    /// <see cref="Walk"/>.</summary>
    public int End(int[] ends, int start)
    {
        byte[] codes = Codes.For(Count);
        byte[] donors = _donors.For(Count);
        int cell = start;
        while (ends[cell] == Unknown && (donors[cell] & DonorCounts.Ends) == 0)
        {
            ends[cell] = RimIndex.Nowhere;
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

    /// <summary>Counts the cells that drain through each.</summary>
    /// <param name="inflow">What enters at each rim cell, as <see cref="RimIndex"/> numbers them within a tile; none at all where it is empty.</param>
    public double[] Walk(ReadOnlySpan<double> inflow)
    {
        _amounts = _amounts.Length < Count ? new double[Count] : _amounts;
        double[] amounts = _amounts;
        amounts.AsSpan(0, Count).Fill(1);
        if (!inflow.IsEmpty)
        {
            foreach ((int row, int column, int index) in RimIndex.CellsOf(_range))
            {
                amounts[(row * _range.Columns) + column] += inflow[index];
            }
        }

        byte[] donors = _donors.For(Count);
        new FlowWalk<CarriedCells, double>(Codes.For(Count), donors, new CarriedCells(amounts), _range.Columns).FromDivides(0, Count);
        int stuck = donors.AsSpan(0, Count).IndexOfAnyExcept(DonorCounts.Missing);
        return stuck < 0 ? amounts : throw new FlowLoopException(_range.Row + (stuck / _range.Columns), _range.Column + (stuck % _range.Columns));
    }

    /// <summary>Gives the amounts away, in an array of just their number.</summary>
    public double[] GiveAmounts()
    {
        double[] amounts = _amounts.Length == Count ? _amounts : _amounts.AsSpan(0, Count).ToArray();
        _amounts = [];
        return amounts;
    }

    /// <summary>From cells to square metres, missing where there is no ground.</summary>
    public ReadOnlySpan<double> Scaled(double cellArea)
    {
        Span<double> amounts = _amounts.AsSpan(0, Count);
        D8Accumulation.Finish(amounts, _ground.For(Count).AsSpan(0, Count), cellArea);
        return amounts;
    }
}
