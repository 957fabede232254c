namespace Keyline.Layout.Even;

/// <summary>Moves the phases, whole numbers kept, until their steps lie in the windows as well as they can and lines do not bend
/// tighter than they must.</summary>
/// <remarks>
/// <para>Least value of: over faces the Huber distance of the step, as a vector, to the window there, and a weak pull to the
/// spacing itself and a weaker one to the window's middle; over neighbouring edges the squared difference of steps, which is bending, less that of the land's own wide bends
/// (<see cref="WideBends"/>), weighed more where the first round bends tighter than the radius allows. Differences across the edges of a face where a line ends are no bending and are left out.</para>
/// <para>Cost: linear in nodes, some dozens of passes.</para>
/// </remarks>
internal sealed class PhasePolish
{
    private const int Rounds = 2;
    private const int Steps = 40;
    private const double LeastGain = 1e-4;
    private const double HuberReach = 0.06;
    private const double MiddlePull = 0.02;
    private const double LengthPull = 0.06;
    private const double Bending = 0.1;
    private const double RimWeight = 0.25;
    private const double RoomInRadius = 1.75;
    private const double MostBending = 6;

    private readonly PhaseGrid _grid;
    private readonly int _columns;
    private readonly double _least, _most;
    private readonly double[] _middleEast, _middleSouth, _tangent, _across, _weight;
    private readonly double[] _bendEE, _bendES, _bendSE, _bendSS;
    private readonly WideBends _wide;
    private readonly double[] _forceEast, _forceSouth, _stepEast, _stepSouth, _edgeEast, _edgeSouth, _rowSums;
    private readonly int[] _ne, _sw;
    private readonly bool[] _hasEast, _hasSouth;

    public PhasePolish(PhaseGrid grid, SpacingField field, CancellationToken cancellationToken)
    {
        _grid = grid;
        _columns = grid.Frame.Columns;
        (_least, _most) = (field.Problem.Least, field.Problem.Most);
        int n = grid.Domain.Length;
        double[] New() => new double[n];
        double[] downEast = New(), downSouth = New();
        (_middleEast, _middleSouth, _tangent, _across, _weight) = (New(), New(), New(), New(), New());
        (_bendEE, _bendES, _bendSE, _bendSS) = (New(), New(), New(), New());
        (_forceEast, _forceSouth, _stepEast, _stepSouth, _edgeEast, _edgeSouth) = (New(), New(), New(), New(), New(), New());
        _rowSums = new double[grid.Frame.Rows];
        _ne = new int[n];
        _sw = new int[n];
        Parallel.For(0, grid.Frame.Rows, WorkThreads.Options(cancellationToken), r =>
        {
            for (int i = r * _columns; i < (r + 1) * _columns; i++)
            {
                if (grid.HasFace(i) && grid.Signs.Face(i).Through)
                {
                    Window(field, i, r, downEast, downSouth);
                }
            }
        });
        _wide = WideBends.Find(grid, _weight, downEast, downSouth, cancellationToken);
        _hasEast = [.. Enumerable.Range(0, n).Select(grid.HasEast)];
        _hasSouth = [.. Enumerable.Range(0, n).Select(grid.HasSouth)];
        double bend = Bending * 0.25 * Math.Pow(NodeGrid.NodeSize / grid.Frame.CellSize, 2);
        bool[] cut = Cut();
        for (int i = 0; i < n; i++)
        {
            bool east = grid.HasEast(i);
            bool south = grid.HasSouth(i);
            _bendEE[i] = east && grid.HasEast(i + 1) && !cut[2 * i] && !cut[2 * (i + 1)] ? bend : 0;
            _bendES[i] = east && south && grid.HasEast(i + _columns) && !cut[2 * i] && !cut[2 * (i + _columns)] ? bend : 0;
            _bendSE[i] = south && east && grid.HasSouth(i + 1) && !cut[(2 * i) + 1] && !cut[(2 * (i + 1)) + 1] ? bend : 0;
            _bendSS[i] = south && grid.HasSouth(i + _columns) && !cut[(2 * i) + 1] && !cut[(2 * (i + _columns)) + 1] ? bend : 0;
        }
    }

