using System.Text.Json;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>Writes a job's lines in order, its ways between them and what does not fit as GeoJSON, for a look in any GIS.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees to 7 decimals (a centimetre), metres and seconds. Promises: RFC 7946, no <c>crs</c> member; the same job gives the same bytes.</para>
/// <para>Cost: that of the text. Source: RFC 7946 (2016).</para>
/// </remarks>
public static class WorkShapes
{
    /// <summary>Writes them.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="job">The job.</param>
    /// <param name="toLonLat">Takes a place to longitude and latitude, degrees.</param>
    /// <param name="services">What to say of located services.</param>
    public static void Write(Stream stream, WorkJob job, Func<Coordinate, (double Longitude, double Latitude)> toLonLat, string services)
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(toLonLat);
        using Utf8JsonWriter json = new(stream, new JsonWriterOptions { Indented = false });
        json.WriteStartObject();
        json.WriteString("type", "FeatureCollection");
        json.WriteString("located_services", services);
        json.WriteStartArray("features");
        foreach (WorkStop stop in job.Stops)
        {
            if (stop.Change is { } change)
            {
                Feature(json, "LineString", () => Line(json, change.Way.Sample(0.5).Select(p => new Coordinate(p.X, p.Y)), toLonLat), () =>
                {
                    json.WriteString("kind", "way");
                    json.WriteNumber("before", stop.Number);
                    json.WriteString("driven", change.Kind.ToString().ToLowerInvariant());
                    json.WriteBoolean("fits", change.Fits);
                    json.WriteNumber("seconds", Math.Round(change.Seconds, 1));
                    json.WriteNumber("length_m", Math.Round(change.Way.Length, 1));
                });
            }

            Feature(json, "LineString", () => Line(json, stop.Course.Coordinates, toLonLat), () =>
            {
                json.WriteString("kind", "line");
                json.WriteNumber("number", stop.Number);
                json.WriteString("id", stop.Line.Id);
                json.WriteBoolean("reversed", stop.Reversed);
                json.WriteString("warning", stop.Line.Warning);
                json.WriteNumber("length_m", Math.Round(stop.Course.Length, 1));
            });
        }

        foreach (WorkFinding finding in job.Findings)
        {
            Feature(json, "Point", () => Place(json, new Coordinate(finding.X, finding.Y), toLonLat), () =>
            {
                json.WriteString("kind", "finding");
                json.WriteString("finding", WordOf(finding.Kind));
                json.WriteString("sentence", finding.Sentence);
            });
        }

        json.WriteEndArray();
        json.WriteEndObject();
        json.Flush();
        stream.Write("\n"u8);
    }

    /// <summary>The word for a finding in files.</summary>
    /// <param name="kind">The finding's kind.</param>
    public static string WordOf(WorkFindingKind kind) => kind switch
    {
        WorkFindingKind.TurnDoesNotFit => "turn-does-not-fit",
        WorkFindingKind.TurnOnSteepLand => "turn-on-steep-land",
        _ => "not-pulled",
    };

    private static void Feature(Utf8JsonWriter json, string type, Action coordinates, Action properties)
    {
        json.WriteStartObject();
        json.WriteString("type", "Feature");
        json.WriteStartObject("geometry");
        json.WriteString("type", type);
        json.WritePropertyName("coordinates");
        coordinates();
        json.WriteEndObject();
        json.WriteStartObject("properties");
        properties();
        json.WriteEndObject();
        json.WriteEndObject();
    }

    private static void Line(Utf8JsonWriter json, IEnumerable<Coordinate> course, Func<Coordinate, (double Longitude, double Latitude)> toLonLat)
    {
        json.WriteStartArray();
        foreach (Coordinate at in course)
        {
            Place(json, at, toLonLat);
        }

        json.WriteEndArray();
    }

    private static void Place(Utf8JsonWriter json, Coordinate at, Func<Coordinate, (double Longitude, double Latitude)> toLonLat)
    {
        (double longitude, double latitude) = toLonLat(at);
        json.WriteStartArray();
        json.WriteNumberValue(Math.Round(longitude, 7));
        json.WriteNumberValue(Math.Round(latitude, 7));
        json.WriteEndArray();
    }
}
