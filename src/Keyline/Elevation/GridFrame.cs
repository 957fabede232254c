using NetTopologySuite.Geometries;

namespace Keyline.Elevation;

/// <summary>Where a grid of square cells lies: its size, its cell and its north-west corner.</summary>
/// <remarks>
/// Row 0 is the northernmost row and column 0 the westernmost column. All lengths are metres in a projected
/// coordinate system with x east and y north. Cell (row, column) has its centre at
/// x = West + (column + 0.5) * CellSize, y = North - (row + 0.5) * CellSize.
/// </remarks>
public sealed class GridFrame : IEquatable<GridFrame>
{
    /// <summary>Makes a frame.</summary>
    /// <param name="rows">Number of rows, at least 1.</param>
    /// <param name="columns">Number of columns, at least 1.</param>
    /// <param name="cellSize">Side of a cell in metres, finite and above 0.</param>
    /// <param name="west">x of the west edge of column 0, metres.</param>
    /// <param name="north">y of the north edge of row 0, metres.</param>
    /// <exception cref="ArgumentOutOfRangeException">A count below 1, a cell size not above 0, or a value not finite.</exception>
    public GridFrame(int rows, int columns, double cellSize, double west, double north)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(rows, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(columns, 1);
        if (!(cellSize > 0) || !double.IsFinite(cellSize))
        {
            throw new ArgumentOutOfRangeException(nameof(cellSize), cellSize, "The cell size must be a finite number of metres above 0.");
        }

        if (!double.IsFinite(west) || !double.IsFinite(north))
        {
            throw new ArgumentOutOfRangeException(nameof(west), "The corner of the grid must be finite.");
        }

        Rows = rows;
        Columns = columns;
        CellSize = cellSize;
        West = west;
        North = north;
    }

    /// <summary>Number of rows.</summary>
    public int Rows { get; }

    /// <summary>Number of columns.</summary>
    public int Columns { get; }

    /// <summary>Side of a cell in metres.</summary>
    public double CellSize { get; }

    /// <summary>x of the west edge, metres.</summary>
    public double West { get; }

    /// <summary>y of the north edge, metres.</summary>
    public double North { get; }

    /// <summary>x of the east edge, metres.</summary>
    public double East => West + (Columns * CellSize);

    /// <summary>y of the south edge, metres.</summary>
    public double South => North - (Rows * CellSize);

    /// <summary>Number of cells, rows times columns.</summary>
    public long CellCount => (long)Rows * Columns;

    /// <summary>Area of one cell in square metres.</summary>
    public double CellArea => CellSize * CellSize;

    /// <summary>The rectangle the cells cover.</summary>
    public Envelope Extent => new(West, East, South, North);

    /// <summary>x of the centres of a column, metres.</summary>
    /// <param name="column">Column, may lie outside the grid and may be fractional.</param>
    public double CentreX(double column) => West + ((column + 0.5) * CellSize);

    /// <summary>y of the centres of a row, metres.</summary>
    /// <param name="row">Row, may lie outside the grid and may be fractional.</param>
    public double CentreY(double row) => North - ((row + 0.5) * CellSize);

    /// <summary>Fractional column of an x; whole numbers are cell centres.</summary>
    /// <param name="x">Metres.</param>
    public double ColumnAt(double x) => ((x - West) / CellSize) - 0.5;

    /// <summary>Fractional row of a y; whole numbers are cell centres.</summary>
    /// <param name="y">Metres.</param>
    public double RowAt(double y) => ((North - y) / CellSize) - 0.5;

    /// <summary>The cell that holds a place. A place on the border of two belongs to the eastern, or southern, one.</summary>
    /// <param name="x">Metres east, finite.</param>
    /// <param name="y">Metres north, finite.</param>
    /// <returns>Its row and column, which may lie outside the grid.</returns>
    public (int Row, int Column) CellAt(double x, double y) =>
        ((int)Math.Floor(RowAt(y) + 0.5), (int)Math.Floor(ColumnAt(x) + 0.5));

    /// <summary>The same, and the nearest cell of the grid to a place outside.</summary>
    internal (int Row, int Column) NearestCellAt(double x, double y)
    {
        (int row, int column) = CellAt(x, y);
        return (Math.Clamp(row, 0, Rows - 1), Math.Clamp(column, 0, Columns - 1));
    }

    /// <summary>The number of the cell that holds a place, counted row after row from the north; -1 outside the grid.</summary>
    /// <param name="x">Metres east.</param>
    /// <param name="y">Metres north.</param>
    public int IndexAt(double x, double y)
    {
        (int row, int column) = CellAt(x, y);
        return !double.IsNaN(x + y) && Contains(row, column) ? checked((row * Columns) + column) : -1;
    }

    /// <summary>Whether a cell lies in the grid.</summary>
    /// <param name="row">Row.</param>
    /// <param name="column">Column.</param>
    public bool Contains(int row, int column) => (uint)row < (uint)Rows && (uint)column < (uint)Columns;

    /// <inheritdoc/>
    public bool Equals(GridFrame? other) =>
        other is not null && Rows == other.Rows && Columns == other.Columns && CellSize.Equals(other.CellSize)
        && West.Equals(other.West) && North.Equals(other.North);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as GridFrame);

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(Rows, Columns, CellSize, West, North);
}
