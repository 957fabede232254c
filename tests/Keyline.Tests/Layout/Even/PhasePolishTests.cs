using Keyline.Layout;
using Keyline.Layout.Even;
using Keyline.Planar;
using Keyline.Tests.Support;
using MathNet.Numerics.LinearAlgebra;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout.Even;

/// <summary>The polish of phases, its descent and its preconditioner.</summary>
public sealed class PhasePolishTests
{
    [Fact]
    public void Gradient_IsTheSlopeOfTheValue()
    {
        (PhaseGrid grid, SpacingField field) = Bumpy();
        PhasePolish polish = new(grid, field, TestContext.Current.CancellationToken);
        int n = grid.Domain.Length;
        Random random = new(3);
        double[] at = [.. Enumerable.Range(0, n).Select(_ => 0.1 * (random.NextDouble() - 0.5))];
        double[] gradient = new double[n];
        double[] other = new double[n];
        polish.Slope(at, gradient);
        foreach (int i in Enumerable.Range(0, n).Where(i => grid.Domain[i]).Where((_, k) => k % 7 == 0))
        {
            const double H = 1e-6;
            double kept = at[i];
            at[i] = kept + H;
            double up = polish.Slope(at, other);
            at[i] = kept - H;
            double down = polish.Slope(at, other);
            at[i] = kept;
            Assert.Equal((up - down) / (2 * H), gradient[i], 1e-5);
        }
    }

    [Fact]
    public void Polish_KeepsWholeNumbers_AndBringsStepsIntoTheirWindows()
    {
        (PhaseGrid grid, SpacingField field) = Bumpy();
        int residues = grid.Residues();
        double before = new PhasePolish(grid, field, TestContext.Current.CancellationToken).Slope(new double[grid.Domain.Length], new double[grid.Domain.Length]);
        PhasePolish.Run(grid, field, 8, TestContext.Current.CancellationToken);
        double after = new PhasePolish(grid, field, TestContext.Current.CancellationToken).Slope(new double[grid.Domain.Length], new double[grid.Domain.Length]);
        Assert.Equal(residues, grid.Residues());
        Assert.True(residues > 3);
        Assert.InRange(after, 0, 0.9 * before);
        for (int i = 0; i < grid.Domain.Length; i++)
        {
            if (grid.HasEast(i))
            {
                double off = (grid.Signs.East[i] * grid.Phase[i + 1]) - grid.Phase[i] - grid.StepEast[i];
                Assert.Equal(Math.Round(off), off, 1e-9);
            }
        }
    }

    [Fact]
    public void Multigrid_IsSymmetric_AndTakesTheErrorDown()
    {
        const int Rows = 37;
        const int Columns = 45;
        const int N = Rows * Columns;
        Random random = new(4);
        bool[] free = [.. Enumerable.Range(0, N).Select(i => Math.Abs((i % Columns) - 20) + Math.Abs((i / Columns) - 15) > 6)];
        bool[] held = [.. Enumerable.Range(0, N).Select(i => i < Columns)];
        free = [.. free.Select((f, i) => f && !held[i])];
        double[] side = [.. Enumerable.Range(0, N).Select(i => (i % Columns / 9) + (i / Columns / 11) % 2 == 0 ? 1.0 : -1.0)];
        NodeSigns signs = NodeSigns.Of(Rows, Columns, side, new double[N]);
        SignedMultigrid inverse = SignedMultigrid.Create(Rows, Columns, free, held, signs);

        double[] a = Noise();
        double[] b = Noise();
        double[] ia = new double[N];
        double[] ib = new double[N];
        inverse.Apply(a, ia);
        inverse.Apply(b, ib);
        double ab = Dot(a, ib);
        Assert.Equal(ab, Dot(b, ia), 1e-4 * Math.Abs(Dot(a, ia)));
        Assert.True(Dot(a, ia) > 0);

        // Iterating x += inverse (load - A x) from the exact right side: the error shrinks by half a round or better.
        double[] error = Noise();
        double[] step = new double[N];
        double first = Math.Sqrt(Dot(error, Laplacian(error)));
        for (int k = 0; k < 10; k++)
        {
            inverse.Apply(Laplacian(error), step);
            error = [.. error.Zip(step, (e, s) => e - s)];
        }

        Assert.InRange(Math.Sqrt(Math.Max(0, Dot(error, Laplacian(error)))) / first, 0, 1e-3);

        double[] Noise() => [.. free.Select(f => f ? random.NextDouble() - 0.5 : 0)];

        double[] Laplacian(double[] u)
        {
            double[] result = new double[N];
            for (int i = 0; i < N; i++)
            {
                if (i % Columns < Columns - 1)
                {
                    Edge(i, i + 1, signs.East[i]);
                }

                if (i + Columns < N)
                {
                    Edge(i, i + Columns, signs.South[i]);
                }
            }

            return result;

            void Edge(int i, int j, int sign)
            {
                if ((free[i] || held[i]) && (free[j] || held[j]))
                {
                    double d = u[i] - (sign * u[j]);
                    result[i] += free[i] ? d : 0;
                    result[j] -= free[j] ? sign * d : 0;
                }
            }
        }
    }

    [Fact]
    public void Descent_FindsTheLeastOfAQuadratic()
    {
        // Outside check: the normal equations solved by MathNet.Numerics.
        const int N = 30;
        Random random = new(6);
        Matrix<double> root = Matrix<double>.Build.Dense(N, N, (_, _) => random.NextDouble() - 0.5);
        Matrix<double> a = (root.Transpose() * root) + Matrix<double>.Build.DenseIdentity(N);
        Vector<double> b = Vector<double>.Build.Dense(N, _ => random.NextDouble());
        double[] x = new double[N];
        SmoothDescent.Run(
            x,
            (at, gradient) =>
            {
                Vector<double> v = Vector<double>.Build.Dense(at);
                ((a * v) - b).AsArray().CopyTo(gradient, 0);
                return (0.5 * (v * (a * v))) - (b * v);
            },
            (load, result) => load.Select((l, i) => l / a[i, i]).ToArray().CopyTo(result, 0),
            200,
            1e-15,
            TestContext.Current.CancellationToken);
        Vector<double> exact = a.Solve(b);
        Assert.All(Enumerable.Range(0, N), i => Assert.Equal(exact[i], x[i], 1e-5));
    }

    private static double Dot(double[] a, double[] b) => a.Zip(b, (x, y) => x * y).Sum();

    private static (PhaseGrid Grid, SpacingField Field) Bumpy()
    {
        Envelope box = new(0, 100, 0, 90);
        NodeGrid nodes = FieldMaker.Grid(box, (x, y) => new XY(0.04, (x < 50 ? 0.03 : -0.02) + (0.01 * Math.Sin(y / 11))), 0.3);
        EvenSettings settings = FieldMaker.Settings();
        SpacingField field = SpacingField.Solve(nodes, settings, null, TestContext.Current.CancellationToken);
        PhaseGrid grid = PhaseGrid.Create(field, FieldGround.Box(0, 0, 100, 90), settings.Spacing, TestContext.Current.CancellationToken);
        LinePhase.Solve(grid, TestContext.Current.CancellationToken);
        return (grid, field);
    }
}
