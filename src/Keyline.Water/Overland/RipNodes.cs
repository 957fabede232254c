using System.Runtime.InteropServices;
using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Water;

/// <summary>A line that was ripped.</summary>
/// <param name="Id">Its short name.</param>
/// <param name="Line">Its way, in the ground's coordinates.</param>
public sealed record WaterLine(string Id, LineString Line);

/// <summary>Pieces of one line that follow each other in one tile and on one soil.</summary>
internal struct RipRun(int from, int line, RipIntake intake)
{
    public int From { get; } = from;

    /// <summary>Behind the last.</summary>
    public int To { get; set; } = from + 1;

    public int Line { get; } = line;

    public RipIntake Intake { get; } = intake;

    /// <summary>Cubic metres taken from the cells.</summary>
    public double Taken { get; set; }
}

/// <summary>The rips as pieces about a cell long: where they lie, what they hold, what they carried.</summary>
internal sealed class RipNodes
{
    // Slope across which water comes down on a line is taken over this many cells either way: one cell sees lidar noise.
    private const int SlopeReach = 2;

    // Land flatter than this has no direction that water comes from.
    private const double Flat = 1e-3;

    private RipNodes(IReadOnlyList<WaterLine> lines, int[] starts, int count)
    {
        Lines = lines;
        Starts = starts;
        Cell = new int[count];
        Length = new double[count];
        Bed = new double[count];
        Crossing = new float[count];
        Slope = new float[count];
        Shape = new FurrowShape[count];
        Spread = new double[count];
        Level = new double[count];
        Room = new double[count];
        Furrow = new double[count];
        Slot = new double[count];
        Soaked = new double[count];
        Spilled = new double[count];
        Flow = new double[count];
        Carried = new double[count];
        Fastest = new double[count];
        Strongest = new double[count];
        MostFlow = new double[count];
        Delivered = new double[count];
        ToOutlet = new bool[count];
        Gives = new bool[count];
    }

    public IReadOnlyList<WaterLine> Lines { get; }

    /// <summary>First piece of each line, and behind the last.</summary>
    public int[] Starts { get; }

    public int Count => Cell.Length;

    /// <summary>Cell in the padded field; -1 where there is no ground.</summary>
    public int[] Cell { get; }

    /// <summary>Metres.</summary>
    public double[] Length { get; }

    /// <summary>Height of the furrow's bottom; where there is no ground, that of none: nothing flows over it.</summary>
    public double[] Bed { get; }

    /// <summary>Share of the water through its cell that must cross it.</summary>
    public float[] Crossing { get; }

    public float[] Slope { get; }

    public FurrowShape[] Shape { get; }

    /// <summary>Spread of the water above the ground, of its shape; and the height at which water stands, as of the last flow.</summary>
    public double[] Spread { get; }

    public double[] Level { get; }

    /// <summary>What the furrow holds before it spills, square metres.</summary>
    public double[] Room { get; }

    /// <summary>Water in the furrow, and in the loosened soil; and what went into the soil around: square metres.</summary>
    public double[] Furrow { get; }

    public double[] Slot { get; }

    public double[] Soaked { get; }

    /// <summary>Cubic metres given back to the cell.</summary>
    public double[] Spilled { get; }

    /// <summary>Flow to the next piece of the line, cubic metres a second; what it carried in all, and its greatest flow, speed and shear.</summary>
    public double[] Flow { get; }

    public double[] Carried { get; }

    public double[] MostFlow { get; }

    public double[] Fastest { get; }

    public double[] Strongest { get; }

    /// <summary>Whether a piece is an end at an outlet; and what an end has let go that is still to be put on the ground, cubic metres.</summary>
    public bool[] ToOutlet { get; }

    public double[] Delivered { get; }

    /// <summary>Whether a piece is an end that let water go in the last step: it takes none of it back.</summary>
    public bool[] Gives { get; }

    public IReadOnlyList<LineEnd> Ends { get; private set; } = [];

    /// <summary>Pieces by tile of the grid, along their lines.</summary>
    public RipRun[][] ByTile { get; private set; } = [];

    /// <summary>Cubic metres that each line took.</summary>
    public double[] TakenByLine()
    {
        double[] taken = new double[Lines.Count];
        foreach (RipRun run in ByTile.SelectMany(t => t))
        {
            taken[run.Line] += run.Taken;
        }

        return taken;
    }

