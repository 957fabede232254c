using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Keyline.Elevation;

namespace Keyline.Terrain;

/// <summary>Fits a quadratic surface to a square window around every cell, by least squares.</summary>
/// <remarks>
/// On a square grid 1, x, y, xy, x^2 less its mean and y^2 less its mean have nothing in common, so every coefficient is one
/// weighted sum of the heights, and each weight is a product of one for the column and one for the row. Rows are summed first.
/// A missing height spoils every sum it is part of, which is what is wanted.
/// </remarks>
internal static class QuadraticRows
{
    private const int BandRows = 64;

    /// <summary>Fits every cell of some rows; each is told by its place from the first cell of the first row.</summary>
    public static void Fit(ElevationGrid ground, int half, int firstRow, int rows, Action<int, QuadraticFit> take, CancellationToken cancellationToken)
    {
        GridFrame frame = ground.Frame;

        // That of the whole grid, whichever rows are asked for, so that the same sums are rounded in the same way.
        double datum = Array.Find(ground.Array, z => !float.IsNaN(z));
        Weights weights = new(half, frame.CellSize);
        int bands = (rows + BandRows - 1) / BandRows;
        Parallel.For(0, bands, WorkThreads.Options(cancellationToken), () => new Sums(frame.Columns, half), (band, _, sums) =>
        {
            int first = firstRow + (band * BandRows);
            int end = Math.Min(first + BandRows, firstRow + rows);
            for (int r = first - half; r < end + half; r++)
            {
                cancellationToken.ThrowIfCancellationRequested();
                sums.AddRow(r < 0 || r >= frame.Rows ? default : ground.Row(r), datum, weights);
                if (r - half >= first)
                {
                    sums.Finish(weights);
                    for (int c = 0; c < frame.Columns; c++)
                    {
                        take(((r - half - firstRow) * frame.Columns) + c, sums.At(c, weights));
                    }
                }
            }

            return sums;
        }, static _ => { });
    }

    /// <summary>What a cell at a distance from the middle weighs, along one axis.</summary>
    private sealed class Weights
    {
        public Weights(int half, double cell)
        {
            int n = (2 * half) + 1;
            double squares = 0;
            for (int k = -half; k <= half; k++)
            {
                squares += k * k;
            }

            // Times the number of cells, so that all weights are whole and a plane of whole heights gives nothing.
            double bends = 0;
            Bend = new double[n];
            for (int k = -half; k <= half; k++)
            {
                Bend[k + half] = (n * k * k) - squares;
                bends += Bend[k + half] * Bend[k + half];
            }

            First = 1 / (n * squares * cell);
            Cross = 1 / (squares * squares * cell * cell);
            Second = 2 / (bends * cell * cell);
        }

        /// <summary>Square of the distance less the mean square, times the number of cells, from one end to the other.</summary>
        public double[] Bend { get; }

        public double First { get; }

        public double Cross { get; }

        public double Second { get; }
    }

    /// <summary>Sums along the last rows, and over the window.</summary>
    private sealed class Sums
    {
        private readonly int _half;
        private readonly int _columns;
        private readonly double[] _heights;
        private readonly double[][] _plain;
        private readonly double[][] _slope;
        private readonly double[][] _bend;
        private readonly double[][] _fit;
        private int _newest;

        public Sums(int columns, int half)
        {
            (_columns, _half) = (columns, half);
            int n = (2 * half) + 1;
            _heights = new double[columns + (2 * half)];
            _plain = Rows(n, columns);
            _slope = Rows(n, columns);
            _bend = Rows(n, columns);
            _fit = Rows(5, columns);
        }

        public QuadraticFit At(int c, Weights weights) => new(
            _fit[0][c] * weights.First, _fit[1][c] * weights.First, _fit[2][c] * weights.Second, _fit[3][c] * weights.Cross, _fit[4][c] * weights.Second);

        /// <summary>Takes in the next row to the south; an empty one lies beyond the grid.</summary>
        public void AddRow(ReadOnlySpan<float> row, double datum, Weights weights)
        {
            _newest = (_newest + 1) % _plain.Length;
            Array.Fill(_heights, double.NaN);
            for (int c = 0; c < row.Length; c++)
            {
                _heights[c + _half] = row[c] - datum;
            }

            Array.Clear(_plain[_newest]);
            Array.Clear(_slope[_newest]);
            Array.Clear(_bend[_newest]);
            for (int k = -_half; k <= _half; k++)
            {
                ReadOnlySpan<double> shifted = _heights.AsSpan(k + _half, _columns);
                AddScaled(_plain[_newest], shifted, 1);
                AddScaled(_slope[_newest], shifted, k);
                AddScaled(_bend[_newest], shifted, weights.Bend[k + _half]);
            }
        }

        public void Finish(Weights weights)
        {
            foreach (double[] sum in _fit)
            {
                Array.Clear(sum);
            }

            for (int k = -_half; k <= _half; k++)
            {
                // The oldest row is the northernmost; k counts northward.
                int row = (_newest + _plain.Length - (k + _half)) % _plain.Length;
                AddScaled(_fit[0], _slope[row], 1);
                AddScaled(_fit[1], _plain[row], k);
                AddScaled(_fit[2], _bend[row], 1);
                AddScaled(_fit[3], _slope[row], k);
                AddScaled(_fit[4], _plain[row], weights.Bend[k + _half]);
            }
        }

        private static double[][] Rows(int count, int columns) => [.. Enumerable.Range(0, count).Select(_ => new double[columns])];
    }

    /// <summary>Adds a row times a weight to another, the same bits with and without vectors.</summary>
    internal static void AddScaled(Span<double> to, ReadOnlySpan<double> from, double weight)
    {
        int i = 0;
        if (Vector256.IsHardwareAccelerated)
        {
            ref double target = ref MemoryMarshal.GetReference(to);
            ref double source = ref MemoryMarshal.GetReference(from);
            for (; i <= to.Length - Vector256<double>.Count; i += Vector256<double>.Count)
            {
                (Vector256.LoadUnsafe(ref target, (nuint)i) + (Vector256.LoadUnsafe(ref source, (nuint)i) * weight)).StoreUnsafe(ref target, (nuint)i);
            }
        }

        for (; i < to.Length; i++)
        {
            to[i] += from[i] * weight;
        }
    }
}
