using NetTopologySuite.Geometries;

namespace Keyline.Elevation;

/// <summary>Cuts a window out of a grid.</summary>
/// <remarks>
/// <para>Units: metres. Missing: NaN, kept as it is. Promises: the cells keep their places and heights, and every cell that meets the window is in it.</para>
/// <para>Cost: a copy of the window. Source: none needed.</para>
/// </remarks>
public static class GridWindow
{
    /// <summary>The cells within a margin of an area; the grid itself where that is all of it, and null where the window misses the grid.</summary>
    /// <param name="grid">Heights.</param>
    /// <param name="area">The window, in the grid's coordinates.</param>
    /// <param name="margin">Metres around it.</param>
    public static ElevationGrid? Crop(ElevationGrid grid, Envelope area, double margin = 0)
    {
        ArgumentNullException.ThrowIfNull(grid);
        ArgumentNullException.ThrowIfNull(area);
        GridFrame f = grid.Frame;
        int left = Math.Max(0, (int)Math.Floor(f.ColumnAt(area.MinX - margin)));
        int right = Math.Min(f.Columns - 1, (int)Math.Ceiling(f.ColumnAt(area.MaxX + margin)));
        int top = Math.Max(0, (int)Math.Floor(f.RowAt(area.MaxY + margin)));
        int bottom = Math.Min(f.Rows - 1, (int)Math.Ceiling(f.RowAt(area.MinY - margin)));
        if (area.IsNull || left > right || top > bottom)
        {
            return null;
        }

        if (left == 0 && top == 0 && right == f.Columns - 1 && bottom == f.Rows - 1)
        {
            return grid;
        }

        GridFrame frame = new(bottom - top + 1, right - left + 1, f.CellSize, f.West + (left * f.CellSize), f.North - (top * f.CellSize));
        float[] heights = new float[checked((int)frame.CellCount)];
        for (int r = 0; r < frame.Rows; r++)
        {
            grid.Row(top + r).Slice(left, frame.Columns).CopyTo(heights.AsSpan(r * frame.Columns));
        }

        return new ElevationGrid(frame, heights);
    }
}
