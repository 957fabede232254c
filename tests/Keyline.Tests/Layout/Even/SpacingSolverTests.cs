using Keyline.Layout;
using Keyline.Layout.Even;
using Keyline.Planar;
using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.Optimization;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout.Even;

/// <summary>The convex problem of even lines.</summary>
public sealed class SpacingSolverTests
{
    [Theory]
    [InlineData(1, false)]
    [InlineData(2, true)]
    [InlineData(3, false)]
    [InlineData(4, true)]
    public void SmallProblem_ReachesTheObjectiveOfAGenericSolver(int seed, bool turned)
    {
        // Outside check: the quasi-Newton minimiser of MathNet.Numerics 5.0 on the objective itself, |x| rounded off over ever
        // shorter lengths. Computed here.
        SpacingProblem problem = FieldMaker.Random(new Random(seed), 4, 5, turned);
        (double[] east, double[] south) = Start(problem);
        SpacingSolver.Solve(problem, east, south, null, 6000, TestContext.Current.CancellationToken);
        double ours = problem.Objective(east, south);
        double theirs = Generic(problem);
        Assert.True(theirs > 0);
        Assert.InRange(ours, theirs * (1 - 1e-3), theirs * (1 + 1e-4));
    }

    [Theory]
    [InlineData(5)]
    [InlineData(6)]
    public void Steps_AreThoseOfThePlainTwin(int seed)
    {
        SpacingProblem problem = FieldMaker.Random(new Random(seed), 9, 21, true);
        (double[] east, double[] south) = Start(problem);
        (double[] plainEast, double[] plainSouth) = Start(problem);
        SpacingSolver.Solve(problem, east, south, null, 40, TestContext.Current.CancellationToken);
        PlainSpacingSolver.Solve(problem, plainEast, plainSouth, 40);
        for (int i = 0; i < east.Length; i++)
        {
            if (problem.Domain[i])
            {
                Assert.Equal(plainEast[i], east[i], 1e-4);
                Assert.Equal(plainSouth[i], south[i], 1e-4);
            }
        }
    }

    [Fact]
    public void Steps_FewAfterMany_GoOnFromTheDualsLeft()
    {
        SpacingProblem problem = FieldMaker.Random(new Random(7), 12, 12, true);
        (double[] east, double[] south) = Start(problem);
        (double[] twiceEast, double[] twiceSouth) = Start(problem);
        SpacingSolver.Solve(problem, east, south, new SpacingDuals(144), 60, TestContext.Current.CancellationToken);
        SpacingDuals duals = new(144);
        SpacingSolver.Solve(problem, twiceEast, twiceSouth, duals, 25, TestContext.Current.CancellationToken);
        SpacingSolver.Solve(problem, twiceEast, twiceSouth, duals, 35, TestContext.Current.CancellationToken);
        Assert.Equal(east, twiceEast);
        Assert.Equal(south, twiceSouth);
    }

    [Theory]
    [InlineData(0.02)]
    [InlineData(0.1)]
    public void Plane_HasNoCirculation(double tolerance)
    {
        NodeGrid grid = FieldMaker.Grid(new Envelope(0, 120, 0, 100), (_, _) => new XY(0.04, 0.03), 1);
        SpacingField field = SpacingField.Solve(grid, FieldMaker.Settings(tolerance), null, TestContext.Current.CancellationToken);
        Assert.InRange(field.LineEnds, 0, 1e-3);
        Assert.All(Enumerable.Range(0, grid.Count).Where(i => grid.Domain[i]), i =>
        {
            Assert.Equal(0.8, field.East[i], 1e-4);
            Assert.Equal(0.6, field.South[i], 1e-4);
        });
    }

    [Theory]
    [InlineData(0.02)]
    [InlineData(0.1)]
    public void Cone_HasNoCirculation(double tolerance)
    {
        static bool Ring(double x, double y) => x * x + y * y is > 30 * 30 and < 100 * 100;
        NodeGrid grid = FieldMaker.Grid(new Envelope(-100, 100, -100, 100), (x, y) => new XY(x, -y).Unit() * 0.05, 1, Ring);
        SpacingField field = SpacingField.Solve(grid, FieldMaker.Settings(tolerance), null, TestContext.Current.CancellationToken);
        Assert.InRange(field.LineEnds, 0, 0.05);
    }

