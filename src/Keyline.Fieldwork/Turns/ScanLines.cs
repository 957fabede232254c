using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>Where level lines cross the outlines of an area.</summary>
/// <remarks>Units: metres. Promises: in each row from west to east, in pairs that bound what is inside (even-odd); a corner on the
/// line counts with the upper side only. Cost: one step an edge and row it crosses.</remarks>
internal static class ScanLines
{
    /// <param name="area">The area; points and lines have no inside.</param>
    /// <param name="first">Northing of the first row.</param>
    /// <param name="step">From a row to the next one north.</param>
    /// <param name="rows">Number of rows.</param>
    public static double[][] Crossings(Geometry area, double first, double step, int rows)
    {
        List<double>[] found = new List<double>[rows];
        foreach (LineString ring in Rings(area))
        {
            Coordinate[] p = ring.Coordinates;
            for (int i = 1; i < p.Length; i++)
            {
                (Coordinate low, Coordinate high) = p[i - 1].Y < p[i].Y ? (p[i - 1], p[i]) : (p[i], p[i - 1]);
                int from = Math.Max(0, (int)Math.Ceiling((low.Y - first) / step));
                for (int r = from; r < rows && first + (r * step) < high.Y; r++)
                {
                    double t = (first + (r * step) - low.Y) / (high.Y - low.Y);
                    (found[r] ??= []).Add(low.X + (t * (high.X - low.X)));
                }
            }
        }

        return [.. found.Select(f =>
        {
            f?.Sort();
            return f?.ToArray() ?? [];
        })];
    }

    private static IEnumerable<LineString> Rings(Geometry area) => area switch
    {
        Polygon polygon => polygon.InteriorRings.Prepend(polygon.ExteriorRing),
        GeometryCollection many => many.Geometries.SelectMany(Rings),
        _ => [],
    };
}
