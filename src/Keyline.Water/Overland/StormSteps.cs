using Keyline.Elevation;

namespace Keyline.Water;

/// <summary>One storm on one ground, step by step. Tiles with deep water part each step in several; the others take it whole.</summary>
/// <remarks>
/// <para>Bands of rows and tiles in them do not depend on the number of cores, and each is worked in its fixed order, so results are the
/// same bits. What runs over a face leaves one cell and reaches the other in the same moment, whatever their steps.</para>
/// </remarks>
internal sealed class StormSteps
{
    private const int LinesAtOnce = 8;

    // A face's memory of its neighbours makes cells of a checkerboard swing beyond a wave of sqrt(weighting / 2) cells a step, and what swings
    // runs over sills that still water would not reach.
    private const double Steady = 0.88;
    private const double Gravity = 9.80665;

    private readonly FlowField _field;
    private readonly StormOptions _options;
    private readonly SoilMap _soils;
    private readonly RipNodes? _nodes;
    private readonly RipWater? _rips;
    private readonly TileMap _tiles;
    private readonly (int From, int To, int Soil)[][] _runs;
    private readonly OpenEdges _edges;
    private readonly GaugeCount[] _gauges;
    private readonly double[] _depth;
    private readonly float[] _x;
    private readonly float[] _y;
    private readonly float[] _nextX;
    private readonly float[] _nextY;

    public StormSteps(FlowField field, SoilMap soils, RipNodes? nodes, GaugeCount[] gauges, StormOptions options)
    {
        (_field, _soils, _nodes, _gauges, _options) = (field, soils, nodes, gauges, options);
        Rip rip = options.Rip;
        _rips = nodes is null ? null : new RipWater(nodes, field, rip, options);
        _tiles = new TileMap(field.Frame, options.SurfaceStorage);
        _runs = field.Runs(soils);
        _edges = new OpenEdges(field, options.Roughness);
        _depth = field.Depth;
        (_x, _nextX) = (field.FlowX[0], field.FlowX[1]);
        (_y, _nextY) = (field.FlowY[0], field.FlowY[1]);
    }

    /// <summary>Cubic metres that left over open edges.</summary>
    public double Left { get; private set; }

    /// <summary>Takes depths that were set from outside into account.</summary>
    public void Begin()
    {
        GridFrame f = _field.Frame;
        for (int i = 0; i < f.CellCount; i++)
        {
            int t = _tiles.Of(i / f.Columns, i % f.Columns);
            _tiles.Deepest[t] = Math.Max(_tiles.Deepest[t], _depth[_field.Index(i / f.Columns, i % f.Columns)]);
        }
    }

    /// <summary>One step.</summary>
    /// <param name="time">Seconds at which it begins.</param>
    /// <param name="until">The step goes no farther; several even steps reach it.</param>
    /// <param name="rainBy">Metres of rain fallen by a time.</param>
    /// <param name="parallel">How bands are shared out.</param>
    /// <returns>Seconds at which it ends.</returns>
    public double Go(double time, double until, Func<double, double> rainBy, ParallelOptions parallel)
    {
        (double longest, int parts) = _tiles.Plan(_field.Frame.CellSize, _options.Courant, _options.LongestStep);
        double step = (until - time) / Math.Max(1, Math.Ceiling((until - time) / longest));
        double then = until - time - step < 1e-9 ? until : time + step;
        step = then - time;
        double rain = rainBy(then) - rainBy(time);
        FlowStep slow = Flow(step);
        SoilStep[] soils = [.. _soils.Soils.Select(s => SoilStep.Of(s, step))];
        Each(parallel, band => SlowFaces(band, slow));
        Each(parallel, band => SlowCells(band, slow, soils, rain));
        Left += _edges.Drain(step, _options.SurfaceStorage, _tiles, false);
        Count(step, then, false);
        if (parts > 1)
        {
            FlowStep fast = Flow(step / parts);
            soils = [.. _soils.Soils.Select(s => SoilStep.Of(s, step / parts))];
            double fallen = rainBy(time);
            for (int p = 1; p <= parts; p++)
            {
                double at = p == parts ? then : time + (step * p / parts);
                double falls = rainBy(at) - fallen;
                fallen = rainBy(at);
                Each(parallel, band => FastFaces(band, fast));
                Each(parallel, band => FastCells(band, fast, soils, falls));
                Left += _edges.Drain(step / parts, _options.SurfaceStorage, _tiles, true);
                Count(step / parts, at, true);
            }
        }

        if (_rips is not null)
        {
            int chunks = ((_nodes!.Lines.Count - 1) / LinesAtOnce) + 1;
            Parallel.For(0, chunks, parallel, k => _rips.Lead(k * LinesAtOnce, Math.Min((k + 1) * LinesAtOnce, _nodes.Lines.Count), step));
        }

        foreach (GaugeCount gauge in _gauges)
        {
            gauge.Passed(step, then);
        }

        return then;
    }