    [Theory]
    [InlineData(0.5, -0.3, 120)]
    [InlineData(-0.4, 0.6, 120)]
    [InlineData(0.2, 0.5, 80)]
    public void TwoPlanesMeeting_EndAsManyLinesAsTheirDirectionsAsk(double left, double right, double length)
    {
        // Lines a spacing apart and level on either side: along a seam that runs north, lines of one side are met by those of the
        // other at the rate of their normals' components along it, so the circulation per metre is the difference of these over
        // the spacing. Plane geometry, computed here.
        NodeGrid grid = FieldMaker.Grid(new Envelope(-60, 60, 0, length), (x, _) => Slope(x < 0 ? left : right), 0.01);
        EvenSettings settings = FieldMaker.Settings(0.002) with { DriftWorth = 400 };
        SpacingField field = SpacingField.Solve(grid, settings, null, TestContext.Current.CancellationToken, 3000);
        double seam = (grid.Frame.CellSize * (Enumerable.Range(0, grid.Frame.Rows).Count(r => grid.Domain[(r * grid.Frame.Columns) + (grid.Frame.Columns / 2)]) - 1));
        double expected = Math.Abs(Math.Sin(left) - Math.Sin(right)) * seam / settings.Spacing;
        Assert.InRange(field.LineEnds, 0.95 * expected, 1.05 * expected);

        static XY Slope(double angle) => new(0.05 * Math.Cos(angle), 0.05 * Math.Sin(angle));
    }

    [Fact]
    public void Crest_WhereDownhillTurnsRound_IsWorkedThrough()
    {
        // Lines run along a crest at one spacing on both flanks and over it: counted the same way across it, nothing has to give.
        NodeGrid grid = FieldMaker.Grid(new Envelope(-60, 60, 0, 80), (x, _) => new XY(x < 0.1 ? -0.05 : 0.05, 0), 1);
        SpacingField field = SpacingField.Solve(grid, FieldMaker.Settings(), null, TestContext.Current.CancellationToken);
        Assert.InRange(field.LineEnds, 0, 1e-3);
        Assert.All(Enumerable.Range(0, grid.Count).Where(i => grid.Domain[i]), i => Assert.Equal(1, Math.Abs(field.East[i]), 1e-3));
    }

    private static (double[] East, double[] South) Start(SpacingProblem problem) => ((double[])problem.MiddleEast.Clone(), (double[])problem.MiddleSouth.Clone());

    private static double Generic(SpacingProblem problem)
    {
        int[] nodes = [.. Enumerable.Range(0, problem.Domain.Length).Where(i => problem.Domain[i])];
        (double[] east, double[] south) = Start(problem);
        double round = 1e-1;
        double Value(Vector<double> at)
        {
            Put(at);
            double sum = problem.Objective(east, south);
            for (int i = 0; i < problem.Ends.Length; i++)
            {
                if (problem.Ends[i] > 0)
                {
                    double c = problem.Circulation(east, south, i);
                    sum += problem.Ends[i] * (Math.Sqrt((c * c) + (round * round)) - round - Math.Abs(c));
                }
            }

            return sum;
        }

        Vector<double> x = Vector<double>.Build.Dense(2 * nodes.Length, k => k < nodes.Length ? east[nodes[k]] : south[nodes[k - nodes.Length]]);
        for (; round > 1e-6; round *= 0.3)
        {
            IObjectiveFunction objective = ObjectiveFunction.Gradient(Value, at => Vector<double>.Build.Dense(at.Count, k =>
            {
                const double H = 1e-7;
                Vector<double> up = at.Clone();
                Vector<double> down = at.Clone();
                up[k] += H;
                down[k] -= H;
                return (Value(up) - Value(down)) / (2 * H);
            }));
            try
            {
                x = new BfgsMinimizer(1e-7, 1e-10, 1e-12, 400).FindMinimum(objective, x).MinimizingPoint;
            }
            catch (OptimizationException)
            {
                // A line search that cannot improve any more: the next, sharper round goes on from the best point so far.
            }
        }

        Put(x);
        return problem.Objective(east, south);

        void Put(Vector<double> at)
        {
            for (int k = 0; k < nodes.Length; k++)
            {
                east[nodes[k]] = at[k];
                south[nodes[k]] = at[k + nodes.Length];
            }
        }
    }
}
