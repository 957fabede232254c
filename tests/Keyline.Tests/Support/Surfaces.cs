using Keyline.Elevation;

namespace Keyline.Tests.Support;

/// <summary>Ground with closed forms, x east and y north with (0, 0) at the grid's centre, and grids written out by hand.</summary>
internal static class Surfaces
{
    public static Func<double, double, double> Plane(double height, double eastward, double northward) =>
        (x, y) => height + (eastward * x) + (northward * y);

    /// <summary>A cone with its top at the centre that falls by a slope.</summary>
    public static Func<double, double, double> Cone(double top, double slope) =>
        (x, y) => top - (slope * Math.Sqrt((x * x) + (y * y)));

    /// <summary>A valley z = a x^2 - b y that falls toward the north.</summary>
    public static Func<double, double, double> Trough(double a, double b) => (x, y) => (a * x * x) - (b * y);

    /// <summary>A valley with straight sides that falls toward the north.</summary>
    public static Func<double, double, double> VValley(double side, double fall) => (x, y) => (side * Math.Abs(x)) - (fall * y);

    public static Func<double, double, double> Saddle(double a) => (x, y) => a * ((x * x) - (y * y));

    /// <summary>The upper half of a sphere about the origin.</summary>
    public static Func<double, double, double> Sphere(double radius) =>
        (x, y) => Math.Sqrt((radius * radius) - (x * x) - (y * y));

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

    /// <summary>A grid from heights listed row after row from the north.</summary>
    public static ElevationGrid Listed(int rows, int columns, double cell, params float[] heights) =>
        ElevationGrid.Copy(new GridFrame(rows, columns, cell, 0, rows * cell), heights);

    /// <summary>The same ground with every height put through a function of row and column.</summary>
    public static ElevationGrid Changed(ElevationGrid ground, Func<int, int, float, float> change)
    {
        float[] z = ground.Heights.ToArray();
        for (int i = 0; i < z.Length; i++)
        {
            z[i] = change(i / ground.Frame.Columns, i % ground.Frame.Columns, z[i]);
        }

        return ElevationGrid.Copy(ground.Frame, z);
    }
}
