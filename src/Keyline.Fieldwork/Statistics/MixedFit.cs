namespace Keyline.Fieldwork;

/// <summary>A linear model with random intercepts, or slopes, or residuals in a series, fitted by restricted maximum likelihood: for plots that are visited again and again.</summary>
/// <remarks>
/// <para>Units: those of the values; variances squared. Promises: variances are 0 or more; freedom by Satterthwaite's way from the curvature of the likelihood,
/// with variances at 0 taken as known; the same input gives the same bits.</para>
/// <para>Cost: a few hundred factorisations of matrices as large as the largest group of rows that share a random effect.</para>
/// <para>Source: Patterson and Thompson 1971; Laird and Ware 1982; Giesbrecht and Burns 1985 (freedom); Nelder and Mead 1965.</para>
/// </remarks>
public sealed class MixedFit
{
    private const double Nothing = 1e-7;

    private MixedFit(IReadOnlyDictionary<string, Estimate> estimates, IReadOnlyList<double> variances, double correlation, double residual, double logLikelihood) =>
        (Estimates, Variances, Correlation, ResidualVariance, LogLikelihood) = (estimates, variances, correlation, residual, logLikelihood);

    /// <summary>The estimates of the fixed columns, the constant first.</summary>
    public IReadOnlyDictionary<string, Estimate> Estimates { get; }

    /// <summary>Variance of each random intercept, in the order given; for slopes that of the intercept and that of the slope.</summary>
    public IReadOnlyList<double> Variances { get; }

    /// <summary>For slopes that of the intercept with the slope, for a series that of a residual with the next; NaN otherwise.</summary>
    public double Correlation { get; }

    /// <summary>Variance of the residuals.</summary>
    public double ResidualVariance { get; }

    /// <summary>Restricted log likelihood.</summary>
    public double LogLikelihood { get; }

    /// <summary>Fits a model.</summary>
    /// <param name="values">What was measured.</param>
    /// <param name="terms">Fixed terms beside the constant; their columns must not follow from one another.</param>
    /// <param name="groups">For each random intercept the group of every observation.</param>
    /// <exception cref="ArgumentException">Columns follow from one another, or there are no more observations than columns.</exception>
    public static MixedFit Of(IReadOnlyList<double> values, IReadOnlyList<ModelTerm> terms, IReadOnlyList<IReadOnlyList<string>> groups)
    {
        ArgumentNullException.ThrowIfNull(groups);
        return Fit(values, terms, new RandomIntercepts(groups));
    }

    /// <summary>Fits a model in which each group has an intercept and a slope of its own, which may go together: as plots whose trends differ.</summary>
    /// <param name="values">What was measured.</param>
    /// <param name="terms">Fixed terms beside the constant.</param>
    /// <param name="group">The group of every observation.</param>
    /// <param name="along">The number along which slopes run, as years, for every observation.</param>
    /// <exception cref="ArgumentException">Columns follow from one another, there are no more observations than columns, or the number is everywhere the same.</exception>
    public static MixedFit OfSlopes(IReadOnlyList<double> values, IReadOnlyList<ModelTerm> terms, IReadOnlyList<string> group, IReadOnlyList<double> along)
    {
        ArgumentNullException.ThrowIfNull(group);
        ArgumentNullException.ThrowIfNull(along);
        return Fit(values, terms, new RandomSlopes(group, along));
    }

    /// <summary>Fits a model with random intercepts in which a residual goes with the one before it in its group: visits of one plot, in the order of the rows, evenly apart.</summary>
    /// <param name="values">What was measured.</param>
    /// <param name="terms">Fixed terms beside the constant.</param>
    /// <param name="group">The group of every observation.</param>
    /// <exception cref="ArgumentException">Columns follow from one another, or there are no more observations than columns.</exception>
    public static MixedFit OfSeries(IReadOnlyList<double> values, IReadOnlyList<ModelTerm> terms, IReadOnlyList<string> group)
    {
        ArgumentNullException.ThrowIfNull(group);
        return Fit(values, terms, new RandomSeries(group));
    }

