namespace Keyline.Elevation;

/// <summary>How far two versions of the same ground differ: what smoothing or mending has done to it.</summary>
/// <param name="Mean">Mean of the changes without their sign, metres; NaN where no cell has both heights.</param>
/// <param name="Percentile95">95 % of the cells changed by no more than this, metres.</param>
/// <param name="Greatest">The greatest change with its sign, metres: above 0 where the ground was raised.</param>
/// <param name="X">Where that is, metres east.</param>
/// <param name="Y">Where that is, metres north.</param>
public sealed record HeightChange(double Mean, double Percentile95, double Greatest, double X, double Y)
{
    /// <summary>Measures the change.</summary>
    /// <param name="before">Heights.</param>
    /// <param name="after">Heights on the same frame.</param>
    /// <param name="within">Only cells whose centre lies in this box count; null for all.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">The frames differ.</exception>
    public static HeightChange Between(ElevationGrid before, ElevationGrid after, NetTopologySuite.Geometries.Envelope? within = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        GridFrame f = before.Frame;
        if (!f.Equals(after.Frame))
        {
            throw new ArgumentException("The two grounds must lie on the same frame.", nameof(after));
        }

        List<double> sizes = [];
        double sum = 0, greatest = 0;
        int where = -1;
        for (int i = 0; i < before.Array.Length; i++)
        {
            if (i % f.Columns == 0)
            {
                cancellationToken.ThrowIfCancellationRequested();
            }

            float change = after.Array[i] - before.Array[i];
            if (float.IsNaN(change) || (within is not null && !within.Contains(f.CentreX(i % f.Columns), f.CentreY(i / f.Columns))))
            {
                continue;
            }

            sizes.Add(Math.Abs(change));
            sum += Math.Abs(change);
            if (where < 0 || Math.Abs(change) > Math.Abs(greatest))
            {
                (greatest, where) = (change, i);
            }
        }

        if (where < 0)
        {
            return new HeightChange(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);
        }

        return new HeightChange(sum / sizes.Count, Quantiles.OfUnsorted([.. sizes], 0.95), greatest, f.CentreX(where % f.Columns), f.CentreY(where / f.Columns));
    }
}
