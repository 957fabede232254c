using System.Globalization;
using System.Text;
using System.Text.Json;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>A shape with everything its file says of it.</summary>
/// <param name="Shape">Metres of the ground's coordinate system.</param>
/// <param name="Values">Attributes by name, as text; empty where there is no value.</param>
/// <param name="Where">Its file and feature or line, for messages.</param>
public sealed record AttributedShape(Geometry Shape, IReadOnlyDictionary<string, string> Values, string Where);

/// <summary>Shapes with attributes, as a soil survey or a table of readings has them: GeoJSON, or CSV with a place in each line.</summary>
/// <remarks>
/// <para>Units: GeoJSON in WGS 84 longitude and latitude; a table in columns <c>longitude</c> and <c>latitude</c>, or <c>easting</c> and
/// <c>northing</c> in metres of the system it is brought to. Promises: every attribute is kept as text, numbers as written; what cannot be
/// used is refused with one sentence.</para>
/// <para>Cost: the file in memory. Source: RFC 7946 (GeoJSON, 2016), RFC 4180 (CSV, 2005), the latter parted by commas, semicolons or tabs.</para>
/// </remarks>
public sealed class AttributedFile
{
    private const int MostRows = 2_000_000;

    private readonly IReadOnlyList<(Geometry Shape, IReadOnlyDictionary<string, string> Values, string Where)> _shapes;
    private readonly bool _isProjected;

    private AttributedFile(string name, IReadOnlyList<(Geometry, IReadOnlyDictionary<string, string>, string)> shapes, bool isProjected) => (Name, _shapes, _isProjected) = (name, shapes, isProjected);

    /// <summary>The file's name.</summary>
    public string Name { get; }

    /// <summary>The middle of its shapes, degrees; null where it has none, or is in metres.</summary>
    public (double Longitude, double Latitude)? Middle
    {
        get
        {
            Envelope box = new();
            double first = double.NaN;
            foreach (Coordinate c in _isProjected ? [] : _shapes.SelectMany(s => s.Shape.Coordinates))
            {
                first = double.IsNaN(first) ? c.X : first;
                box.ExpandToInclude(first + Math.IEEERemainder(c.X - first, 360), c.Y);
            }

            return box.IsNull ? null : (Math.IEEERemainder(box.Centre.X, 360), box.Centre.Y);
        }
    }

