using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>The cells along a line, in its order, sampled four times a cell; one may come several times over.</summary>
/// <remarks>A corner that a line only cuts may be passed over: lines burnt into a grid are to part their sides, not to be found
/// again cell by cell, as <see cref="Drainage.TouchedCells"/> finds them.</remarks>
internal static class LineCells
{
    private const int PerCell = 4;

    /// <summary>Numbers of the cells that lie in the grid.</summary>
    public static IEnumerable<int> Of(GridFrame frame, LineString line)
    {
        Coordinate[] points = line.Coordinates;
        for (int i = 1; i < points.Length; i++)
        {
            double dx = points[i].X - points[i - 1].X;
            double dy = points[i].Y - points[i - 1].Y;
            int steps = Math.Max(1, (int)Math.Ceiling(PerCell * Math.Max(Math.Abs(dx), Math.Abs(dy)) / frame.CellSize));
            for (int k = 0; k <= steps; k++)
            {
                int cell = frame.IndexAt(points[i - 1].X + (dx * k / steps), points[i - 1].Y + (dy * k / steps));
                if (cell >= 0)
                {
                    yield return cell;
                }
            }
        }
    }
}
