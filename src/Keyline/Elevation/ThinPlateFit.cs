using MathNet.Numerics.LinearAlgebra;

namespace Keyline.Elevation;

/// <summary>A thin plate through shots, with the residual of every shot from the plate made without it.</summary>
/// <remarks>
/// <para>Units: metres; places are brought to a unit box first, which changes nothing but rounding.</para>
/// <para>Promises: a plane comes back as it is; without smoothing the plate goes through every shot.</para>
/// <para>Cost: n cubed for n shots, once for each smoothing tried; n squared to take one out; n for each cell.</para>
/// <para>Source: J. Duchon, Splines minimizing rotation-invariant semi-norms in Sobolev spaces, 1977, for the plate r^2 log r;
/// G. Wahba, Spline Models for Observational Data, 1990, section 2.4, for the way through the QR decomposition of the plane
/// part; S. Rippa, Adv. Comput. Math. 11, 1999, for the residual of a shot left out, w_i / M_ii, whose
/// size goes with the root of 1 / M_ii (O. Dubrule, Math. Geology 15(6), 1983).</para>
/// </remarks>
internal sealed class ThinPlateFit : ShotFit
{
    private const int Plane = 3;
    private readonly double[] _x;
    private readonly double[] _y;
    private readonly double[] _z;
    private readonly bool[] _gone;
    private readonly Matrix<double> _m;
    private readonly double _smoothing;
    private readonly double _midX;
    private readonly double _midY;
    private readonly double _size;

    // _m takes heights to the weights of the plate: the block of the inverse that belongs to the shots.
    private ThinPlateFit(double[] x, double[] y, double[] z, (double X, double Y, double Size) box, Matrix<double> m, double smoothing)
    {
        (_x, _y, _z, _m, _smoothing) = (x, y, z, m, smoothing);
        (_midX, _midY, _size) = box;
        _gone = new bool[x.Length];
    }

    /// <summary>Smoothing that predicts shots left out best, by the mean size of the smaller nine tenths of their residuals.</summary>
    public static ThinPlateFit Best(IReadOnlyList<SurveyShot> shots, ReadOnlySpan<double> smoothings, CancellationToken cancellationToken)
    {
        ThinPlateFit? best = null;
        double least = double.PositiveInfinity;
        foreach (double smoothing in smoothings)
        {
            ThinPlateFit fit = Of(shots, smoothing, cancellationToken);
            double[] sizes = Array.ConvertAll(fit.LeaveOneOut(cancellationToken), Math.Abs);
            Array.Sort(sizes);
            double mean = sizes.AsSpan(0, Math.Max(1, sizes.Length * 9 / 10)).ToArray().Average();

            // A smoother plate must earn its place.
            if (best is null || mean < 0.98 * least)
            {
                (best, least) = (fit, mean);
            }
        }

        return best!;
    }

    /// <summary>Makes the plate.</summary>
    public static ThinPlateFit Of(IReadOnlyList<SurveyShot> shots, double smoothing, CancellationToken cancellationToken)
    {
        int n = shots.Count;
        double minX = shots.Min(s => s.X), maxX = shots.Max(s => s.X), minY = shots.Min(s => s.Y), maxY = shots.Max(s => s.Y);
        (double X, double Y, double Size) box = ((minX + maxX) / 2, (minY + maxY) / 2, Math.Max(maxX - minX, maxY - minY));
        double[] x = [.. shots.Select(s => (s.X - box.X) / box.Size)], y = [.. shots.Select(s => (s.Y - box.Y) / box.Size)], z = [.. shots.Select(s => s.Height)];
        Matrix<double> k = Matrix<double>.Build.Dense(n, n);
        for (int i = 0; i < n; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int j = 0; j < n; j++)
            {
                k[i, j] = Bend(Square(x[i] - x[j]) + Square(y[i] - y[j]));
            }
        }

        double[][] mirrors = Mirrors(x, y);
        Reflect(k, mirrors, inOrder: true, cancellationToken);
        cancellationToken.ThrowIfCancellationRequested();
        double[][] rest = new double[n - Plane][];
        for (int i = 0; i < rest.Length; i++)
        {
            rest[i] = new double[rest.Length];
            for (int j = 0; j <= i; j++)
            {
                rest[i][j] = k[i + Plane, j + Plane] + (i == j ? smoothing : 0);
            }
        }

