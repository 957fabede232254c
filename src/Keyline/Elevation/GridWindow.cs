using NetTopologySuite.Geometries;

namespace Keyline.Elevation;

/// <summary>Cuts a window out of a grid.</summary>
internal static class GridWindow
{
    /// <summary>The cells within a margin of an area; the grid itself where that is all of it.</summary>
    public static ElevationGrid Crop(ElevationGrid grid, Envelope area, double margin)
    {
        GridFrame f = grid.Frame;
        int left = Math.Max(0, (int)Math.Floor(f.ColumnAt(area.MinX - margin)));
        int right = Math.Min(f.Columns - 1, (int)Math.Ceiling(f.ColumnAt(area.MaxX + margin)));
        int top = Math.Max(0, (int)Math.Floor(f.RowAt(area.MaxY + margin)));
        int bottom = Math.Min(f.Rows - 1, (int)Math.Ceiling(f.RowAt(area.MinY - margin)));
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
