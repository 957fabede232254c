namespace Keyline.Fieldwork;

/// <summary>The mean of points, each weighing one over a power of its distance: a plain estimate to hold kriging against.</summary>
/// <remarks>
/// <para>Units: projected metres; the value's own. Promises: a point keeps its value; between the least and the greatest value everywhere.</para>
/// <para>Cost: O(n) a place. Source: D. Shepard, "A two-dimensional interpolation function for irregularly-spaced data", Proceedings of the ACM National Conference, 1968, 517-524.</para>
/// </remarks>
public static class InverseDistance
{
    /// <summary>The usual power.</summary>
    public const double UsualPower = 2;

    /// <summary>The estimate at a place.</summary>
    /// <param name="points">The points, one or more.</param>
    /// <param name="x">East, metres.</param>
    /// <param name="y">North, metres.</param>
    /// <param name="power">Of the distance, above 0.</param>
    /// <exception cref="GroundDataException">No point, or one that is no number.</exception>
    public static double At(IEnumerable<SoilPoint> points, double x, double y, double power = UsualPower)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(power);
        return At(PointSet.Of(points), x, y, power, -1);
    }

    /// <summary>Root mean square by which points are missed that are left out one by one.</summary>
    /// <param name="points">The points, two or more places.</param>
    /// <param name="power">Of the distance, above 0.</param>
    /// <exception cref="GroundDataException">No point, or one that is no number.</exception>
    public static double ErrorLeftOut(IEnumerable<SoilPoint> points, double power = UsualPower)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(power);
        return ErrorLeftOut(PointSet.Of(points), power);
    }

    internal static double ErrorLeftOut(PointSet set, double power)
    {
        if (set.Count < 2)
        {
            return double.NaN;
        }

        double[] missed = new double[set.Count];
        Parallel.For(0, set.Count, WorkThreads.Options(CancellationToken.None), i => missed[i] = At(set, set.X[i], set.Y[i], power, i) - set.Values[i]);
        return Math.Sqrt(missed.Average(m => m * m));
    }

    private static double At(PointSet set, double x, double y, double power, int but)
    {
        double sum = 0, weights = 0;
        for (int i = 0; i < set.Count; i++)
        {
            double dx = set.X[i] - x, dy = set.Y[i] - y, square = (dx * dx) + (dy * dy);
            if (i == but)
            {
                continue;
            }

            if (square == 0)
            {
                return set.Values[i];
            }

            double weight = power == UsualPower ? 1 / square : Math.Pow(square, -power / 2);
            (sum, weights) = (sum + (weight * set.Values[i]), weights + weight);
        }

        return sum / weights;
    }
}
