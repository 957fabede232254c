using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Heights of a rectangle of a grid. What lies beyond it is missing.</summary>
/// <param name="Heights">Row after row from the north.</param>
/// <param name="Range">Which cells of the grid they are.</param>
internal readonly record struct HeightWindow(float[] Heights, CellRange Range)
{
    public static HeightWindow Of(ElevationGrid grid) =>
        new(grid.Array, new CellRange(0, 0, grid.Frame.Rows, grid.Frame.Columns));

    /// <summary>Copies a stretch of a row, which may reach beyond the rectangle.</summary>
    /// <param name="row">Row of the grid.</param>
    /// <param name="column">First column of the grid.</param>
    /// <param name="to">Where to; its length says how many.</param>
    public void CopyRow(int row, int column, Span<float> to)
    {
        int first = Math.Max(column, Range.Column);
        int end = Math.Min(column + to.Length, Range.Column + Range.Columns);
        if (row < Range.Row || row >= Range.Row + Range.Rows || end <= first)
        {
            to.Fill(float.NaN);
            return;
        }

        int at = ((row - Range.Row) * Range.Columns) + first - Range.Column;
        to[..(first - column)].Fill(float.NaN);
        Heights.AsSpan(at, end - first).CopyTo(to[(first - column)..]);
        to[(end - column)..].Fill(float.NaN);
    }
}
