namespace Keyline.Fieldwork;

/// <summary>The restricted likelihood of a linear model whose values covary in some way.</summary>
internal sealed class RestrictedLikelihood(double[] values, double[][] columns, IErrorModel errors)
{
    private readonly double[] _values = values;
    private readonly double[][] _columns = columns;
    private readonly int[][] _parts = errors.Parts;

    /// <summary>-2 log likelihood with the residual variance at its best, which comes with it.</summary>
    public (double Deviance, double Residual, double[] Estimates, double[,] Inverse) Profiled(double[] relative)
    {
        (double logV, double logX, double rest, double[] estimates, double[,] inverse) = Solve(relative);
        double freedom = _values.Length - _columns.Length, residual = rest / freedom;
        double deviance = (freedom * (Math.Log(2 * Math.PI * residual) + 1)) + logV + logX;
        return (double.IsNaN(deviance) ? double.PositiveInfinity : deviance, residual, estimates, inverse);
    }

    /// <summary>-2 log likelihood at the numbers of the error model and, last, the residual variance; and the covariance of the estimates.</summary>
    public (double Deviance, double[,] Covariance) At(double[] numbers)
    {
        double residual = numbers[^1];
        (double logV, double logX, double rest, _, double[,] inverse) = Solve(numbers[..^1]);
        for (int a = 0; a < inverse.GetLength(0); a++)
        {
            for (int b = 0; b < inverse.GetLength(1); b++)
            {
                inverse[a, b] *= residual;
            }
        }

        double freedom = _values.Length - _columns.Length;
        return ((freedom * Math.Log(2 * Math.PI * residual)) + logV + logX + (rest / residual), inverse);
    }

    private (double LogV, double LogX, double Left, double[] Estimates, double[,] Inverse) Solve(double[] numbers)
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
                    v[i, j] = errors.Covariance(part[i], part[j], numbers);
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
}
