namespace Keyline.Water;

/// <summary>The rows of some columns of a band, as runs of cells in the padded field.</summary>
internal struct TileRows(FlowField ground, int top, int bottom, int left, int right)
{
    private int _row = top - 1;

    /// <summary>First cell, behind the last, and the row of the grid.</summary>
    public readonly (int From, int To, int Row) Current => (ground.Index(_row, left), ground.Index(_row, right), _row);

    public readonly (int From, int To, int Row) First => (ground.Index(top, left), ground.Index(top, right), top);

    public readonly TileRows GetEnumerator() => this;

    public bool MoveNext() => ++_row < bottom;
}
