namespace Keyline.Elevation;

/// <summary>Heights of the ground in metres on a regular grid, row 0 north. Missing is NaN.</summary>
/// <remarks>Never changes. Infinite heights are refused: a reader turns them into NaN.</remarks>
public sealed class ElevationGrid
{
    private readonly float[] _heights;

    internal ElevationGrid(GridFrame frame, float[] trustedHeights)
    {
        Frame = frame;
        _heights = trustedHeights;
    }

    /// <summary>Where the grid lies.</summary>
    public GridFrame Frame { get; }

    /// <summary>All heights in metres, row after row from the north.</summary>
    public ReadOnlySpan<float> Heights => _heights;

    internal float[] Array => _heights;

    /// <summary>Height of a cell in metres, or NaN.</summary>
    /// <param name="row">Row, 0 at the north.</param>
    /// <param name="column">Column, 0 at the west.</param>
    public float this[int row, int column] => Row(row)[column];

    /// <summary>Copies heights into a new grid.</summary>
    /// <param name="frame">Where the grid lies.</param>
    /// <param name="metres">Heights, row after row from the north; as many as the frame has cells; NaN for missing.</param>
    /// <exception cref="ArgumentException">The count does not fit the frame, or a height is infinite.</exception>
    public static ElevationGrid Copy(GridFrame frame, ReadOnlySpan<float> metres)
    {
        Check(frame, metres);
        return new ElevationGrid(frame, metres.ToArray());
    }

    /// <summary>Makes a grid of an array that nobody else uses or will use: nothing is copied.</summary>
    /// <param name="frame">Where the grid lies.</param>
    /// <param name="metres">Heights, row after row from the north; as many as the frame has cells; NaN for missing. The grid owns
    /// the array from now on.</param>
    /// <exception cref="ArgumentException">The count does not fit the frame, or a height is infinite.</exception>
    public static ElevationGrid TakeOver(GridFrame frame, float[] metres)
    {
        ArgumentNullException.ThrowIfNull(metres);
        Check(frame, metres);
        return new ElevationGrid(frame, metres);
    }

    /// <summary>One row of heights as a view.</summary>
    /// <param name="row">Row, 0 at the north.</param>
    public ReadOnlySpan<float> Row(int row)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(row);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(row, Frame.Rows);
        return _heights.AsSpan(checked(row * Frame.Columns), Frame.Columns);
    }

    /// <summary>Height at a place by bilinear interpolation between the four cell centres around it.</summary>
    /// <param name="x">Metres east.</param>
    /// <param name="y">Metres north.</param>
    /// <returns>Metres; NaN outside the grid or where one of the four heights is missing. Within half a cell of
    /// the grid's edge the nearest row or column of centres is used.</returns>
    public double HeightAt(double x, double y) => GridSampling.Bilinear(_heights, Frame, x, y);

    private static void Check(GridFrame frame, ReadOnlySpan<float> metres)
    {
        ArgumentNullException.ThrowIfNull(frame);
        if (metres.Length != frame.CellCount)
        {
            throw new ArgumentException($"The frame has {frame.CellCount} cells and {metres.Length} heights were given.", nameof(metres));
        }

        if (metres.IndexOfAny(float.PositiveInfinity, float.NegativeInfinity) >= 0)
        {
            throw new ArgumentException("A height is infinite; missing heights must be NaN.", nameof(metres));
        }
    }
}
