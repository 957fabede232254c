using System.Text;
using System.Text.Json;
using System.Text.Unicode;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO.Converters;

namespace Keyline.Formats;

/// <summary>One feature as read: its shape in longitude and latitude, and its properties.</summary>
/// <param name="Number">Place in the file, from 1.</param>
/// <param name="Shape">Longitude and latitude in degrees.</param>
/// <param name="Properties">The properties object, or an undefined element.</param>
internal sealed record GeoJsonFeature(int Number, Geometry Shape, JsonElement Properties)
{
    /// <summary>A text property, or null.</summary>
    public string? Text(string name) =>
        Properties.ValueKind == JsonValueKind.Object && Properties.TryGetProperty(name, out JsonElement v)
            ? v.ValueKind switch { JsonValueKind.String => GeoJsonFeatures.TextOf(v), JsonValueKind.Number => v.GetRawText(), _ => null }
            : null;

    /// <summary>A number, or null.</summary>
    public double? NumberOf(string name) =>
        Properties.ValueKind == JsonValueKind.Object && Properties.TryGetProperty(name, out JsonElement v) && v.ValueKind == JsonValueKind.Number && v.TryGetDouble(out double number)
            ? number
            : null;

    /// <summary>Whether a property is true.</summary>
    public bool Flag(string name) => Properties.ValueKind == JsonValueKind.Object && Properties.TryGetProperty(name, out JsonElement v) && v.ValueKind == JsonValueKind.True;
}

/// <summary>Reads the features of a GeoJSON text with errors a person can act on.</summary>
/// <remarks>Source: RFC 7946 (2016). Shapes are parsed by NetTopologySuite.IO.GeoJSON4STJ; the frame around them is walked here
/// so that an error names the feature it is in.</remarks>
internal static class GeoJsonFeatures
{
    private const long MostBytes = 100_000_000;
    private const double TimesInMemory = 4;

    private static readonly JsonSerializerOptions Shapes = new() { Converters = { new GeoJsonConverterFactory() } };

    /// <summary>Reads a file.</summary>
    public static IReadOnlyList<GeoJsonFeature> ReadFile(string path, string what) => ReadFile(path, what, out _, MostBytes);

