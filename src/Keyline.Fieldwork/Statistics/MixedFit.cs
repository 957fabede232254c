namespace Keyline.Fieldwork;

/// <summary>A linear model with random intercepts, fitted by restricted maximum likelihood: for plots that are visited again and again.</summary>
/// <remarks>
/// <para>Units: those of the values; variances squared. Promises: variances are 0 or more; freedom by Satterthwaite's way from the curvature of the likelihood,
/// with variances at 0 taken as known; the same input gives the same bits.</para>
/// <para>Cost: a few hundred factorisations of matrices as large as the largest group of rows that share a random effect.</para>
/// <para>Source: Patterson and Thompson 1971; Laird and Ware 1982; Giesbrecht and Burns 1985 (freedom); Nelder and Mead 1965.</para>
/// </remarks>
public sealed class MixedFit
{
    private const double Nothing = 1e-7;

    private MixedFit(IReadOnlyDictionary<string, Estimate> estimates, IReadOnlyList<double> variances, double residual, double logLikelihood) =>
        (Estimates, Variances, ResidualVariance, LogLikelihood) = (estimates, variances, residual, logLikelihood);

    /// <summary>The estimates of the fixed columns, the constant first.</summary>
    public IReadOnlyDictionary<string, Estimate> Estimates { get; }

    /// <summary>Variance of each random intercept, in the order given.</summary>
    public IReadOnlyList<double> Variances { get; }

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
        ArgumentNullException.ThrowIfNull(values);
        ArgumentNullException.ThrowIfNull(terms);
        ArgumentNullException.ThrowIfNull(groups);
        ModelTerm[] all = [ModelTerm.Constant(values.Count), .. terms];
        double[][] columns = [.. all.SelectMany(t => t.Columns)];
        string[] names = [.. all.SelectMany(t => t.ColumnNames)];
        if (columns.Length >= values.Count)
        {
            throw new ArgumentException("A mixed model needs more observations than columns.", nameof(values));
        }

        RestrictedLikelihood likelihood = new([.. values], columns, groups);
        double[] relative = [.. Simplex.Least([.. groups.Select(_ => 0.7)], x => likelihood.Profiled([.. x.Select(v => v * v)]).Deviance).Select(v => v * v)];
        for (int k = 0; k < relative.Length; k++)
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
        double[] variances = [.. relative.Select(r => r * residual)];
        double[,] covariance = likelihood.At([.. variances, residual]).Covariance;
        double[] freedom = Satterthwaite(likelihood, [.. variances, residual], covariance);
        Dictionary<string, Estimate> named = [];
        for (int j = 0; j < names.Length; j++)
        {
            named[names[j]] = new Estimate(estimates[j], Math.Sqrt(covariance[j, j]), freedom[j]);
        }

        return new MixedFit(named, variances, residual, -deviance / 2);
    }

    // 2 v^2 / var(v) for the variance v of each estimate; var(v) by its slopes along the variances and the curvature of the deviance.
    private static double[] Satterthwaite(RestrictedLikelihood likelihood, double[] variances, double[,] covariance)
    {
        int[] free = [.. Enumerable.Range(0, variances.Length).Where(k => variances[k] > 0)];
        int q = free.Length, p = covariance.GetLength(0);
        double[] step = [.. free.Select(k => 1e-3 * variances[k])];
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
