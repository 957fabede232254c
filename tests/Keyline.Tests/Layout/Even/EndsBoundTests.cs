using Keyline.Layout;
using Keyline.Layout.Even;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout.Even;

/// <summary>The certified bound on line ends.</summary>
public sealed class EndsBoundTests
{
    [Fact]
    public void Bound_NeverLiesAboveAnyFieldInTheWindows()
    {
        Random random = new(11);
        for (int k = 0; k < 40; k++)
        {
            SpacingProblem problem = FieldMaker.Random(random, 5, 6, k % 2 == 0);
            double bound = EndsBound.Find(problem, 20 + (20 * (k % 5)), TestContext.Current.CancellationToken).Bound;
            Assert.True(bound >= 0);
            for (int trial = 0; trial < 50; trial++)
            {
                double[] east = new double[30];
                double[] south = new double[30];
                for (int i = 0; i < 30; i++)
                {
                    // Any direction within the half angle and any length allowed, the sector itself and not the trapezoid.
                    double angle = Math.Atan(problem.Tangent[i]) * ((2 * random.NextDouble()) - 1);
                    double length = problem.Least + ((problem.Most - problem.Least) * random.NextDouble());
                    (double sin, double cos) = Math.SinCos(angle);
                    east[i] = length * ((cos * problem.MiddleEast[i]) - (sin * problem.MiddleSouth[i]));
                    south[i] = length * ((cos * problem.MiddleSouth[i]) + (sin * problem.MiddleEast[i]));
                }

                Assert.True(problem.LineEnds(east, south) >= bound - 1e-9);
            }
        }
    }

    [Fact]
    public void Bound_ComesNearTheBestField()
    {
        Random random = new(12);
        double bounds = 0;
        double reached = 0;
        for (int k = 0; k < 10; k++)
        {
            (double bound, double best) = EndsBound.Find(FieldMaker.Random(random, 12, 12, false), 3000, TestContext.Current.CancellationToken);
            bounds += bound;
            reached += best;
        }

        // The steps work with trapezoids about the sectors, so what is reached may be a little less than the sectors allow.
        Assert.True(bounds > 1);
        Assert.InRange(bounds, 0.9 * reached, 1.1 * reached);
    }

    [Fact]
    public void TwoPlanesMeeting_BoundIsWhatTheirWindowsLeaveOver()
    {
        // Level lines at exactly the spacing leave no play, so the bound is the whole circulation of the seam.
        NodeGrid grid = FieldMaker.Grid(new Envelope(-40, 40, 0, 100), (x, _) => Slope(x < 0 ? 0.4 : -0.4), 0.005);
        EvenSettings settings = FieldMaker.Settings(0.0005);
        SpacingProblem problem = EndsBound.Pose(grid, settings, NodeSigns.OfLand(grid, 6));
        (double bound, double reached) = EndsBound.Find(problem, 600, TestContext.Current.CancellationToken);
        double seam = NodeGrid.NodeSize * (Enumerable.Range(0, grid.Frame.Rows).Count(r => grid.Work[(r * grid.Frame.Columns) + (grid.Frame.Columns / 2)]) - 1);
        double whole = 2 * Math.Sin(0.4) * seam / settings.Spacing;
        Assert.InRange(bound, 0.95 * whole, whole);
        Assert.InRange(reached, bound, 1.05 * whole);

        static XY Slope(double angle) => new(0.05 * Math.Cos(angle), 0.05 * Math.Sin(angle));
    }

    [Fact]
    public void Plane_NeedsNoEnds()
    {
        NodeGrid grid = FieldMaker.Grid(new Envelope(0, 80, 0, 80), (_, _) => new XY(0.03, 0.02), 1);
        SpacingProblem problem = EndsBound.Pose(grid, FieldMaker.Settings(), NodeSigns.OfLand(grid, 6));
        (double bound, double reached) = EndsBound.Find(problem, 200, TestContext.Current.CancellationToken);
        Assert.InRange(bound, 0, 1e-9);
        Assert.InRange(reached, 0, 1e-9);
    }
}
