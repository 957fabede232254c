namespace Keyline.Layout.Even;

/// <summary>How few line ends the windows allow at all: a certified lower bound, and a field that nearly reaches it.</summary>
/// <remarks>
/// <para>The bound holds for every field V with each node's V in its window (the trapezoid of <see cref="SpacingProblem"/>; where a
/// window is wider than 160 degrees, the whole disc) that is counted by the same signs. It sums, for duals y between -1 and 1 on the
/// faces, the least that each node's part of y's transposed circulation can come to in its window, so it is right however
/// far the duals are from the best ones.</para>
/// <para>Cost: steps times nodes, rows in parallel; the same bits on any number of cores.</para>
/// <para>Source: linear programming duality; steps after A. Chambolle and T. Pock, 2011, A first-order primal-dual algorithm for
/// convex problems, Journal of Mathematical Imaging and Vision 40, Algorithm 1.</para>
/// </remarks>
internal sealed class EndsBound
{
    private const double WidestHalf = 45 * Math.PI / 180;

    private readonly SpacingProblem _problem;
    private readonly int _columns;
    private readonly double[] _east, _south, _overEast, _overSouth, _y, _tangent, _cos;
    private readonly sbyte[] _ne, _sw, _se;

    private EndsBound(SpacingProblem problem)
    {
        _problem = problem;
        _columns = problem.Columns;
        int n = problem.Domain.Length;
        _east = (double[])problem.MiddleEast.Clone();
        _south = (double[])problem.MiddleSouth.Clone();
        _overEast = (double[])_east.Clone();
        _overSouth = (double[])_south.Clone();
        _y = new double[n];
        _tangent = problem.Tangent;
        _cos = [.. _tangent.Select(t => 1 / Math.Sqrt(1 + (t * t)))];
        (_ne, _sw, _se) = (new sbyte[n], new sbyte[n], new sbyte[n]);
        for (int i = 0; i < n; i++)
        {
            if (problem.Ends[i] > 0)
            {
                (int ne, int sw, int se, _) = problem.Signs.Face(i);
                (_ne[i], _sw[i], _se[i]) = ((sbyte)ne, (sbyte)sw, (sbyte)se);
            }
        }
    }

    /// <summary>The bound on the sum of |circulation|, and the sum of the field found beside it.</summary>
    /// <param name="problem">Windows, signs, and faces with a price above 0 that are counted; nodes of its domain are held to their windows.</param>
    /// <param name="steps">Number of steps.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static (double Bound, double Reached) Find(SpacingProblem problem, int steps, CancellationToken cancellationToken)
    {
        EndsBound bound = new(problem);
        double best = 0;
        double step = 1 / (2 * Math.Sqrt(2) * problem.Step);
        const int Every = 50;
        for (int k = 0; k < steps; k++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            RowBlocks.Run(problem.Rows, bound._columns, (from, to) => bound.Dual(from, to, step));
            RowBlocks.Run(problem.Rows, bound._columns, (from, to) => bound.Primal(from, to, step));
            if (k % Every == Every - 1 || k == steps - 1)
            {
                best = Math.Max(best, bound.Certificate());
            }
        }

        return (best, problem.LineEnds(bound._east, bound._south));
    }

    // Windows opened to all a node may do: half angle and whether any direction goes.
    public static SpacingProblem Pose(NodeGrid grid, EvenSettings settings, NodeSigns signs)
    {
        double tolerance = settings.Tolerance;
        SpacingProblem problem = new(grid.Frame.Rows, grid.Frame.Columns, grid.Frame.CellSize / settings.Spacing, 1 / (1 + tolerance), 1 / (1 - tolerance), signs);
        for (int i = 0; i < grid.Count; i++)
        {
            problem.Domain[i] = grid.Work[i];
            (problem.MiddleEast[i], problem.MiddleSouth[i]) = grid.Normal(i, (grid.Low[i] + grid.High[i]) / 2);
            double half = (grid.High[i] - grid.Low[i]) / 2;
            problem.Tangent[i] = half > WidestHalf ? double.PositiveInfinity : Math.Tan(half);
            problem.Across[i] = 1;
        }

        problem.PriceFaces(grid.Work, 1);
        return problem;
    }

    private (double East, double South) Transposed(int i)
    {
        double nw = _y[i];
        double ne = i >= 1 ? _y[i - 1] * _ne[i - 1] : 0;
        double sw = i >= _columns ? _y[i - _columns] * _sw[i - _columns] : 0;
        double se = i > _columns ? _y[i - _columns - 1] * _se[i - _columns - 1] : 0;
        double half = 0.5 * _problem.Step;
        return (half * (nw + ne - sw - se), half * (ne + se - nw - sw));
    }

    private void Dual(int from, int to, double step)
    {
        double half = 0.5 * _problem.Step;
        double[] ends = _problem.Ends, e = _overEast, s = _overSouth;
        for (int i = from * _columns; i < to * _columns; i++)
        {
            if (ends[i] > 0)
            {
                // As the problem's circulation, with the signs at hand.
                int below = i + _columns;
                double ne = _ne[i], sw = _sw[i], se = _se[i];
                double circulation = half * (e[i] + (ne * e[i + 1]) - (sw * e[below]) - (se * e[below + 1])
                    - s[i] - (sw * s[below]) + (ne * s[i + 1]) + (se * s[below + 1]));
                _y[i] = Math.Clamp(_y[i] + (step * circulation), -1, 1);
            }
        }
    }

    private void Primal(int from, int to, double step)
    {
        bool[] domain = _problem.Domain;
        for (int i = from * _columns; i < to * _columns; i++)
        {
            if (!domain[i])
            {
                continue;
            }

            (double ce, double cs) = Transposed(i);
            double e = _east[i] - (step * ce);
            double s = _south[i] - (step * cs);
            if (double.IsPositiveInfinity(_tangent[i]))
            {
                double over = Math.Max(Math.Sqrt((e * e) + (s * s)) / _problem.Most, 1);
                (e, s) = (e / over, s / over);
            }
            else
            {
                double me = _problem.MiddleEast[i];
                double ms = _problem.MiddleSouth[i];
                (double x, double y) = WindowShape.Nearest((e * me) + (s * ms), (s * me) - (e * ms), _tangent[i], _problem.Least * _cos[i], _problem.Most);
                (e, s) = ((x * me) - (y * ms), (x * ms) + (y * me));
            }

            (_overEast[i], _overSouth[i]) = ((2 * e) - _east[i], (2 * s) - _south[i]);
            (_east[i], _south[i]) = (e, s);
        }
    }

    private double Certificate()
    {
        double sum = 0;
        for (int i = 0; i < _y.Length; i++)
        {
            if (!_problem.Domain[i])
            {
                continue;
            }

            (double ce, double cs) = Transposed(i);
            if (double.IsPositiveInfinity(_tangent[i]))
            {
                sum -= Math.Sqrt((ce * ce) + (cs * cs)) * _problem.Most;
                continue;
            }

            // Over the sector a linear function is least at one of its corners or, where it falls away inside it, on its outer arc.
            double along = (ce * _problem.MiddleEast[i]) + (cs * _problem.MiddleSouth[i]);
            double across = Math.Abs((cs * _problem.MiddleEast[i]) - (ce * _problem.MiddleSouth[i]));
            double corner = _cos[i] * (along - (_tangent[i] * across));
            sum += -along >= 0 && across <= -along * _tangent[i]
                ? -_problem.Most * Math.Sqrt((along * along) + (across * across))
                : Math.Min(_problem.Least * corner, _problem.Most * corner);
        }

        return sum;
    }
}