    /// <summary>Notes how deep water stands.</summary>
    public void NoteDeepest(ParallelOptions parallel) => Each(parallel, band =>
    {
        for (int t = 0; t < _tiles.Across; t++)
        {
            if (_tiles.Deepest[(band * _tiles.Across) + t] > 0)
            {
                foreach ((int from, int to, _) in RowsOf(band, t, t + 1))
                {
                    for (int i = from; i < to; i++)
                    {
                        _field.Deepest[i] = _depth[i] > _field.Deepest[i] ? _depth[i] : _field.Deepest[i];
                    }
                }
            }
        }
    });

    private void Count(double step, double time, bool fast)
    {
        foreach (GaugeCount gauge in _gauges)
        {
            gauge.Take(_x, _y, step, _tiles, fast);
        }
    }

    private FlowStep Flow(double step) => new(step, _field.Frame.CellSize, Gravity * _options.Roughness * _options.Roughness, _options.Weighting, _options.SurfaceStorage, Math.Min(_options.Courant, Steady * Math.Sqrt(_options.Weighting / 2)));

    private void Each(ParallelOptions parallel, Action<int> work)
    {
        if (_tiles.Down == 1)
        {
            work(0);
        }
        else
        {
            Parallel.For(0, _tiles.Down, parallel, work);
        }
    }

    // Faces with no fast tile beside them. Those that have one count as closed here.
    private void SlowFaces(int band, FlowStep step)
    {
        foreach ((int start, int end) in _tiles.Stretches(band, t => _tiles.Live[t] && !_tiles.Fast[t]))
        {
            Faces(band, start, end, step);
            for (int c = start; c < end; c++)
            {
                Close(band, c, _tiles.IsFast(band, c - 1), _tiles.IsFast(band - 1, c));
            }
        }

        for (int c = 0; c < _tiles.Across; c++)
        {
            int t = (band * _tiles.Across) + c;
            if (_tiles.Fast[t])
            {
                Close(band, c, !_tiles.IsFast(band, c - 1), !_tiles.IsFast(band - 1, c));
            }
            else if (!_tiles.Live[t] && _tiles.Flowed[t])
            {
                foreach ((int from, int to, _) in RowsOf(band, c, c + 1))
                {
                    foreach (float[] flow in (ReadOnlySpan<float[]>)[_x, _y, _nextX, _nextY])
                    {
                        Array.Clear(flow, from, to - from);
                    }
                }
            }
        }
    }

    private void SlowCells(int band, FlowStep step, SoilStep[] soils, double rain)
    {
        for (int c = 0; c < _tiles.Across; c++)
        {
            _tiles.Flowed[(band * _tiles.Across) + c] = _tiles.Live[(band * _tiles.Across) + c];
        }

        for (int c = 0; _rips is not null && rain == 0 && c < _tiles.Across; c++)
        {
            int t = (band * _tiles.Across) + c;
            if (!_tiles.Live[t] && _tiles.Deepest[t] == 0 && _nodes!.ByTile[t].Length > 0 && _rips.Exchange(_nodes.ByTile[t], _nextX, _nextY, step.Step, 0))
            {
                Note(band, c);
            }
        }

        foreach ((int start, int end) in _tiles.Stretches(band, t => !_tiles.Fast[t] && (rain > 0 || _tiles.Live[t] || _tiles.Deepest[t] > 0)))
        {
            Cells(band, start, end, step, soils, rain);
            bool west = _tiles.IsFast(band, start - 1);
            foreach ((int from, int to, int row) in RowsOf(band, start, end))
            {
                int first = from + (west ? 1 : 0);
                Array.Copy(_nextX, first, _x, first, to - first);
                if (row % TileMap.Rows != 0 || band == 0)
                {
                    Array.Copy(_nextY, from, _y, from, to - from);
                    continue;
                }

                for (int c = start; c < end; c++)
                {
                    if (!_tiles.IsFast(band - 1, c))
                    {
                        int a = _field.Index(row, c * TileMap.Columns);
                        Array.Copy(_nextY, a, _y, a, Math.Min(TileMap.Columns, to - a));
                    }
                }
            }
        }
    }

    // All faces of fast tiles, and those of their neighbours that lie between.
    private void FastFaces(int band, FlowStep step)
    {
        foreach ((int start, int end) in _tiles.Stretches(band, t => _tiles.Fast[t]))
        {
            Faces(band, start, end, step);
            foreach ((_, int to, int row) in RowsOf(band, start, end))
            {
                if (end < _tiles.Across)
                {
                    FlowRows.Flow(_depth, _field.Bed, _x, _y, _nextX, to, to + 1, 1, _field.Stride, step, false);
                }
            }
        }

        for (int c = 0; band > 0 && c < _tiles.Across; c++)
        {
            if (!_tiles.IsFast(band, c) && _tiles.IsFast(band - 1, c))
            {
                (int from, int to, _) = RowsOf(band, c, c + 1).First;
                FlowRows.Flow(_depth, _field.Bed, _y, _x, _nextY, from, to, _field.Stride, 1, step, _options.UsesVectors);
            }
        }
    }

