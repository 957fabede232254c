using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Tests.Support;

/// <summary>Ground given by a formula, and fields on it, for the layout tests.</summary>
internal static class FieldGround
{
    public static readonly GeometryFactory Factory = new();

    /// <summary>A grid over x 0..width, y 0..height with z from a formula in x and y.</summary>
    public static ElevationGrid Of(Func<double, double, double> z, double width, double height, double cell = 1, double west = 0, double south = 0)
    {
        int columns = (int)(width / cell);
        int rows = (int)(height / cell);
        GridFrame frame = new(rows, columns, cell, west, south + (rows * cell));
        float[] values = new float[rows * columns];
        for (int r = 0; r < rows; r++)
        {
            for (int c = 0; c < columns; c++)
            {
                values[(r * columns) + c] = (float)z(frame.CentreX(c), frame.CentreY(r));
            }
        }

        return ElevationGrid.Copy(frame, values);
    }

    public static Polygon Box(double minX, double minY, double maxX, double maxY) =>
        (Polygon)Factory.ToGeometry(new Envelope(minX, maxX, minY, maxY));

    public static LineString Line(params (double X, double Y)[] points) =>
        Factory.CreateLineString([.. points.Select(p => new Coordinate(p.X, p.Y))]);
}
