using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>A rectangle of cells worked on at a time: where it lies in its grid, and where its values lie in an array.</summary>
/// <param name="Range">Its cells in the grid.</param>
/// <param name="Offset">Place of its first value in the array.</param>
/// <param name="Stride">Values from one row to the next in the array.</param>
/// <param name="OnNorth">Whether its north side is the grid's edge.</param>
/// <param name="OnSouth">Whether its south side is the grid's edge.</param>
/// <param name="OnWest">Whether its west side is the grid's edge.</param>
/// <param name="OnEast">Whether its east side is the grid's edge.</param>
internal readonly record struct CellTile(CellRange Range, int Offset, int Stride, bool OnNorth, bool OnSouth, bool OnWest, bool OnEast)
{
    public int Rows => Range.Rows;

    public int Columns => Range.Columns;

    /// <summary>Place of a cell of the tile in the array.</summary>
    public int At(int row, int column) => Offset + (row * Stride) + column;
}

/// <summary>Cuts a grid into tiles, row after row from the north-west.</summary>
internal sealed class TileCut
{
    public TileCut(GridFrame frame, int side)
    {
        Frame = frame;
        Side = side;
        Down = (frame.Rows + side - 1) / side;
        Across = (frame.Columns + side - 1) / side;
    }

    public GridFrame Frame { get; }

    /// <summary>Rows and columns of a tile that is not cut off by the grid's edge.</summary>
    public int Side { get; }

    /// <summary>Tiles from north to south.</summary>
    public int Down { get; }

    /// <summary>Tiles from west to east.</summary>
    public int Across { get; }

    public int Count => checked(Down * Across);

    /// <summary>A tile whose values lie in an array of the whole grid.</summary>
    public CellTile InGrid(int tile)
    {
        CellRange range = RangeOf(tile);
        return Make(tile, checked((range.Row * Frame.Columns) + range.Column), Frame.Columns);
    }

    /// <summary>A tile whose values have an array of their own.</summary>
    public CellTile Alone(int tile) => Make(tile, 0, RangeOf(tile).Columns);

    public CellRange RangeOf(int tile)
    {
        int row = tile / Across * Side;
        int column = tile % Across * Side;
        return new CellRange(row, column, Math.Min(Side, Frame.Rows - row), Math.Min(Side, Frame.Columns - column));
    }

    /// <summary>The tile that holds a cell of the grid.</summary>
    public int TileAt(int row, int column) => (row / Side * Across) + (column / Side);

    private CellTile Make(int tile, int offset, int stride) => new(
        RangeOf(tile), offset, stride, tile < Across, tile >= Across * (Down - 1), tile % Across == 0, tile % Across == Across - 1);
}