    /// <summary>Polishes the steps and phases of a grid.</summary>
    /// <returns>Share of faces whose step misses its window by more than 5 %.</returns>
    public static double Run(PhaseGrid grid, SpacingField field, double minimumRadius, CancellationToken cancellationToken)
    {
        PhasePolish polish = new(grid, field, cancellationToken);
        bool[] free = [.. grid.Domain.Select((d, i) => d && !grid.Fixed[i])];
        bool[] held = [.. grid.Domain.Select((d, i) => d && grid.Fixed[i])];
        SignedMultigrid inverse = SignedMultigrid.Create(grid.Frame.Rows, grid.Frame.Columns, free, held, grid.Signs);
        double[] moved = new double[free.Length];
        double square = grid.Step * grid.Step;
        for (int round = 0; round < Rounds; round++)
        {
            SmoothDescent.Run(moved, polish.Slope, Precondition, Steps, LeastGain, cancellationToken);
            if (round + 1 < Rounds)
            {
                polish.Stiffen(moved, minimumRadius);
            }
        }

        double outside = polish.Outside(moved);
        polish.Apply(moved);
        return outside;

        void Precondition(double[] load, double[] result)
        {
            inverse.Apply(load, result);
            for (int i = 0; i < result.Length; i++)
            {
                result[i] *= square;
            }
        }
    }

    private void Window(SpacingField field, int i, int row, double[] downEast, double[] downSouth)
    {
        int column = i - (row * _columns);
        FieldSample sample = FieldSample.At(field, _grid.Frame.CentreX(column + 0.5), _grid.Frame.CentreY(row + 0.5));
        double side = (sample.MiddleEast * _grid.East[i]) + (sample.MiddleSouth * _grid.South[i]) < 0 ? -1 : 1;
        (_middleEast[i], _middleSouth[i]) = (side * sample.MiddleEast, side * sample.MiddleSouth);
        double fall = (sample.DownEast * _grid.East[i]) + (sample.DownSouth * _grid.South[i]) < 0 ? -1 : 1;
        (downEast[i], downSouth[i]) = (fall * sample.DownEast, fall * sample.DownSouth);
        (_tangent[i], _across[i]) = (sample.Tangent, sample.Across);
        _weight[i] = sample.Across > 0 ? (sample.Work ? 1 : RimWeight) : 0;
        (_ne[i], _sw[i], _, _) = _grid.Signs.Face(i);
    }

    // Edges (two a node: east, south) of faces where lines end or no count goes through.
    private bool[] Cut()
    {
        bool[] cut = new bool[2 * _grid.Domain.Length];
        for (int i = 0; i < _grid.Domain.Length; i++)
        {
            if (_grid.HasFace(i) && _grid.Residue(i) != 0)
            {
                cut[2 * i] = cut[(2 * i) + 1] = cut[2 * (i + _columns)] = cut[(2 * (i + 1)) + 1] = true;
            }
        }

        return cut;
    }

    /// <summary>Value at moved phases, and its gradient. Every pass gathers, so that rows are independent.</summary>
    public double Slope(double[] moved, double[] gradient)
    {
        int rows = _grid.Frame.Rows;
        double a = 1 / _grid.Step;
        RowBlocks.Run(rows, _columns, (from, to) => StepsOf(from, to, moved, a));
        RowBlocks.Run(rows, _columns, (from, to) =>
        {
            for (int r = from; r < to; r++)
            {
                FacesOf(r);
            }
        });
        RowBlocks.Run(rows, _columns, (from, to) =>
        {
            for (int r = from; r < to; r++)
            {
                EdgesOf(r);
            }
        });
        RowBlocks.Run(rows, _columns, (from, to) =>
        {
            for (int r = from; r < to; r++)
            {
                NodesOf(r, gradient, a);
            }
        });
        double sum = 0;
        for (int r = 0; r < rows; r++)
        {
            sum += _rowSums[r];
        }

        return sum;
    }

