using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>Takes projected metres to millimetres on paper, north up: the same for the map and for the drawings of the set-out sheet.</summary>
/// <param name="west">Ground at the paper's <paramref name="left"/>, metres.</param>
/// <param name="north">Ground at the paper's <paramref name="top"/>, metres.</param>
/// <param name="left">Millimetres from the left edge of the paper.</param>
/// <param name="top">Millimetres from the top of the paper.</param>
/// <param name="scale">Millimetres on paper for one metre on the ground.</param>
internal sealed class PaperFrame(double west, double north, double left, double top, double scale)
{
    /// <summary>Millimetres on paper for one metre on the ground.</summary>
    public double Scale => scale;

    /// <summary>A place on paper: millimetres from the left and from the top.</summary>
    public (double X, double Y) At(double x, double y) => (left + ((x - west) * scale), top + ((north - y) * scale));

    /// <summary>The outlines of areas, holes among them, and the courses of lines; points and empty shapes are left out.</summary>
    public static IEnumerable<(LineString Course, bool IsClosed)> Courses(Geometry shape)
    {
        switch (shape)
        {
            case Polygon { IsEmpty: false } area:
                yield return (area.ExteriorRing, true);
                foreach (LineString hole in area.InteriorRings)
                {
                    yield return (hole, true);
                }

                break;
            case LineString { IsEmpty: false } line:
                yield return (line, line.IsClosed);
                break;
            case GeometryCollection many:
                foreach ((LineString Course, bool IsClosed) course in many.Geometries.SelectMany(Courses))
                {
                    yield return course;
                }

                break;
        }
    }
}
