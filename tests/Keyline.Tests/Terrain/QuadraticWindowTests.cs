using Keyline.Elevation;
using Keyline.Terrain;
using Keyline.Tests.Support;
using MathNet.Numerics.LinearAlgebra;

namespace Keyline.Tests.Terrain;

/// <summary>Fits over windows of any width: exact on quadratic ground, and equal to solving the normal equations directly.</summary>
public sealed class QuadraticWindowTests
{
    private static readonly CurvatureKind[] All = Enum.GetValues<CurvatureKind>();

    // z = a x^2 + b y^2 + c xy + d x + e y has r = 2a, t = 2b, s = c everywhere, and its bends follow from Florinsky's formulas,
    // written out here once more.
    [Theory]
    [InlineData(3)]
    [InlineData(5)]
    [InlineData(9)]
    [InlineData(21)]
    public void Measure_QuadraticGround_IsExactForEveryWindow(int window)
    {
        ElevationGrid ground = Surfaces.Make(31, 33, 2, (x, y) => (0.002 * x * x) - (0.001 * y * y) + (0.0015 * x * y) + (0.03 * x) - (0.05 * y));
        IReadOnlyList<Grid<float>> bends = Curvature.Measure(ground, All, window);
        int half = window / 2;
        for (int r = 0; r < 31; r++)
        {
            for (int c = 0; c < 33; c++)
            {
                if (r < half || c < half || r >= 31 - half || c >= 33 - half)
                {
                    Assert.All(bends, b => Assert.True(float.IsNaN(b[r, c])));
                    continue;
                }

                (double x, double y) = (ground.Frame.CentreX(c), ground.Frame.CentreY(r));
                double p = (0.004 * x) + (0.0015 * y) + 0.03;
                double q = (-0.002 * y) + (0.0015 * x) - 0.05;
                double[] expected = Bends(p, q, 0.004, 0.0015, -0.002);
                for (int k = 0; k < All.Length; k++)
                {
                    // A contour's bend grows without bound where the ground is nearly level.
                    double scale = All[k] == CurvatureKind.Contour ? 1 / Math.Sqrt((p * p) + (q * q)) : 1;
                    Assert.InRange(bends[k][r, c] - expected[k], -3e-6 * scale, 3e-6 * scale);
                }
            }
        }
    }

    [Theory]
    [InlineData(3)]
    [InlineData(5)]
    [InlineData(11)]
    public void Measure_NoisyGround_EqualsTheNormalEquations(int window)
    {
        ElevationGrid ground = Surfaces.Changed(
            Surfaces.Make(23, 26, 2.5, (x, y) => 700 + (3 * Math.Sin(x / 9)) + (2 * Math.Cos(y / 7)) + (0.05 * x)),
            (r, c, z) => (r, c) == (4, 20) ? float.NaN : z + (0.1f * (float)Noise.At(r, c, 5)));
        IReadOnlyList<Grid<float>> bends = Curvature.Measure(ground, All, window);
        int half = window / 2;
        int compared = 0;
        for (int r = half; r < 23 - half; r++)
        {
            for (int c = half; c < 26 - half; c++)
            {
                if (Math.Abs(r - 4) <= half && Math.Abs(c - 20) <= half)
                {
                    Assert.All(bends, b => Assert.True(float.IsNaN(b[r, c])));
                    continue;
                }

                double[] expected = Solve(ground, r, c, half);
                for (int k = 0; k < All.Length; k++)
                {
                    Assert.InRange(bends[k][r, c] - expected[k], -1e-6 * (1e-3 + Math.Abs(expected[k])), 1e-6 * (1e-3 + Math.Abs(expected[k])));
                }

                compared++;
            }
        }

        Assert.True(compared > 50);
    }

    // D-13: the trough z = .002 x^2 - .05 y bends by .08 along its axis, whatever the window.
    [Theory]
    [InlineData(3)]
    [InlineData(15)]
    public void Contour_TroughAndRidge_BendTheSameWaySeenThroughAnyWindow(int window)
    {
        Assert.Equal(-0.08, Curvature.Contour(Surfaces.Make(21, 21, 1, Surfaces.Trough(0.002, 0.05)), window)[10, 10], 4);
        Assert.Equal(0.08, Curvature.Contour(Surfaces.Make(21, 21, 1, Surfaces.Trough(-0.002, 0.05)), window)[10, 10], 4);
    }

    [Theory]
    [MemberData(nameof(Lengths0To256))]
    public void AddScaled_VectorRow_MatchesScalar(int length)
    {
        double[] to = [.. Enumerable.Range(0, length).Select(i => Noise.At(0, i, 1))];
        double[] from = [.. Enumerable.Range(0, length).Select(i => i % 17 == 3 ? double.NaN : Noise.At(1, i, 1))];
        double[] expected = [.. to.Zip(from, (a, b) => a + (b * 0.3))];
        QuadraticRows.AddScaled(to, from, 0.3);
        Assert.Equal(expected, to);
    }

    public static TheoryData<int> Lengths0To256 => [.. Enumerable.Range(0, 257)];

    [Fact]
    public void Measure_WrongCalls_AreRefused()
    {
        ElevationGrid ground = Surfaces.Make(9, 9, 1, Surfaces.Cone(10, 0.1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Curvature.Mean(ground, 4));
        Assert.Throws<ArgumentOutOfRangeException>(() => Curvature.Mean(ground, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Curvature.Measure(ground, [(CurvatureKind)17]));
        Assert.ThrowsAny<OperationCanceledException>(() => Curvature.Mean(ground, 3, new CancellationToken(true)));
        Assert.All(Curvature.Mean(ground, 11).Values.ToArray(), k => Assert.True(float.IsNaN(k)));
    }

    private static double[] Solve(ElevationGrid ground, int row, int column, int half)
    {
        int n = (2 * half) + 1;
        Matrix<double> a = Matrix<double>.Build.Dense(n * n, 6);
        Vector<double> z = Vector<double>.Build.Dense(n * n);
        double cell = ground.Frame.CellSize;
        for (int i = 0; i < n * n; i++)
        {
            (int up, int right) = (half - (i / n), (i % n) - half);
            (double x, double y) = (right * cell, up * cell);
            a.SetRow(i, [1, x, y, x * x, x * y, y * y]);
            z[i] = ground[row - up, column + right] - 700;
        }

        Vector<double> f = a.TransposeThisAndMultiply(a).Cholesky().Solve(a.TransposeThisAndMultiply(z));
        return Bends(f[1], f[2], 2 * f[3], f[4], 2 * f[5]);
    }

    private static double[] Bends(double p, double q, double r, double s, double t)
    {
        double g = (p * p) + (q * q);
        double w = 1 + g;
        double profile = -((p * p * r) + (2 * p * q * s) + (q * q * t)) / (g * Math.Pow(w, 1.5));
        double across = -((q * q * r) - (2 * p * q * s) + (p * p * t));
        double mean = -(((1 + (q * q)) * r) - (2 * p * q * s) + ((1 + (p * p)) * t)) / (2 * Math.Pow(w, 1.5));
        double root = Math.Sqrt(Math.Max((mean * mean) - (((r * t) - (s * s)) / (w * w)), 0));
        return [profile, across / (g * Math.Sqrt(w)), across / Math.Pow(g, 1.5), mean, mean - root, mean + root];
    }
}
