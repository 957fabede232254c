using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Numbers the cells along the rims of all tiles. A corner cell has one number.</summary>
internal sealed class RimIndex
{
    /// <summary>In place of a rim cell: flow ends within the tile or leaves the ground.</summary>
    public const int Nowhere = -1;

    private readonly TileCut _cut;
    private readonly int[] _first;

    public RimIndex(TileCut cut)
    {
        _cut = cut;
        _first = new int[cut.Count + 1];
        for (int t = 0; t < cut.Count; t++)
        {
            CellRange range = cut.RangeOf(t);

            _first[t + 1] = checked(_first[t] + CountOf(range));
        }
    }

    /// <summary>Numbers given out; a few stand for no cell.</summary>
    public int Count => _first[^1];

    /// <summary>Numbers that a tile takes: north and south rows whole, then west and east between them.</summary>
    public static int CountOf(CellRange range) => 2 * (range.Columns + range.Rows);

    /// <summary>Number of a cell within a tile, from 0, or -1 where it does not lie on the rim.</summary>
    public static int In(CellRange range, int row, int column) =>
        row == 0 ? column
        : row == range.Rows - 1 ? range.Columns + column
        : column == 0 ? (2 * range.Columns) + row
        : column == range.Columns - 1 ? (2 * range.Columns) + range.Rows + row
        : -1;

    /// <summary>The cells along a tile's rim, by row and column in the tile and number within it.</summary>
    public static IEnumerable<(int Row, int Column, int Index)> CellsOf(CellRange range)
    {
        for (int r = 0; r < range.Rows; r++)
        {
            bool whole = r == 0 || r == range.Rows - 1;
            for (int c = 0; c < range.Columns; c += whole ? 1 : Math.Max(range.Columns - 1, 1))
            {
                yield return (r, c, In(range, r, c));
            }
        }
    }

    /// <summary>The first number of a tile.</summary>
    public int FirstOf(int tile) => _first[tile];

    /// <summary>The tile of a number.</summary>
    public int TileOf(int index)
    {
        int tile = Array.BinarySearch(_first, index);
        return tile < 0 ? ~tile - 1 : tile;
    }

    /// <summary>Number of a cell of a tile, or -1 where it does not lie on the rim.</summary>
    public int Of(int tile, int row, int column)
    {
        int index = In(_cut.RangeOf(tile), row, column);
        return index < 0 ? -1 : _first[tile] + index;
    }

    /// <summary>Number of a cell of the grid that lies on the rim of its tile, or -1.</summary>
    public int OfGrid(int row, int column)
    {
        int tile = _cut.TileAt(row, column);
        CellRange range = _cut.RangeOf(tile);
        return Of(tile, row - range.Row, column - range.Column);
    }

    /// <summary>The cells along a tile's rim, by row and column in the tile.</summary>
    public IEnumerable<(int Row, int Column, int Index)> CellsOf(int tile) =>
        CellsOf(_cut.RangeOf(tile)).Select(cell => (cell.Row, cell.Column, _first[tile] + cell.Index));

    /// <summary>The cell of the grid that has a number.</summary>
    public (int Row, int Column) CellOf(int index)
    {
        int tile = TileOf(index);
        foreach ((int row, int column, int at) in CellsOf(tile))
        {
            if (at == index)
            {
                CellRange range = _cut.RangeOf(tile);
                return (range.Row + row, range.Column + column);
            }
        }

        throw new ArgumentOutOfRangeException(nameof(index), index, "No cell has this number.");
    }
}
