using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Keyline.Elevation;

/// <summary>The inverse of a symmetric positive definite matrix, row by row, so that the work can be stopped.</summary>
/// <remarks>
/// <para>Promises: the same bits on any number of cores; every sum is one dot product of two rows.</para>
/// <para>Cost: n cubed multiplications for n rows, the rows of a step side by side; no room beyond the matrix and its inverse.</para>
/// <para>Source: Cholesky decomposition, G. H. Golub and C. F. Van Loan, Matrix Computations, section 4.2; MathNet's cannot be
/// stopped, and takes half a minute for the largest survey.</para>
/// </remarks>
internal static class PositiveInverse
{
    // Rows that are worked out side by side before the token is looked at.
    private const int Panel = 32;

    /// <summary>Inverts.</summary>
    /// <param name="matrix">Rows of the lower half, each up to its diagonal at least; used up.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>All rows of the inverse.</returns>
    /// <exception cref="ArithmeticException">The matrix is not positive definite.</exception>
    public static double[][] Of(double[][] matrix, CancellationToken cancellationToken)
    {
        int n = matrix.Length;
        double[][] lower = matrix;
        Decompose(lower, cancellationToken);

        // Rows of the transposed inverse of L: row j holds column j of the inverse, which is nought before its diagonal.
        double[][] columns = new double[n][];
        ParallelOptions parallel = WorkThreads.Options(cancellationToken);
        Parallel.For(0, n, parallel, j =>
        {
            double[] column = new double[n];
            column[j] = 1 / lower[j][j];
            for (int i = j + 1; i < n; i++)
            {
                column[i] = -Dot(lower[i].AsSpan(j, i - j), column.AsSpan(j, i - j)) / lower[i][i];
            }

            columns[j] = column;
        });

        double[][] inverse = new double[n][];
        Parallel.For(0, n, parallel, i =>
        {
            inverse[i] = new double[n];
            for (int j = 0; j < n; j++)
            {
                int from = Math.Max(i, j);
                inverse[i][j] = Dot(columns[Math.Min(i, j)].AsSpan(from), columns[from].AsSpan(from));
            }
        });
        return inverse;
    }

    /// <summary>Turns the lower half into its Cholesky factor.</summary>
    private static void Decompose(double[][] lower, CancellationToken cancellationToken)
    {
        int n = lower.Length;
        ParallelOptions parallel = WorkThreads.Options(cancellationToken);
        for (int first = 0; first < n; first += Panel)
        {
            int end = Math.Min(first + Panel, n);

            // Columns of the panel for its own rows, one after the other, then for all rows below side by side.
            for (int i = first; i < end; i++)
            {
                Row(lower, i, first, i);
                double square = lower[i][i] - Dot(lower[i].AsSpan(0, i), lower[i].AsSpan(0, i));
                lower[i][i] = square > 0 ? Math.Sqrt(square) : throw new ArithmeticException("The matrix is not positive definite.");
            }

            Parallel.For(end, n, parallel, i => Row(lower, i, first, end));
        }
    }

    private static void Row(double[][] lower, int row, int first, int end)
    {
        for (int j = first; j < end; j++)
        {
            lower[row][j] = (lower[row][j] - Dot(lower[row].AsSpan(0, j), lower[j].AsSpan(0, j))) / lower[j][j];
        }
    }

    // Eight sums of every eighth product each, whatever the machine's vectors hold.
    private static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        ref double x = ref MemoryMarshal.GetReference(a);
        ref double y = ref MemoryMarshal.GetReference(b);
        Vector256<double> sums = Vector256<double>.Zero, others = Vector256<double>.Zero;
        int i = 0;
        for (; i <= a.Length - 8; i += 8)
        {
            sums += Vector256.LoadUnsafe(ref x, (nuint)i) * Vector256.LoadUnsafe(ref y, (nuint)i);
            others += Vector256.LoadUnsafe(ref x, (nuint)i + 4) * Vector256.LoadUnsafe(ref y, (nuint)i + 4);
        }

        double sum = Vector256.Sum(sums + others);
        for (; i < a.Length; i++)
        {
            sum += a[i] * b[i];
        }

        return sum;
    }
}
