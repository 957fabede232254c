using System.Globalization;
using System.IO.Compression;
using System.Xml;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>A track as a file holds it.</summary>
/// <param name="Name">Its name in the file; empty where it has none.</param>
/// <param name="Points">Longitude and latitude in degrees, height in metres or NaN.</param>
public sealed record PlaceTrack(string Name, IReadOnlyList<CoordinateZ> Points)
{
    /// <summary>The track on the ground.</summary>
    /// <param name="crs">The projected system wanted.</param>
    /// <exception cref="GroundDataException">A place lies outside where the system reaches.</exception>
    public LineString On(GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(crs);
        Coordinate[] at = new Coordinate[Points.Count];
        for (int i = 0; i < at.Length; i++)
        {
            (double x, double y) = crs.FromLonLat(Points[i].X, Points[i].Y);
            at[i] = double.IsNaN(x)
                ? throw new GroundDataException(FormattableString.Invariant($"The position {Points[i].X:0.######}, {Points[i].Y:0.######} of the track \"{Name}\" lies outside where {crs.Name} reaches: check that it is of the same field."))
                : new CoordinateZ(x, y, Points[i].Z);
        }

        return GeometryFactory.Default.CreateLineString(at);
    }
}

/// <summary>Reads tracks: as driven, as surveyed, or lines for guidance read back.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees; heights in metres, NaN where a file has none.</para>
/// <para>Promises: GPX tracks and routes, KML line strings, GeoJSON lines, ISO 11783-10 task data (V4, XML or zipped), NMEA 0183
/// logs (positions of GGA, or of RMC where there is none; fixes of quality 0 are left out and sums are checked), and CSV
/// tables with latitude and longitude. Parts of one line that meet at the 180th meridian are joined. What cannot be used is
/// refused with one sentence.</para>
/// <para>Cost: the whole file in memory. Source: GPX 1.1, OGC 07-147r2, RFC 7946, ISO 11783-10:2015, NMEA 0183 (from memory).</para>
/// </remarks>
public static class TrackReader
{
    private const long MostBytes = 2_000_000_000;

    // Task data pack to a tenth or twentieth.
    private const int MostZipTimes = 100;
    private const long MostZipFree = 10_000_000;
    private const int HeadBytes = 512;
    private const double TimesInMemory = 2;
    private const double SameMeridian = 1e-8;

    /// <summary>Reads the tracks of a file.</summary>
    /// <param name="path">The file; its kind is told by what it holds.</param>
    /// <exception cref="GroundDataException">It is absent, of no known kind, or holds no track.</exception>
    public static IReadOnlyList<PlaceTrack> Read(string path) => NamedFile.Read(path, Read);

    /// <summary>Reads the tracks of a stream.</summary>
    /// <param name="stream">The file's bytes; must be able to seek.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="GroundDataException">It is of no known kind, or holds no track.</exception>
    public static IReadOnlyList<PlaceTrack> Read(Stream stream, string name)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(name);
        if (stream.Length > MostBytes)
        {
            throw new GroundDataException($"{name}: it is larger than 2 GB; divide it.");
        }

