using System.Numerics;

namespace Keyline.Layout.Even;

/// <summary>Solves the convex problem of even lines by a first-order primal-dual method.</summary>
/// <remarks>
/// <para>Promises: the same bits whatever the number of cores, for every step is done node by node; the answer nears the least
/// objective as steps grow.</para>
/// <para>Cost: steps times nodes, about 60 operations on single-precision numbers each, rows in parallel.</para>
/// <para>Source: L. Condat, 2013, A primal-dual splitting method for convex optimization involving Lipschitzian, proximable and
/// linear composite terms, Journal of Optimization Theory and Applications 158, Algorithm 3.1 without over-relaxation.</para>
/// </remarks>
internal sealed class SpacingSolver
{
    private const float DualStep = 0.5f;

    private static readonly int Width = Vector<float>.Count;

    private readonly SpacingProblem _problem;
    private readonly int _stride;
    private readonly (int First, int Last)[] _spans;
    private readonly float[] _east, _south, _overEast, _overSouth, _ends, _along, _across;
    private readonly float[] _middleEast, _middleSouth, _tangent, _overTangent, _scale, _weight, _pull, _window, _windowInverse, _gain;
    private readonly float[] _bendEast, _bendSouth, _bendEastSigned, _bendSouthSigned, _price, _northEast, _southWest, _southEast;
    private readonly float _primal;

    private SpacingSolver(SpacingProblem problem)
    {
        _problem = problem;
        int rows = problem.Rows;
        int columns = problem.Columns;

        // A rim of empty nodes all round, and room for a whole vector past the end of a row.
        _stride = columns + 2 + Width;
        int n = ((rows + 2) * _stride) + Width;
        float[] New() => new float[n];
        (_east, _south, _overEast, _overSouth, _ends, _along, _across) = (New(), New(), New(), New(), New(), New(), New());
        (_middleEast, _middleSouth, _tangent, _overTangent, _scale) = (New(), New(), New(), New(), New());
        (_weight, _pull, _window, _windowInverse, _gain) = (New(), New(), New(), New(), New());
        (_bendEast, _bendSouth, _bendEastSigned, _bendSouthSigned) = (New(), New(), New(), New());
        (_price, _northEast, _southWest, _southEast) = (New(), New(), New(), New());
        _spans = new (int, int)[rows];
        double norm = 8 * problem.Step * problem.Step;
        double mostPull = 0;
        for (int r = 0; r < rows; r++)
        {
            int first = columns;
            int last = -1;
            for (int c = 0; c < columns; c++)
            {
                int i = (r * columns) + c;
                int at = At(r, c);
                _price[at] = (float)problem.Ends[i];
                if (problem.Ends[i] > 0)
                {
                    (int ne, int sw, int se, _) = problem.Signs.Face(i);
                    (_northEast[at], _southWest[at], _southEast[at]) = (ne, sw, se);
                }

                if (!problem.Domain[i])
                {
                    continue;
                }

                first = Math.Min(first, c);
                last = c;
                double scale = problem.Across[i];
                double window = 0.5 * DualStep * norm / Math.Max(1, scale * scale);
                double tangent = scale * problem.Tangent[i];
                _middleEast[at] = (float)problem.MiddleEast[i];
                _middleSouth[at] = (float)problem.MiddleSouth[i];
                _scale[at] = (float)scale;
                _tangent[at] = (float)tangent;
                _overTangent[at] = (float)(1 / (1 + (tangent * tangent)));
                _weight[at] = (float)problem.Weight[i];
                _pull[at] = (float)problem.Pull[i];
                _window[at] = (float)window;
                _windowInverse[at] = (float)(1 / window);
                _gain[at] = problem.Weight[i] > 0 ? (float)(window / (1 + (window * problem.Huber / problem.Weight[i]))) : 0;
                mostPull = Math.Max(mostPull, problem.Pull[i]);
                if (c < columns - 1 && problem.Domain[i + 1])
                {
                    _bendEast[at] = (float)problem.Bend;
                    _bendEastSigned[at] = (float)(problem.Bend * problem.Signs.East[i]);
                }

                if (r < rows - 1 && problem.Domain[i + columns])
                {
                    _bendSouth[at] = (float)problem.Bend;
                    _bendSouthSigned[at] = (float)(problem.Bend * problem.Signs.South[i]);
                }
            }

            _spans[r] = (first, last);
        }

        _primal = (float)(1 / ((((8 * problem.Bend) + mostPull) / 2) + (1.5 * DualStep * norm)));
    }

