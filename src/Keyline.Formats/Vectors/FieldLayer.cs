using System.Text;
using System.Text.Json;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO.Converters;

namespace Keyline.Formats;

/// <summary>One field of a layer of many.</summary>
/// <param name="Id">Its name among the others: of letters, digits, points, dashes and underscores, so that it can name a folder.</param>
/// <param name="Name">Its name as written; the id where it has none.</param>
/// <param name="Shape">Its outline in longitude and latitude, degrees.</param>
/// <param name="Attributes">Its attributes that are texts, numbers or true, as JSON wrote them, in the order of the file.</param>
public sealed record LayerField(string Id, string Name, Geometry Shape, IReadOnlyList<KeyValuePair<string, string>> Attributes)
{
    private static readonly JsonSerializerOptions Shapes = new() { Converters = { new GeoJsonConverterFactory() } };

    /// <summary>The field alone as GeoJSON, as the commands take it; the same field gives the same bytes.</summary>
    public byte[] ToGeoJson()
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream))
        {
            json.WriteStartObject();
            json.WriteString("type", "Feature");
            json.WriteStartObject("properties");
            json.WriteString("name", Name);
            json.WriteEndObject();
            json.WritePropertyName("geometry");
            JsonSerializer.Serialize(json, Shape, Shapes);
            json.WriteEndObject();
        }

        stream.WriteByte((byte)'\n');
        return stream.ToArray();
    }
}

/// <summary>Reads a layer of many fields, each a feature.</summary>
/// <remarks>
/// <para>Units: WGS 84 longitude and latitude, degrees.</para>
/// <para>Promises: fields keep the order of the file and no two have the same id: of a second "a" becomes "a-2". Whether an outline can
/// be worked is left to whoever plans it, so that one bad field spoils no other.</para>
/// <para>Cost: proportional to the file; all of it is held.</para>
/// <para>Source: RFC 7946 (2016).</para>
/// </remarks>
public static class FieldLayer
{
    private const int MostId = 80;

    /// <summary>Reads a file of GeoJSON.</summary>
    /// <param name="path">The file.</param>
    /// <param name="idAttribute">The attribute that names fields; null for <c>id</c>, else <c>name</c>, else the place in the file.</param>
    /// <exception cref="GroundDataException">It is absent, not GeoJSON in longitude and latitude, holds no field, or one lacks the attribute.</exception>
    public static IReadOnlyList<LayerField> Read(string path, string? idAttribute = null) =>
        Fields(GeoJsonFeatures.ReadFile(path, "fields"), Path.GetFileName(path), idAttribute);

    /// <summary>Reads a stream of GeoJSON; see <see cref="Read(string, string?)"/>.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="idAttribute">The attribute that names fields, or null.</param>
    /// <exception cref="GroundDataException">As for files.</exception>
    public static IReadOnlyList<LayerField> Read(Stream stream, string name, string? idAttribute = null)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return Fields(GeoJsonFeatures.Read(stream, name), name, idAttribute);
    }

    private static LayerField[] Fields(IReadOnlyList<GeoJsonFeature> features, string file, string? idAttribute)
    {
        if (features.Count == 0)
        {
            throw new GroundDataException($"{file}: the layer is empty: it holds no field; give one feature for each field.");
        }

        HashSet<string> taken = new(StringComparer.OrdinalIgnoreCase);
        LayerField[] fields = new LayerField[features.Count];
        for (int i = 0; i < fields.Length; i++)
        {
            GeoJsonFeature feature = features[i];
            string? wanted = idAttribute is not null
                ? feature.Text(idAttribute) ?? throw new GroundDataException($"{file}: feature {feature.Number} has no attribute {idAttribute} to name it by; give every field one, or leave out --id.")
                : feature.Text("id") ?? feature.Text("name");
            string number = FormattableString.Invariant($"field-{feature.Number}");
            string plain = Plain(wanted ?? number);
            plain = plain.Length == 0 ? number : plain;
            string id = plain;
            for (int n = 2; !taken.Add(id); n++)
            {
                id = FormattableString.Invariant($"{plain}-{n}");
            }

            fields[i] = new LayerField(id, feature.Text("name") ?? wanted ?? id, feature.Shape, Attributes(feature.Properties));
        }

        return fields;
    }

    private static KeyValuePair<string, string>[] Attributes(JsonElement properties) => properties.ValueKind != JsonValueKind.Object ? []
        :
        [
            .. properties.EnumerateObject()
                .Where(p => p.Value.ValueKind is JsonValueKind.String or JsonValueKind.Number or JsonValueKind.True && (p.Value.ValueKind != JsonValueKind.String || GeoJsonFeatures.TextOf(p.Value) is not null))
                .Select(p => KeyValuePair.Create(p.Name, p.Value.GetRawText())),
        ];

    // What every system takes as the name of a folder.
    private static string Plain(string name)
    {
        StringBuilder plain = new();
        foreach (char c in name.Trim())
        {
            plain.Append(char.IsAsciiLetterOrDigit(c) || c is '-' or '_' or '.' ? c : '_');
        }

        string text = plain.ToString().Trim('.');
        return text.Length > MostId ? text[..MostId] : text;
    }
}
