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

    // Fast tiles that are worth sharing out.
    private const int ManyTiles = 64;

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
    private readonly TileWork _work;
    private readonly OpenEdges _edges;
    private readonly GaugeCount[] _gauges;
    private readonly double[] _depth;

    public StormSteps(FlowField field, SoilMap soils, RipNodes? nodes, GaugeCount[] gauges, StormOptions options)
    {
        (_field, _soils, _nodes, _gauges, _options) = (field, soils, nodes, gauges, options);
        Rip rip = options.Rip;
        _rips = nodes is null ? null : new RipWater(nodes, field, rip, options);
        _tiles = new TileMap(field.Frame, options.SurfaceStorage);
        _work = new TileWork(field, soils, nodes, _rips, _tiles, options);
        _edges = new OpenEdges(field, options.Roughness);
        _depth = field.Depth;
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
        Sweep(parallel, slow, soils, rain);
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
                Fast(parallel, band => _work.FastFaces(band, fast));
                Fast(parallel, band => _work.FastCells(band, fast, soils, falls));
                Left += _edges.Drain(step / parts, _options.SurfaceStorage, _tiles, true);
                Count(step / parts, at, true);
            }
        }

        if (_rips is not null)
        {
            int chunks = ((_nodes!.Lines.Count - 1) / LinesAtOnce) + 1;
            Parallel.For(0, chunks, parallel, k => _rips.Lead(k * LinesAtOnce, Math.Min((k + 1) * LinesAtOnce, _nodes.Lines.Count), step));
            _rips.Deliver(_tiles, _gauges);
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
                foreach ((int from, int to, _) in _work.RowsOf(band, t, t + 1))
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
            gauge.Take(_field.FlowX[0], _field.FlowY[0], step, _tiles, fast);
        }
    }

    private FlowStep Flow(double step) => new(step, _field.Frame.CellSize, Gravity * _options.Roughness * _options.Roughness, _options.Weighting, _options.SurfaceStorage, Math.Min(_options.Courant, Steady * Math.Sqrt(_options.Weighting / 2)));

    // Faces of the bands on both sides of a border between chunks first; then each chunk goes down its bands, cells of one right behind the faces of the next, while both
    // are in the cache.
    private void Sweep(ParallelOptions parallel, FlowStep step, SoilStep[] soils, double rain)
    {
        int chunks = Math.Max(1, _tiles.Down / _options.BandsAtOnce);
        if (chunks == 1)
        {
            Chunk(0);
            return;
        }

        Parallel.For(1, chunks, parallel, k =>
        {
            _work.SlowFaces(First(k) - 1, step);
            _work.SlowFaces(First(k), step);
        });
        Parallel.For(0, chunks, parallel, Chunk);

        int First(int chunk) => (int)((long)chunk * _tiles.Down / chunks);

        void Chunk(int k)
        {
            int first = First(k);
            int last = First(k + 1) - 1;
            if (k == 0)
            {
                _work.SlowFaces(0, step);
            }

            for (int band = first; band <= last; band++)
            {
                if (band < last - 1 || (band == last - 1 && k == chunks - 1))
                {
                    _work.SlowFaces(band + 1, step);
                }

                _work.SlowCells(band, step, soils, rain);
            }
        }
    }

    // Few tiles are not worth sharing out.
    private void Fast(ParallelOptions parallel, Action<int> work)
    {
        if (_tiles.FastCount >= ManyTiles)
        {
            Each(parallel, work);
            return;
        }

        for (int band = 0; band < _tiles.Down; band++)
        {
            work(band);
        }
    }

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
}
