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
    private const double Dry = 1e-12;

    // How much faster a crest may come than water ran in the step before: Manning's equation, and some.
    private const double CrestSpeed = 2;

    private readonly double _area = field.Frame.CellArea;
    private readonly double _slot = rip.SlotStorage;
    private readonly double _overReach = 4 / field.Frame.CellSize;
    private readonly double _overRoughness = 1 / options.Roughness;
    private readonly double[] _speed = new double[nodes.Lines.Count];

    /// <summary>Exchange of pieces with their cells, once the soil has taken what it can from those.</summary>
    /// <param name="pieces">The pieces, in order.</param>
    /// <param name="flowX">Flow through west faces in this step.</param>
    /// <param name="flowY">Flow through north faces in this step.</param>
    /// <param name="step">Seconds.</param>
    /// <param name="rain">Metres in the step.</param>
    /// <returns>Whether any was given back.</returns>
    public bool Exchange(RipRun[] pieces, float[] flowX, float[] flowY, double step, double rain)
    {
        bool spilled = false;
        double[] depth = field.Depth;
        double cell = field.Frame.CellSize;
        double perArea = 1 / _area;
        double share = step * cell;
        double fallen = rain * _area;
        int stride = field.Stride;
        double storage = options.SurfaceStorage;
        int[] cells = nodes.Cell;
        (double[] furrows, double[] slots, double[] rooms, double[] soaked) = (nodes.Furrow, nodes.Slot, nodes.Room, nodes.Soaked);
        foreach (ref RipRun run in pieces.AsSpan())
        {
            double length = nodes.Length[run.From];
            double overLength = 1 / length;
            double taken = 0;
            RipIntake intake = run.Intake;
            for (int i = run.From; i < run.To; i++)
            {
                int c = cells[i];
                double free = depth[c] - storage;
                double furrow = furrows[i];
                double slot = slots[i];
                if (free > 0 && !nodes.Gives[i])
                {
                    double room = ((rooms[i] - furrow) + (_slot - slot)) * length;
                    if (room > 0)
                    {
                        float into = Above(flowX[c]) + Above(-flowX[c + 1]) + (Above(flowY[c]) + Above(-flowY[c + stride]));
                        double take = (nodes.Crossing[i] * ((into * share) + fallen)) + (Sideways(free, nodes.Slope[i]) * length * step);
                        double most = free * _area < room ? free * _area : room;
                        take = take < most ? take : most;
                        depth[c] -= take * perArea;
                        taken += take;
                        furrow += take * overLength;
                    }
                }

                if (furrow + slot > Dry)
                {
                    double down = furrow < _slot - slot ? furrow : _slot - slot;
                    furrow -= down;
                    slot += down;
                    double soaks = intake.Of(soaked[i], furrow + slot, step);
                    soaked[i] += soaks;
                    double fromSlot = soaks < slot ? soaks : slot;
                    slot -= fromSlot;
                    furrow -= soaks - fromSlot;
                    double over = furrow - rooms[i];
                    if (over > 0)
                    {
                        furrow = rooms[i];
                        nodes.Spilled[i] += over * length;
                        if (nodes.ToOutlet[i])
                        {
                            nodes.Delivered[i] += over * length;
                        }
                        else
                        {
                            depth[c] += over * length * perArea;
                            spilled = true;
                        }
                    }

                    furrows[i] = furrow;
                    slots[i] = slot;
                }
            }

            run.Taken += taken;
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

            (nodes.Gives[first], nodes.Gives[last]) = (false, false);
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

            double crest = Math.Min(CrestSpeed * _speed[k], Math.Sqrt(FlowRows.Gravity * Math.Sqrt(most / rip.FurrowSide)));
            int parts = Math.Max(1, (int)Math.Ceiling(step * crest / (FurrowStep.Courant * nodes.Length[first])));
            FurrowStep part = new(rip, step / parts, nodes.Length[first]);
            for (int p = 0; p < parts; p++)
            {
                FurrowRows.Levels(nodes, first, last + 1, part, options.UsesVectors);
                _speed[k] = FurrowRows.Flow(nodes, first, last, part, options.UsesVectors);
                FurrowRows.Move(nodes, first, last, part, options.UsesVectors);
                LetGo(first);
                LetGo(last);
            }
        }
    }

    // An end that waited for the next exchange with its cell would let water go in gulps, and the flow into it would be theirs.
    private void LetGo(int end)
    {
        double over = (nodes.Furrow[end] - nodes.Room[end]) * nodes.Length[end];
        if (over > 0 && nodes.Cell[end] >= 0)
        {
            nodes.Furrow[end] = nodes.Room[end];
            nodes.Spilled[end] += over;
            nodes.Delivered[end] += over;
            nodes.Gives[end] = true;
        }
    }

    /// <summary>Puts what ends let go on their cells, or on the ground of outlets, one after the other.</summary>
    public void Deliver(TileMap tiles, GaugeCount[] gauges)
    {
        foreach (LineEnd end in nodes.Ends)
        {
            double volume = nodes.Delivered[end.Piece];
            if (volume > 0)
            {
                nodes.Delivered[end.Piece] = 0;
                end.Volume += volume;
                field.Depth[end.To] += volume / _area;
                int tile = tiles.Of(end.Row, end.Column);
                tiles.Deepest[tile] = Math.Max(tiles.Deepest[tile], field.Depth[end.To]);
                foreach (GaugeCount gauge in gauges)
                {
                    gauge.Led(end.From, end.To, volume);
                }
            }
        }
    }

    private static float Above(float flow) => flow > 0 ? flow : 0;

    // A sheet of water beside a lower furrow: Manning's flow toward it over a quarter of the cell, with the land's slope taking its part of the way.
    private double Sideways(double deep, double slope)
    {
        double fall = deep * _overReach;
        return deep * deep * FlowRows.InverseCubeRoot((float)deep) * _overRoughness * fall / Math.Sqrt(fall + slope);
    }
}