    private void FastCells(int band, FlowStep step, SoilStep[] soils, double rain)
    {
        double share = step.Step / step.Cell;
        for (int c = 0; c < _tiles.Across; c++)
        {
            if (!_tiles.IsFast(band, c))
            {
                Beside(band, c, share);
            }
        }

        foreach ((int start, int end) in _tiles.Stretches(band, t => _tiles.Fast[t]))
        {
            Cells(band, start, end, step, soils, rain);
            foreach ((int from, int to, _) in RowsOf(band, start, end))
            {
                Array.Copy(_nextX, from, _x, from, to - from);
                Array.Copy(_nextY, from, _y, from, to - from);
            }
        }
    }

    // Cells of a slow tile along its fast neighbours take their share of each part of the step.
    private void Beside(int band, int c, double share)
    {
        bool west = _tiles.IsFast(band, c - 1);
        bool east = _tiles.IsFast(band, c + 1);
        bool north = _tiles.IsFast(band - 1, c);
        bool south = _tiles.IsFast(band + 1, c);
        if (!(west || east || north || south))
        {
            return;
        }

        int t = (band * _tiles.Across) + c;
        int last = Math.Min((band + 1) * TileMap.Rows, _field.Frame.Rows) - 1;
        foreach ((int from, int to, int row) in RowsOf(band, c, c + 1))
        {
            if (west)
            {
                Add(from, _nextX[from]);
                _x[from] = _nextX[from];
            }

            if (east)
            {
                Add(to - 1, -_nextX[to]);
            }

            for (int i = from; north && row % TileMap.Rows == 0 && i < to; i++)
            {
                Add(i, _nextY[i]);
                _y[i] = _nextY[i];
            }

            for (int i = from; south && row == last && i < to; i++)
            {
                Add(i, -_nextY[i + _field.Stride]);
            }
        }

        _tiles.Flowed[t] = true;

        void Add(int i, double flow)
        {
            _depth[i] += flow * share;
            _tiles.Deepest[t] = Math.Max(_tiles.Deepest[t], _depth[i]);
        }
    }

    private void Faces(int band, int start, int end, in FlowStep step)
    {
        for (int c = start; c < end; c++)
        {
            float fastest = 0;
            foreach ((int from, int to, _) in RowsOf(band, c, c + 1))
            {
                float along = FlowRows.Flow(_depth, _field.Bed, _x, _y, _nextX, from, to, 1, _field.Stride, step, _options.UsesVectors);
                float across = FlowRows.Flow(_depth, _field.Bed, _y, _x, _nextY, from, to, _field.Stride, 1, step, _options.UsesVectors);
                fastest = Math.Max(fastest, Math.Max(along, across));
            }

            _tiles.Speed[(band * _tiles.Across) + c] = fastest;
        }
    }

    private void Cells(int band, int start, int end, in FlowStep step, SoilStep[] soils, double rain)
    {
        foreach ((int from, int to, int row) in RowsOf(band, start, end))
        {
            IntakeRows.Fill(_depth, _field.Bed, _nextX, _nextY, from, to, _field.Stride, step.Step / step.Cell, rain, _options.UsesVectors);
            foreach ((int a, int b, int soil) in _runs[row])
            {
                int first = Math.Max(a, from);
                int behind = Math.Min(b, to);
                if (first < behind)
                {
                    IntakeRows.Soak(_depth, _field.Taken, first, behind, soils[soil], _options.UsesVectors);
                }
            }
        }

        for (int c = start; c < end; c++)
        {
            int t = (band * _tiles.Across) + c;
            _rips?.Exchange(_nodes!.ByTile[t], _nextX, _nextY, step.Step, rain);
            Note(band, c);
        }
    }

    private void Note(int band, int c)
    {
        double deepest = 0;
        foreach ((int from, int to, _) in RowsOf(band, c, c + 1))
        {
            deepest = Math.Max(deepest, IntakeRows.Deepest(_depth, from, to));
        }

        _tiles.Deepest[(band * _tiles.Across) + c] = deepest;
    }

    // Closes the west and the north faces of a tile for the whole step.
    private void Close(int band, int c, bool west, bool north)
    {
        bool top = north;
        foreach ((int from, int to, _) in RowsOf(band, c, c + 1))
        {
            if (west)
            {
                _nextX[from] = 0;
            }

            if (top)
            {
                Array.Clear(_nextY, from, to - from);
            }

            top = false;
        }
    }

    private TileRows RowsOf(int band, int start, int end) =>
        new(_field, band * TileMap.Rows, Math.Min((band + 1) * TileMap.Rows, _field.Frame.Rows), start * TileMap.Columns, Math.Min(end * TileMap.Columns, _field.Frame.Columns));
}
