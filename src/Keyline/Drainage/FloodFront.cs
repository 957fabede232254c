namespace Keyline.Drainage;

/// <summary>Raises the ground around a pit to a water level, within a tile.</summary>
internal sealed class FloodFront
{
    private int[] _rows = new int[256];
    private int[] _columns = new int[256];

    /// <summary>Raises every cell below the level that is joined to a cell through cells below it.</summary>
    public void Raise(float[] z, in CellTile tile, int row, int column, float level)
    {
        if (!(z[tile.At(row, column)] < level))
        {
            return;
        }

        int count = 0;
        z[tile.At(row, column)] = level;
        Push(ref count, row, column);
        while (count > 0)
        {
            count--;
            (row, column) = (_rows[count], _columns[count]);
            int top = Math.Max(row - 1, 0);
            int bottom = Math.Min(row + 1, tile.Rows - 1);
            int left = Math.Max(column - 1, 0);
            int right = Math.Min(column + 1, tile.Columns - 1);
            for (int r = top; r <= bottom; r++)
            {
                int at = tile.At(r, 0);
                for (int c = left; c <= right; c++)
                {
                    if (z[at + c] < level)
                    {
                        z[at + c] = level;
                        Push(ref count, r, c);
                    }
                }
            }
        }
    }

    private void Push(ref int count, int row, int column)
    {
        if (count == _rows.Length)
        {
            Array.Resize(ref _rows, checked(2 * count));
            Array.Resize(ref _columns, checked(2 * count));
        }

        _rows[count] = row;
        _columns[count++] = column;
    }
}
