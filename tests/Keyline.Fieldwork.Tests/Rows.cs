using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>Made fields, rows and machines.</summary>
internal static class Rows
{
    public static Machine Mounted(double radius = 6) => new()
    {
        Tractor = new Tractor { Power = 90, Mass = 6500 },
        Implement = new Implement { Shanks = 2, ShankSpacing = 0.7, Depth = 0.5, RadiusLifted = radius },
    };

    public static Machine Trailed(double radius = 7) => new()
    {
        Tractor = new Tractor { Power = 120, Mass = 9000 },
        Implement = new Implement { Hitch = HitchKind.Trailed, Shanks = 3, ShankSpacing = 0.7, Depth = 0.5, HitchToShank = 3, RadiusLifted = radius },
    };

    public static Geometry Box(double west, double south, double east, double north) => GeometryFactory.Default.ToGeometry(new Envelope(west, east, south, north));

    /// <summary>Rows running north in a box from 0 to 200, a headland at either end.</summary>
    public static LineString[] North(int count, double spacing, double headland, double first = 20) =>
        [.. Enumerable.Range(0, count).Select(i => new LineString([new Coordinate(first + (i * spacing), headland), new Coordinate(first + (i * spacing), 200 - headland)]))];

    /// <summary>Whether all of an outline lies in a field and out of what it avoids, asked of the shapes themselves.</summary>
    public static bool StaysWithin(SweptOutline outline, TurnPath way, FieldArea field)
    {
        NetTopologySuite.Algorithm.Locate.IndexedPointInAreaLocator inside = new(field.Boundary);
        return outline.Along(way).All(p => inside.Locate(new Coordinate(p.X, p.Y)) == Location.Interior
            && field.Avoided.All(a => a.Shape.Distance(new Point(p.X, p.Y)) > 0));
    }
}