    public static RipNodes Of(IReadOnlyList<WaterLine> lines, ElevationGrid ground, SoilMap soils, StormOptions options, FlowField field)
    {
        Rip rip = options.Rip;
        GridFrame f = ground.Frame;
        int[] starts = new int[lines.Count + 1];
        for (int k = 0; k < lines.Count; k++)
        {
            starts[k + 1] = starts[k] + (rip.Depth > 0 ? Math.Max(1, (int)Math.Round(lines[k].Line.Length / f.CellSize)) : 0);
        }

        RipNodes nodes = new(lines, starts, starts[^1]);
        RipIntake[] intakes = [.. soils.Soils.Select(s => new RipIntake(rip, s))];
        TileMap tiles = new(f, 0);
        List<RipRun>[] byTile = [.. Enumerable.Range(0, tiles.Down * tiles.Across).Select(_ => new List<RipRun>())];
        for (int k = 0; k < lines.Count; k++)
        {
            nodes.Place(k, ground, rip, field);
            (int tile, int soil) = (-1, -1);
            for (int i = starts[k]; i < starts[k + 1]; i++)
            {
                (int wasTile, int wasSoil) = (tile, soil);
                (tile, soil) = nodes.Cell[i] < 0 ? (-1, -1) : At(nodes.Cell[i]);
                if (tile >= 0 && (tile, soil) == (wasTile, wasSoil))
                {
                    CollectionsMarshal.AsSpan(byTile[tile])[^1].To = i + 1;
                }
                else if (tile >= 0)
                {
                    byTile[tile].Add(new RipRun(i, k, intakes[soil]));
                }
            }
        }

        nodes.ByTile = [.. byTile.Select(r => r.ToArray())];
        nodes.Ends = LineEnd.Of(nodes, options, field);
        foreach (LineEnd end in nodes.Ends)
        {
            // No ridge and no bank at an outlet: what comes to such an end leaves it.
            nodes.ToOutlet[end.Piece] = end.Outlet is not null;
            nodes.Room[end.Piece] = end.Outlet is null ? nodes.Room[end.Piece] : 0;
        }

        return nodes;

        (int Tile, int Soil) At(int padded)
        {
            (int row, int column) = ((padded / field.Stride) - 1, (padded % field.Stride) - 1);
            return (tiles.Of(row, column), soils.IndexOf((row * f.Columns) + column));
        }
    }

    private void Place(int line, ElevationGrid ground, Rip rip, FlowField field)
    {
        GridFrame f = ground.Frame;
        Coordinate[] points = Lines[line].Line.Coordinates;
        int first = Starts[line];
        int count = Starts[line + 1] - first;
        double piece = Lines[line].Line.Length / Math.Max(count, 1);
        double walked = 0;
        int at = 1;
        for (int i = 0; i < count; i++)
        {
            double wanted = (i + 0.5) * piece;
            while (at < points.Length - 1 && walked + points[at - 1].Distance(points[at]) < wanted)
            {
                walked += points[at - 1].Distance(points[at]);
                at++;
            }

            double span = Math.Max(points[at - 1].Distance(points[at]), 1e-12);
            double share = Math.Clamp((wanted - walked) / span, 0, 1);
            double x = points[at - 1].X + (share * (points[at].X - points[at - 1].X));
            double y = points[at - 1].Y + (share * (points[at].Y - points[at - 1].Y));
            double alongX = (points[at].X - points[at - 1].X) / span;
            double alongY = (points[at].Y - points[at - 1].Y) / span;
            int n = first + i;
            int cell = f.IndexAt(x, y);
            double height = cell < 0 ? double.NaN : ground.HeightAt(x, y);
            Cell[n] = -1;
            Bed[n] = FlowRows.NoGround;
            Length[n] = piece;
            if (cell < 0 || float.IsNaN(ground.Heights[cell]))
            {
                continue;
            }

            (int row, int column) = (cell / f.Columns, cell % f.Columns);
            (double east, double north) = Gradient(ground, row, column);
            double slope = Math.Sqrt((east * east) + (north * north));
            double across = slope > Flat ? Math.Abs((east * alongY) - (north * alongX)) / slope : 1;
            double ridge = i == 0 || i == count - 1 ? 0 : rip.RidgeHeight;
            Cell[n] = field.Index(row, column);
            Slope[n] = (float)slope;
            Bed[n] = (double.IsNaN(height) ? ground.Heights[cell] : height) - field.Base - rip.FurrowDepth;
            Crossing[n] = (float)Math.Min(1, piece * across / f.CellSize);
            Shape[n] = new FurrowShape(rip.FurrowDepth, rip.FurrowSide, ridge, Math.Max(slope * across, 1e-3));
            Spread[n] = Shape[n].Spread;
            Room[n] = Shape[n].Full;
        }
    }

    private static (double East, double North) Gradient(ElevationGrid ground, int row, int column)
    {
        GridFrame f = ground.Frame;
        return (Over(0, 1), -Over(1, 0));

        double Over(int down, int right)
        {
            int low = 0;
            int high = 0;
            while (low < SlopeReach && Known(row - ((low + 1) * down), column - ((low + 1) * right)))
            {
                low++;
            }

            while (high < SlopeReach && Known(row + ((high + 1) * down), column + ((high + 1) * right)))
            {
                high++;
            }

            return low + high == 0 ? 0
                : (ground[row + (high * down), column + (high * right)] - (double)ground[row - (low * down), column - (low * right)]) / ((low + high) * f.CellSize);
        }

        bool Known(int r, int c) => f.Contains(r, c) && !float.IsNaN(ground[r, c]);
    }
}
