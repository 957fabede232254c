namespace Keyline.Water;

/// <summary>What the rips do in a step: take water from their cells, let it into the soil, lead it along, give back what they cannot hold.</summary>
/// <remarks>
/// <para>Units: metres, seconds, square metres (cubic metres a metre of line). Promises: what is taken from a cell is in a rip, in the
/// soil or back on the cell; pieces of one tile, and pieces of one line, are worked in a fixed order.</para>
/// <para>Cost: about 50 ns a piece with water and step. Source: ours. A line takes the share of the water through its cell that must cross
/// it, and what a sheet of the depth there lets run sideways by Manning's equation; flow along it is the local inertial equation for its
/// cross-section (Bates, Horritt and Fewtrell 2010; de Almeida and others 2012).</para>
/// </remarks>
internal sealed class RipWater(RipNodes nodes, FlowField field, Rip rip, StormOptions options)
{
    private const double Gravity = 9.80665;
    private const double ThinnestFlow = 1e-4;
    private const double Dry = 1e-12;
    private const double Courant = 0.8;

    // How much faster a crest may come than water ran in the step before: Manning's equation, and some.
    private const double CrestSpeed = 2;

    private readonly double _area = field.Frame.CellArea;
    private readonly double _slot = rip.SlotStorage;
    private readonly double _side = rip.FurrowSide;
    private readonly double _top = rip.FurrowDepth + rip.RidgeHeight;
    private readonly double _radius = rip.FurrowSide / (2 * Math.Sqrt(1 + (rip.FurrowSide * rip.FurrowSide)));
    private readonly double[] _speed = new double[nodes.Lines.Count];
    private readonly double _friction = Gravity * rip.Roughness * rip.Roughness;

    /// <summary>Exchange of pieces with their cells, once the soil has taken what it can from those.</summary>
    /// <param name="pieces">The pieces, in order.</param>
    /// <param name="flowX">Flow through west faces in this step.</param>
    /// <param name="flowY">Flow through north faces in this step.</param>
    /// <param name="step">Seconds.</param>
    /// <param name="rain">Metres in the step.</param>
    /// <returns>Whether any was given back.</returns>
    public bool Exchange(int[] pieces, float[] flowX, float[] flowY, double step, double rain)
    {
        bool spilled = false;
        double[] depth = field.Depth;
        double cell = field.Frame.CellSize;
        int stride = field.Stride;
        foreach (int i in pieces)
        {
            int c = nodes.Cell[i];
            double free = depth[c] - options.SurfaceStorage;
            double length = nodes.Length[i];
            double furrow = nodes.Furrow[i];
            double slot = nodes.Slot[i];
            if (free > 0)
            {
                double room = ((nodes.Room[i] - furrow) + (_slot - slot)) * length;
                if (room > 0)
                {
                    double into = (double)Math.Max(flowX[c], 0) + Math.Max(-flowX[c + 1], 0) + Math.Max(flowY[c], 0) + Math.Max(-flowY[c + stride], 0);
                    double passing = nodes.Crossing[i] * ((into * step * cell) + (rain * _area));
                    double sideways = Sideways(free, nodes.Slope[i], cell) * length * step;
                    double take = Math.Min(Math.Min(free * _area, passing + sideways), room);
                    depth[c] -= take / _area;
                    nodes.Taken[i] += take;
                    furrow += take / length;
                }
            }

            if (furrow + slot > Dry)
            {
                double down = Math.Min(furrow, _slot - slot);
                furrow -= down;
                slot += down;
                double soaks = nodes.Intake[i].Of(nodes.Soaked[i], furrow + slot, step);
                nodes.Soaked[i] += soaks;
                double fromSlot = Math.Min(soaks, slot);
                slot -= fromSlot;
                furrow -= soaks - fromSlot;
                double over = furrow - nodes.Room[i];
                if (over > 0)
                {
                    furrow = nodes.Room[i];
                    depth[c] += over * length / _area;
                    nodes.Spilled[i] += over * length;
                    spilled = true;
                }

                nodes.Furrow[i] = furrow;
                nodes.Slot[i] = slot;
            }
        }

        return spilled;
    }

