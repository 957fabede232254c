using System.Text.Json;
using NetTopologySuite.Algorithm;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes shapes in longitude and latitude as RFC 7946 wants them.</summary>
internal sealed class GeoJsonShapes
{
    /// <summary>Decimals of a degree where nothing else is asked for: 1.1 cm.</summary>
    public const int UsualDecimals = 7;

    /// <summary>Decimals of a degree for lines to be driven: 0.1 mm.</summary>
    public const int DrivenDecimals = 9;

    private const int HeightDecimals = 2;
    private readonly int _decimals;
    private readonly double _west = double.PositiveInfinity;
    private readonly double _east = double.NegativeInfinity;
    private readonly double _south = double.PositiveInfinity;
    private readonly double _north = double.NegativeInfinity;
    private readonly double _low = double.PositiveInfinity;
    private readonly double _high = double.NegativeInfinity;

    /// <summary>Takes the measure of all shapes of a file; longitudes run past 180 rather than jump.</summary>
    public GeoJsonShapes(IEnumerable<Geometry> shapes, int decimals = UsualDecimals)
    {
        _decimals = decimals;
        double? reference = null;
        foreach (Geometry shape in shapes)
        {
            Envelope extent = shape.EnvelopeInternal;
            if (extent.IsNull)
            {
                continue;
            }

            // Each shape may have been begun on another turn of the globe.
            reference ??= extent.Centre.X;
            double turn = 360.0 * Math.Round((reference.Value - extent.Centre.X) / 360.0);
            _west = Math.Min(_west, extent.MinX + turn);
            _east = Math.Max(_east, extent.MaxX + turn);
            _south = Math.Min(_south, extent.MinY);
            _north = Math.Max(_north, extent.MaxY);
            if (!HasHeights(shape))
            {
                continue;
            }

            foreach (Coordinate c in shape.Coordinates)
            {
                _low = Math.Min(_low, c.Z);
                _high = Math.Max(_high, c.Z);
            }
        }
    }

    /// <summary>Writes the bounding box: west, south, lowest, east, north, highest; without heights where there are none.</summary>
    public void WriteBox(Utf8JsonWriter json)
    {
        if (!(_west <= _east))
        {
            return;
        }

        bool heights = _low <= _high;
        json.WritePropertyName("bbox");
        json.WriteStartArray();
        JsonText.Value(json, Antimeridian.Turn(_west), _decimals);
        JsonText.Value(json, _south, _decimals);
        if (heights)
        {
            JsonText.Value(json, _low, HeightDecimals);
        }

        JsonText.Value(json, Antimeridian.Turn(_east), _decimals);
        JsonText.Value(json, _north, _decimals);
        if (heights)
        {
            JsonText.Value(json, _high, HeightDecimals);
        }

        json.WriteEndArray();
    }

    /// <summary>Writes a shape, cut at the 180th meridian where it crosses it.</summary>
    public void Write(Utf8JsonWriter json, Geometry shape)
    {
        Geometry cut = Antimeridian.Cut(shape);
        WritePart(json, cut, HasHeights(cut));
    }

    private void WritePart(Utf8JsonWriter json, Geometry shape, bool heights)
    {
        json.WriteStartObject();
        json.WriteString("type", shape is LinearRing ? "LineString" : shape.GeometryType);
        if (shape is GeometryCollection many and not (MultiPoint or MultiLineString or MultiPolygon))
        {
            json.WritePropertyName("geometries");
            json.WriteStartArray();
            foreach (Geometry part in many.Geometries)
            {
                WritePart(json, part, heights);
            }

            json.WriteEndArray();
        }
        else
        {
            json.WritePropertyName("coordinates");
            Coordinates(json, shape, heights);
        }

        json.WriteEndObject();
    }

    private void Coordinates(Utf8JsonWriter json, Geometry shape, bool heights)
    {
        if (shape is Point point)
        {
            Position(json, point.Coordinate, heights);
            return;
        }

        json.WriteStartArray();
        switch (shape)
        {
            case LineString line:
                foreach (Coordinate c in line.Coordinates)
                {
                    Position(json, c, heights);
                }

                break;
            case Polygon polygon:
                Ring(json, polygon.ExteriorRing, counterClockwise: true, heights);
                foreach (LineString hole in polygon.InteriorRings)
                {
                    Ring(json, hole, counterClockwise: false, heights);
                }

                break;
            default:
                for (int i = 0; i < shape.NumGeometries; i++)
                {
                    Coordinates(json, shape.GetGeometryN(i), heights);
                }

                break;
        }

        json.WriteEndArray();
    }

    private void Ring(Utf8JsonWriter json, LineString ring, bool counterClockwise, bool heights)
    {
        Coordinate[] path = ring.Coordinates;
        if (Orientation.IsCCW(path) != counterClockwise)
        {
            Array.Reverse(path);
        }

        json.WriteStartArray();
        foreach (Coordinate c in path)
        {
            Position(json, c, heights);
        }

        json.WriteEndArray();
    }

    private void Position(Utf8JsonWriter json, Coordinate c, bool heights)
    {
        json.WriteStartArray();
        JsonText.Value(json, c.X, _decimals);
        JsonText.Value(json, c.Y, _decimals);
        if (heights)
        {
            JsonText.Value(json, c.Z, HeightDecimals);
        }

        json.WriteEndArray();
    }

    private static bool HasHeights(Geometry shape)
    {
        Coordinate[] all = shape.Coordinates;
        return all.Length > 0 && Array.TrueForAll(all, c => double.IsFinite(c.Z));
    }
}