    private void StepsOf(int from, int to, double[] moved, double a)
    {
        double[] stepEast = _grid.StepEast, stepSouth = _grid.StepSouth;
        sbyte[] signEast = _grid.Signs.East, signSouth = _grid.Signs.South;
        for (int i = from * _columns; i < to * _columns; i++)
        {
            _stepEast[i] = _hasEast[i] ? a * (stepEast[i] + (signEast[i] * moved[i + 1]) - moved[i]) : 0;
            _stepSouth[i] = _hasSouth[i] ? a * (stepSouth[i] + (signSouth[i] * moved[i + _columns]) - moved[i]) : 0;
        }
    }

    private void FacesOf(int r)
    {
        double sum = 0;
        for (int i = r * _columns; i < (r + 1) * _columns; i++)
        {
            double weight = _weight[i];
            if (weight == 0)
            {
                continue;
            }

            double east = 0.5 * (_stepEast[i] + (_sw[i] * _stepEast[i + _columns]));
            double south = 0.5 * (_stepSouth[i] + (_ne[i] * _stepSouth[i + 1]));
            double scale = _across[i];
            double x = (east * _middleEast[i]) + (south * _middleSouth[i]);
            double y = scale * ((south * _middleEast[i]) - (east * _middleSouth[i]));
            (double px, double py) = WindowShape.Nearest(x, y, scale * _tangent[i], _least, _most);
            double dx = x - px;
            double dy = y - py;
            double miss = Math.Sqrt((dx * dx) + (dy * dy));
            double share = miss > HuberReach ? HuberReach / miss : 1;
            sum += weight * (miss > HuberReach ? HuberReach * (miss - (HuberReach / 2)) : miss * miss / 2);
            sum += weight * 0.5 * ((LengthPull * (x - 1) * (x - 1)) + (MiddlePull * y * y));
            double fx = weight * ((share * dx) + (LengthPull * (x - 1)));
            double fy = weight * scale * ((share * dy) + (MiddlePull * y));
            _forceEast[i] = 0.5 * ((fx * _middleEast[i]) - (fy * _middleSouth[i]));
            _forceSouth[i] = 0.5 * ((fx * _middleSouth[i]) + (fy * _middleEast[i]));
        }

        _rowSums[r] = sum;
    }

    private void EdgesOf(int r)
    {
        double bending = 0;
        sbyte[] signEast = _grid.Signs.East, signSouth = _grid.Signs.South;
        for (int i = r * _columns; i < (r + 1) * _columns; i++)
        {
            int up = i - _columns;
            double east = _forceEast[i] + (up >= 0 ? _sw[up] * _forceEast[up] : 0);
            double south = _forceSouth[i] + (i > 0 ? _ne[i - 1] * _forceSouth[i - 1] : 0);
            if (_bendEE[i] > 0)
            {
                double d = (signEast[i] * _stepEast[i + 1]) - _stepEast[i] - _wide.EastAlong[i];
                east -= _bendEE[i] * d;
                bending += _bendEE[i] * d * d;
            }

            if (_bendES[i] > 0)
            {
                double d = (signSouth[i] * _stepEast[i + _columns]) - _stepEast[i] - _wide.EastAcross[i];
                east -= _bendES[i] * d;
                bending += _bendES[i] * d * d;
            }

            if (_bendSE[i] > 0)
            {
                double d = (signEast[i] * _stepSouth[i + 1]) - _stepSouth[i] - _wide.SouthAcross[i];
                south -= _bendSE[i] * d;
                bending += _bendSE[i] * d * d;
            }

            if (_bendSS[i] > 0)
            {
                double d = (signSouth[i] * _stepSouth[i + _columns]) - _stepSouth[i] - _wide.SouthAlong[i];
                south -= _bendSS[i] * d;
                bending += _bendSS[i] * d * d;
            }

            if (i > 0)
            {
                int s = signEast[i - 1];
                east += _bendEE[i - 1] > 0 ? _bendEE[i - 1] * (_stepEast[i] - (s * (_stepEast[i - 1] + _wide.EastAlong[i - 1]))) : 0;
                south += _bendSE[i - 1] > 0 ? _bendSE[i - 1] * (_stepSouth[i] - (s * (_stepSouth[i - 1] + _wide.SouthAcross[i - 1]))) : 0;
            }

            if (up >= 0)
            {
                int s = signSouth[up];
                east += _bendES[up] > 0 ? _bendES[up] * (_stepEast[i] - (s * (_stepEast[up] + _wide.EastAcross[up]))) : 0;
                south += _bendSS[up] > 0 ? _bendSS[up] * (_stepSouth[i] - (s * (_stepSouth[up] + _wide.SouthAlong[up]))) : 0;
            }

            _edgeEast[i] = _hasEast[i] ? east : 0;
            _edgeSouth[i] = _hasSouth[i] ? south : 0;
        }

        _rowSums[r] += bending / 2;
    }