    /// <summary>Reads a file: a table where its name ends in <c>.csv</c>, <c>.tsv</c> or <c>.txt</c>, GeoJSON otherwise.</summary>
    /// <param name="path">The file.</param>
    /// <param name="what">What it is, for messages.</param>
    /// <exception cref="GroundDataException">It is not there or cannot be used.</exception>
    public static AttributedFile Read(string path, string what)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        string name = Path.GetFileName(path);
        if (Path.GetExtension(path).ToLowerInvariant() is not (".csv" or ".tsv" or ".txt"))
        {
            return Of(GeoJsonFeatures.ReadFile(path, what), name);
        }

        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            return ReadTable(stream, name);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw new GroundDataException(e is FileNotFoundException or DirectoryNotFoundException ? $"{path}: there is no such {what} file; check the path." : $"{path}: the {what} file cannot be read ({e.Message.TrimEnd('.')}).", e);
        }
    }

    /// <summary>Reads GeoJSON from a stream.</summary>
    /// <param name="stream">Text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    public static AttributedFile ReadGeoJson(Stream stream, string name)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return Of(GeoJsonFeatures.Read(stream, name), name);
    }

    /// <summary>Reads a table from a stream.</summary>
    /// <param name="stream">Text in UTF-8 with a head.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="GroundDataException">It is no table with places.</exception>
    public static AttributedFile ReadTable(Stream stream, string name)
    {
        ArgumentNullException.ThrowIfNull(stream);
        MemoryLimit.Check(stream.CanSeek ? stream.Length : 0, 20, name);
        using StreamReader reader = new(new LineGuard(stream, name, "line", LineGuard.LineEnds), Encoding.UTF8, true, -1, leaveOpen: true);
        string first = reader.ReadLine() ?? "";
        string between = first.Contains(';', StringComparison.Ordinal) ? ";" : first.Contains('\t', StringComparison.Ordinal) ? "\t" : ",";
        string[] head = [.. first.TrimStart('\uFEFF').Split(between).Select(h => h.Trim().Trim('"').Trim())];
        (int x, int y, bool isProjected) = Places(head, name);
        if (head.Where(h => h.Length > 0).GroupBy(h => h, StringComparer.OrdinalIgnoreCase).FirstOrDefault(g => g.Count() > 1) is { } twice)
        {
            throw new GroundDataException($"{name}: its columns name {twice.Key} twice; keep one of them.");
        }

        List<(Geometry, IReadOnlyDictionary<string, string>, string)> rows = [];
        foreach ((int line, string[] cells) in CsvRows.Read(reader, between, name))
        {
            if (cells.Length != head.Length)
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: line {line} has {cells.Length} columns and the head {head.Length}: decimal marks must be points, or columns parted by semicolons."));
            }

            if (rows.Count == MostRows)
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: it has more than {MostRows} lines; divide it."));
            }

            Coordinate at = new(Number(cells[x], head[x], name, line), Number(cells[y], head[y], name, line));
            if (!isProjected && (Math.Abs(at.X) > 180 || Math.Abs(at.Y) > 90))
            {
                throw new GroundDataException(FormattableString.Invariant($"{name}: line {line} has the place {at.X:0.###}, {at.Y:0.###}, which cannot be a longitude and latitude; name metres easting and northing."));
            }

            Dictionary<string, string> values = [];
            for (int i = 0; i < head.Length; i++)
            {
                if (i != x && i != y && head[i].Length > 0)
                {
                    values.Add(head[i], CsvCell.TextOf(cells[i]));
                }
            }

            rows.Add((new Point(at), values, FormattableString.Invariant($"{name}, line {line}")));
        }

        return rows.Count > 0 ? new AttributedFile(name, rows, isProjected) : throw new GroundDataException($"{name}: it names columns but holds no line.");
    }

    /// <summary>The shapes on a projected system.</summary>
    /// <param name="crs">The system.</param>
    /// <exception cref="GroundDataException">A shape lies outside where the system reaches.</exception>
    public IReadOnlyList<AttributedShape> On(GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(crs);
        return crs.IsGeographic ? throw new ArgumentException("Shapes are brought to a projected system; this one is geographic.", nameof(crs))
            : [.. _shapes.Select(s => new AttributedShape(_isProjected ? Scaled(s.Shape, crs.MetresPerUnit) : FieldReader.ToGround(s.Shape, crs, Name), s.Values, s.Where))];
    }

    private static Point Scaled(Geometry shape, double metres) => new(shape.Coordinate.X * metres, shape.Coordinate.Y * metres);

    private static AttributedFile Of(IReadOnlyList<GeoJsonFeature> features, string name)
    {
        List<(Geometry, IReadOnlyDictionary<string, string>, string)> shapes = [];
        foreach (GeoJsonFeature feature in features.Where(f => !f.Shape.IsEmpty))
        {
            string where = FormattableString.Invariant($"{name}, feature {feature.Number}");
            if (feature.Shape.Dimension == Dimension.Surface && !feature.Shape.IsValid)
            {
                throw new GroundDataException($"{where} crosses or touches itself; redraw it.");
            }

            Dictionary<string, string> values = [];
            if (feature.Properties.ValueKind == JsonValueKind.Object)
            {
                foreach (JsonProperty p in feature.Properties.EnumerateObject())
                {
                    values[p.Name] = p.Value.ValueKind switch
                    {
                        JsonValueKind.String => FieldReader.Printable(GeoJsonFeatures.TextOf(p.Value) ?? ""),
                        JsonValueKind.Number => p.Value.GetRawText(),
                        JsonValueKind.True => "true",
                        JsonValueKind.False => "false",
                        _ => "",
                    };
                }
            }

            shapes.Add((feature.Shape, values, where));
        }

        return shapes.Count > 0 ? new AttributedFile(name, shapes, false) : throw new GroundDataException($"{name}: it is empty: it holds no shape.");
    }

    private static (int X, int Y, bool IsProjected) Places(string[] head, string name)
    {
        int Find(params string[] names) => Array.FindIndex(head, h => names.Contains(h, StringComparer.OrdinalIgnoreCase));
        (int lon, int lat, int east, int north) = (Find("longitude", "lon"), Find("latitude", "lat"), Find("easting", "easting_m", "x"), Find("northing", "northing_m", "y"));
        return lon >= 0 && lat >= 0 ? (lon, lat, false) : east >= 0 && north >= 0 ? (east, north, true)
            : throw new GroundDataException($"{name}: its first line names no places: give columns longitude and latitude, or easting and northing.");
    }

    private static double Number(string text, string column, string name, int line) => double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && double.IsFinite(value) ? value
        : throw new GroundDataException(FormattableString.Invariant($"{name}: line {line} holds \"{(text.Length > 30 ? text[..30] : text)}\" as its {column}; a number should stand there."));
}
