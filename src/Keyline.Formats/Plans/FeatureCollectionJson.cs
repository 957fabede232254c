using System.Text.Json;
using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>A feature to be written: its shape in the metres of the ground, and what is said of it.</summary>
internal sealed record JsonFeature(string Id, Geometry Shape, Action<Utf8JsonWriter> Properties)
{
    /// <summary>A feature that says its kind and repeats its id among its properties.</summary>
    public static JsonFeature Named(string kind, string id, Geometry shape, Action<Utf8JsonWriter> rest) => new(id, shape, json =>
    {
        json.WriteString("kind", kind);
        json.WriteString("id", id);
        rest(json);
    });
}

/// <summary>Writes features as RFC 7946 wants them, each on a line of its own, with a member of our own that says where they come from.</summary>
internal static class FeatureCollectionJson
{
    public static void Write(Stream stream, IEnumerable<JsonFeature> features, PlanPlaces places, Action<Utf8JsonWriter> origin, CancellationToken cancellationToken, int decimals = GeoJsonShapes.UsualDecimals)
    {
        List<JsonFeature> placed = [];
        foreach (JsonFeature feature in features)
        {
            cancellationToken.ThrowIfCancellationRequested();
            RefuseWithoutLength(feature);
            placed.Add(feature with { Shape = places.Of(feature.Shape) });
        }

        GeoJsonShapes shapes = new(placed.Select(f => f.Shape), decimals);
        using Utf8JsonWriter json = new(stream, JsonText.Compact);
        json.WriteStartObject();
        json.WriteString("type", "FeatureCollection");
        shapes.WriteBox(json);
        JsonText.Section(json, "keyline", () => origin(json));
        json.WritePropertyName("features");
        json.WriteStartArray();
        Utf8Text line = new();
        foreach (JsonFeature feature in placed)
        {
            cancellationToken.ThrowIfCancellationRequested();
            line.Clear();
            AddFeature(line.Add("\n"u8), feature.Id, feature.Properties, j => shapes.Write(j, feature.Shape));
            json.WriteRawValue(line.Written, skipInputValidation: true);
        }

        json.WriteEndArray();
        json.WriteEndObject();
        json.Flush();
        stream.Write("\n"u8);
    }

    /// <summary>Writes features with the number of their fields' layout, the coordinate system and the inputs; and what to beware of, where people work by them.</summary>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void Write(
        Stream stream, IEnumerable<JsonFeature> features, ElevationGrid? ground, GroundCrs crs, PlanProvenance provenance, int format, CancellationToken cancellationToken, int decimals = GeoJsonShapes.UsualDecimals, bool caution = false)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(crs);
        ArgumentNullException.ThrowIfNull(provenance);
        Write(
            stream,
            features,
            new PlanPlaces(crs, ground),
            json =>
            {
                json.WriteNumber("format", format);
                PlanMembers.WriteSources(json, crs, provenance);
                if (caution)
                {
                    json.WriteString("caution", Cautions.InShort);
                }
            },
            cancellationToken,
            decimals);
    }

    // What a reader would refuse is not written.
    private static void RefuseWithoutLength(JsonFeature feature)
    {
        if (feature.Shape is LineString line && !(line.Length > 0 && double.IsFinite(line.Length)))
        {
            string fault = line.IsEmpty ? "has no points" : line.Length == 0 ? "has no length, since all its points are one and the same" : "has a coordinate that is no number";
            throw new GroundDataException($"Line {feature.Id} {fault}: it cannot be written; mend it, or leave it out.");
        }
    }

    /// <summary>Adds one feature; whoever calls begins a line for it, so that two files can be compared line by line.</summary>
    public static void AddFeature(Utf8Text line, string id, Action<Utf8JsonWriter> properties, Action<Utf8JsonWriter> geometry)
    {
        using Utf8JsonWriter json = new(line, JsonText.Compact);
        json.WriteStartObject();
        json.WriteString("type", "Feature");
        json.WriteString("id", id);
        JsonText.Section(json, "properties", () => properties(json));
        json.WritePropertyName("geometry");
        geometry(json);
        json.WriteEndObject();
    }
}
