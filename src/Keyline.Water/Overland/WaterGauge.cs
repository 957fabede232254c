using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Water;

/// <summary>An area whose water is counted as it comes in and goes out: a field, a dam, the foot of a gully.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Area">Its shape, in the ground's coordinates. A point or line counts as the cells around it.</param>
public sealed record WaterGauge(string Name, Geometry Area);

/// <summary>What a gauge counted.</summary>
/// <remarks>Its edge is cut into stretches of about 20 m that each face one side. Over every minute what crossed a stretch inward and outward is set off; what is left of
/// it counts as inflow or outflow, and stretches are summed after. So water that weaves to and fro along an edge is not counted at each turn, and water that comes in here is not set
/// against what goes out there.</remarks>
/// <param name="Name">The gauge's name.</param>
/// <param name="Area">Square metres.</param>
/// <param name="Inflow">Cubic metres that ran in over its edge.</param>
/// <param name="Outflow">Cubic metres that ran out over its edge.</param>
/// <param name="PeakInflow">Greatest inflow of a minute, cubic metres a second.</param>
/// <param name="PeakOutflow">Greatest outflow of a minute, cubic metres a second.</param>
/// <param name="PeakAt">Seconds at which the outflow was greatest.</param>
/// <param name="Outflows">Outflow by minutes, cubic metres a second.</param>
public sealed record GaugeReading(string Name, double Area, double Inflow, double Outflow, double PeakInflow, double PeakOutflow, double PeakAt, IReadOnlyList<double> Outflows);

/// <summary>Counts over the faces of a gauge's edge.</summary>
internal sealed class GaugeCount
{
    public const double Every = 60;

    private readonly WaterGauge _gauge;
    private readonly double _area;
    private readonly double _cell;
    private readonly List<(int Face, bool IsX, double Outward, int Tile, int Other, int Stretch)> _faces = [];
    private readonly HashSet<int> _inside;
    private readonly double[] _net;
    private readonly List<double> _rates = [];
    private double _in;
    private double _out;
    private double _since;
    private double _peakIn;
    private double _peakOut;
    private double _peakAt;

    public GaugeCount(WaterGauge gauge, FlowField field)
    {
        _gauge = gauge;
        GridFrame f = field.Frame;
        _cell = f.CellSize;
        List<int> cells = CellsIn.Around(f, gauge.Area);
        _inside = [.. cells.Select(c => field.Index(c / f.Columns, c % f.Columns))];
        _area = cells.Count * f.CellArea;
        TileMap tiles = new(f, 0);
        (List<(int Cell, int Side, int Stretch)> edge, int stretches) = GaugeEdge.Of(f, cells);
        _net = new double[stretches + 1];
        foreach ((int cell, int side, int stretch) in edge)
        {
            (int r, int c) = (cell / f.Columns, cell % f.Columns);
            int i = field.Index(r, c);
            (int down, int right, int face) = side switch
            {
                0 => (-1, 0, i),
                1 => (0, 1, i + 1),
                2 => (1, 0, i + field.Stride),
                _ => (0, -1, i),
            };
            if (f.Contains(r + down, c + right))
            {
                _faces.Add((face, right != 0, down + right, tiles.Of(r, c), tiles.Of(r + down, c + right), stretch));
            }
        }
    }

    /// <summary>Counts what ran in a step over the faces beside fast tiles, or over the others.</summary>
    public void Take(float[] flowX, float[] flowY, double step, TileMap tiles, bool fast)
    {
        double share = step * _cell;
        foreach ((int face, bool isX, double outward, int tile, int other, int stretch) in _faces)
        {
            if ((tiles.Fast[tile] || tiles.Fast[other]) == fast)
            {
                _net[stretch] += (isX ? flowX[face] : flowY[face]) * outward * share;
            }
        }
    }

    /// <summary>Counts what a rip let go at an outlet, as one stretch more.</summary>
    /// <param name="from">Padded cell that it was led from.</param>
    /// <param name="to">Padded cell that it came to.</param>
    /// <param name="volume">Cubic metres.</param>
    public void Led(int from, int to, double volume) => _net[^1] += volume * ((_inside.Contains(from) ? 1 : 0) - (_inside.Contains(to) ? 1 : 0));

    /// <summary>A whole step has passed.</summary>
    public void Passed(double step, double time)
    {
        _since += step;
        if (_since >= Every * (1 - 1e-9))
        {
            Close(time);
        }
    }

    public GaugeReading Reading(double time)
    {
        if (_since > 0)
        {
            Close(time);
        }

        return new GaugeReading(_gauge.Name, _area, _in, _out, _peakIn, _peakOut, _peakAt, _rates);
    }

    // Peaks are those of about a minute: a single step's flow holds ripples.
    private void Close(double time)
    {
        double into = 0;
        double outOf = 0;
        foreach (double net in _net)
        {
            into -= Math.Min(net, 0);
            outOf += Math.Max(net, 0);
        }

        _in += into;
        _out += outOf;
        if (_since > Every / 2)
        {
            double rate = outOf / _since;
            _rates.Add(rate);
            (_peakOut, _peakAt) = rate > _peakOut ? (rate, time) : (_peakOut, _peakAt);
            _peakIn = Math.Max(_peakIn, into / _since);
        }

        Array.Clear(_net);
        _since = 0;
    }
}
