using Keyline.Elevation;

namespace Keyline.Layout.Even;

/// <summary>The solved field of spacing and direction, with the windows it was last held to.</summary>
/// <remarks>
/// <para>Windows wider than the trapezoid allows are set about the solution and solved once more, and so are the signs.</para>
/// </remarks>
internal sealed class SpacingField
{
    /// <summary>Rounds of setting windows and solving.</summary>
    private const int Rounds = 2;
    private const int Steps = 400;
    private const double MostHalf = 20 * Math.PI / 180;
    private const double AnyWay = 120 * Math.PI / 180;
    private const double KeyHalf = Math.PI / 180;
    private const double KeyWeight = 20;
    private const double BeyondWeight = 0.1;
    private const double MiddlePull = 0.02;
    private const double FreePull = 0.3;
    private const double SlopeOfOne = 6;
    private const double LeastAcross = 0.3;
    private const double MostAcross = 2.5;
    private const double SignSmoothing = 6;
    private const double ReferenceSpacing = 3.048;

    private SpacingField(NodeGrid grid, SpacingProblem problem, double[] east, double[] south)
    {
        Grid = grid;
        Problem = problem;
        East = east;
        South = south;
    }

    public NodeGrid Grid { get; }

    public SpacingProblem Problem { get; }

    public double[] East { get; }

    public double[] South { get; }

    /// <summary>Line ends that the field asks for.</summary>
    public double LineEnds => Problem.LineEnds(East, South);

    /// <summary>Solves for the field.</summary>
    public static SpacingField Solve(NodeGrid grid, EvenSettings settings, KeylineNodes? keys, CancellationToken cancellationToken, int steps = Steps)
    {
        int n = grid.Count;
        double[] east = new double[n];
        double[] south = new double[n];
        for (int i = 0; i < n; i++)
        {
            (east[i], south[i]) = grid.Normal(i, (grid.Low[i] + grid.High[i]) / 2);
        }

        SpacingDuals duals = new(n);
        NodeSigns signs = NodeSigns.OfLand(grid, SignSmoothing);
        SpacingProblem problem = Pose(grid, settings, keys, signs, east, south, false);
        for (int round = 0; round < Rounds; round++)
        {
            if (round > 0)
            {
                TurnDownhill(grid, east, south, duals);
                problem = Pose(grid, settings, keys, NodeSigns.Of(grid.Frame.Rows, grid.Frame.Columns, east, south), east, south, true);
            }

            SpacingSolver.Solve(problem, east, south, duals, steps, cancellationToken);
        }

        return new SpacingField(grid, problem, east, south);
    }

    // A node whose lines were counted uphill is counted downhill again; its duals turn with it.
    private static void TurnDownhill(NodeGrid grid, double[] east, double[] south, SpacingDuals duals)
    {
        for (int i = 0; i < east.Length; i++)
        {
            if ((east[i] * grid.DownEast[i]) + (south[i] * grid.DownSouth[i]) < 0)
            {
                (east[i], south[i]) = (-east[i], -south[i]);
                (duals.Ends[i], duals.Along[i], duals.Across[i]) = (-duals.Ends[i], -duals.Along[i], -duals.Across[i]);
            }
        }
    }

    private static SpacingProblem Pose(NodeGrid grid, EvenSettings settings, KeylineNodes? keys, NodeSigns signs, double[] east, double[] south, bool solved)
    {
        GridFrame frame = grid.Frame;
        double tolerance = settings.SolverTolerance;
        SpacingProblem problem = new(frame.Rows, frame.Columns, frame.CellSize / settings.Spacing, 1 / (1 + tolerance), 1 / (1 - tolerance), signs);

        // What a node costs follows the length of line it carries.
        double weight = settings.DriftWorth * frame.CellArea / (NodeGrid.NodeSize * NodeGrid.NodeSize) * ReferenceSpacing / settings.Spacing;
        for (int i = 0; i < grid.Count; i++)
        {
            double half = (grid.High[i] - grid.Low[i]) / 2;
            double middle = (grid.High[i] + grid.Low[i]) / 2;
            if (half > MostHalf)
            {
                double now = solved ? Angle(grid, east, south, i) : middle;
                middle = 2 * half > AnyWay ? now : Math.Clamp(now, grid.Low[i] + MostHalf, grid.High[i] - MostHalf);
            }

            problem.Domain[i] = grid.Domain[i];
            (problem.MiddleEast[i], problem.MiddleSouth[i]) = grid.Normal(i, middle);
            problem.Tangent[i] = Math.Tan(Math.Min(half, MostHalf));
            problem.Across[i] = Math.Clamp(grid.Slope[i] / SlopeOfOne, LeastAcross, MostAcross);
            problem.Weight[i] = grid.Domain[i] ? weight * (grid.Work[i] ? 1 : BeyondWeight) : 0;
            problem.Pull[i] = grid.Domain[i] ? MiddlePull * (half > MostHalf ? FreePull : 1) : 0;
            if (keys is not null && keys.Line[i] >= 0 && grid.Domain[i])
            {
                double side = (keys.East[i] * problem.MiddleEast[i]) + (keys.South[i] * problem.MiddleSouth[i]) < 0 ? -1 : 1;
                (problem.MiddleEast[i], problem.MiddleSouth[i]) = (side * keys.East[i], side * keys.South[i]);
                problem.Tangent[i] = Math.Tan(KeyHalf);
                problem.Weight[i] = weight * KeyWeight;
            }
        }

        problem.PriceFaces(grid.Domain, 1);
        return problem;
    }

    private static double Angle(NodeGrid grid, double[] east, double[] south, int i)
    {
        double along = (east[i] * grid.DownEast[i]) + (south[i] * grid.DownSouth[i]);
        double across = (east[i] * grid.DownSouth[i]) - (south[i] * grid.DownEast[i]);
        return Math.Atan2(across, along);
    }
}
