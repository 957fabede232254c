using System.Numerics;
using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Fills what can be filled within one tile, and finds how the rest hangs together with the tiles around it.</summary>
/// <remarks>
/// <para>Units: metres. Missing: water leaves there.</para>
/// <para>Promises: a hollow shut in within the tile is filled to its sill; a basin that reaches the tile's rim gets a label,
/// and the sills between labels are returned, no more of them than labels. Exact: no height is invented.</para>
/// <para>Cost: linear in cells but for sorting the saddles, by radix; about 7 bytes a cell of the tile.</para>
/// <para>Source: only saddles can join pits, so only saddles are sorted and pits merged upward by union-find, as in the
/// merge trees of Carr, Snoeyink and Axen 2003, Computational Geometry 24(2), 75-94; labels at the rim as in Barnes 2016,
/// Parallel priority-flood depression filling for trillion cell digital elevation models on desktops or clusters,
/// Computers and Geosciences 96, 56-68 (doi:10.1016/j.cageo.2016.07.001).</para>
/// </remarks>
internal sealed class SpillTile
{
    private const int Unknown = -1;
    private const int Outside = 0;
    private const int Block = 32;

    private readonly int[] _steps = new int[Neighbours.Count];
    private readonly List<int> _pits = [];
    private readonly FloodFront _front = new();
    private float[][] _rows = [[], [], []];
    private byte[] _lower = [];
    private int[] _node = [];
    private ulong[] _saddles = new ulong[1024];
    private ulong[] _sorted = new ulong[1024];
    private int _saddleCount;
    private int _stride;
    private int[] _parent = [];
    private int[] _label = [];
    private int[] _next = [];
    private int[] _last = [];

    /// <summary>Works through a tile.</summary>
    /// <param name="z">Heights of the tile; hollows shut in within it are raised.</param>
    /// <param name="tile">Where the tile's heights lie.</param>
    public TileSpills Run(float[] z, in CellTile tile)
    {
        Prepare(tile);
        Classify(z, tile);
        TileSpills spills = new(tile);
        Label(z, tile, spills);
        _saddles = RadixSort.Sort(_saddles, ref _sorted, _saddleCount);
        Merge(z, tile, spills);
        return spills;
    }

    /// <summary>The label whose level a cell rises to where that is higher than it stands. For the tile that was run last.</summary>
    public int LabelOf(float[] z, in CellTile tile, int row, int column) =>
        float.IsNaN(z[tile.At(row, column)]) ? Outside : _label[Basin(((row + 1) * _stride) + column + 1)];

    private void Prepare(in CellTile tile)
    {
        _stride = tile.Columns + 2;
        int cells = (tile.Rows + 2) * _stride;
        int padded = tile.Columns + 2 + Block;
        if (_lower.Length < cells + Block)
        {
            _lower = new byte[cells + Block];
            _node = new int[cells];
        }

        if (_rows[0].Length < padded)
        {
            _rows = [new float[padded], new float[padded], new float[padded]];
        }

        for (int direction = 0; direction < Neighbours.Count; direction++)
        {
            _steps[direction] = (Neighbours.RowStep(direction) * _stride) + Neighbours.ColumnStep(direction);
        }

        // One cell around the tile stands for what is beyond the grid.
        Array.Fill(_node, Unknown, 0, cells);
        Array.Fill(_node, Outside, 0, _stride);
        Array.Fill(_node, Outside, cells - _stride, _stride);
        _pits.Clear();
        _pits.Add(Unknown);
        _saddleCount = 0;
    }

    /// <summary>Finds pits, saddles and missing cells.</summary>
    private void Classify(float[] z, in CellTile tile)
    {
        CopyRow(z, tile, -1, _rows[0]);
        CopyRow(z, tile, 0, _rows[1]);
        for (int r = 0; r < tile.Rows; r++)
        {
            CopyRow(z, tile, r + 1, _rows[2]);
            int first = ((r + 1) * _stride) + 1;
            int blocks = (tile.Columns + Block - 1) / Block * Block;
            NeighbourRows.OfRow<LowerNeighbours>(_rows[0], _rows[1], _rows[2], _lower.AsSpan(first, blocks));
            for (int c = 0; c < tile.Columns; c += Block)
            {
                uint marks = LowerNeighbours.PitsAndSaddles(_lower.AsSpan(first + c, Block));
                marks &= tile.Columns - c >= Block ? uint.MaxValue : (1u << (tile.Columns - c)) - 1;
                for (; marks != 0; marks &= marks - 1)
                {
                    int column = c + BitOperations.TrailingZeroCount(marks);
                    Add(first + column, _rows[1][column + 1]);
                }
            }

            MarkMissing(_rows[1], first, tile.Columns);
            (_rows[0], _rows[1], _rows[2]) = (_rows[1], _rows[2], _rows[0]);
        }
    }

    private void Add(int cell, float height)
    {
        if (_lower[cell] == 0)
        {
            _node[cell] = _pits.Count;
            _pits.Add(cell);
        }
        else
        {
            if (_saddleCount == _saddles.Length)
            {
                Array.Resize(ref _saddles, 2 * _saddleCount);
                _sorted = new ulong[2 * _saddleCount];
            }

            _saddles[_saddleCount++] = HeightOrder.Key(height, cell);
        }
    }

