namespace Keyline.Elevation;

/// <summary>Smooths heights with a Gaussian bell, so that noise and furrows finer than the bell fade.</summary>
/// <remarks>
/// <para>Units: metres for heights and for the standard deviation.</para>
/// <para>Missing: stays missing, and carries no weight for its neighbours.</para>
/// <para>Promises: a plane stays a plane, beside edges and holes too, because the bell there is corrected to first order;
/// the same bits on any number of cores.</para>
/// <para>Cost: linear in cells times the bell's width in cells, eight cells or so at once away from edges and holes; 17 bytes a
/// cell while it works, 41 with holes. Ground in far-apart pieces costs what its pieces cost.</para>
/// <para>Source: local linear regression with a Gaussian kernel, Cleveland and Loader 1996, section 2; on full windows it
/// is the plain Gaussian filter. <see cref="ApplyTwice"/> is twicing, Tukey 1977, Exploratory Data Analysis, ch. 16.</para>
/// </remarks>
public static class GaussianSmoothing
{
    // Beyond 3.5 standard deviations lie 5 in 10,000 of a bell's weight.
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
        double[] bell = Bell(deviation / frame.CellSize);
        double datum = Array.Find(heights, z => !float.IsNaN(z));
        IReadOnlyList<CellRange> windows = KnownWindows.Of(heights, frame, bell.Length - 1, cancellationToken);
        if (windows.Count == 1 && windows[0].Rows == frame.Rows && windows[0].Columns == frame.Columns)
        {
            return Smooth(heights, frame, bell, datum, cancellationToken);
        }

        float[] result = new float[heights.Length];
        Array.Fill(result, float.NaN);
        foreach (CellRange window in windows)
        {
            float[] smoothed = Smooth(KnownWindows.Cut(heights, frame, window), KnownWindows.FrameOf(frame, window), bell, datum, cancellationToken);
            KnownWindows.Paste(smoothed, window, result, frame);
        }

        return result;
    }

    private static float[] Smooth(float[] heights, GridFrame frame, double[] bell, double datum, CancellationToken cancellationToken)
    {
        BellSums sums = BellSums.AlongRows(heights, frame, bell, datum, cancellationToken);
        int rows = frame.Rows, columns = frame.Columns, reach = bell.Length - 1;
        double all = sums.Whole * sums.Whole;
        float[] result = new float[heights.Length];
        Parallel.For(0, rows, WorkThreads.Options(cancellationToken), r =>
        {
            Span<float> row = result.AsSpan(r * columns, columns);
            Span<double> down = new double[columns];
            bool inside = r >= reach && r < rows - reach;
            if (inside)
            {
                sums.DownColumns(bell, r, down);
            }

            for (int c = 0; c < columns; c++)
            {
                int at = (r * columns) + c;
                row[c] = float.IsNaN(heights[at]) ? float.NaN
                    : inside && sums.IsWholeAround(at) ? (float)((down[c] / all) + datum)
                    : (float)(Plane(sums, bell, r, c, rows).AtCentre(LeastSpread) + datum);
            }
        });
        return result;
    }

    private static LocalPlane Plane(BellSums sums, double[] bell, int row, int column, int rows)
    {
        LocalPlane plane = default;
        int reach = bell.Length - 1;
        for (int k = Math.Max(-reach, -row); k <= Math.Min(reach, rows - 1 - row); k++)
        {
            (double n, double nx, double nxx, double s, double sx) = sums.Of(row + k, column);
            plane.Add(bell[Math.Abs(k)], k, n, nx, nxx, s, sx);
        }

        return plane;
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
