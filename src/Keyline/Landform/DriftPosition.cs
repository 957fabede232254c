using Keyline.Elevation;

namespace Keyline.Landform;

/// <summary>Where each cell stands between valley and ridge at the scale on which water moves along a rip: "toward the
/// ridge" is along its increase.</summary>
/// <remarks>
/// <para>Units: none, 0 to 1. Missing: NaN where the height is missing.</para>
/// <para>It mixes landform position, which knows the valley and ridge lines, with height relative to the mean within about
/// 40 m, which knows the hollows and spurs too small to be drawn as lines.</para>
/// <para>Promises: rises from every valley line and hollow toward every spur and ridge; the same bits on any number of cores.</para>
/// <para>Cost: linear in cells; one Gaussian smoothing on cells of about 7 m.</para>
/// <para>Source: relative height as the topographic position index, Weiss 2001; the mixture and its weights are ours.</para>
/// </remarks>
public static class DriftPosition
{
    /// <summary>Standard deviation of the bell that relative height is taken from, metres.</summary>
    public const double RelativeHeightScale = 40.0;

    /// <summary>Weight of relative height in the mixture, 0 to 1.</summary>
    public const double RelativeHeightWeight = 0.75;

    // Less relief than this has less of a say. Ours, no source.
    private const double FullRise = 1.0;

    /// <summary>Computes the field.</summary>
    /// <param name="smoothed">Heights smoothed at the scale of the implement.</param>
    /// <param name="landform">The landform read from them.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">The landform was read from another grid.</exception>
    public static Grid<float> Compute(ElevationGrid smoothed, LandformReading landform, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(smoothed);
        ArgumentNullException.ThrowIfNull(landform);
        if (!smoothed.Frame.Equals(landform.Position.Frame))
        {
            throw new ArgumentException("The landform was read from another grid.", nameof(landform));
        }

        ElevationGrid mean = GaussianSmoothing.Apply(Thin(smoothed), RelativeHeightScale, cancellationToken);
        GridFrame frame = smoothed.Frame;
        float[] result = new float[smoothed.Heights.Length];
        Parallel.For(0, frame.Rows, WorkThreads.Options(cancellationToken), r =>
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                int i = (r * frame.Columns) + c;
                double around = mean.HeightAt(frame.CentreX(c), frame.CentreY(r));
                double rise = double.IsNaN(around) ? 0 : Math.Tanh((smoothed.Array[i] - around) / FullRise);
                result[i] = (float)(((1 - RelativeHeightWeight) * landform.Position.Array[i]) + (RelativeHeightWeight * (0.5 + (0.5 * rise))));
            }
        });

        return new Grid<float>(smoothed.Frame, result);
    }

    // Means of blocks of cells about a sixth of the bell wide, which the bell cannot tell from the cells themselves.
    private static ElevationGrid Thin(ElevationGrid grid)
    {
        GridFrame f = grid.Frame;
        int block = Math.Max(1, (int)(RelativeHeightScale / 6 / f.CellSize));
        GridFrame frame = new((f.Rows + block - 1) / block, (f.Columns + block - 1) / block, f.CellSize * block, f.West, f.North);
        float[] means = new float[checked((int)frame.CellCount)];
        for (int r = 0; r < frame.Rows; r++)
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                double sum = 0;
                int count = 0;
                for (int i = r * block; i < Math.Min((r + 1) * block, f.Rows); i++)
                {
                    for (int j = c * block; j < Math.Min((c + 1) * block, f.Columns); j++)
                    {
                        float z = grid.Array[(i * f.Columns) + j];
                        if (!float.IsNaN(z))
                        {
                            sum += z;
                            count++;
                        }
                    }
                }

                means[(r * frame.Columns) + c] = count > 0 ? (float)(sum / count) : float.NaN;
            }
        }

        return new ElevationGrid(frame, means);
    }
}
