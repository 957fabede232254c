using CsCheck;
using Keyline.Landform;
using MathNet.Numerics.LinearAlgebra;

namespace Keyline.Tests.Landform;

/// <summary>The exact two-slope fit against trying knots one by one with a general least-squares solver.</summary>
public sealed class TwoSlopeFitTests
{
    [Fact]
    public void Best_IsNoWorseThanAnyKnotTried() =>
        Gen.Double[-1, 1].Array[12, 40].Select(Gen.Double[10, 200], Gen.Double[-0.2, 0.2]).Sample(
            (noise, knot, change) =>
            {
                double[] s = [.. noise.Select((_, i) => 7.0 * i)], z = [.. noise.Select((e, i) => 50 - (0.05 * s[i]) + (change * Math.Max(0, s[i] - knot)) + (0.3 * e))];
                double low = s[0] + 20, high = s[^1] - 20;
                TwoSlopes best = TwoSlopeFit.Best(s, z, 0, s.Length - 1, 20, 20)!.Value;
                Assert.InRange(best.Knot, low, high);
                Assert.Equal(s.Zip(z).Sum(p => Math.Pow(p.Second - best.At(p.First), 2)), best.Squares, 1e-9);
                for (double k = low; k <= high; k += 0.7)
                {
                    Assert.True(best.Squares <= Solve(s, z, k) + 1e-9);
                }
            },
            iter: 300);

    // D. J. Hudson 1966, section 2: where both sides fit exactly the knot is where the lines cross, between points too.
    [Fact]
    public void Best_ExactSlopes_FindsTheKnotBetweenPoints()
    {
        double[] s = [.. Enumerable.Range(0, 40).Select(i => 5.0 * i)], z = [.. s.Select(d => 30 - (0.12 * Math.Min(d, 83.3)) - (0.03 * Math.Max(0, d - 83.3)))];
        TwoSlopes fit = TwoSlopeFit.Best(s, z, 0, 39, 20, 20)!.Value;
        Assert.Equal(83.3, fit.Knot, 1e-6);
        Assert.Equal(-0.12, fit.SlopeBefore, 1e-9);
        Assert.Equal(-0.03, fit.SlopeAfter, 1e-9);
        Assert.Equal(30 - (0.12 * 83.3), fit.HeightAtKnot, 1e-6);
        Assert.Null(TwoSlopeFit.Best(s, z, 0, 39, 150, 150));
    }

    [Fact]
    public void Parabola_IsThatOfAGeneralSolver()
    {
        double[] s = [.. Enumerable.Range(0, 30).Select(i => 4.0 * i)], z = [.. s.Select((d, i) => 0.001 * d * d + Math.Sin(i))];
        Matrix<double> a = Matrix<double>.Build.Dense(26, 3, (i, j) => Math.Pow(s[i + 2], j));
        Vector<double> b = Vector<double>.Build.Dense(26, i => z[i + 2]), left = b - (a * a.QR().Solve(b));
        Assert.Equal(left.DotProduct(left), TwoSlopeFit.Parabola(s, z, 2, 27), 1e-9);
    }

    private static double Solve(double[] s, double[] z, double knot)
    {
        Matrix<double> a = Matrix<double>.Build.Dense(s.Length, 3, (i, j) => j == 0 ? 1 : j == 1 ? s[i] : Math.Max(0, s[i] - knot));
        Vector<double> b = Vector<double>.Build.Dense(z), left = b - (a * a.QR().Solve(b));
        return left.DotProduct(left);
    }
}
