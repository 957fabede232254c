namespace Keyline.Elevation;

/// <summary>The windows of a grid that hold its known cells, where much of it is missing: far-apart pieces of ground on one grid.</summary>
/// <remarks>
/// <para>Units: cells. Missing: NaN.</para>
/// <para>Promises: every known cell lies in just one window; known cells of different windows lie more than the reach apart, along
/// rows or along columns, so that work of no longer reach gives the same bits window by window as on the whole grid.</para>
/// <para>Cost: one pass; blocks squared in the number of windows.</para>
/// <para>Source: own.</para>
/// </remarks>
internal static class KnownWindows
{
    private const int Block = 64;

    // Windows that cover more than this share of the grid save too little to be worth their copies.
    private const double MostShare = 0.5;

    /// <summary>Finds the windows; one window of the whole grid where most of it is known.</summary>
    /// <param name="values">Row after row from the north.</param>
    /// <param name="frame">The grid.</param>
    /// <param name="reach">Cells.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static IReadOnlyList<CellRange> Of(float[] values, GridFrame frame, int reach, CancellationToken cancellationToken)
    {
        CellRange whole = new(0, 0, frame.Rows, frame.Columns);
        List<CellRange> windows = [];
        for (int top = 0; top < frame.Rows; top += Block)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int left = 0; left < frame.Columns; left += Block)
            {
                CellRange block = new(top, left, Math.Min(Block, frame.Rows - top), Math.Min(Block, frame.Columns - left));
                if (IsKnown(values, frame, block))
                {
                    Join(windows, block, reach);
                }
            }
        }

        return windows.Sum(w => (long)w.Rows * w.Columns) > MostShare * frame.CellCount ? [whole] : windows;
    }

    private static bool IsKnown(float[] values, GridFrame frame, CellRange block)
    {
        for (int r = block.Row; r < block.Row + block.Rows; r++)
        {
            foreach (float value in values.AsSpan((r * frame.Columns) + block.Column, block.Columns))
            {
                if (!float.IsNaN(value))
                {
                    return true;
                }
            }
        }

        return false;
    }

    // What lies within reach joins into one window, which may then be within reach of more.
    private static void Join(List<CellRange> windows, CellRange block, int reach)
    {
        for (int k = Near(); k >= 0; k = Near())
        {
            CellRange other = windows[k];
            (int top, int left) = (Math.Min(block.Row, other.Row), Math.Min(block.Column, other.Column));
            block = new CellRange(top, left, Math.Max(block.Row + block.Rows, other.Row + other.Rows) - top, Math.Max(block.Column + block.Columns, other.Column + other.Columns) - left);
            windows.RemoveAt(k);
        }

        windows.Add(block);

        int Near() => windows.FindIndex(w => w.Row < block.Row + block.Rows + reach && block.Row < w.Row + w.Rows + reach
            && w.Column < block.Column + block.Columns + reach && block.Column < w.Column + w.Columns + reach);
    }

    /// <summary>Copies a window out of a grid.</summary>
    public static float[] Cut(float[] values, GridFrame frame, CellRange window)
    {
        float[] cut = new float[window.Rows * window.Columns];
        for (int r = 0; r < window.Rows; r++)
        {
            values.AsSpan(((window.Row + r) * frame.Columns) + window.Column, window.Columns).CopyTo(cut.AsSpan(r * window.Columns));
        }

        return cut;
    }

    /// <summary>Copies the known values of a window back into its grid.</summary>
    public static void Paste(float[] cut, CellRange window, float[] values, GridFrame frame)
    {
        for (int r = 0; r < window.Rows; r++)
        {
            cut.AsSpan(r * window.Columns, window.Columns).CopyTo(values.AsSpan(((window.Row + r) * frame.Columns) + window.Column));
        }
    }

    /// <summary>Where a window of a grid lies.</summary>
    public static GridFrame FrameOf(GridFrame frame, CellRange window) =>
        new(window.Rows, window.Columns, frame.CellSize, frame.West + (window.Column * frame.CellSize), frame.North - (window.Row * frame.CellSize));
}
