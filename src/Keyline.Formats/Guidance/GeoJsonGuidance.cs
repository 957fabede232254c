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
    /// <param name="cancellation">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void Write(Stream stream, GuidanceSet set, GroundCrs crs, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(set);
        ArgumentNullException.ThrowIfNull(crs);
        Utf8Text text = new();
        text.Add("{\"type\":\"FeatureCollection\",\"keyline\":{\"version\":"u8).AddJson(PlanProvenance.LibraryVersion).Add(",\"crs\":{\"name\":"u8).AddJson(crs.Name)
            .Add(",\"epsg\":"u8).Add(crs.EpsgCode is int code ? FormattableString.Invariant($"{code}") : "null").Add(",\"datum\":"u8).AddJson(crs.DatumName)
            .Add(",\"datum_note\":"u8).AddJson(string.Join(' ', GuidanceNotes.Datum(crs))).Add("},\"options\":{\"spacing_m\":"u8)
            .Add(double.IsFinite(set.SwathWidth) ? JsonSerializer.Serialize(Math.Round(set.SwathWidth, 6)) : "null").Add("}},\"features\":["u8);
        bool first = true;
        if (set.Boundary is { } boundary)
        {
            Geometry shape = new PlanPlaces(crs, null).Of(boundary);
            text.Add("\n{\"type\":\"Feature\",\"id\":\"field\",\"properties\":{\"kind\":\"boundary\",\"id\":\"field\",\"name\":"u8).AddJson(set.FieldName).Add("},\"geometry\":"u8).Add(Shape(shape)).Add("}"u8);
            first = false;
        }

        stream.Write(text.Written);
        LineTexts.Write(stream, set.Lines, crs, (t, line, number, at) => Feature(t.Add(first && number == 0 ? "\n"u8 : ",\n"u8), line, at), cancellation);
        stream.Write("\n]}\n"u8);
    }

    private static ReadOnlySpan<byte> Shape(Geometry shape)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream))
        {
            new GeoJsonShapes([], GeoJsonShapes.DrivenDecimals).Write(json, shape);
        }

        return stream.ToArray();
    }

    private static void Feature(Utf8Text text, GuidanceLine line, LinePlaces at)
    {
        text.Add("{\"type\":\"Feature\",\"id\":"u8).AddJson(line.Name).Add(",\"properties\":{\"kind\":\"guidance-line\",\"id\":"u8).AddJson(line.Name)
            .Add(",\"source\":"u8).AddJson(line.SourceId).Add(",\"sequence\":"u8).Add(line.Sequence).Add(",\"part\":"u8).Add(line.Part).Add(",\"parts\":"u8).Add(line.Parts)
            .Add(line.IsStraight ? ",\"form\":\"straight\",\"length_m\":"u8 : ",\"form\":\"curve\",\"length_m\":"u8).Add(line.Path.Length, 2).Add(",\"note\":"u8).AddJson(line.Note);
        if (!at.Crosses)
        {
            bool heights = at.HasHeights;
            text.Add("},\"geometry\":{\"type\":\"LineString\",\"coordinates\":"u8);
            for (int i = 0; i < at.Count; i++)
            {
                Position(text.Add(i == 0 ? "["u8 : ","u8), Antimeridian.Turn(at.Longitude[i]), at.Latitude[i], heights ? at.Height[i] : double.NaN);
            }

            text.Add("]}}"u8);
            return;
        }

        text.Add("},\"geometry\":{\"type\":\"MultiLineString\",\"coordinates\":["u8);
        LineString[] parts = at.Parts();
        for (int p = 0; p < parts.Length; p++)
        {
            CoordinateSequence c = parts[p].CoordinateSequence;
            text.Add(p == 0 ? "["u8 : ",["u8);
            for (int i = 0; i < c.Count; i++)
            {
                Position(text.Add(i == 0 ? ""u8 : ","u8), c.GetX(i), c.GetY(i), double.NaN);
            }

            text.Add("]"u8);
        }

        text.Add("]}}"u8);
    }

    private static void Position(Utf8Text text, double longitude, double latitude, double height)
    {
        text.Add("["u8).Add(longitude, 9).Add(","u8).Add(latitude, 9);
        _ = double.IsFinite(height) ? text.Add(","u8).Add(height, 2) : text;
        text.Add("]"u8);
    }
}
