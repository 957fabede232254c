using Keyline.Elevation;
using Keyline.Planar;

namespace Keyline.Layout.Even;

/// <summary>Nodes that lie beside a given line, with how far and on which side: there lines are to run along it.</summary>
/// <remarks>
/// <para>Units: metres. East and South are the unit normal of the line at its place nearest the node, Off how far the node lies
/// from the line along that normal.</para>
/// <para>Cost: the length of the lines times the nodes within reach.</para>
/// </remarks>
internal sealed class KeylineNodes
{
    private const double Step = 1.0;

    private KeylineNodes(int nodes)
    {
        Line = new int[nodes];
        Array.Fill(Line, -1);
        Off = new double[nodes];
        East = new double[nodes];
        South = new double[nodes];
    }

    /// <summary>Number of the line a node lies beside, or -1.</summary>
    public int[] Line { get; }

    public double[] Off { get; }

    public double[] East { get; }

    public double[] South { get; }

    /// <summary>Finds them.</summary>
    /// <param name="frame">Nodes lie at its cell centres.</param>
    /// <param name="lines">The lines.</param>
    /// <param name="reach">How far a node may lie from a line, metres.</param>
    public static KeylineNodes Find(GridFrame frame, IReadOnlyList<LinePath> lines, double reach)
    {
        KeylineNodes nodes = new(checked((int)frame.CellCount));
        double[] nearest = new double[nodes.Line.Length];
        Array.Fill(nearest, reach * reach);
        for (int l = 0; l < lines.Count; l++)
        {
            LinePath path = lines[l].Resample(Step);
            for (int k = 0; k < path.SegmentCount; k++)
            {
                XY a = path.Points[k];
                XY b = path.End(k);
                int top = Math.Max(0, (int)Math.Ceiling(frame.RowAt(Math.Max(a.Y, b.Y) + reach)));
                int bottom = Math.Min(frame.Rows - 1, (int)Math.Floor(frame.RowAt(Math.Min(a.Y, b.Y) - reach)));
                int left = Math.Max(0, (int)Math.Ceiling(frame.ColumnAt(Math.Min(a.X, b.X) - reach)));
                int right = Math.Min(frame.Columns - 1, (int)Math.Floor(frame.ColumnAt(Math.Max(a.X, b.X) + reach)));
                for (int r = top; r <= bottom; r++)
                {
                    for (int c = left; c <= right; c++)
                    {
                        nodes.Take((r * frame.Columns) + c, new XY(frame.CentreX(c), frame.CentreY(r)), path, k, l, nearest);
                    }
                }
            }
        }

        return nodes;
    }

    private void Take(int node, XY at, LinePath path, int segment, int line, double[] nearest)
    {
        XY a = path.Points[segment];
        XY along = path.End(segment) - a;
        double t = Math.Clamp((at - a).Dot(along) / along.Dot(along), 0, 1);
        XY off = at - (a + (along * t));
        double square = off.Dot(off);
        bool pastEnd = !path.Closed && ((segment == 0 && t == 0) || (segment == path.SegmentCount - 1 && t == 1));
        if (square >= nearest[node] || pastEnd)
        {
            return;
        }

        // The normal turns evenly along the line, from one point's to the next's.
        int next = segment + 1;
        XY normal = ((path.Tangent(segment) * (1 - t)) + (path.Tangent(next == path.Count && path.Closed ? 0 : next) * t)).Unit().Left;
        double side = off.Dot(normal) < 0 ? -1 : 1;
        nearest[node] = square;
        Line[node] = line;
        Off[node] = side * Math.Sqrt(square);
        East[node] = normal.X;
        South[node] = -normal.Y;
    }
}
