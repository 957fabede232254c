namespace Keyline.Elevation;

/// <summary>One value for each cell of a frame, row 0 north.</summary>
/// <typeparam name="T">The type of a value.</typeparam>
/// <remarks>Shares no memory with whatever it was made from. Rows are handed out as read-only views.</remarks>
public sealed class Grid<T>
    where T : unmanaged
{
    private readonly T[] _values;

    internal Grid(GridFrame frame, T[] trustedValues)
    {
        Frame = frame;
        _values = trustedValues;
    }

    /// <summary>Where the grid lies.</summary>
    public GridFrame Frame { get; }

    /// <summary>The value of a cell.</summary>
    /// <param name="row">Row, 0 at the north.</param>
    /// <param name="column">Column, 0 at the west.</param>
    public T this[int row, int column] => Row(row)[column];

    /// <summary>All values, row after row from the north.</summary>
    public ReadOnlySpan<T> Values => _values;

    internal T[] Array => _values;

    /// <summary>One row as a view.</summary>
    /// <param name="row">Row, 0 at the north.</param>
    public ReadOnlySpan<T> Row(int row)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(row);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(row, Frame.Rows);
        return _values.AsSpan(checked(row * Frame.Columns), Frame.Columns);
    }
}

/// <summary>Makes grids.</summary>
public static class Grid
{
    /// <summary>Copies values into a new grid.</summary>
    /// <typeparam name="T">The type of a value.</typeparam>
    /// <param name="frame">Where the grid lies.</param>
    /// <param name="values">Row after row from the north; as many as the frame has cells.</param>
    /// <exception cref="ArgumentException">The count does not fit the frame.</exception>
    public static Grid<T> Copy<T>(GridFrame frame, ReadOnlySpan<T> values)
        where T : unmanaged
    {
        ArgumentNullException.ThrowIfNull(frame);
        if (values.Length != frame.CellCount)
        {
            throw new ArgumentException($"The frame has {frame.CellCount} cells and {values.Length} values were given.", nameof(values));
        }

        return new Grid<T>(frame, values.ToArray());
    }
}