    /// <summary>Reads a file and what it says of itself in its member <c>keyline</c>.</summary>
    public static IReadOnlyList<GeoJsonFeature> ReadFile(string path, string what, out JsonElement ours, long mostBytes)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            return Read(stream, Path.GetFileName(path), out ours, mostBytes);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw new GroundDataException(
                e is FileNotFoundException or DirectoryNotFoundException
                    ? $"{path}: there is no such {what} file; check the path."
                    : $"{path}: the {what} file cannot be read ({e.Message.TrimEnd('.')}).", e);
        }
    }

    /// <summary>Reads a stream.</summary>
    public static IReadOnlyList<GeoJsonFeature> Read(Stream stream, string name) => Read(stream, name, out _, MostBytes);

    /// <summary>Reads a stream and what it says of itself in its member <c>keyline</c>.</summary>
    public static IReadOnlyList<GeoJsonFeature> Read(Stream stream, string name, out JsonElement ours, long mostBytes)
    {
        ours = default;
        if (stream.CanSeek && stream.Length > mostBytes)
        {
            throw TooLarge(name, mostBytes);
        }

        MemoryLimit.Check(stream.CanSeek ? stream.Length : 0, TimesInMemory, name);
        JsonDocument document;
        byte[] text = ReadAll(stream, name, mostBytes);
        if (!Utf8.IsValid(text))
        {
            throw new GroundDataException($"{name}: it is not text in UTF-8; export it as GeoJSON in WGS 84 longitude and latitude.");
        }

        try
        {
            document = JsonDocument.Parse(text.AsMemory(text.AsSpan().StartsWith(Encoding.UTF8.Preamble) ? Encoding.UTF8.Preamble.Length : 0), new JsonDocumentOptions { AllowTrailingCommas = false });
        }
        catch (JsonException e)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: it is not JSON (line {(e.LineNumber ?? 0) + 1}); export it as GeoJSON in WGS 84 longitude and latitude."), e);
        }

        using (document)
        {
            JsonElement root = document.RootElement;
            string? type = TypeOf(root);
            if (type is null)
            {
                throw NotGeoJson(name);
            }

            CheckCrs(root, name);
            ours = root.TryGetProperty("keyline", out JsonElement said) ? said.Clone() : default;
            List<GeoJsonFeature> features = [];
            switch (type)
            {
                case "FeatureCollection":
                    if (!root.TryGetProperty("features", out JsonElement list) || list.ValueKind != JsonValueKind.Array)
                    {
                        throw NotGeoJson(name);
                    }

                    foreach (JsonElement feature in list.EnumerateArray())
                    {
                        Add(features, feature, name);
                    }

                    break;
                case "Feature":
                    Add(features, root, name);
                    break;
                default:
                    features.Add(new GeoJsonFeature(1, Shape(root, name, 1), default));
                    break;
            }

            return features;
        }
    }

    /// <summary>The text of an element; null where it holds half a character.</summary>
    internal static string? TextOf(JsonElement element)
    {
        try
        {
            return element.GetString();
        }
        catch (InvalidOperationException)
        {
            return null;
        }
    }

    private static byte[] ReadAll(Stream stream, string name, long mostBytes)
    {
        using MemoryStream all = new();
        byte[] buffer = new byte[1 << 14];
        for (int got = stream.Read(buffer); got > 0; got = stream.Read(buffer))
        {
            // What cannot be JSON is not read to its end, which a device may not have.
            if (all.Length == 0 && buffer[0] == 0)
            {
                throw new GroundDataException($"{name}: it is not JSON (line 1); export it as GeoJSON in WGS 84 longitude and latitude.");
            }

            all.Write(buffer, 0, got);
            if (all.Length > mostBytes)
            {
                throw TooLarge(name, mostBytes);
            }
        }

        return all.ToArray();
    }

    private static void Add(List<GeoJsonFeature> features, JsonElement feature, string name)
    {
        int number = features.Count + 1;
        if (TypeOf(feature) != "Feature" || !feature.TryGetProperty("geometry", out JsonElement geometry))
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: its feature {number} is not a GeoJSON Feature with a geometry; export it again as GeoJSON."));
        }

        Geometry shape = geometry.ValueKind == JsonValueKind.Null ? GeometryFactory.Default.CreateGeometryCollection() : Shape(geometry, name, number);
        features.Add(new GeoJsonFeature(number, shape, feature.TryGetProperty("properties", out JsonElement p) ? p.Clone() : default));
    }

    private static Geometry Shape(JsonElement element, string name, int number)
    {
        Geometry? shape;
        try
        {
            shape = element.Deserialize<Geometry>(Shapes);
        }
        catch (Exception e) when (e is JsonException or ArgumentException or InvalidOperationException or FormatException or NotSupportedException or NullReferenceException or InvalidCastException or KeyNotFoundException or OverflowException)
        {
            string why = e is ArgumentException && (e.Message.Contains("LinearRing", StringComparison.OrdinalIgnoreCase) || e.Message.Contains("closed", StringComparison.OrdinalIgnoreCase))
                ? "a ring is not closed or has fewer than four positions; end it with its first position"
                : "its shape cannot be read; export it again as GeoJSON";
            throw new GroundDataException(FormattableString.Invariant($"{name}: feature {number}: {why}."), e);
        }

        if (shape is null)
        {
            throw NotGeoJson(name);
        }

        foreach (Coordinate c in shape.Coordinates)
        {
            if (!double.IsFinite(c.X) || !double.IsFinite(c.Y))
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: feature {number} has a position without two numbers; export it again as GeoJSON."));
            }

            if (Math.Abs(c.X) > 180 || Math.Abs(c.Y) > 90)
            {
                throw new GroundDataException(FormattableString.Invariant(
                    $"{name}: feature {number} has the position {c.X:0.###}, {c.Y:0.###}, which cannot be a longitude and latitude; it looks like metres of a projection: export it as GeoJSON in WGS 84 longitude and latitude."));
            }
        }

        return shape;
    }

    private static void CheckCrs(JsonElement root, string name)
    {
        if (!root.TryGetProperty("crs", out JsonElement crs) || crs.ValueKind == JsonValueKind.Null)
        {
            return;
        }

        string? said = crs.ValueKind == JsonValueKind.Object && crs.TryGetProperty("properties", out JsonElement p) && p.ValueKind == JsonValueKind.Object
            && p.TryGetProperty("name", out JsonElement n) && n.ValueKind == JsonValueKind.String ? TextOf(n) : null;
        string plain = (said ?? "").ToUpperInvariant();
        if (plain.EndsWith("CRS84", StringComparison.Ordinal) || plain.EndsWith(":4326", StringComparison.Ordinal) || plain is "EPSG:4326" or "WGS84" or "WGS 84")
        {
            return;
        }

        throw new GroundDataException($"{name}: it declares the coordinate system {said ?? "of its crs member"}, but GeoJSON here is WGS 84 longitude and latitude (RFC 7946): export it in WGS 84.");
    }

    private static string? TypeOf(JsonElement element) =>
        element.ValueKind == JsonValueKind.Object && element.TryGetProperty("type", out JsonElement t) && t.ValueKind == JsonValueKind.String ? TextOf(t) : null;

    private static GroundDataException TooLarge(string name, long mostBytes) =>
        new(FormattableString.Invariant($"{name}: it is larger than {mostBytes / 1_000_000} MB; {(mostBytes == MostBytes ? "a field's GeoJSON holds a few outlines" : "divide it")}."));

    private static GroundDataException NotGeoJson(string name) =>
        new($"{name}: it is JSON but not GeoJSON; export it as GeoJSON in WGS 84 longitude and latitude.");
}
