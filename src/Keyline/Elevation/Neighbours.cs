namespace Keyline.Elevation;

/// <summary>The eight cells around a cell, numbered 0 to 7 clockwise from north.</summary>
internal static class Neighbours
{
    /// <summary>How many there are.</summary>
    public const int Count = 8;

    private static readonly int[] RowSteps = [-1, -1, 0, 1, 1, 1, 0, -1];
    private static readonly int[] ColumnSteps = [0, 1, 1, 1, 0, -1, -1, -1];

    /// <summary>Rows southward that a direction leads.</summary>
    public static int RowStep(int direction) => RowSteps[direction];

    /// <summary>Columns eastward that a direction leads.</summary>
    public static int ColumnStep(int direction) => ColumnSteps[direction];

    /// <summary>What to add to a cell's place, row after row, for each direction.</summary>
    public static int[] PlaceSteps(int columns) => [.. Enumerable.Range(0, Count).Select(direction => (RowSteps[direction] * columns) + ColumnSteps[direction])];

    /// <summary>Cells walked in a direction: 1, or the square root of 2 on a diagonal.</summary>
    public static double Length(int direction) => (direction & 1) == 0 ? 1 : Math.Sqrt(2);

    /// <summary>The direction back.</summary>
    public static int Opposite(int direction) => (direction + 4) & 7;

    /// <summary>The cell in a direction, or -1 outside the grid.</summary>
    public static int At(GridFrame frame, int cell, int direction)
    {
        int row = Math.DivRem(cell, frame.Columns, out int column);
        return At(frame, row, column, direction);
    }

    /// <summary>The cell in a direction from a row and column, or -1 outside the grid.</summary>
    public static int At(GridFrame frame, int row, int column, int direction)
    {
        int r = row + RowSteps[direction];
        int c = column + ColumnSteps[direction];
        return frame.Contains(r, c) ? (r * frame.Columns) + c : -1;
    }

    /// <summary>Whether a neighbour is lower than a cell.</summary>
    public static bool HasLower(float[] heights, GridFrame frame, int cell)
    {
        int row = Math.DivRem(cell, frame.Columns, out int column);
        for (int direction = 0; direction < Count; direction++)
        {
            int next = At(frame, row, column, direction);
            if (next >= 0 && heights[next] < heights[cell])
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>The first direction that leads off the grid or onto a missing cell, side directions before diagonals; -1
    /// where there is none.</summary>
    public static int WayOut(float[] heights, GridFrame frame, int cell)
    {
        for (int step = 0; step < 2 * Count; step += 2)
        {
            int direction = step < Count ? step : step - Count + 1;
            int next = At(frame, cell, direction);
            if (next < 0 || float.IsNaN(heights[next]))
            {
                return direction;
            }
        }

        return -1;
    }

    /// <summary>Whether water can leave the grid from a cell: it lies on the edge or beside a missing cell.</summary>
    public static bool IsOutlet(float[] heights, GridFrame frame, int cell) => WayOut(heights, frame, cell) >= 0;
}
