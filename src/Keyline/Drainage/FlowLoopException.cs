namespace Keyline.Drainage;

/// <summary>Flow directions that lead back to where they came from, so nothing can be added up along them.</summary>
public sealed class FlowLoopException : KeylineException
{
    /// <summary>Makes the error from a cell of a loop.</summary>
    /// <param name="row">Row of a cell of the loop, 0 at the north.</param>
    /// <param name="column">Column of a cell of the loop, 0 at the west.</param>
    public FlowLoopException(int row, int column)
        : base(FormattableString.Invariant($"The flow directions run in a loop through row {row}, column {column}; route them anew from filled ground."))
    {
        Row = row;
        Column = column;
    }

    /// <summary>Row of a cell of the loop, 0 at the north.</summary>
    public int Row { get; }

    /// <summary>Column of a cell of the loop, 0 at the west.</summary>
    public int Column { get; }
}
