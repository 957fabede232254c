namespace Keyline.Layout.Even;

/// <summary>Least value of a smooth convex function by the limited-memory quasi-Newton method with a preconditioner.</summary>
/// <remarks>
/// <para>Promises: the value never grows; sums run in one order, so the same bits on any number of cores.</para>
/// <para>Source: J. Nocedal and S. Wright, 2006, Numerical Optimization, 2nd ed., Algorithm 7.4, with the inverse of the
/// preconditioner for the first guess of the Hessian's inverse and backtracking by halves (Armijo).</para>
/// </remarks>
internal static class SmoothDescent
{
    private const int Memory = 6;
    private const double Armijo = 1e-4;
    private const int MostHalvings = 12;

    /// <summary>Value of the function at a point, and its gradient.</summary>
    public delegate double Slope(double[] at, double[] gradient);

    /// <summary>Steps downhill.</summary>
    /// <param name="x">The start, replaced by what is reached.</param>
    /// <param name="slope">The function.</param>
    /// <param name="precondition">Puts an approximate inverse of the Hessian times the first into the second; symmetric, positive.</param>
    /// <param name="steps">Most steps.</param>
    /// <param name="gain">Stops where a step gains less than this share of what was gained so far.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The value reached.</returns>
    public static double Run(double[] x, Slope slope, Action<double[], double[]> precondition, int steps, double gain, CancellationToken cancellationToken)
    {
        int n = x.Length;
        double[] gradient = new double[n];
        double[] next = new double[n];
        double[] nextGradient = new double[n];
        double[] direction = new double[n];
        double[] work = new double[n];
        List<(double[] Step, double[] Change, double Inverse)> memory = [];
        double value = slope(x, gradient);
        double first = value;
        for (int k = 0; k < steps; k++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            Direction(gradient, memory, precondition, work, direction);
            double downhill = Dot(direction, gradient);
            if (!(downhill < 0))
            {
                break;
            }

            double length = 1;
            double reached = double.PositiveInfinity;
            for (int halving = 0; halving < MostHalvings; halving++, length *= 0.5)
            {
                for (int i = 0; i < n; i++)
                {
                    next[i] = x[i] + (length * direction[i]);
                }

                reached = slope(next, nextGradient);
                if (reached <= value + (Armijo * length * downhill))
                {
                    break;
                }
            }

            if (!(reached < value))
            {
                break;
            }

            Remember(memory, x, next, gradient, nextGradient);
            double before = value;
            next.CopyTo(x, 0);
            (gradient, nextGradient) = (nextGradient, gradient);
            value = reached;
            if (before - value < gain * (first - value))
            {
                break;
            }
        }

        return value;
    }

    private static void Direction(double[] gradient, List<(double[] Step, double[] Change, double Inverse)> memory, Action<double[], double[]> precondition, double[] work, double[] direction)
    {
        gradient.CopyTo(work, 0);
        Span<double> shares = stackalloc double[Memory];
        for (int m = memory.Count - 1; m >= 0; m--)
        {
            shares[m] = memory[m].Inverse * Dot(memory[m].Step, work);
            AddTo(work, memory[m].Change, -shares[m]);
        }

        precondition(work, direction);
        for (int m = 0; m < memory.Count; m++)
        {
            AddTo(direction, memory[m].Step, shares[m] - (memory[m].Inverse * Dot(memory[m].Change, direction)));
        }

        for (int i = 0; i < direction.Length; i++)
        {
            direction[i] = -direction[i];
        }
    }

    private static void Remember(List<(double[] Step, double[] Change, double Inverse)> memory, double[] x, double[] next, double[] gradient, double[] nextGradient)
    {
        double[] step;
        double[] change;
        if (memory.Count == Memory)
        {
            (step, change, _) = memory[0];
            memory.RemoveAt(0);
        }
        else
        {
            step = new double[x.Length];
            change = new double[x.Length];
        }

        for (int i = 0; i < x.Length; i++)
        {
            step[i] = next[i] - x[i];
            change[i] = nextGradient[i] - gradient[i];
        }

        double product = Dot(step, change);
        if (product > 0)
        {
            memory.Add((step, change, 1 / product));
        }
    }

    private static void AddTo(double[] a, double[] b, double share)
    {
        for (int i = 0; i < a.Length; i++)
        {
            a[i] += share * b[i];
        }
    }

    private static double Dot(double[] a, double[] b)
    {
        // Four sums of fixed places, whatever the machine.
        double s0 = 0, s1 = 0, s2 = 0, s3 = 0;
        int i = 0;
        for (; i + 3 < a.Length; i += 4)
        {
            s0 += a[i] * b[i];
            s1 += a[i + 1] * b[i + 1];
            s2 += a[i + 2] * b[i + 2];
            s3 += a[i + 3] * b[i + 3];
        }

        for (; i < a.Length; i++)
        {
            s0 += a[i] * b[i];
        }

        return (s0 + s1) + (s2 + s3);
    }
}