    /// <summary>Steps toward the least objective from where V stands.</summary>
    /// <param name="problem">The problem.</param>
    /// <param name="east">East components, replaced.</param>
    /// <param name="south">South components, replaced.</param>
    /// <param name="duals">Duals to start from and to leave behind, one a face and two a node; null to start from none.</param>
    /// <param name="steps">Number of steps.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static void Solve(SpacingProblem problem, double[] east, double[] south, SpacingDuals? duals, int steps, CancellationToken cancellationToken)
    {
        SpacingSolver solver = new(problem);
        solver.Load(east, solver._east);
        solver.Load(south, solver._south);
        if (duals is not null)
        {
            solver.Load(duals.Ends, solver._ends);
            solver.Load(duals.Along, solver._along);
            solver.Load(duals.Across, solver._across);
        }

        solver.Run(steps, cancellationToken);
        solver.Save(solver._east, east);
        solver.Save(solver._south, south);
        if (duals is not null)
        {
            solver.Save(solver._ends, duals.Ends);
            solver.Save(solver._along, duals.Along);
            solver.Save(solver._across, duals.Across);
        }
    }

    private int At(int row, int column) => ((row + 1) * _stride) + column + 1;

    private void Load(double[] from, float[] to)
    {
        for (int i = 0; i < from.Length; i++)
        {
            to[At(i / _problem.Columns, i % _problem.Columns)] = (float)from[i];
        }
    }

    private void Save(float[] from, double[] to)
    {
        for (int i = 0; i < to.Length; i++)
        {
            to[i] = from[At(i / _problem.Columns, i % _problem.Columns)];
        }
    }

    private void Run(int steps, CancellationToken cancellationToken)
    {
        int rows = _problem.Rows;
        for (int k = 0; k < steps; k++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            RowBlocks.Run(rows, _problem.Columns, Primal);
            RowBlocks.Run(rows, _problem.Columns, Dual);
        }
    }

    // The gradient reads V of rows above and below, so what is new is kept as 2 new - old in a second array and V itself is
    // brought up to date in the dual's pass, each node by the block that owns it.
    private void Primal(int from, int to)
    {
        int s = _stride;
        Vector<float> half = new((float)(0.5 * _problem.Step));
        Vector<float> step = new(_primal);
        for (int r = from; r < to; r++)
        {
            int end = At(r, _spans[r].Last);
            for (int i = At(r, _spans[r].First); i <= end; i += Width)
            {
                Vector<float> e = new(_east, i);
                Vector<float> u = new(_south, i);
                Vector<float> me = new(_middleEast, i);
                Vector<float> ms = new(_middleSouth, i);
                Vector<float> pull = new(_pull, i);
                Vector<float> along = new(_along, i);
                Vector<float> across = new Vector<float>(_across, i) * new Vector<float>(_scale, i);
                Vector<float> ge = (pull * (e - me)) + ((along * me) - (across * ms));
                Vector<float> gs = (pull * (u - ms)) + ((along * ms) + (across * me));

                Vector<float> right = new(_bendEast, i);
                Vector<float> left = new(_bendEast, i - 1);
                Vector<float> down = new(_bendSouth, i);
                Vector<float> up = new(_bendSouth, i - s);
                Vector<float> all = right + left + down + up;
                Vector<float> rightSigned = new(_bendEastSigned, i);
                Vector<float> leftSigned = new(_bendEastSigned, i - 1);
                Vector<float> downSigned = new(_bendSouthSigned, i);
                Vector<float> upSigned = new(_bendSouthSigned, i - s);
                ge += (all * e) - (rightSigned * new Vector<float>(_east, i + 1)) - (leftSigned * new Vector<float>(_east, i - 1)) - (downSigned * new Vector<float>(_east, i + s)) - (upSigned * new Vector<float>(_east, i - s));
                gs += (all * u) - (rightSigned * new Vector<float>(_south, i + 1)) - (leftSigned * new Vector<float>(_south, i - 1)) - (downSigned * new Vector<float>(_south, i + s)) - (upSigned * new Vector<float>(_south, i - s));

                // The four faces that a node is the north-west, north-east, south-west and south-east corner of.
                Vector<float> nw = new(_ends, i);
                Vector<float> ne = new Vector<float>(_ends, i - 1) * new Vector<float>(_northEast, i - 1);
                Vector<float> sw = new Vector<float>(_ends, i - s) * new Vector<float>(_southWest, i - s);
                Vector<float> se = new Vector<float>(_ends, i - s - 1) * new Vector<float>(_southEast, i - s - 1);
                ge += half * (nw + ne - sw - se);
                gs += half * (ne + se - nw - sw);
                (e - (2 * step * ge)).CopyTo(_overEast, i);
                (u - (2 * step * gs)).CopyTo(_overSouth, i);
            }
        }
    }

