using System.Numerics;
using System.Runtime.InteropServices;

namespace Keyline.Elevation;

/// <summary>Heights and places summed along rows under a bell.</summary>
/// <remarks>
/// <para>Units: heights in metres above a datum, places in cells from the middle of the bell.</para>
/// <para>Missing: carries no weight.</para>
/// <para>Promises: vectors and single cells are added up in the same order, so the bits do not depend on the machine.</para>
/// <para>Cost: linear in cells times the bell's width.</para>
/// <para>Source: own.</para>
/// </remarks>
internal sealed class BellSums
{
    private readonly int _columns;
    private readonly int _reach;
    private readonly double _spread;
    private readonly double[] _heights;
    private readonly byte[] _whole;

    // Of windows cut by an edge or a hole only: weight, weight times place, times its square, and heights times place. Without
    // holes they are the same in every row but for the last.
    private readonly double[] _n;
    private readonly double[] _nx;
    private readonly double[] _nxx;
    private readonly double[] _sx;
    private readonly int _stride;

    private BellSums(GridFrame frame, double[] bell, bool holes)
    {
        int cells = checked((int)frame.CellCount);
        _columns = frame.Columns;
        _reach = bell.Length - 1;
        _stride = holes ? frame.Columns : 0;
        Whole = bell[0];
        for (int k = 1; k < bell.Length; k++)
        {
            Whole += 2 * bell[k];
            _spread += 2 * bell[k] * k * k;
        }

        (_heights, _whole) = (new double[cells], new byte[cells]);
        int kept = holes ? cells : frame.Columns;
        (_n, _nx, _nxx, _sx) = (new double[kept], new double[kept], new double[kept], new double[cells]);
    }

    /// <summary>Weight of a whole window along a row.</summary>
    public double Whole { get; }

    /// <summary>Sums along every row.</summary>
    public static BellSums AlongRows(float[] heights, GridFrame frame, double[] bell, double datum, CancellationToken cancellationToken)
    {
        bool holes = Array.Exists(heights, float.IsNaN);
        BellSums sums = new(frame, bell, holes);
        Parallel.For(0, frame.Rows, WorkThreads.Options(cancellationToken), r => sums.AddRow(heights, bell, datum, r, holes));
        sums.MarkWhole(frame.Rows);
        return sums;
    }

    /// <summary>Whether no window of the rows within reach is cut at a cell's column.</summary>
    public bool IsWholeAround(int cell) => _whole[cell] == 2;

    /// <summary>Weight, its first and second moments, heights and their first moment of the window at a cell.</summary>
    public (double N, double Nx, double Nxx, double S, double Sx) Of(int row, int column)
    {
        int at = (row * _columns) + column, kept = (row * _stride) + column;
        return _whole[at] > 0 ? (Whole, 0, _spread, _heights[at], _sx[at]) : (_n[kept], _nx[kept], _nxx[kept], _heights[at], _sx[at]);
    }

    /// <summary>The heights' sums of the rows within reach of a row, all of them in the grid, summed under the bell.</summary>
    public void DownColumns(double[] bell, int row, Span<double> sums)
    {
        Vectors(sums, out Span<Vector<double>> blocks, out int rest);
        ReadOnlySpan<double> all = _heights;
        Vectors(Row(all, row), out ReadOnlySpan<Vector<double>> middle);
        for (int i = 0; i < blocks.Length; i++)
        {
            blocks[i] = middle[i] * bell[0];
        }

        for (int c = rest; c < _columns; c++)
        {
            sums[c] = all[(row * _columns) + c] * bell[0];
        }

        for (int k = 1; k < bell.Length; k++)
        {
            ReadOnlySpan<double> up = Row(all, row - k), down = Row(all, row + k);
            Vectors(up, out ReadOnlySpan<Vector<double>> above);
            Vectors(down, out ReadOnlySpan<Vector<double>> below);
            double w = bell[k];
            for (int i = 0; i < blocks.Length; i++)
            {
                blocks[i] += (above[i] + below[i]) * w;
            }

            for (int c = rest; c < sums.Length; c++)
            {
                sums[c] += (up[c] + down[c]) * w;
            }
        }
    }