    private static MixedFit Fit(IReadOnlyList<double> values, IReadOnlyList<ModelTerm> terms, IErrorModel errors)
    {
        ArgumentNullException.ThrowIfNull(values);
        ArgumentNullException.ThrowIfNull(terms);
        ModelTerm[] all = [ModelTerm.Constant(values.Count), .. terms];
        double[][] columns = [.. all.SelectMany(t => t.Columns)];
        string[] names = [.. all.SelectMany(t => t.ColumnNames)];
        if (columns.Length >= values.Count)
        {
            throw new ArgumentException("A mixed model needs more observations than columns.", nameof(values));
        }

        RestrictedLikelihood likelihood = new([.. values], columns, errors);
        double[] searched = errors.Start;
        for (int round = 0; round < errors.Rounds; round++)
        {
            // A simplex may shrink before it is there: once more from where it stopped.
            searched = Simplex.Least(searched, x => likelihood.Profiled(errors.Numbers(x)).Deviance);
        }

        double[] relative = errors.Numbers(searched);
        for (int k = 0; k < errors.ZeroAtBound; k++)
        {
            // A variance that the likelihood wants below 0 creeps up to it; at 0 it is as good.
            double[] without = [.. relative];
            without[k] = 0;
            if (likelihood.Profiled(without).Deviance <= likelihood.Profiled(relative).Deviance + Nothing)
            {
                relative = without;
            }
        }

        (double deviance, double residual, double[] estimates, _) = likelihood.Profiled(relative);
        double[,] covariance = likelihood.At([.. relative, residual]).Covariance;
        double[] freedom = Satterthwaite(likelihood, [.. relative, residual], [.. errors.Steps(relative), 1e-3 * residual], covariance);
        Dictionary<string, Estimate> named = [];
        for (int j = 0; j < names.Length; j++)
        {
            named[names[j]] = new Estimate(estimates[j], Math.Sqrt(covariance[j, j]), freedom[j]);
        }

        return new MixedFit(named, [.. errors.Variances(relative).Select(r => r * residual)], errors.Correlation(relative), residual, -deviance / 2);
    }

    // 2 v^2 / var(v) for the variance v of each estimate; var(v) by its slopes along the variances and the curvature of the deviance.
    private static double[] Satterthwaite(RestrictedLikelihood likelihood, double[] variances, double[] steps, double[,] covariance)
    {
        int[] free = [.. Enumerable.Range(0, variances.Length).Where(k => steps[k] > 0)];
        int q = free.Length, p = covariance.GetLength(0);
        double[] step = [.. free.Select(k => steps[k])];
        double[,] curvature = new double[q, q], slopes = new double[p, q];
        double here = likelihood.At(variances).Deviance;
        for (int a = 0; a < q; a++)
        {
            var up = likelihood.At(Moved(variances, (free[a], step[a])));
            var down = likelihood.At(Moved(variances, (free[a], -step[a])));
            curvature[a, a] = (up.Deviance - (2 * here) + down.Deviance) / (step[a] * step[a]);
            for (int j = 0; j < p; j++)
            {
                slopes[j, a] = (up.Covariance[j, j] - down.Covariance[j, j]) / (2 * step[a]);
            }

            for (int b = 0; b < a; b++)
            {
                double corner(int i, int j) => likelihood.At(Moved(variances, (free[a], i * step[a]), (free[b], j * step[b]))).Deviance;
                curvature[a, b] = curvature[b, a] = (corner(1, 1) - corner(1, -1) - corner(-1, 1) + corner(-1, -1)) / (4 * step[a] * step[b]);
            }
        }

        double[,]? inverse = SmallMatrix.Inverse(curvature);
        double[] freedom = new double[p];
        for (int j = 0; j < p; j++)
        {
            double variance = 0;
            for (int a = 0; inverse is not null && a < q; a++)
            {
                for (int b = 0; b < q; b++)
                {
                    variance += 2 * slopes[j, a] * inverse[a, b] * slopes[j, b];
                }
            }

            freedom[j] = variance > 0 ? 2 * covariance[j, j] * covariance[j, j] / variance : double.NaN;
        }

        return freedom;
    }

    private static double[] Moved(double[] from, params ReadOnlySpan<(int At, double By)> moves)
    {
        double[] to = [.. from];
        foreach ((int at, double by) in moves)
        {
            to[at] += by;
        }

        return to;
    }
}
