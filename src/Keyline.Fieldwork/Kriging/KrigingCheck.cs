namespace Keyline.Fieldwork;

/// <summary>How far off the estimates are at points that were left out.</summary>
/// <param name="Errors">Measured less estimated, in the order of the places.</param>
/// <param name="MeanError">Their mean: near 0 where the map neither flatters nor slights.</param>
/// <param name="RootMeanSquare">The root of their mean square.</param>
/// <param name="SpreadOfScores">Standard deviation of errors over the root of their variance: near 1 where the variance can be believed,
/// above where it promises too much.</param>
/// <param name="SpreadOfValues">Standard deviation of the values themselves: what a map of the mean alone would miss by.</param>
public sealed record KrigingErrors(IReadOnlyList<double> Errors, double MeanError, double RootMeanSquare, double SpreadOfScores, double SpreadOfValues)
{
    /// <summary>The share of the values' spread that the map explains: 1 all, 0 no more than their mean, below 0 less.</summary>
    public double Explained => SpreadOfValues > 0 ? 1 - (RootMeanSquare * RootMeanSquare * Errors.Count / (SpreadOfValues * SpreadOfValues * (Errors.Count - 1))) : 0;
}

/// <summary>Leaves each point out in turn and estimates it from the others.</summary>
/// <remarks>
/// <para>Units: the value's own. Promises: with the variogram held as it is. Cost: that of as many places; with all points as
/// neighbours O(n^4).</para>
/// <para>Source: R. Webster and M. A. Oliver, Geostatistics for environmental scientists, 2nd edition, 2007, section 8.6 (cross-validation).</para>
/// </remarks>
public static class KrigingCheck
{
    /// <summary>Measures the errors.</summary>
    /// <param name="points">The points, three or more places.</param>
    /// <param name="model">Their variogram.</param>
    /// <param name="options">What is looked at.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">Fewer than three places.</exception>
    public static KrigingErrors Of(IEnumerable<SoilPoint> points, VariogramModel model, KrigingOptions? options = null, CancellationToken cancellationToken = default) =>
        Of(PointSet.Of(points), model, options, cancellationToken);

    internal static KrigingErrors Of(PointSet set, VariogramModel model, KrigingOptions? options, CancellationToken cancellationToken)
    {
        if (set.Count < 3)
        {
            throw new GroundDataException(FormattableString.Invariant($"{set.Count} places are too few to leave one out: three or more are needed."));
        }

        (double Value, double Variance)[] found = PointKriging.Of(set, model, options).LeavingOut(cancellationToken);
        double[] errors = [.. set.Values.Zip(found, (v, f) => v - f.Value)];
        double[] scores = [.. errors.Zip(found, (e, f) => e / Math.Sqrt(f.Variance)).Where(double.IsFinite)];
        return new KrigingErrors(errors, errors.Average(), Math.Sqrt(errors.Average(e => e * e)), Spread(scores), Spread(set.Values));
    }

    private static double Spread(double[] values)
    {
        if (values.Length < 2)
        {
            return double.NaN;
        }

        double mean = values.Average();
        return Math.Sqrt(values.Sum(v => (v - mean) * (v - mean)) / (values.Length - 1));
    }
}
