using System.Text.Json;
using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes lines for guidance as GeoJSON, one feature a line of text.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees to 9 decimals (0.1 mm), heights in metres to 2 decimals.</para>
/// <para>Missing: a line with an unknown height is written without heights.</para>
/// <para>Promises: RFC 7946: outer rings counter-clockwise, no <c>crs</c> member, shapes cut at the 180th meridian; the same
/// lines give the same bytes.</para>
/// <para>Cost: about 0.5 microseconds a point and core. Source: RFC 7946 (2016).</para>
/// </remarks>
public static class GeoJsonGuidance
{
    /// <summary>Writes the lines.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="set">The lines.</param>
    /// <param name="crs">The projected system their metres are in.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void Write(Stream stream, GuidanceSet set, GroundCrs crs, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(set);
        ArgumentNullException.ThrowIfNull(crs);
        using Utf8JsonWriter json = new(stream, JsonText.Compact);
        json.WriteStartObject();
        json.WriteString("type", "FeatureCollection");
        JsonText.Section(json, "keyline", () =>
        {
            json.WriteString("version", PlanProvenance.LibraryVersion);
            PlanMembers.WriteCrs(json, crs, string.Join(' ', GuidanceNotes.Datum(crs)));
            JsonText.Section(json, "options", () => JsonText.Number(json, "spacing_m", set.SwathWidth, 6));
            json.WriteString("caution", Cautions.InShort);
        });
        json.WritePropertyName("features");
        json.WriteStartArray();
        json.Flush();

        // Features are made on all cores and written in turn; the array they stand in is closed by hand.
        bool first = true;
        if (set.Boundary is { } boundary)
        {
            Geometry shape = new PlanPlaces(crs, null).Of(boundary);
            Utf8Text text = new();
            FeatureCollectionJson.AddFeature(
                text.Add("\n"u8),
                "field",
                j =>
                {
                    j.WriteString("kind", "boundary");
                    j.WriteString("id", "field");
                    j.WriteString("name", set.FieldName);
                },
                j => new GeoJsonShapes([], GeoJsonShapes.DrivenDecimals).Write(j, shape));
            stream.Write(text.Written);
            first = false;
        }

        LineTexts.Write(stream, set.Lines, crs, (t, line, number, at) => Feature(t.Add(first && number == 0 ? "\n"u8 : ",\n"u8), line, at), cancellationToken);
        stream.Write("\n]}\n"u8);
        json.Reset();
    }

    private static void Feature(Utf8Text text, GuidanceLine line, LinePlaces at) => FeatureCollectionJson.AddFeature(
        text,
        line.Name,
        json =>
        {
            json.WriteString("kind", "guidance-line");
            json.WriteString("id", line.Name);
            json.WriteString("source", line.SourceId);
            json.WriteNumber("sequence", line.Sequence);
            json.WriteNumber("part", line.Part);
            json.WriteNumber("parts", line.Parts);
            json.WriteString("form", line.IsStraight ? "straight" : "curve");
            json.WritePropertyName("length_m");
            JsonText.Fixed(json, line.Path.Length, 2);
            json.WriteString("note", line.Note);
        },
        json => Geometry(json, at));

    private static void Geometry(Utf8JsonWriter json, LinePlaces at)
    {
        json.WriteStartObject();
        json.WriteString("type", at.Crosses ? "MultiLineString" : "LineString");
        json.WritePropertyName("coordinates");
        json.WriteStartArray();
        if (at.Crosses)
        {
            foreach (LineString part in at.Parts())
            {
                json.WriteStartArray();
                for (int i = 0; i < part.NumPoints; i++)
                {
                    Position(json, part.CoordinateSequence.GetX(i), part.CoordinateSequence.GetY(i), double.NaN);
                }

                json.WriteEndArray();
            }
        }
        else
        {
            for (int i = 0; i < at.Count; i++)
            {
                Position(json, Antimeridian.Turn(at.Longitude[i]), at.Latitude[i], at.HasHeights ? at.Height[i] : double.NaN);
            }
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Position(Utf8JsonWriter json, double longitude, double latitude, double height)
    {
        json.WriteStartArray();
        JsonText.Fixed(json, longitude, GeoJsonShapes.DrivenDecimals);
        JsonText.Fixed(json, latitude, GeoJsonShapes.DrivenDecimals);
        if (double.IsFinite(height))
        {
            JsonText.Fixed(json, height, 2);
        }

        json.WriteEndArray();
    }
}
