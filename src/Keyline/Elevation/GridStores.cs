namespace Keyline.Elevation;

/// <summary>A rectangle of cells of a grid.</summary>
/// <param name="Row">Its northernmost row.</param>
/// <param name="Column">Its westernmost column.</param>
/// <param name="Rows">How many rows it has.</param>
/// <param name="Columns">How many columns it has.</param>
public readonly record struct CellRange(int Row, int Column, int Rows, int Columns)
{
    /// <summary>Number of cells.</summary>
    public long CellCount => (long)Rows * Columns;
}

/// <summary>A grid that is read a window at a time, because it is too large to hold.</summary>
/// <typeparam name="T">The type of a value.</typeparam>
/// <remarks>Used by one thread at a time.</remarks>
public interface IGridSource<T>
    where T : unmanaged
{
    /// <summary>Where the grid lies.</summary>
    GridFrame Frame { get; }

    /// <summary>Reads a window.</summary>
    /// <param name="range">Which cells; they lie in the grid.</param>
    /// <param name="values">Filled row after row from the north; as long as the range has cells.</param>
    void Read(CellRange range, Span<T> values);
}

/// <summary>A grid that is read and written a window at a time.</summary>
/// <typeparam name="T">The type of a value.</typeparam>
public interface IGridStore<T> : IGridSource<T>
    where T : unmanaged
{
    /// <summary>Writes a window.</summary>
    /// <param name="range">Which cells; they lie in the grid.</param>
    /// <param name="values">Row after row from the north; as many as the range has cells.</param>
    void Write(CellRange range, ReadOnlySpan<T> values);
}
