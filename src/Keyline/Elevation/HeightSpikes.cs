namespace Keyline.Elevation;

/// <summary>Finds single cells, or two together, that stand out of the ground or lie under it as no ground does.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: such cells are no neighbours; a cell needs at least seven, so those along edges are not judged.</para>
/// <para>Promises: banks, walls and crests are not taken for spikes: a cell with more than one neighbour near its own height is
/// let be. Nothing is changed; see <see cref="Without"/>.</para>
/// <para>Cost: linear.</para>
/// <para>Source: the height above the median of the neighbours, as in the median filters of J. W. Tukey, Exploratory Data
/// Analysis, 1977, chapter 7; the limits are common practice, no source.</para>
/// </remarks>
public static class HeightSpikes
{
    /// <summary>A cell may stand this far above or below the median of its neighbours whatever its size, metres.</summary>
    public const double LeastHeight = 1.0;

    // A cell at the end of a 200 % slope, and ten times the scatter, are still ground. These bounds are ours, no source.
    private const double LeastPerCell = 2.0;
    private const double LeastPerNoise = 10.0;
    private const int LeastNeighbours = 7;
    private const int MostAlike = 1;

    /// <summary>Finds them.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>In the order of the grid.</returns>
    public static IReadOnlyList<HeightSpike> Find(ElevationGrid ground, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        GridFrame f = ground.Frame;
        double noise = HeightNoise.Estimate(ground, cancellationToken);
        double limit = Math.Max(Math.Max(LeastHeight, LeastPerCell * f.CellSize), double.IsNaN(noise) ? 0 : LeastPerNoise * noise);
        List<HeightSpike> spikes = [];
        Span<float> around = stackalloc float[8];
        for (int r = 0; r < f.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int c = 0; c < f.Columns; c++)
            {
                float z = ground.Array[(r * f.Columns) + c];
                int count = float.IsNaN(z) ? 0 : Around(ground, r, c, z, limit / 2, around);
                if (count < LeastNeighbours)
                {
                    continue;
                }

                around[..count].Sort();
                double median = Quantiles.Median(around[..count]);
                if (Math.Abs(z - median) > limit)
                {
                    spikes.Add(new HeightSpike(r, c, f.CentreX(c), f.CentreY(r), z, z - median));
                }
            }
        }

        return spikes;
    }

    /// <summary>The ground with spikes taken out: their cells are missing.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="spikes">Cells of it.</param>
    /// <returns>The ground given where there are none.</returns>
    public static ElevationGrid Without(ElevationGrid ground, IReadOnlyList<HeightSpike> spikes)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(spikes);
        if (spikes.Count == 0)
        {
            return ground;
        }

        float[] heights = ground.Heights.ToArray();
        foreach (HeightSpike spike in spikes)
        {
            if (!ground.Frame.Contains(spike.Row, spike.Column))
            {
                throw new ArgumentException($"The cell {spike.Row}, {spike.Column} is not in the grid.", nameof(spikes));
            }

            heights[(spike.Row * ground.Frame.Columns) + spike.Column] = float.NaN;
        }

        return new ElevationGrid(ground.Frame, heights);
    }

    // Neighbours with a height; none counted as soon as too many are near the cell's own.
    private static int Around(ElevationGrid ground, int row, int column, float z, double near, Span<float> around)
    {
        GridFrame f = ground.Frame;
        int count = 0, alike = 0;
        for (int r = Math.Max(0, row - 1); r <= Math.Min(f.Rows - 1, row + 1); r++)
        {
            for (int c = Math.Max(0, column - 1); c <= Math.Min(f.Columns - 1, column + 1); c++)
            {
                float other = ground.Array[(r * f.Columns) + c];
                if ((r == row && c == column) || float.IsNaN(other))
                {
                    continue;
                }

                around[count++] = other;
                alike += Math.Abs(other - z) <= near ? 1 : 0;
                if (alike > MostAlike)
                {
                    return 0;
                }
            }
        }

        return count;
    }
}

/// <summary>A cell whose height no ground has.</summary>
/// <param name="Row">Its row.</param>
/// <param name="Column">Its column.</param>
/// <param name="X">Metres east of its centre.</param>
/// <param name="Y">Metres north of its centre.</param>
/// <param name="Height">Its height, metres.</param>
/// <param name="Above">Metres above the median of its neighbours; below 0 for a pit.</param>
public sealed record HeightSpike(int Row, int Column, double X, double Y, double Height, double Above);