        MemoryLimit.Check(stream.Length, TimesInMemory, name);
        byte[] head = new byte[HeadBytes];
        int got = stream.ReadAtLeast(head, head.Length, throwOnEndOfStream: false);
        stream.Position = 0;
        string start = System.Text.Encoding.UTF8.GetString(head, 0, got).TrimStart('\uFEFF', ' ', '\t', '\r', '\n');
        try
        {
            List<PlaceTrack> tracks = start.StartsWith('<') ? Xml(stream, name)
                : start.StartsWith("PK\u0003\u0004", StringComparison.Ordinal) ? Zip(stream, name)
                : start.StartsWith('{') || start.StartsWith('[') ? GeoJson(stream, name)
                : start.StartsWith('$') || start.StartsWith('!') ? NmeaLog.Read(stream, name)
                : WaypointTable.Read(stream, name);
            return tracks.Count > 0 ? tracks : throw new GroundDataException($"{name}: it holds no track of two positions or more.");
        }
        catch (Exception e) when (e is XmlException or InvalidDataException or FormatException)
        {
            throw new GroundDataException($"{name}: it is damaged ({e.Message.TrimEnd('.')}); export it again.", e);
        }
    }

    private static List<PlaceTrack> Zip(Stream stream, string name)
    {
        using ZipArchive zip = new(stream, ZipArchiveMode.Read, leaveOpen: true);
        ZipArchiveEntry entry = zip.Entries.FirstOrDefault(e => e.Name.Equals("TASKDATA.XML", StringComparison.OrdinalIgnoreCase))
            ?? throw new GroundDataException($"{name}: it is a zip without TASKDATA.XML; unpack it and give the file itself.");
        if (entry.Length > MostZipTimes * entry.CompressedLength + MostZipFree)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: its TASKDATA.XML unpacks to {entry.Length / 1e6:0} MB, more than {MostZipTimes} times what it takes in the zip, as no task data do; fetch it again."));
        }

        if (entry.Length > MostBytes)
        {
            throw new GroundDataException($"{name}: its TASKDATA.XML is larger than 2 GB; divide it.");
        }

        MemoryLimit.Check(entry.Length, TimesInMemory, name);
        using Stream inside = entry.Open();
        return Xml(inside, name);
    }

    private static List<PlaceTrack> GeoJson(Stream stream, string name)
    {
        List<PlaceTrack> tracks = [];
        IReadOnlyList<GeoJsonFeature> features = GeoJsonFeatures.Read(stream, name, out _, MostBytes);
        foreach (GeoJsonFeature feature in features)
        {
            string id = feature.Text("id") ?? feature.Text("name") ?? "";
            Join(tracks, id, FieldReader.Parts(feature.Shape).OfType<LineString>().Select(l => l.Coordinates.Select(c => new CoordinateZ(c.X, c.Y, c.Z)).ToList()));
        }

        // A log of single positions is one track.
        if (tracks.Count == 0)
        {
            Join(tracks, "", [[.. features.SelectMany(f => FieldReader.Parts(f.Shape)).OfType<Point>().Select(p => new CoordinateZ(p.X, p.Y, p.Z))]]);
        }

        return tracks;
    }

    private static List<PlaceTrack> Xml(Stream stream, string name)
    {
        using XmlReader xml = XmlReader.Create(new LineGuard(stream, name, "word", LineGuard.WordEnds), new XmlReaderSettings { DtdProcessing = DtdProcessing.Prohibit, XmlResolver = null, IgnoreComments = true, IgnoreWhitespace = true, MaxCharactersInDocument = MostBytes });
        xml.MoveToContent();
        return xml.LocalName switch
        {
            "gpx" => XmlTracks.Gpx(xml, name),
            "kml" => XmlTracks.Kml(xml, name),
            "ISO11783_TaskData" => XmlTracks.TaskData(xml, name),
            _ => throw new GroundDataException($"{name}: its root is <{xml.LocalName}>, and tracks are read from GPX, KML and ISO 11783-10 task data."),
        };
    }

    /// <summary>Adds the parts of a line, joined where they meet at the 180th meridian.</summary>
    internal static void Join(List<PlaceTrack> tracks, string name, IEnumerable<List<CoordinateZ>> parts)
    {
        List<CoordinateZ>? open = null;
        foreach (List<CoordinateZ> part in parts.Where(p => p.Count > 0))
        {
            if (open is not null && Math.Abs(Math.Abs(open[^1].X) - 180) < SameMeridian && Math.Abs(Math.Abs(part[0].X) - 180) < SameMeridian && Math.Abs(open[^1].Y - part[0].Y) < SameMeridian)
            {
                open.AddRange(part.Skip(1));
                continue;
            }

            Close(open);
            open = part;
        }

        Close(open);

        void Close(List<CoordinateZ>? points)
        {
            if (points is { Count: > 1 })
            {
                tracks.Add(new PlaceTrack(name, points));
            }
        }
    }

    /// <summary>A number as a file writes it.</summary>
    internal static double Number(string? text, string name, string what) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double v) && double.IsFinite(v)
            ? v
            : throw new GroundDataException($"{name}: \"{(text is { Length: > 30 } ? text[..30] : text)}\" stands where {what} should; export it again.");

    /// <summary>A place, checked.</summary>
    internal static CoordinateZ Place(double longitude, double latitude, double height, string name) =>
        Math.Abs(longitude) <= 180 && Math.Abs(latitude) <= 90
            ? new CoordinateZ(longitude, latitude, height)
            : throw new GroundDataException(FormattableString.Invariant($"{name}: the position {longitude:0.###}, {latitude:0.###} cannot be a longitude and latitude; export it in WGS 84 degrees."));
}
