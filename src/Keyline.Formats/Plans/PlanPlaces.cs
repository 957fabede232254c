using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Turns places of a plan into longitude, latitude and height for its files.</summary>
internal sealed class PlanPlaces(GroundCrs crs, ElevationGrid? ground)
{
    /// <summary>Longitude, latitude in degrees, and height in metres: the coordinate's own, or the ground's, or NaN.</summary>
    public CoordinateZ Of(Coordinate c)
    {
        (double lon, double lat) = crs.ToLonLat(c.X, c.Y);
        if (double.IsNaN(lon) || double.IsNaN(lat))
        {
            throw new GroundDataException(FormattableString.Invariant($"The place {c.X:F1}, {c.Y:F1} m has no longitude and latitude in {crs.Name}; check that the elevation's coordinate system is the right one."));
        }

        return new CoordinateZ(lon, lat, double.IsFinite(c.Z) ? c.Z : ground?.HeightAt(c.X, c.Y) ?? double.NaN);
    }

    /// <summary>A whole shape in longitude and latitude, turned so that no edge jumps across the 180th meridian.</summary>
    /// <remarks>Longitudes may leave -180 to 180; <see cref="Antimeridian"/> cuts what does.</remarks>
    public Geometry Of(Geometry shape)
    {
        GeometryFactory factory = GeometryFactory.Default;
        double? before = null;
        Geometry moved = Move(shape);
        return moved;

        Geometry Move(Geometry g) => g switch
        {
            Point p => factory.CreatePoint(Next(p.Coordinate)),
            LinearRing r => factory.CreateLinearRing(Array.ConvertAll(r.Coordinates, Next)),
            LineString l => factory.CreateLineString(Array.ConvertAll(l.Coordinates, Next)),
            Polygon p => factory.CreatePolygon((LinearRing)Move(p.ExteriorRing), [.. p.InteriorRings.Select(r => (LinearRing)Move(r))]),
            MultiPoint m => factory.CreateMultiPoint([.. m.Geometries.Select(p => (Point)Move(p))]),
            MultiLineString m => factory.CreateMultiLineString([.. m.Geometries.Select(l => (LineString)Move(l))]),
            MultiPolygon m => factory.CreateMultiPolygon([.. m.Geometries.Select(p => (Polygon)Move(p))]),
            _ => factory.CreateGeometryCollection([.. ((GeometryCollection)g).Geometries.Select(Move)]),
        };

        Coordinate Next(Coordinate c)
        {
            CoordinateZ at = Of(c);
            if (before is { } last)
            {
                at.X = last + Math.IEEERemainder(at.X - last, 360.0);
            }

            before = at.X;
            return at;
        }
    }
}
