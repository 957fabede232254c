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

    /// <summary>Height along a valley that falls at one slope to a break and at another below it; 0 at the break, y upstream.</summary>
    public static double TwoSlopes(double y, double above, double below) => y > 0 ? above * y : below * y;

    /// <summary>Adds independent normal errors to every height, the same for the same seed.</summary>
    public static ElevationGrid WithNoise(ElevationGrid ground, double deviation, int seed)
    {
        Random random = new(seed);
        float[] z = ground.Heights.ToArray();
        for (int i = 0; i < z.Length; i++)
        {
            // Box and Muller 1958.
            double u = 1 - random.NextDouble();
            z[i] += (float)(deviation * Math.Sqrt(-2 * Math.Log(u)) * Math.Cos(2 * Math.PI * random.NextDouble()));
        }

        return ElevationGrid.Copy(ground.Frame, z);
    }

    /// <summary>Adds bumps of a width and a deviation in height, as rough ground has, the same for the same seed.</summary>
    public static ElevationGrid WithBumps(ElevationGrid ground, double width, double deviation, int seed)
    {
        ElevationGrid flat = Make(ground.Frame.Rows, ground.Frame.Columns, ground.Frame.CellSize, (_, _) => 0);
        float[] bumps = GaussianSmoothing.Apply(WithNoise(flat, 1, seed), width).Heights.ToArray();
        double size = Math.Sqrt(bumps.Average(b => (double)b * b));
        float[] z = ground.Heights.ToArray();
        for (int i = 0; i < z.Length; i++)
        {
            z[i] += (float)(deviation * bumps[i] / size);
        }

        return ElevationGrid.Copy(ground.Frame, z);
    }

    /// <summary>The same, turned anticlockwise by an angle in degrees.</summary>
    public static ElevationGrid MakeTurned(int rows, int columns, double cell, double degrees, Func<double, double, double> height)
    {
        (double sin, double cos) = Math.SinCos(degrees * Math.PI / 180);
        return Make(rows, columns, cell, (x, y) => height((x * cos) + (y * sin), (y * cos) - (x * sin)));
    }
}
