namespace Keyline.Landform;

/// <summary>Least squares whose equations each touch at most three neighbouring unknowns.</summary>
/// <remarks>
/// <para>Units: the caller's. Missing: none; every unknown needs an equation of its own, or the system has no answer.</para>
/// <para>Cost: O(n) for n unknowns.</para>
/// <para>Source: Cholesky decomposition of a band matrix, G. H. Golub and C. F. Van Loan, Matrix Computations, section 4.3.
/// MathNet has dense and sparse matrices but none with bands.</para>
/// </remarks>
internal sealed class BandedLeastSquares(int unknowns)
{
    private readonly double[] _diagonal = new double[unknowns];
    private readonly double[] _next = new double[unknowns];
    private readonly double[] _second = new double[unknowns];
    private readonly double[] _right = new double[unknowns];

    /// <summary>Adds an equation: the sum of the coefficients times the unknowns from the first on shall be a value.</summary>
    public void Add(int first, ReadOnlySpan<double> coefficients, double value)
    {
        for (int i = 0; i < coefficients.Length; i++)
        {
            _diagonal[first + i] += coefficients[i] * coefficients[i];
            _right[first + i] += coefficients[i] * value;
            if (i + 1 < coefficients.Length)
            {
                _next[first + i] += coefficients[i] * coefficients[i + 1];
            }

            if (i + 2 < coefficients.Length)
            {
                _second[first + i] += coefficients[i] * coefficients[i + 2];
            }
        }
    }

    /// <summary>The unknowns; the equations are used up.</summary>
    public double[] Solve()
    {
        int n = unknowns;
        for (int i = 0; i < n; i++)
        {
            // Row i of L holds _second[i - 2], _next[i - 1] and the diagonal, once rows before it are done.
            if (i >= 2)
            {
                _second[i - 2] /= _diagonal[i - 2];
                _next[i - 1] -= _second[i - 2] * _next[i - 2];
                _diagonal[i] -= _second[i - 2] * _second[i - 2];
                _right[i] -= _second[i - 2] * _right[i - 2];
            }

            if (i >= 1)
            {
                _next[i - 1] /= _diagonal[i - 1];
                _diagonal[i] -= _next[i - 1] * _next[i - 1];
                _right[i] -= _next[i - 1] * _right[i - 1];
            }

            _diagonal[i] = Math.Sqrt(_diagonal[i]);
            _right[i] /= _diagonal[i];
        }

        for (int i = n - 1; i >= 0; i--)
        {
            double sum = _right[i];
            sum -= i + 1 < n ? _next[i] * _right[i + 1] : 0;
            sum -= i + 2 < n ? _second[i] * _right[i + 2] : 0;
            _right[i] = sum / _diagonal[i];
        }

        return _right;
    }
}
