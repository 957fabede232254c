using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Looks for the cheapest way out of a pit and cuts it.</summary>
/// <remarks>
/// The cost of a way is what must be cut along it: the height above the pit times the step, plus a little for each step, so that
/// of ways through level ground the shortest is taken. Ways are extended from the cheapest cell reached; equals go by cell.
/// </remarks>
internal sealed class BreachSearch
{
    private const double PerMetre = 1e-6;

    private readonly GridFrame _frame;
    private readonly ElevationGrid _ground;
    private readonly float[] _z;
    private readonly BreachOptions _options;
    private readonly int[] _round;
    private readonly int[] _from;
    private readonly double[] _cost;
    private readonly Dictionary<int, double> _length = [];
    private readonly PriorityQueue<int, (double Cost, int Cell)> _open = new();
    private readonly List<int> _floor = [];
    private int _rounds;

    public BreachSearch(ElevationGrid ground, float[] z, BreachOptions options)
    {
        (_ground, _frame, _z, _options) = (ground, ground.Frame, z, options);
        _round = new int[z.Length];
        _from = new int[z.Length];
        _cost = new double[z.Length];
    }

    /// <summary>Whether the level floor that a cell is part of still has no way out. Keeps the floor for <see cref="Open"/>.</summary>
    public bool IsPit(int pit, CancellationToken cancellationToken)
    {
        _rounds++;
        _floor.Clear();
        _floor.Add(pit);
        _round[pit] = _rounds;
        for (int head = 0; head < _floor.Count; head++)
        {
            cancellationToken.ThrowIfCancellationRequested(head);
            int cell = _floor[head];
            if (Neighbours.IsOutlet(_z, _frame, cell) || Neighbours.HasLower(_z, _frame, cell))
            {
                return false;
            }

            for (int direction = 0; direction < Neighbours.Count; direction++)
            {
                int next = Neighbours.At(_frame, cell, direction);
                if (next >= 0 && _round[next] != _rounds && _z[next].Equals(_z[pit]))
                {
                    _round[next] = _rounds;
                    _floor.Add(next);
                }
            }
        }

        return true;
    }

    /// <summary>Cuts the floor last asked about open, if the limits allow.</summary>
    public Breach? Open(int pit, CancellationToken cancellationToken)
    {
        double floor = _z[pit];
        _open.Clear();
        _length.Clear();
        _rounds++;
        foreach (int cell in _floor)
        {
            Reach(cell, -1, 0, 0);
        }

        for (int done = 0; _open.TryDequeue(out int cell, out (double Cost, int Cell) key); done++)
        {
            cancellationToken.ThrowIfCancellationRequested(done);
            if (key.Cost > _cost[cell])
            {
                continue;
            }

            if (_z[cell] < floor || Neighbours.IsOutlet(_z, _frame, cell))
            {
                return Cut(pit, cell);
            }

            for (int direction = 0; direction < Neighbours.Count; direction++)
            {
                int next = Neighbours.At(_frame, cell, direction);
                double step = Neighbours.Length(direction) * _frame.CellSize;
                double length = _length[cell] + step;

                // The ground as it was counts: a cell that has been cut already may be cut on to the depth allowed.
                if (next < 0 || length > _options.MaximumLength || !(_ground.Array[next] - floor <= _options.MaximumDepth))
                {
                    continue;
                }

                double cost = _cost[cell] + (step * (PerMetre + Math.Max(_z[next] - floor, 0)));
                if (_round[next] != _rounds || cost < _cost[next])
                {
                    Reach(next, cell, cost, length);
                }
            }
        }

        return null;
    }

    private void Reach(int cell, int from, double cost, double length)
    {
        _round[cell] = _rounds;
        _from[cell] = from;
        _cost[cell] = cost;
        _length[cell] = length;
        _open.Enqueue(cell, (cost, cell));
    }

    private Breach Cut(int pit, int end)
    {
        float floor = _z[pit];
        double depth = 0;
        int first = end;
        for (int cell = end; cell >= 0; cell = _from[cell])
        {
            _z[cell] = Math.Min(_z[cell], floor);
            depth = Math.Max(depth, cell == end && _ground.Array[end] < floor ? 0 : (double)_ground.Array[cell] - floor);
            first = cell;
        }

        return new Breach(
            first / _frame.Columns, first % _frame.Columns, end / _frame.Columns, end % _frame.Columns, _length[end], depth);
    }
}
