namespace Keyline.Elevation;

/// <summary>Estimates how much neighbouring heights scatter, and how finely heights are written.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: windows with a missing height are left out.</para>
/// <para>Promises: a surface that is quadratic across three cells counts as without noise, whatever its slope. The median makes
/// it deaf to trees, walls and edges as long as they are few. Roughness of the ground itself that is finer than three cells
/// cannot be told from noise, and heights that were resampled or smoothed show less noise than they have.</para>
/// <para>Cost: linear; of grids above a million windows an even sample is looked at.</para>
/// <para>Source: J. Immerkaer, Fast noise variance estimation, Computer Vision and Image Understanding 64(2), 1996, for the
/// window; the median absolute value in place of his mean (F. R. Hampel, J. Am. Stat. Assoc. 69, 1974).</para>
/// </remarks>
public static class HeightNoise
{
    private const int MostWindows = 1_000_000;

    // Root of the sum of the squared weights 1, 2 and 4 of the window.
    private const double WindowGain = 6.0;

    // Median of the absolute value of a normal variable of standard deviation 1.
    private const double MedianOfNormal = 0.674489750196082;

    /// <summary>Standard deviation of the scatter from cell to cell.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Metres; NaN where no three by three cells have heights.</returns>
    public static double Estimate(ElevationGrid ground, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        GridFrame f = ground.Frame;
        long windows = (long)Math.Max(0, f.Rows - 2) * Math.Max(0, f.Columns - 2);
        int stride = (int)Math.Ceiling(Math.Sqrt(Math.Max(1.0, (double)windows / MostWindows)));
        List<double> bends = new((int)Math.Min(windows, MostWindows));
        for (int r = 1; r + 1 < f.Rows; r += stride)
        {
            cancellationToken.ThrowIfCancellationRequested();
            ReadOnlySpan<float> above = ground.Row(r - 1), here = ground.Row(r), below = ground.Row(r + 1);
            for (int c = 1; c + 1 < f.Columns; c += stride)
            {
                double bend = (double)above[c - 1] + above[c + 1] + below[c - 1] + below[c + 1]
                    - (2 * ((double)above[c] + here[c - 1] + here[c + 1] + below[c])) + (4 * (double)here[c]);
                if (!double.IsNaN(bend))
                {
                    bends.Add(Math.Abs(bend));
                }
            }
        }

        bends.Sort();
        return Quantiles.Median([.. bends]) / (WindowGain * MedianOfNormal);
    }

    /// <summary>The step heights are written in: 1, 0.5, 0.1, 0.05 or 0.01 m, or feet of such size.</summary>
    /// <param name="ground">Heights.</param>
    /// <returns>Metres; 0 where heights are written finer than that.</returns>
    public static double Step(ElevationGrid ground)
    {
        ArgumentNullException.ThrowIfNull(ground);
        foreach (double step in (ReadOnlySpan<double>)[1, 0.3048, 0.5, 0.1, 0.03048, 0.05, 0.01])
        {
            if (IsMultiple(ground.Heights, step))
            {
                return step;
            }
        }

        return 0;
    }

    private static bool IsMultiple(ReadOnlySpan<float> heights, double step)
    {
        bool any = false;
        foreach (float z in heights)
        {
            if (float.IsNaN(z))
            {
                continue;
            }

            // A height as it is kept may be off by half of its last bit.
            double off = Math.Abs(z - (Math.Round(z / step) * step));
            if (off > Math.Max(1e-9, Math.Abs(z) * 6.1e-8) || Math.Abs(z) * 6.1e-8 > step / 8)
            {
                return false;
            }

            any = true;
        }

        return any;
    }
}
