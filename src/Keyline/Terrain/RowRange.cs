using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>Rows of a grid that are measured by themselves.</summary>
internal static class RowRange
{
    /// <summary>Refuses rows that are not there, and room that is too short for them.</summary>
    public static void Check(ElevationGrid ground, int firstRow, int rows, float[] values)
    {
        ArgumentNullException.ThrowIfNull(values);
        ArgumentOutOfRangeException.ThrowIfNegative(firstRow);
        ArgumentOutOfRangeException.ThrowIfLessThan(rows, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan((long)firstRow + rows, ground.Frame.Rows, nameof(rows));
        if (values.Length < (long)rows * ground.Frame.Columns)
        {
            throw new ArgumentException($"{rows} rows have {(long)rows * ground.Frame.Columns} cells and there is room for {values.Length}.", nameof(values));
        }
    }
}
