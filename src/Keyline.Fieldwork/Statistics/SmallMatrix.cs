namespace Keyline.Fieldwork;

/// <summary>Symmetric matrices of a few hundred rows at most.</summary>
internal static class SmallMatrix
{
    /// <summary>Puts Cholesky's factor into the lower triangle.</summary>
    /// <returns>The sum of the logarithms of its diagonal; NaN where the matrix is not positive.</returns>
    public static double Factor(double[,] a)
    {
        int n = a.GetLength(0);
        double log = 0;
        for (int j = 0; j < n; j++)
        {
            double d = a[j, j];
            for (int k = 0; k < j; k++)
            {
                d -= a[j, k] * a[j, k];
            }

            double root = Math.Sqrt(d);
            a[j, j] = root;
            log += Math.Log(root);
            for (int i = j + 1; i < n; i++)
            {
                double sum = a[i, j];
                for (int k = 0; k < j; k++)
                {
                    sum -= a[i, k] * a[j, k];
                }

                a[i, j] = sum / root;
            }
        }

        return log;
    }

    /// <summary>Solves with the lower triangle.</summary>
    public static double[] Forward(double[,] lower, double[] right)
    {
        for (int i = 0; i < right.Length; i++)
        {
            for (int k = 0; k < i; k++)
            {
                right[i] -= lower[i, k] * right[k];
            }

            right[i] /= lower[i, i];
        }

        return right;
    }

    /// <summary>The inverse by Gauss and Jordan; null where there is none.</summary>
    public static double[,]? Inverse(double[,] matrix)
    {
        int n = matrix.GetLength(0);
        double[,] a = (double[,])matrix.Clone(), inverse = new double[n, n];
        double size = 0;
        for (int i = 0; i < n; i++)
        {
            inverse[i, i] = 1;
            size = Math.Max(size, Math.Abs(a[i, i]));
        }

        for (int c = 0; c < n; c++)
        {
            int pivot = Enumerable.Range(c, n - c).MaxBy(r => Math.Abs(a[r, c]));
            if (!(Math.Abs(a[pivot, c]) > 1e-13 * size))
            {
                return null;
            }

            for (int k = 0; k < n; k++)
            {
                (a[c, k], a[pivot, k]) = (a[pivot, k], a[c, k]);
                (inverse[c, k], inverse[pivot, k]) = (inverse[pivot, k], inverse[c, k]);
            }

            double by = 1 / a[c, c];
            for (int k = 0; k < n; k++)
            {
                a[c, k] *= by;
                inverse[c, k] *= by;
            }

            for (int r = 0; r < n; r++)
            {
                double times = r == c ? 0 : a[r, c];
                for (int k = 0; times != 0 && k < n; k++)
                {
                    a[r, k] -= times * a[c, k];
                    inverse[r, k] -= times * inverse[c, k];
                }
            }
        }

        return inverse;
    }
}

/// <summary>The least of a function of a few numbers, by a simplex that walks and shrinks (Nelder and Mead 1965).</summary>
internal static class Simplex
{
    private const int MostSteps = 600;

    public static double[] Least(double[] start, Func<double[], double> of)
    {
        int n = start.Length;
        if (n == 0)
        {
            return start;
        }

        List<(double[] At, double Value)> corners = [(start, of(start))];
        for (int i = 0; i < n; i++)
        {
            double[] corner = [.. start];
            corner[i] *= 1.6;
            corners.Add((corner, of(corner)));
        }

        for (int step = 0; step < MostSteps; step++)
        {
            corners.Sort((a, b) => a.Value.CompareTo(b.Value));
            double width = Enumerable.Range(0, n).Max(i => corners.Max(c => c.At[i]) - corners.Min(c => c.At[i]));
            if (width < 1e-9)
            {
                break;
            }

            double[] middle = [.. Enumerable.Range(0, n).Select(i => corners.Take(n).Average(c => c.At[i]))];
            (double[] At, double Value) worst = corners[n], mirrored = Try(-1);
            if (mirrored.Value < corners[0].Value)
            {
                (double[] At, double Value) farther = Try(-2);
                corners[n] = farther.Value < mirrored.Value ? farther : mirrored;
            }
            else if (mirrored.Value < corners[n - 1].Value)
            {
                corners[n] = mirrored;
            }
            else
            {
                (double[] At, double Value) nearer = mirrored.Value < worst.Value ? Try(-0.5) : Try(0.5);
                if (nearer.Value < Math.Min(mirrored.Value, worst.Value))
                {
                    corners[n] = nearer;
                }
                else
                {
                    double[] best = corners[0].At;
                    for (int c = 1; c <= n; c++)
                    {
                        double[] at = [.. corners[c].At.Select((v, i) => (v + best[i]) / 2)];
                        corners[c] = (at, of(at));
                    }
                }
            }

            (double[] At, double Value) Try(double by)
            {
                double[] at = [.. middle.Select((m, i) => m + (by * (worst.At[i] - m)))];
                return (at, of(at));
            }
        }

        return corners.MinBy(c => c.Value).At;
    }
}
