using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>Turns a chain of cells into a smooth line on the valley floor or crest.</summary>
/// <remarks>
/// <para>Units: metres. Missing: where the ground beside the line is missing, the line is smoothed only.</para>
/// <para>Promises: one point for each cell, the two ends where they were told to be; the line never moves sideways by more
/// than a cell and a half.</para>
/// <para>Cost: O(points).</para>
/// <para>Source: own: repeated (1, 2, 1)/4 averaging, then a parabola through five heights across the line.</para>
/// </remarks>
internal static class LineFitting
{
    /// <summary>Bends tighter than this are taken out of the chain of cells before it is fitted, metres.</summary>
    private const double SmoothingLength = 8;

    private const int Fits = 4;

    /// <summary>Fits a line.</summary>
    /// <param name="ground">The ground on whose floor the line shall lie, as fine as there is.</param>
    /// <param name="cells">Cells of the working frame, in order.</param>
    /// <param name="frame">The working frame.</param>
    /// <param name="sign">1 to look for a floor, -1 for a crest.</param>
    /// <param name="first">Where the line begins, or null for the first cell.</param>
    /// <param name="last">Where the line ends, or null for the last cell.</param>
    public static Coordinate[] Fit(ElevationGrid ground, IReadOnlyList<int> cells, GridFrame frame, int sign, Coordinate? first, Coordinate? last)
    {
        int n = cells.Count;
        double[] x = new double[n];
        double[] y = new double[n];
        for (int i = 0; i < n; i++)
        {
            x[i] = frame.CentreX(cells[i] % frame.Columns);
            y[i] = frame.CentreY(cells[i] / frame.Columns);
        }

        Pin(x, y, 0, first);
        Pin(x, y, n - 1, last);
        int times = (int)Math.Clamp(2 * SmoothingLength * SmoothingLength / frame.CellArea, 4, 60);
        Smooth(x, times);
        Smooth(y, times);
        for (int k = 0; k < Fits; k++)
        {
            Move(ground, x, y, frame.CellSize, sign, first is null, last is null);
        }

        Coordinate[] points = new Coordinate[n];
        for (int i = 0; i < n; i++)
        {
            points[i] = new CoordinateZ(x[i], y[i], ground.HeightAt(x[i], y[i]));
        }

        return points;
    }

    private static void Pin(double[] x, double[] y, int at, Coordinate? place)
    {
        if (place is not null)
        {
            x[at] = place.X;
            y[at] = place.Y;
        }
    }

    /// <summary>Moves each point across the line to the lowest ground (highest for a crest), evenly with its neighbours.</summary>
    private static void Move(ElevationGrid ground, double[] x, double[] y, double cell, int sign, bool freeStart, bool freeEnd)
    {
        int n = x.Length;
        double[] shift = new double[n];
        double[] nx = new double[n];
        double[] ny = new double[n];
        for (int i = 0; i < n; i++)
        {
            int a = Math.Max(0, i - 2);
            int b = Math.Min(n - 1, i + 2);
            double dx = x[b] - x[a];
            double dy = y[b] - y[a];
            double length = Math.Sqrt((dx * dx) + (dy * dy));
            if (length == 0)
            {
                continue;
            }

            nx[i] = -dy / length;
            ny[i] = dx / length;
            shift[i] = Lowest(ground, x[i], y[i], nx[i], ny[i], cell, sign);
        }

        if (!freeStart)
        {
            shift[0] = 0;
        }

        if (!freeEnd)
        {
            shift[n - 1] = 0;
        }

        Smooth(shift, 4);
        for (int i = 0; i < n; i++)
        {
            x[i] += shift[i] * nx[i];
            y[i] += shift[i] * ny[i];
        }
    }

    /// <summary>Distance across the line to the foot of the parabola through five heights, within three quarters of a cell.</summary>
    private static double Lowest(ElevationGrid ground, double x, double y, double nx, double ny, double cell, int sign)
    {
        // Least squares of a + b t + c t^2 at t = -2..2 cells: b = sum(t z)/10, c = sum((t^2 - 2) z)/14.
        double b = 0;
        double c = 0;
        for (int t = -2; t <= 2; t++)
        {
            double z = sign * ground.HeightAt(x + (t * cell * nx), y + (t * cell * ny));
            b += t * z / 10;
            c += ((t * t) - 2) * z / 14;
        }

        return c > 0 ? Math.Clamp(-b / (2 * c), -0.75, 0.75) * cell : 0;
    }

    private static void Smooth(double[] values, int times)
    {
        for (int k = 0; k < times; k++)
        {
            double before = values[0];
            for (int i = 1; i < values.Length - 1; i++)
            {
                double here = values[i];
                values[i] = (before + (2 * here) + values[i + 1]) / 4;
                before = here;
            }
        }
    }
}
