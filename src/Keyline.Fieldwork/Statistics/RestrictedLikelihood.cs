namespace Keyline.Fieldwork;

/// <summary>The restricted likelihood of a model with random intercepts.</summary>
internal sealed class RestrictedLikelihood
{
    private readonly double[] _values;
    private readonly double[][] _columns;
    private readonly int[][] _groups;
    private readonly int[][] _parts;

    public RestrictedLikelihood(double[] values, double[][] columns, IReadOnlyList<IReadOnlyList<string>> groups)
    {
        (_values, _columns) = (values, columns);
        _groups = [.. groups.Select(g =>
        {
            Dictionary<string, int> ids = [];
            return g.Select(name => ids.TryGetValue(name, out int id) ? id : ids[name] = ids.Count).ToArray();
        })];
        _parts = Parts(values.Length);
    }

    /// <summary>-2 log likelihood with the residual variance at its best, which comes with it.</summary>
    public (double Deviance, double Residual, double[] Estimates, double[,] Inverse) Profiled(double[] relative)
    {
        (double logV, double logX, double rest, double[] estimates, double[,] inverse) = Solve(relative, 1);
        double freedom = _values.Length - _columns.Length, residual = rest / freedom;
        return ((freedom * (Math.Log(2 * Math.PI * residual) + 1)) + logV + logX, residual, estimates, inverse);
    }

    /// <summary>-2 log likelihood at variances, the residuals' last, and the covariance of the estimates.</summary>
    public (double Deviance, double[,] Covariance) At(double[] variances)
    {
        (double logV, double logX, double rest, _, double[,] inverse) = Solve(variances[..^1], variances[^1]);
        return (((_values.Length - _columns.Length) * Math.Log(2 * Math.PI)) + logV + logX + rest, inverse);
    }

    private (double LogV, double LogX, double Left, double[] Estimates, double[,] Inverse) Solve(double[] variances, double residual)
    {
        int p = _columns.Length;
        double[,] cross = new double[p, p];
        double[] right = new double[p];
        double square = 0, logV = 0;
        foreach (int[] part in _parts)
        {
            int n = part.Length;
            double[,] v = new double[n, n];
            for (int i = 0; i < n; i++)
            {
                for (int j = 0; j <= i; j++)
                {
                    double sum = i == j ? residual : 0;
                    for (int k = 0; k < _groups.Length; k++)
                    {
                        sum += _groups[k][part[i]] == _groups[k][part[j]] ? variances[k] : 0;
                    }

                    v[i, j] = sum;
                }
            }

            logV += 2 * SmallMatrix.Factor(v);
            double[] y = SmallMatrix.Forward(v, [.. part.Select(i => _values[i])]);
            double[][] x = [.. _columns.Select(c => SmallMatrix.Forward(v, [.. part.Select(i => c[i])]))];
            for (int i = 0; i < n; i++)
            {
                square += y[i] * y[i];
                for (int a = 0; a < p; a++)
                {
                    right[a] += x[a][i] * y[i];
                    for (int b = 0; b <= a; b++)
                    {
                        cross[a, b] += x[a][i] * x[b][i];
                    }
                }
            }
        }

        double[,] whole = new double[p, p];
        for (int a = 0; a < p; a++)
        {
            for (int b = 0; b <= a; b++)
            {
                whole[a, b] = whole[b, a] = cross[a, b];
            }
        }

        double[,] inverse = SmallMatrix.Inverse(whole) ?? throw new ArgumentException("Columns of the model follow from one another.");
        double logX = 2 * SmallMatrix.Factor(cross);
        double[] estimates = new double[p];
        double fitted = 0;
        for (int a = 0; a < p; a++)
        {
            for (int b = 0; b < p; b++)
            {
                estimates[a] += inverse[a, b] * right[b];
            }

            fitted += estimates[a] * right[a];
        }

        return (logV, logX, Math.Max(square - fitted, 1e-12 * square), estimates, inverse);
    }

    // Rows that share no random effect, not even by way of others, do not covary.
    private int[][] Parts(int count)
    {
        int[] root = [.. Enumerable.Range(0, count)];
        foreach (int[] group in _groups)
        {
            Dictionary<int, int> first = [];
            for (int i = 0; i < count; i++)
            {
                if (!first.TryAdd(group[i], i))
                {
                    root[Find(i)] = Find(first[group[i]]);
                }
            }
        }

        return [.. Enumerable.Range(0, count).GroupBy(Find).Select(g => g.ToArray())];

        int Find(int i)
        {
            while (root[i] != i)
            {
                i = root[i] = root[root[i]];
            }

            return i;
        }
    }
}
