namespace Keyline.Fieldwork;

/// <summary>The pairs of points at about one distance.</summary>
/// <param name="Pairs">How many.</param>
/// <param name="Distance">Their mean distance, metres.</param>
/// <param name="Semivariance">Half the mean square of their differences.</param>
public readonly record struct VariogramLag(long Pairs, double Distance, double Semivariance);

/// <summary>Measures how unlike values are at growing distances.</summary>
/// <remarks>
/// <para>Units: metres; the square of the value's unit. Promises: with a trend, what an ordinary least squares surface leaves is taken; a pair at
/// exactly a bound belongs to the nearer class; classes without pairs are left out. By default up to a third of the diagonal of the points'
/// box, in fifteen classes.</para>
/// <para>Cost: O(n^2) time; 5,000 points take about a tenth of a second. Source: G. Matheron's estimator, in N. A. C. Cressie, Statistics for
/// spatial data, 1993, section 2.4; classes as gstat has them, E. J. Pebesma, Computers and Geosciences 30 (2004) 683-691.</para>
/// </remarks>
public static class SampleVariogram
{
    /// <summary>Classes where none are asked for.</summary>
    public const int DefaultClasses = 15;

    /// <summary>Measures.</summary>
    /// <param name="points">The points, two or more at different places.</param>
    /// <param name="trend">What is taken from the values first.</param>
    /// <param name="cutoff">Longest distance looked at, metres; NaN for a third of the diagonal.</param>
    /// <param name="width">Width of a class, metres; NaN for a fifteenth of the cutoff.</param>
    /// <exception cref="GroundDataException">Fewer than two places.</exception>
    public static IReadOnlyList<VariogramLag> Of(IEnumerable<SoilPoint> points, KrigingTrend trend = KrigingTrend.None, double cutoff = double.NaN, double width = double.NaN) =>
        Of(PointSet.Of(points), trend, cutoff, width);

    internal static IReadOnlyList<VariogramLag> Of(PointSet set, KrigingTrend trend, double cutoff, double width)
    {
        if (set.Count < 2)
        {
            throw new GroundDataException("All points lie at one place, so nothing can be told of distance: give points at several places.");
        }

        cutoff = double.IsNaN(cutoff) ? set.Diagonal / 3 : cutoff;
        width = double.IsNaN(width) ? cutoff / DefaultClasses : width;
        if (!(cutoff > 0) || !(width > 0) || !(cutoff / width < 100_000))
        {
            throw new ArgumentOutOfRangeException(nameof(width), width, "Cutoff and width must be above 0 m, with fewer than 100,000 classes.");
        }

        double[] values = trend == KrigingTrend.None ? set.Values : Residuals(set, trend);
        int classes = (int)Math.Ceiling(cutoff / width);
        long[] pairs = new long[classes];
        double[] distances = new double[classes], squares = new double[classes];
        double[] x = set.X, y = set.Y;
        double most = cutoff * cutoff;
        for (int i = 1; i < values.Length; i++)
        {
            (double xi, double yi, double vi) = (x[i], y[i], values[i]);
            for (int j = 0; j < i; j++)
            {
                double dx = xi - x[j], dy = yi - y[j];
                double square = (dx * dx) + (dy * dy);
                if (square > most)
                {
                    continue;
                }

                double distance = Math.Sqrt(square), share = distance / width;
                int k = Math.Clamp((int)Math.Ceiling(share) - 1, 0, classes - 1);
                double difference = vi - values[j];
                pairs[k]++;
                distances[k] += distance;
                squares[k] += difference * difference;
            }
        }

        return [.. Enumerable.Range(0, classes).Where(k => pairs[k] > 0).Select(k => new VariogramLag(pairs[k], distances[k] / pairs[k], squares[k] / (2 * pairs[k])))];
    }

    /// <summary>What a surface of least squares leaves of the values.</summary>
    internal static double[] Residuals(PointSet set, KrigingTrend trend)
    {
        int terms = PointSet.TermsOf(trend);
        if (set.Count <= terms)
        {
            throw new GroundDataException(FormattableString.Invariant($"{set.Count} points cannot tell a trend of {terms} terms: give more points or no trend."));
        }

        MathNet.Numerics.LinearAlgebra.Matrix<double> f = MathNet.Numerics.LinearAlgebra.Matrix<double>.Build.Dense(set.Count, terms);
        Span<double> row = stackalloc double[6];
        for (int i = 0; i < set.Count; i++)
        {
            set.Terms(trend, set.X[i], set.Y[i], row);
            for (int k = 0; k < terms; k++)
            {
                f[i, k] = row[k];
            }
        }

        MathNet.Numerics.LinearAlgebra.Vector<double> z = MathNet.Numerics.LinearAlgebra.Vector<double>.Build.DenseOfArray(set.Values);
        return (z - (f * f.Svd().Solve(z))).ToArray();
    }
}
