using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Water;

/// <summary>An area whose water is counted as it comes in and goes out: a field, a dam, the foot of a gully.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Area">Its shape, in the ground's coordinates. A point or line counts as the cells around it.</param>
public sealed record WaterGauge(string Name, Geometry Area);

/// <summary>What a gauge counted.</summary>
/// <param name="Name">The gauge's name.</param>
/// <param name="Area">Square metres.</param>
/// <param name="Inflow">Cubic metres that ran in over its edge.</param>
/// <param name="Outflow">Cubic metres that ran out over its edge.</param>
/// <param name="PeakInflow">Greatest inflow, cubic metres a second.</param>
/// <param name="PeakOutflow">Greatest outflow, cubic metres a second.</param>
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
    private readonly List<(int Face, bool IsX, double Outward, int Tile, int Other)> _faces = [];
    private readonly List<double> _rates = [];
    private double _in;
    private double _out;
    private double _inBefore;
    private double _outBefore;
    private double _since;
    private double _peakIn;
    private double _peakOut;
    private double _peakAt;

    public GaugeCount(WaterGauge gauge, FlowField field)
    {
        _gauge = gauge;
        GridFrame f = field.Frame;
        _cell = f.CellSize;
        List<int> cells = CellsIn.Of(f, gauge.Area.Dimension == Dimension.Surface ? gauge.Area : gauge.Area.Buffer(1.01 * f.CellSize));
        _area = cells.Count * f.CellArea;
        HashSet<int> inside = [.. cells];
        TileMap tiles = new(f, 0);
        foreach (int cell in cells)
        {
            (int r, int c) = (cell / f.Columns, cell % f.Columns);
            int i = field.Index(r, c);
            int tile = tiles.Of(r, c);
            Add(i, true, -1, r, c - 1, tile);
            Add(i + 1, true, 1, r, c + 1, tile);
            Add(i, false, -1, r - 1, c, tile);
            Add(i + field.Stride, false, 1, r + 1, c, tile);
        }

        void Add(int face, bool isX, double outward, int r, int c, int tile)
        {
            if (f.Contains(r, c) && !inside.Contains((r * f.Columns) + c))
            {
                _faces.Add((face, isX, outward, tile, tiles.Of(r, c)));
            }
        }
    }

    /// <summary>Counts what ran in a step over the faces beside fast tiles, or over the others.</summary>
    public void Take(float[] flowX, float[] flowY, double step, TileMap tiles, bool fast)
    {
        double into = 0;
        double outOf = 0;
        foreach ((int face, bool isX, double outward, int tile, int other) in _faces)
        {
            if ((tiles.Fast[tile] || tiles.Fast[other]) != fast)
            {
                continue;
            }

            double q = (isX ? flowX[face] : flowY[face]) * outward;
            into += q < 0 ? -q : 0;
            outOf += q > 0 ? q : 0;
        }

        _in += into * step * _cell;
        _out += outOf * step * _cell;
    }

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
        if (_since > Every / 2)
        {
            Close(time);
        }

        return new GaugeReading(_gauge.Name, _area, _in, _out, _peakIn, _peakOut, _peakAt, _rates);
    }

    // Peaks are those of about a minute: a single step's flow holds ripples.
    private void Close(double time)
    {
        double rate = (_out - _outBefore) / _since;
        _rates.Add(rate);
        (_peakOut, _peakAt) = rate > _peakOut ? (rate, time) : (_peakOut, _peakAt);
        _peakIn = Math.Max(_peakIn, (_in - _inBefore) / _since);
        (_inBefore, _outBefore, _since) = (_in, _out, 0);
    }
}
