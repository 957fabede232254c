using Keyline.Elevation;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>The window of ground the layout is worked out on: the field and a margin, cells of about 2 m, no missing heights.</summary>
/// <remarks>
/// <para>Units: metres. Beyond the ground as read, heights are continued smoothly so that guides can run past the
/// field's edge; nothing out there is ever laid out or measured.</para>
/// <para>Cost: proportional to the cells of the window.</para>
/// </remarks>
internal sealed class LayoutHeights
{
    /// <summary>Side of a working cell, metres.</summary>
    public const double CellSize = 2.0;

    private LayoutHeights(GridFrame frame, double[] heights)
    {
        Frame = frame;
        Heights = heights;
    }

    public GridFrame Frame { get; }

    /// <summary>Smoothed heights, none missing.</summary>
    public double[] Heights { get; }

    public static LayoutHeights Create(ElevationGrid smoothed, Envelope area, double margin)
    {
        double cell = CellSize;
        double west = Math.Floor((area.MinX - margin) / cell) * cell;
        double north = Math.Ceiling((area.MaxY + margin) / cell) * cell;
        int columns = (int)Math.Ceiling((area.MaxX + margin - west) / cell);
        int rows = (int)Math.Ceiling((north - area.MinY + margin) / cell);
        GridFrame frame = new(rows, columns, cell, west, north);
        double[] heights = new double[checked((int)frame.CellCount)];
        for (int r = 0; r < rows; r++)
        {
            double y = frame.CentreY(r);
            for (int c = 0; c < columns; c++)
            {
                heights[(r * columns) + c] = Sample(smoothed, frame.CentreX(c), y);
            }
        }

        PullPush.Fill(heights, rows, columns);
        return new LayoutHeights(frame, heights);
    }

    /// <summary>Height gradient by central differences, metres per metre, x east and y north.</summary>
    public XY Gradient(int row, int column) => Gradient(Heights, Frame, row, column);

    public static XY Gradient(double[] field, GridFrame frame, int row, int column)
    {
        int w = frame.Columns;
        int west = Math.Max(column - 1, 0);
        int east = Math.Min(column + 1, w - 1);
        int up = Math.Max(row - 1, 0);
        int down = Math.Min(row + 1, frame.Rows - 1);
        double gx = (field[(row * w) + east] - field[(row * w) + west]) / ((east - west) * frame.CellSize);
        double gy = (field[(up * w) + column] - field[(down * w) + column]) / ((down - up) * frame.CellSize);
        return new XY(gx, gy);
    }

    // Cubic where the sixteen heights around are all there, else bilinear.
    private static double Sample(ElevationGrid grid, double x, double y)
    {
        GridFrame frame = grid.Frame;
        double c = frame.ColumnAt(x);
        double r = frame.RowAt(y);
        int c1 = (int)Math.Floor(c);
        int r1 = (int)Math.Floor(r);
        if (c1 < 1 || r1 < 1 || c1 + 2 >= frame.Columns || r1 + 2 >= frame.Rows)
        {
            return grid.HeightAt(x, y);
        }

        Span<double> wx = stackalloc double[4];
        Span<double> wy = stackalloc double[4];
        Weights(c - c1, wx);
        Weights(r - r1, wy);
        double sum = 0;
        for (int i = 0; i < 4; i++)
        {
            ReadOnlySpan<float> row = grid.Row(r1 - 1 + i);
            sum += wy[i] * ((wx[0] * row[c1 - 1]) + (wx[1] * row[c1]) + (wx[2] * row[c1 + 1]) + (wx[3] * row[c1 + 2]));
        }

        return double.IsNaN(sum) ? grid.HeightAt(x, y) : sum;
    }

    private static void Weights(double t, Span<double> w)
    {
        double t2 = t * t;
        double t3 = t2 * t;
        w[0] = (-0.5 * t3) + t2 - (0.5 * t);
        w[1] = (1.5 * t3) - (2.5 * t2) + 1;
        w[2] = (-1.5 * t3) + (2 * t2) + (0.5 * t);
        w[3] = (0.5 * t3) - (0.5 * t2);
    }
}
