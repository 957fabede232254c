namespace Keyline.Elevation;

/// <summary>Smooths heights with a Gaussian bell, so that noise and furrows finer than the bell fade.</summary>
/// <remarks>
/// <para>Units: metres for heights and for the standard deviation.</para>
/// <para>Missing: stays missing, and carries no weight for its neighbours.</para>
/// <para>Promises: a plane stays a plane, beside edges and holes too, because the bell there is corrected to first order;
/// the same bits on any number of cores.</para>
/// <para>Cost: linear in cells times the bell's width in cells; 40 bytes a cell while it works.</para>
/// <para>Source: local linear regression with a Gaussian kernel, Cleveland and Loader 1996, section 2; on full windows it
/// is the plain Gaussian filter. <see cref="ApplyTwice"/> is twicing, Tukey 1977, Exploratory Data Analysis, ch. 16.</para>
/// </remarks>
public static class GaussianSmoothing
{
    private const double Reach = 3.5;
    private const double LeastSpread = 1e-3;

    /// <summary>Smooths once.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="standardDeviation">Of the bell, metres, above 0.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Smoothed heights. A dome or hollow of curvature k is lowered or raised by about k times the square of the
    /// standard deviation over 2.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The standard deviation is not a finite number above 0.</exception>
    public static ElevationGrid Apply(ElevationGrid ground, double standardDeviation, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        if (!(standardDeviation > 0) || !double.IsFinite(standardDeviation))
        {
            throw new ArgumentOutOfRangeException(nameof(standardDeviation), standardDeviation, "The standard deviation must be a finite number of metres above 0.");
        }

        return new ElevationGrid(ground.Frame, Smooth(ground.Array, ground.Frame, standardDeviation, cancellationToken));
    }

    /// <summary>Smooths, then smooths what the first pass took away and gives it back: crests and valley floors keep their
    /// height to second order, where one pass would cut and fill them.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="standardDeviation">Of the bell, metres, above 0.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentOutOfRangeException">The standard deviation is not a finite number above 0.</exception>
    public static ElevationGrid ApplyTwice(ElevationGrid ground, double standardDeviation, CancellationToken cancellationToken = default)
    {
        ElevationGrid once = Apply(ground, standardDeviation, cancellationToken);
        float[] rest = new float[once.Array.Length];
        for (int i = 0; i < rest.Length; i++)
        {
            rest[i] = ground.Array[i] - once.Array[i];
        }

        float[] back = Smooth(rest, ground.Frame, standardDeviation, cancellationToken);
        for (int i = 0; i < back.Length; i++)
        {
            back[i] += once.Array[i];
        }

        return new ElevationGrid(ground.Frame, back);
    }

    private static float[] Smooth(float[] heights, GridFrame frame, double deviation, CancellationToken cancellationToken)
    {
        int rows = frame.Rows;
        int columns = frame.Columns;
        double[] bell = Bell(deviation / frame.CellSize);
        double datum = Array.Find(heights, z => !float.IsNaN(z));
        bool whole = !Array.Exists(heights, float.IsNaN);

        // Along rows: weight w, w x, w x^2 and the same with z, x counted in cells from the centre. A grid without holes
        // needs no more than the first passes of each, but edges are everywhere alike only for those.
        double[] n = new double[heights.Length];
        double[] nx = new double[heights.Length];
        double[] nxx = new double[heights.Length];
        double[] s = new double[heights.Length];
        double[] sx = new double[heights.Length];
        int reach = bell.Length - 1;
        ParallelOptions parallel = new() { CancellationToken = cancellationToken };
        Parallel.For(0, rows, parallel, r =>
        {
            int row = r * columns;
            for (int c = 0; c < columns; c++)
            {
                double w0 = 0;
                double w1 = 0;
                double w2 = 0;
                double z0 = 0;
                double z1 = 0;
                for (int k = Math.Max(-reach, -c); k <= Math.Min(reach, columns - 1 - c); k++)
                {
                    double z = heights[row + c + k] - datum;
                    if (!whole && double.IsNaN(z))
                    {
                        continue;
                    }

                    double w = bell[Math.Abs(k)];
                    w0 += w;
                    w1 += w * k;
                    w2 += w * k * k;
                    z0 += w * z;
                    z1 += w * k * z;
                }

                int i = row + c;
                n[i] = w0;
                nx[i] = w1;
                nxx[i] = w2;
                s[i] = z0;
                sx[i] = z1;
            }
        });

        float[] result = new float[heights.Length];
        Parallel.For(0, rows, parallel, r =>
        {
            for (int c = 0; c < columns; c++)
            {
                int at = (r * columns) + c;
                if (float.IsNaN(heights[at]))
                {
                    result[at] = float.NaN;
                    continue;
                }

                LocalPlane plane = default;
                for (int k = Math.Max(-reach, -r); k <= Math.Min(reach, rows - 1 - r); k++)
                {
                    int i = at + (k * columns);
                    plane.Add(bell[Math.Abs(k)], k, n[i], nx[i], nxx[i], s[i], sx[i]);
                }

                result[at] = (float)(plane.AtCentre(LeastSpread) + datum);
            }
        });
        return result;
    }

    private static double[] Bell(double deviationInCells)
    {
        double[] bell = new double[(int)Math.Ceiling(Reach * deviationInCells) + 1];
        for (int k = 0; k < bell.Length; k++)
        {
            bell[k] = Math.Exp(-0.5 * k * k / (deviationInCells * deviationInCells));
        }

        return bell;
    }

    /// <summary>Sums of a weighted least-squares plane over a window.</summary>
    private struct LocalPlane
    {
        private double _n;
        private double _x;
        private double _y;
        private double _xx;
        private double _xy;
        private double _yy;
        private double _z;
        private double _zx;
        private double _zy;

        public void Add(double w, int k, double n, double nx, double nxx, double s, double sx)
        {
            _n += w * n;
            _x += w * nx;
            _y += w * k * n;
            _xx += w * nxx;
            _xy += w * k * nx;
            _yy += w * k * k * n;
            _z += w * s;
            _zx += w * sx;
            _zy += w * k * s;
        }

        /// <summary>The plane's height at the window's centre; the mean where the cells do not spread enough to tip a plane.</summary>
        public readonly double AtCentre(double leastSpread)
        {
            double mx = _x / _n;
            double my = _y / _n;
            double xx = (_xx / _n) - (mx * mx);
            double xy = (_xy / _n) - (mx * my);
            double yy = (_yy / _n) - (my * my);
            double mean = _z / _n;
            double determinant = (xx * yy) - (xy * xy);
            if (!(determinant > leastSpread * Math.Max(xx * yy, leastSpread)))
            {
                return mean;
            }

            double zx = (_zx / _n) - (mx * mean);
            double zy = (_zy / _n) - (my * mean);
            double slopeX = ((zx * yy) - (zy * xy)) / determinant;
            double slopeY = ((zy * xx) - (zx * xy)) / determinant;
            return mean - (slopeX * mx) - (slopeY * my);
        }
    }
}