    private void MarkMissing(float[] row, int first, int columns)
    {
        _node[first - 1] = Outside;
        _node[first + columns] = Outside;
        for (int c = 0; c < columns; c++)
        {
            if (float.IsNaN(row[c + 1]))
            {
                _node[first + c] = Outside;
            }
        }
    }

    // Beyond the grid is missing, beyond the tile is higher than everything: what lies there is the other tile's affair.
    private static void CopyRow(float[] z, in CellTile tile, int row, float[] to)
    {
        int columns = tile.Columns;
        if (row < 0 || row == tile.Rows)
        {
            Array.Fill(to, (row < 0 ? tile.OnNorth : tile.OnSouth) ? float.NaN : float.PositiveInfinity, 0, columns + 2);
            return;
        }

        Array.Copy(z, tile.At(row, 0), to, 1, columns);
        to[0] = tile.OnWest ? float.NaN : float.PositiveInfinity;
        to[columns + 1] = tile.OnEast ? float.NaN : float.PositiveInfinity;
    }

    /// <summary>Gives a label to every basin that holds a cell beside another tile.</summary>
    private void Label(float[] z, in CellTile tile, TileSpills spills)
    {
        int nodes = _pits.Count;
        if (_parent.Length < nodes)
        {
            int room = 2 * nodes;
            (_parent, _label, _next, _last) = (new int[room], new int[room], new int[room], new int[room]);
        }

        for (int i = 0; i < nodes; i++)
        {
            _parent[i] = i;
            _label[i] = Unknown;
            _next[i] = Unknown;
            _last[i] = i;
        }

        _label[Outside] = Outside;
        for (int side = 0; side < TileSpills.Sides; side++)
        {
            if (spills.HasNeighbour(side))
            {
                for (int k = 0; k < spills.LengthOf(side); k++)
                {
                    (int r, int c) = spills.CellOf(side, k);
                    int node = float.IsNaN(z[tile.At(r, c)]) ? Outside : Basin(((r + 1) * _stride) + c + 1);
                    if (_label[node] == Unknown)
                    {
                        (int row, int column) = Place(_pits[node]);
                        _label[node] = spills.AddLabel(row, column, z[tile.At(row, column)]);
                    }

                    spills.SetRim(side, k, _label[node], z[tile.At(r, c)]);
                }
            }
        }
    }

    /// <summary>Takes the saddles upward and merges the basins that meet at each.</summary>
    private void Merge(float[] z, in CellTile tile, TileSpills spills)
    {
        for (int i = 0; i < _saddleCount; i++)
        {
            int saddle = HeightOrder.Cell(_saddles[i]);
            int starts = LowerNeighbours.RunStarts(_lower[saddle]);
            int root = Root(Arm(saddle, starts));
            (int row, int column) = Place(saddle);
            float height = HeightOrder.Height(_saddles[i]);
            for (starts &= starts - 1; starts != 0; starts &= starts - 1)
            {
                int other = Root(Arm(saddle, starts));
                if (other != root)
                {
                    root = Join(z, tile, spills, root, other, height);
                }
            }
        }
    }

    private int Join(float[] z, in CellTile tile, TileSpills spills, int a, int b, float height)
    {
        if (_label[a] >= 0 && _label[b] >= 0)
        {
            spills.AddSill(_label[a], _label[b], height);
        }
        else if (_label[a] >= 0)
        {
            Raise(z, tile, b, height, _label[a]);
        }
        else if (_label[b] >= 0)
        {
            Raise(z, tile, a, height, _label[b]);
            (a, b) = (b, a);
        }
        else
        {
            _next[_last[a]] = b;
            _last[a] = _last[b];
        }

        _parent[b] = a;
        return a;
    }

    // Raised basins rise with the label from here on, if at all, so each of them keeps it.
    private void Raise(float[] z, in CellTile tile, int set, float height, int label)
    {
        for (int node = set; node != Unknown; node = _next[node])
        {
            _label[node] = label;
            (int row, int column) = Place(_pits[node]);
            _front.Raise(z, tile, row, column, height);
        }
    }

    private int Arm(int saddle, int starts) => Basin(saddle + _steps[BitOperations.TrailingZeroCount(starts)]);

    /// <summary>The pit below a cell, or outside. What is walked is remembered.</summary>
    private int Basin(int cell)
    {
        int end = cell;
        while (_node[end] == Unknown)
        {
            end += _steps[BitOperations.TrailingZeroCount((uint)_lower[end])];
        }

        int node = _node[end];
        while (_node[cell] == Unknown)
        {
            int next = cell + _steps[BitOperations.TrailingZeroCount((uint)_lower[cell])];
            _node[cell] = node;
            cell = next;
        }

        return node;
    }

    private int Root(int node)
    {
        while (_parent[node] != node)
        {
            _parent[node] = _parent[_parent[node]];
            node = _parent[node];
        }

        return node;
    }

    private (int Row, int Column) Place(int cell)
    {
        int row = cell / _stride;
        return (row - 1, cell - (row * _stride) - 1);
    }
}