    private ReadOnlySpan<double> Row(ReadOnlySpan<double> all, int row) => all.Slice(row * _columns, _columns);

    private static void Vectors(Span<double> values, out Span<Vector<double>> blocks, out int rest)
    {
        blocks = MemoryMarshal.Cast<double, Vector<double>>(values);
        rest = blocks.Length * Vector<double>.Count;
    }

    private static void Vectors(ReadOnlySpan<double> values, out ReadOnlySpan<Vector<double>> blocks) =>
        blocks = MemoryMarshal.Cast<double, Vector<double>>(values);

    private void AddRow(float[] heights, double[] bell, double datum, int row, bool holes)
    {
        int first = row * _columns, missing = 0;
        double[] z = new double[_columns];
        for (int c = 0; c < _columns; c++)
        {
            z[c] = heights[first + c] - datum;
        }

        int inside = Math.Max(0, _columns - (2 * _reach));
        Span<double> sums = _heights.AsSpan(first, _columns);
        if (inside > 0)
        {
            Inside(z, bell, sums.Slice(_reach, inside));
        }

        // Missing heights in the window ahead of the first column.
        for (int c = 0; c < Math.Min(_reach, _columns); c++)
        {
            missing += double.IsNaN(z[c]) ? 1 : 0;
        }

        for (int c = 0; c < _columns; c++)
        {
            missing += c + _reach < _columns && double.IsNaN(z[c + _reach]) ? 1 : 0;
            missing -= c - _reach - 1 >= 0 && double.IsNaN(z[c - _reach - 1]) ? 1 : 0;
            bool cut = c < _reach || c >= _columns - _reach || missing > 0;
            _whole[first + c] = (byte)(cut ? 0 : 1);
            if (cut || holes)
            {
                Cut(z, bell, row, c, cut);
            }
        }
    }

    // Bell times heights for every cell whose window lies in the row.
    private void Inside(double[] z, double[] bell, Span<double> sums)
    {
        Vectors(sums, out Span<Vector<double>> blocks, out int rest);
        ReadOnlySpan<double> values = z;
        for (int i = 0; i < blocks.Length; i++)
        {
            int c = _reach + (i * Vector<double>.Count);
            Vector<double> sum = new Vector<double>(values[c..]) * bell[0];
            for (int k = 1; k < bell.Length; k++)
            {
                sum += (new Vector<double>(values[(c - k)..]) + new Vector<double>(values[(c + k)..])) * bell[k];
            }

            blocks[i] = sum;
        }

        for (int i = rest; i < sums.Length; i++)
        {
            int c = _reach + i;
            double sum = values[c] * bell[0];
            for (int k = 1; k < bell.Length; k++)
            {
                sum += (values[c - k] + values[c + k]) * bell[k];
            }

            sums[i] = sum;
        }
    }

    private void Cut(double[] z, double[] bell, int row, int column, bool cut)
    {
        double w0 = 0, w1 = 0, w2 = 0, z0 = 0, z1 = 0;
        for (int k = Math.Max(-_reach, -column); k <= Math.Min(_reach, _columns - 1 - column); k++)
        {
            double h = z[column + k];
            if (!double.IsNaN(h))
            {
                double w = bell[Math.Abs(k)];
                w0 += w;
                w1 += w * k;
                w2 += w * k * k;
                z0 += w * h;
                z1 += w * k * h;
            }
        }

        int at = (row * _columns) + column, kept = (row * _stride) + column;
        _sx[at] = z1;
        if (cut && (_stride > 0 || row == 0))
        {
            (_n[kept], _nx[kept], _nxx[kept]) = (w0, w1, w2);
        }

        if (cut)
        {
            _heights[at] = z0;
        }
    }

    // A cell is whole all round where no window up to the bell's reach above or below is cut.
    private void MarkWhole(int rows)
    {
        int[] since = new int[_columns];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < _columns; c++)
            {
                since[c] = _whole[(r * _columns) + c] > 0 ? since[c] + 1 : 0;
                if (since[c] > 2 * _reach)
                {
                    _whole[((r - _reach) * _columns) + c] = 2;
                }
            }
        }
    }
}