    private void Dual(int from, int to)
    {
        int s = _stride;
        Vector<float> half = new((float)(0.5 * _problem.Step));
        Vector<float> dual = new(DualStep);
        Vector<float> least = new((float)_problem.Least);
        Vector<float> most = new((float)_problem.Most);
        Vector<float> tiny = new(1e-20f);
        Vector<float> halve = new(0.5f);
        for (int r = from; r < to; r++)
        {
            int end = At(r, _spans[r].Last);
            for (int i = At(r, _spans[r].First); i <= end; i += Width)
            {
                Vector<float> e = new(_overEast, i);
                Vector<float> u = new(_overSouth, i);
                ((new Vector<float>(_east, i) + e) * halve).CopyTo(_east, i);
                ((new Vector<float>(_south, i) + u) * halve).CopyTo(_south, i);

                Vector<float> ne = new(_northEast, i);
                Vector<float> sw = new(_southWest, i);
                Vector<float> se = new(_southEast, i);
                Vector<float> price = new(_price, i);
                Vector<float> around = e - u + (ne * (new Vector<float>(_overEast, i + 1) + new Vector<float>(_overSouth, i + 1)))
                    - (sw * (new Vector<float>(_overEast, i + s) + new Vector<float>(_overSouth, i + s)))
                    + (se * (new Vector<float>(_overSouth, i + s + 1) - new Vector<float>(_overEast, i + s + 1)));
                Vector<float> y = new Vector<float>(_ends, i) + (dual * half * around);
                Vector.Min(Vector.Max(y, -price), price).CopyTo(_ends, i);

                Vector<float> me = new(_middleEast, i);
                Vector<float> ms = new(_middleSouth, i);
                Vector<float> inverse = new(_windowInverse, i);
                Vector<float> x = (e * me) + (u * ms) + (new Vector<float>(_along, i) * inverse);
                Vector<float> z = (new Vector<float>(_scale, i) * ((u * me) - (e * ms))) + (new Vector<float>(_across, i) * inverse);
                WindowShape.Nearest(x, z, new Vector<float>(_tangent, i), new Vector<float>(_overTangent, i), least, most, out Vector<float> nx, out Vector<float> nz);
                Vector<float> dx = x - nx;
                Vector<float> dz = z - nz;
                Vector<float> distance = Vector.SquareRoot((dx * dx) + (dz * dz));
                Vector<float> size = Vector.Min(distance * new Vector<float>(_gain, i), new Vector<float>(_weight, i)) / (distance + tiny);
                (size * dx).CopyTo(_along, i);
                (size * dz).CopyTo(_across, i);
            }
        }
    }
}

/// <summary>Duals of the convex problem: one a face, two a node.</summary>
internal sealed class SpacingDuals(int nodes)
{
    /// <summary>Of the circulation, between plus and minus the price of a line end.</summary>
    public double[] Ends { get; } = new double[nodes];

    /// <summary>Of the window along its middle.</summary>
    public double[] Along { get; } = new double[nodes];

    /// <summary>Of the window across its middle.</summary>
    public double[] Across { get; } = new double[nodes];
}
