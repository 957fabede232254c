using Keyline.Elevation;

namespace Keyline.Tests.Landform;

/// <summary>Ground made from a formula, with (0, 0) at the grid's centre, x east and y north.</summary>
internal static class MadeGround
{
    public static ElevationGrid Make(int rows, int columns, double cell, Func<double, double, double> height)
    {
        GridFrame frame = new(rows, columns, cell, -columns * cell / 2, rows * cell / 2);
        float[] z = new float[rows * columns];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                z[(r * columns) + c] = (float)height(frame.CentreX(c), frame.CentreY(r));
            }
        }

        return ElevationGrid.Copy(frame, z);
    }

    /// <summary>The same, turned anticlockwise by an angle in degrees.</summary>
    public static ElevationGrid MakeTurned(int rows, int columns, double cell, double degrees, Func<double, double, double> height)
    {
        (double sin, double cos) = Math.SinCos(degrees * Math.PI / 180);
        return Make(rows, columns, cell, (x, y) => height((x * cos) + (y * sin), (y * cos) - (x * sin)));
    }
}
