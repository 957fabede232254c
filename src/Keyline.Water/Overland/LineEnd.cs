using Keyline.Elevation;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Distance;

namespace Keyline.Water;

/// <summary>An end of a line, and where what it lets go comes to: the ground below it, or that of a stable outlet.</summary>
/// <remarks>Units: metres. Promises: an end delivers to the nearest outlet within reach, to the cell of its nearest place; where there is none, to the cell beside its own to which
/// the land falls most (on its own it would heap up in a step and run back into the line); in a pit, to its own. A cell without ground gets nothing.</remarks>
internal sealed class LineEnd(int line, int piece, bool isStart, string? outlet, int from, int to, int row, int column)
{
    public int Line { get; } = line;

    public int Piece { get; } = piece;

    public bool IsStart { get; } = isStart;

    /// <summary>The outlet; null where there is none.</summary>
    public string? Outlet { get; } = outlet;

    /// <summary>Padded cell in the middle of the line, for what counts water that crosses an edge; and the cell that it comes to.</summary>
    public int From { get; } = from;

    public int To { get; } = to;

    public int Row { get; } = row;

    public int Column { get; } = column;

    /// <summary>Cubic metres so far.</summary>
    public double Volume { get; set; }

    public static LineEnd[] Of(RipNodes nodes, StormOptions options, FlowField field)
    {
        List<LineEnd> ends = [];
        for (int k = 0; k < nodes.Lines.Count; k++)
        {
            (int first, int last) = (nodes.Starts[k], nodes.Starts[k + 1] - 1);
            for (int e = 0; e < 2 && last > first; e++)
            {
                int piece = e == 0 ? first : last;
                if (nodes.Cell[piece] >= 0)
                {
                    (WaterOutlet? outlet, int to) = Nearest(e == 0 ? nodes.Lines[k].Line.StartPoint : nodes.Lines[k].Line.EndPoint, nodes.Cell[piece], options, field);
                    int middle = nodes.Cell[(first + last) / 2];
                    ends.Add(new LineEnd(k, piece, e == 0, outlet?.Name, middle < 0 || outlet is null ? nodes.Cell[piece] : middle, to, (to / field.Stride) - 1, (to % field.Stride) - 1));
                }
            }
        }

        return [.. ends];
    }

    private static (WaterOutlet? Outlet, int To) Nearest(Point end, int own, StormOptions options, FlowField field)
    {
        (WaterOutlet? outlet, double distance) = options.Outlets.Select(o => ((WaterOutlet?)o, o.Shape.Distance(end))).DefaultIfEmpty((null, double.PositiveInfinity)).MinBy(o => o.Item2);
        if (outlet is null || !(distance <= options.OutletReach))
        {
            return (null, Below(own, field));
        }

        Coordinate at = distance > 0 ? DistanceOp.NearestPoints(outlet.Shape, end)[0] : end.Coordinate;
        GridFrame f = field.Frame;
        int cell = f.IndexAt(at.X, at.Y);
        int to = cell < 0 ? -1 : field.Index(cell / f.Columns, cell % f.Columns);
        return (outlet, to < 0 || field.Bed[to] >= FlowRows.NoGround ? own : to);
    }

    private static int Below(int own, FlowField field)
    {
        (int at, double most) = (own, 0);
        for (int down = -1; down <= 1; down++)
        {
            for (int right = -1; right <= 1; right++)
            {
                int beside = own + (down * field.Stride) + right;
                double fall = (field.Bed[own] - field.Bed[beside]) / (down != 0 && right != 0 ? Math.Sqrt(2) : 1);
                (at, most) = fall > most && field.Bed[beside] < FlowRows.NoGround ? (beside, fall) : (at, most);
            }
        }

        return at;
    }
}