        double[][] inverse = PositiveInverse.Of(rest, cancellationToken);
        Matrix<double> m = Matrix<double>.Build.Dense(n, n, (i, j) => i < Plane || j < Plane ? 0 : inverse[i - Plane][j - Plane]);
        Reflect(m, mirrors, inOrder: false, cancellationToken);
        return new ThinPlateFit(x, y, z, box, m, smoothing);
    }

    /// <summary>The smoothing it was made with.</summary>
    public double Smoothing => _smoothing;

    public override double[] LeaveOneOut(CancellationToken cancellationToken)
    {
        double[] weights = Weights(), residuals = new double[_z.Length];
        for (int i = 0; i < residuals.Length; i++)
        {
            residuals[i] = _gone[i] ? double.NaN : weights[i] / _m[i, i];
        }

        return residuals;
    }

    public override double[] ExpectedSizes()
    {
        double[] sizes = new double[_z.Length];
        for (int i = 0; i < sizes.Length; i++)
        {
            sizes[i] = 1 / Math.Sqrt(Math.Max(_m[i, i], double.Epsilon));
        }

        return sizes;
    }

    public override void Remove(IReadOnlyList<int> shots, CancellationToken cancellationToken)
    {
        foreach (int shot in shots)
        {
            cancellationToken.ThrowIfCancellationRequested();

            // The inverse of a matrix without one row and column, from the inverse with them (block inversion).
            double[] column = _m.Column(shot).ToArray();
            double pivot = column[shot];
            for (int i = 0; i < column.Length; i++)
            {
                for (int j = 0; j < column.Length; j++)
                {
                    _m[i, j] -= column[i] * column[j] / pivot;
                }
            }

            _gone[shot] = true;
            for (int i = 0; i < column.Length; i++)
            {
                _m[i, shot] = _m[shot, i] = 0;
            }
        }
    }

    public override void Fill(GridFrame frame, float[] heights, (int First, int End)[] spans, CancellationToken cancellationToken)
    {
        double[] weights = Weights();
        (double height, double east, double north) = PlanePart(weights, cancellationToken);
        int[] used = [.. Enumerable.Range(0, _z.Length).Where(i => !_gone[i])];
        double[] x = [.. used.Select(i => _x[i])], y = [.. used.Select(i => _y[i])], w = [.. used.Select(i => weights[i])];
        Parallel.For(0, frame.Rows, WorkThreads.Options(cancellationToken), r =>
        {
            double py = (frame.CentreY(r) - _midY) / _size;
            for (int c = spans[r].First; c < spans[r].End; c++)
            {
                double px = (frame.CentreX(c) - _midX) / _size;
                double sum = height + (east * px) + (north * py);
                for (int i = 0; i < x.Length; i++)
                {
                    sum += w[i] * Bend(Square(px - x[i]) + Square(py - y[i]));
                }

                heights[(r * frame.Columns) + c] = (float)sum;
            }
        });
    }

    private double[] Weights() => (_m * Vector<double>.Build.Dense(_z)).ToArray();

    // What the bending part leaves of the heights is a plane; three far shots would do, all of them round better.
    private (double Height, double East, double North) PlanePart(double[] weights, CancellationToken cancellationToken)
    {
        List<double[]> rows = [];
        List<double> left = [];
        for (int i = 0; i < _z.Length; i++)
        {
            if (_gone[i])
            {
                continue;
            }

            cancellationToken.ThrowIfCancellationRequested();
            double bent = _smoothing * weights[i];
            for (int j = 0; j < _z.Length; j++)
            {
                bent += weights[j] * Bend(Square(_x[i] - _x[j]) + Square(_y[i] - _y[j]));
            }

            rows.Add([1, _x[i], _y[i]]);
            left.Add(_z[i] - bent);
        }

        Vector<double> plane = Matrix<double>.Build.DenseOfRowArrays(rows).QR().Solve(Vector<double>.Build.DenseOfEnumerable(left));
        return (plane[0], plane[1], plane[2]);
    }

    // r^2 log r of the squared distance.
    private static double Bend(double square) => square > 0 ? 0.5 * square * Math.Log(square) : 0;

    private static double Square(double v) => v * v;

    /// <summary>Householder's mirrors that turn the columns 1, x and y into three rows.</summary>
    private static double[][] Mirrors(double[] x, double[] y)
    {
        int n = x.Length;
        double[][] columns = [Enumerable.Repeat(1.0, n).ToArray(), [.. x], [.. y]];
        double[][] mirrors = new double[Plane][];
        for (int k = 0; k < Plane; k++)
        {
            double[] v = new double[n];
            Array.Copy(columns[k], k, v, k, n - k);
            double length = Math.Sqrt(Dot(v, v));
            v[k] += v[k] < 0 ? -length : length;
            double size = Math.Sqrt(Dot(v, v));
            for (int i = k; i < n; i++)
            {
                v[i] /= size;
            }

            mirrors[k] = v;
            foreach (double[] column in columns)
            {
                double along = 2 * Dot(v, column);
                for (int i = k; i < n; i++)
                {
                    column[i] -= along * v[i];
                }
            }
        }

        return mirrors;
    }

    // Both sides of a symmetric matrix.
    private static void Reflect(Matrix<double> a, double[][] mirrors, bool inOrder, CancellationToken cancellationToken)
    {
        foreach (double[] v in inOrder ? mirrors : mirrors.Reverse())
        {
            Vector<double> mirror = Vector<double>.Build.Dense(v);
            Vector<double> along = a * mirror;
            double twice = mirror * along;
            for (int i = 0; i < v.Length; i++)
            {
                cancellationToken.ThrowIfCancellationRequested();
                for (int j = 0; j < v.Length; j++)
                {
                    a[i, j] += (4 * twice * v[i] * v[j]) - (2 * ((v[i] * along[j]) + (along[i] * v[j])));
                }
            }
        }
    }

    private static double Dot(double[] a, double[] b)
    {
        double sum = 0;
        for (int i = 0; i < a.Length; i++)
        {
            sum += a[i] * b[i];
        }

        return sum;
    }
}
