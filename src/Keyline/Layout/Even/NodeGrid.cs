using Keyline.Elevation;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Even;

/// <summary>Nodes over a part of a field: which of them count, and which line directions are wished for at each.</summary>
/// <remarks>
/// <para>Units: metres, percent, radians. Vectors have an east and a south component, so that both run as columns and rows do.
/// A line's normal at angle a from the contour is cos a times downhill less sin a times the contour direction, which is
/// downhill turned by a quarter from east toward south; at positive angles the line falls along the contour direction.</para>
/// <para>Cost: linear in nodes.</para>
/// </remarks>
internal sealed class NodeGrid
{
    /// <summary>Side of a node's footprint, metres.</summary>
    public const double NodeSize = 4.0;

    /// <summary>How far beyond the workable ground nodes still count, metres, so that lines run straight up to its edge.</summary>
    private const double Beyond = 6.0;

    private NodeGrid(GridFrame frame, bool[] domain, bool[] work)
    {
        Frame = frame;
        Domain = domain;
        Work = work;
        int n = domain.Length;
        DownEast = new double[n];
        DownSouth = new double[n];
        Slope = new double[n];
        Low = new double[n];
        High = new double[n];
    }

    /// <summary>Nodes lie at the cell centres of this frame.</summary>
    public GridFrame Frame { get; }

    /// <summary>Nodes that take part.</summary>
    public bool[] Domain { get; }

    /// <summary>Nodes in the workable ground.</summary>
    public bool[] Work { get; }

    /// <summary>Unit vector downhill.</summary>
    public double[] DownEast { get; }

    /// <summary>Unit vector downhill.</summary>
    public double[] DownSouth { get; }

    /// <summary>Slope along the fall line, percent.</summary>
    public double[] Slope { get; }

    /// <summary>Least angle from the contour.</summary>
    public double[] Low { get; }

    /// <summary>Greatest angle from the contour.</summary>
    public double[] High { get; }

    public int Count => Domain.Length;

    /// <summary>Nodes over an area with the windows that the land gives.</summary>
    /// <param name="terrain">Heights and position around the area, cells of half a node.</param>
    /// <param name="area">Workable ground.</param>
    /// <param name="settings">Limits.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static NodeGrid Create(LayoutRaster terrain, Geometry area, EvenSettings settings, CancellationToken cancellationToken)
    {
        GridFrame cells = terrain.Frame;
        int block = Math.Max(1, (int)Math.Round(NodeSize / cells.CellSize));
        GridFrame frame = new(Math.Max(1, cells.Rows / block), Math.Max(1, cells.Columns / block), block * cells.CellSize, cells.West, cells.North);
        NodeGrid grid = new(frame, GuideBlock.Mask(frame, area.Buffer(Beyond), cancellationToken), GuideBlock.Mask(frame, area, cancellationToken));
        Parallel.For(0, frame.Rows, WorkThreads.Options(cancellationToken), r =>
        {
            for (int c = 0; c < frame.Columns; c++)
            {
                (XY fall, XY rise) = Mean(terrain, r * block, c * block, block);
                int i = (r * frame.Columns) + c;
                double land = terrain.LandSlope[((r * block) + (block / 2)) * cells.Columns + (c * block) + (block / 2)];
                DirectionWindow window = DirectionWindow.Of(fall, rise, settings.GradeLimit(land, new XY(frame.CentreX(c), frame.CentreY(r))), settings.LeastFall);
                grid.DownEast[i] = window.DownEast;
                grid.DownSouth[i] = window.DownSouth;
                grid.Slope[i] = window.Slope;
                grid.Low[i] = window.Low;
                grid.High[i] = window.High;
            }
        });
        return grid;
    }

    /// <summary>Nodes with everything given, for ground that is a formula.</summary>
    public static NodeGrid Of(GridFrame frame, bool[] domain, bool[] work, Func<int, DirectionWindow> window)
    {
        NodeGrid grid = new(frame, domain, work);
        for (int i = 0; i < domain.Length; i++)
        {
            DirectionWindow w = window(i);
            (grid.DownEast[i], grid.DownSouth[i], grid.Slope[i], grid.Low[i], grid.High[i]) = (w.DownEast, w.DownSouth, w.Slope, w.Low, w.High);
        }

        return grid;
    }

    /// <summary>Unit normal, east and south, of a line at an angle from the contour at a node.</summary>
    public (double East, double South) Normal(int node, double angle)
    {
        (double sin, double cos) = Math.SinCos(angle);
        return ((cos * DownEast[node]) + (sin * DownSouth[node]), (cos * DownSouth[node]) - (sin * DownEast[node]));
    }

    // Downhill gradient of the heights and uphill gradient of the position over a node, x east and y south.
    private static (XY Fall, XY Rise) Mean(LayoutRaster terrain, int row, int column, int block)
    {
        XY fall = default;
        XY rise = default;
        for (int r = row; r < row + block; r++)
        {
            for (int c = column; c < column + block; c++)
            {
                XY z = LayoutHeights.Gradient(terrain.Heights, terrain.Frame, r, c);
                XY p = LayoutHeights.Gradient(terrain.Position, terrain.Frame, r, c);
                fall += new XY(-z.X, z.Y);
                rise += new XY(p.X, -p.Y);
            }
        }

        double share = 1.0 / (block * block);
        return (fall * share, rise * share);
    }
}