    /// <summary>Flow along the lines of a range.</summary>
    public void Lead(int fromLine, int toLine, double step)
    {
        for (int k = fromLine; k < toLine; k++)
        {
            int first = nodes.Starts[k];
            int last = nodes.Starts[k + 1] - 1;
            if (last <= first)
            {
                continue;
            }

            double most = 0;
            for (int i = first; i <= last; i++)
            {
                most = Math.Max(most, nodes.Furrow[i]);
            }

            if (most <= Dry)
            {
                Array.Clear(nodes.Flow, first, last - first + 1);
                continue;
            }

            double crest = Math.Min(CrestSpeed * _speed[k], Math.Sqrt(Gravity * Math.Sqrt(most / _side)));
            int parts = Math.Max(1, (int)Math.Ceiling(step * crest / (Courant * nodes.Length[first])));
            for (int p = 0; p < parts; p++)
            {
                _speed[k] = Along(first, last, step / parts);
            }
        }
    }

    // Waves that would run farther than is stable are slowed by more inertia, as those over the ground.
    private double Along(int first, int last, double step)
    {
        double length = nodes.Length[first];
        double inertia = Gravity / 2 * (step / (Courant * length)) * (step / (Courant * length));
        double fastest = 0;
        double friction = _friction * step;
        double level = nodes.Bed[first] + nodes.Shape[first].Level(nodes.Furrow[first]);
        for (int i = first; i < last; i++)
        {
            if (nodes.Cell[i] < 0 || nodes.Cell[i + 1] < 0)
            {
                nodes.Flow[i] = 0;
                level = nodes.Bed[i + 1] + (nodes.Cell[i + 1] < 0 ? 0 : nodes.Shape[i + 1].Level(nodes.Furrow[i + 1]));
                continue;
            }

            double next = nodes.Bed[i + 1] + nodes.Shape[i + 1].Level(nodes.Furrow[i + 1]);
            double deep = Math.Min(Math.Max(level, next) - Math.Max(nodes.Bed[i], nodes.Bed[i + 1]), _top);
            if (deep > ThinnestFlow)
            {
                double area = _side * deep * deep;
                double radius = _radius * deep;
                double root = 1 / FlowRows.InverseCubeRoot((float)radius);
                double flow = nodes.Flow[i];
                double heavy = Math.Max(1, inertia * deep);
                flow = ((heavy * flow) - (Gravity * area * step * (next - level) / length)) / (heavy + (friction * Math.Abs(flow) / (radius * root * area)));

                // Both faces of a piece together take no more than it has.
                flow = Math.Clamp(flow, -nodes.Furrow[i + 1] * length / (2 * step), nodes.Furrow[i] * length / (2 * step));
                nodes.Flow[i] = flow;
                nodes.Carried[i] += flow * step;
                double size = Math.Abs(flow);
                fastest = Math.Max(fastest, size / area);
                if (size > nodes.MostFlow[i])
                {
                    nodes.MostFlow[i] = size;
                    double speed = size / area;
                    nodes.Fastest[i] = speed;
                    nodes.Strongest[i] = 1000 * _friction * speed * speed / root;
                }
            }
            else
            {
                nodes.Flow[i] = 0;
            }

            level = next;
        }

        for (int i = first; i < last; i++)
        {
            double moved = nodes.Flow[i] * step / length;
            nodes.Furrow[i] -= moved;
            nodes.Furrow[i + 1] += moved;
        }

        return fastest;
    }

    // A sheet of water beside a lower furrow: Manning's flow toward it over a quarter of the cell, with the land's slope taking its part of the way.
    private double Sideways(double deep, double slope, double cell)
    {
        double fall = deep / (cell / 4);
        return deep * deep * FlowRows.InverseCubeRoot((float)deep) / options.Roughness * fall / Math.Sqrt(fall + slope);
    }
}