    private void NodesOf(int r, double[] gradient, double a)
    {
        sbyte[] signEast = _grid.Signs.East, signSouth = _grid.Signs.South;
        for (int i = r * _columns; i < (r + 1) * _columns; i++)
        {
            double sum = -_edgeEast[i] - _edgeSouth[i];
            sum += i > r * _columns ? signEast[i - 1] * _edgeEast[i - 1] : 0;
            sum += r > 0 ? signSouth[i - _columns] * _edgeSouth[i - _columns] : 0;
            gradient[i] = _grid.Domain[i] && !_grid.Fixed[i] ? a * sum : 0;
        }
    }

    private void Stiffen(double[] moved, double minimumRadius)
    {
        StepsOf(0, _grid.Frame.Rows, moved, 1 / _grid.Step);
        double scale = RoomInRadius * minimumRadius / _grid.Frame.CellSize;
        for (int i = 0; i < moved.Length; i++)
        {
            Stiffer(_bendEE, i, _stepEast, i + 1, _grid.Signs.East[i]);
            Stiffer(_bendES, i, _stepEast, i + _columns, _grid.Signs.South[i]);
            Stiffer(_bendSE, i, _stepSouth, i + 1, _grid.Signs.East[i]);
            Stiffer(_bendSS, i, _stepSouth, i + _columns, _grid.Signs.South[i]);
        }

        void Stiffer(double[] bend, int i, double[] steps, int next, int sign)
        {
            if (bend[i] > 0)
            {
                double tight = Math.Clamp((scale * Math.Abs((sign * steps[next]) - steps[i])) - 1, 0, 1);
                bend[i] *= 1 + (MostBending * tight * tight);
            }
        }
    }

    private double Outside(double[] moved)
    {
        StepsOf(0, _grid.Frame.Rows, moved, 1 / _grid.Step);
        int all = 0;
        int off = 0;
        for (int i = 0; i < moved.Length; i++)
        {
            if (_weight[i] == 0)
            {
                continue;
            }

            double east = 0.5 * (_stepEast[i] + (_sw[i] * _stepEast[i + _columns]));
            double south = 0.5 * (_stepSouth[i] + (_ne[i] * _stepSouth[i + 1]));
            double x = (east * _middleEast[i]) + (south * _middleSouth[i]);
            double y = _across[i] * ((south * _middleEast[i]) - (east * _middleSouth[i]));
            (double px, double py) = WindowShape.Nearest(x, y, _across[i] * _tangent[i], _least, _most);
            all++;
            off += ((x - px) * (x - px)) + ((y - py) * (y - py)) > 0.05 * 0.05 ? 1 : 0;
        }

        return all > 0 ? (double)off / all : 0;
    }

    private void Apply(double[] moved)
    {
        for (int i = 0; i < moved.Length; i++)
        {
            _grid.StepEast[i] += _grid.HasEast(i) ? (_grid.Signs.East[i] * moved[i + 1]) - moved[i] : 0;
            _grid.StepSouth[i] += _grid.HasSouth(i) ? (_grid.Signs.South[i] * moved[i + _columns]) - moved[i] : 0;
            _grid.Phase[i] += moved[i];
        }
    }
}
