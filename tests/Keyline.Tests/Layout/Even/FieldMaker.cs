using Keyline.Elevation;
using Keyline.Layout;
using Keyline.Layout.Even;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Layout.Even;

/// <summary>Node grids of formula ground and random problems, for the tests of the even pattern.</summary>
internal static class FieldMaker
{
    public static EvenSettings Settings(double tolerance = 0.1, double spacing = 3, double leastLength = 20) => new()
    {
        Spacing = spacing,
        Tolerance = tolerance,
        GradeLimit = (_, _) => 2,
        MinimumRadius = 8,
        MinimumLength = leastLength,
    };

    /// <summary>Nodes over a box with windows about the contour, a given fall either way, of ground whose downhill gradient is
    /// given, east and south.</summary>
    public static NodeGrid Grid(Envelope box, Func<double, double, XY> fall, double window, Func<double, double, bool>? inside = null)
    {
        const double Rim = 8;
        GridFrame frame = new((int)Math.Ceiling((box.Height + (2 * Rim)) / NodeGrid.NodeSize), (int)Math.Ceiling((box.Width + (2 * Rim)) / NodeGrid.NodeSize), NodeGrid.NodeSize, box.MinX - Rim, box.MaxY + Rim);
        bool[] work = new bool[frame.CellCount];
        bool[] domain = new bool[work.Length];
        for (int i = 0; i < work.Length; i++)
        {
            double x = frame.CentreX(i % frame.Columns);
            double y = frame.CentreY(i / frame.Columns);
            work[i] = box.Contains(x, y) && (inside?.Invoke(x, y) ?? true);
            domain[i] = new Envelope(box.MinX - 6, box.MaxX + 6, box.MinY - 6, box.MaxY + 6).Contains(x, y) && (inside?.Invoke(x, y) ?? true);
        }

        return NodeGrid.Of(frame, domain, work, i =>
        {
            XY f = fall(frame.CentreX(i % frame.Columns), frame.CentreY(i / frame.Columns));
            double slope = 100 * f.Norm;
            double half = Math.Asin(Math.Min(0.95, window / slope));
            return new DirectionWindow(f.Unit().X, f.Unit().Y, slope, -half, half);
        });
    }

    /// <summary>A small problem with windows, signs, prices and holes at random.</summary>
    public static SpacingProblem Random(Random random, int rows, int columns, bool turned)
    {
        int n = rows * columns;
        double[] east = new double[n];
        double[] south = new double[n];
        double turn = random.NextDouble() * 6;
        for (int i = 0; i < n; i++)
        {
            double angle = turn + (0.8 * random.NextDouble()) + (turned && random.Next(4) == 0 ? Math.PI : 0);
            (south[i], east[i]) = Math.SinCos(angle);
        }

        SpacingProblem problem = new(rows, columns, 4 / 3.0, 1 / 1.06, 1 / 0.94, NodeSigns.Of(rows, columns, east, south));
        for (int i = 0; i < n; i++)
        {
            problem.Domain[i] = random.Next(12) != 0;
            (problem.MiddleEast[i], problem.MiddleSouth[i]) = (east[i], south[i]);
            problem.Tangent[i] = 0.02 + (0.3 * random.NextDouble());
            problem.Across[i] = 0.3 + (2 * random.NextDouble());
            problem.Weight[i] = problem.Domain[i] ? 0.2 + random.NextDouble() : 0;
            problem.Pull[i] = problem.Domain[i] ? 0.02 : 0;
        }

        problem.PriceFaces(problem.Domain, 1);
        return problem;
    }
}
