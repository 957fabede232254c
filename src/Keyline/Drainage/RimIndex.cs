using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Numbers the cells along the rims of all tiles. A corner cell has one number.</summary>
internal sealed class RimIndex
{
    private readonly TileCut _cut;
    private readonly int[] _first;

    public RimIndex(TileCut cut)
    {
        _cut = cut;
        _first = new int[cut.Count + 1];
        for (int t = 0; t < cut.Count; t++)
        {
            CellRange range = cut.RangeOf(t);

            // North and south rows whole, then west and east between them.
            _first[t + 1] = checked(_first[t] + (2 * (range.Columns + range.Rows)));
        }
    }

    /// <summary>Numbers given out; a few stand for no cell.</summary>
    public int Count => _first[^1];

    /// <summary>Number of a cell of a tile, or -1 where it does not lie on the rim.</summary>
    public int Of(int tile, int row, int column)
    {
        CellRange range = _cut.RangeOf(tile);
        return row == 0 ? _first[tile] + column
            : row == range.Rows - 1 ? _first[tile] + range.Columns + column
            : column == 0 ? _first[tile] + (2 * range.Columns) + row
            : column == range.Columns - 1 ? _first[tile] + (2 * range.Columns) + range.Rows + row
            : -1;
    }

    /// <summary>Number of a cell of the grid that lies on the rim of its tile, or -1.</summary>
    public int OfGrid(int row, int column)
    {
        int tile = _cut.TileAt(row, column);
        CellRange range = _cut.RangeOf(tile);
        return Of(tile, row - range.Row, column - range.Column);
    }

    /// <summary>The cells along a tile's rim, by row and column in the tile.</summary>
    public IEnumerable<(int Row, int Column, int Index)> CellsOf(int tile)
    {
        CellRange range = _cut.RangeOf(tile);
        for (int r = 0; r < range.Rows; r++)
        {
            bool whole = r == 0 || r == range.Rows - 1;
            for (int c = 0; c < range.Columns; c += whole ? 1 : Math.Max(range.Columns - 1, 1))
            {
                yield return (r, c, Of(tile, r, c));
            }
        }
    }

    /// <summary>The cell of the grid that has a number.</summary>
    public (int Row, int Column) CellOf(int index)
    {
        int tile = Array.BinarySearch(_first, index);
        tile = tile < 0 ? ~tile - 1 : tile;
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
