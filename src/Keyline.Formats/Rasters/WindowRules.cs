using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>What every grid that is read by windows asks of a window.</summary>
internal static class WindowRules
{
    /// <summary>Checks that a window lies in a grid and has room for its cells.</summary>
    /// <param name="range">The window.</param>
    /// <param name="frame">The grid.</param>
    /// <param name="room">How many values there is room for.</param>
    /// <exception cref="ArgumentOutOfRangeException">The window does not lie in the grid.</exception>
    /// <exception cref="ArgumentException">There is room for another number of values.</exception>
    public static void Check(CellRange range, GridFrame frame, int room)
    {
        if (range.Row < 0 || range.Column < 0 || range.Rows < 1 || range.Columns < 1
            || (long)range.Row + range.Rows > frame.Rows || (long)range.Column + range.Columns > frame.Columns)
        {
            throw new ArgumentOutOfRangeException(nameof(range), range, "The window does not lie in the grid.");
        }

        if (room != range.CellCount)
        {
            throw new ArgumentException($"The window has {range.CellCount} cells and there is room for {room}.", nameof(room));
        }
    }
}
