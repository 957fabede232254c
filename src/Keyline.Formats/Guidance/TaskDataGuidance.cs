using System.IO.Compression;
using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes lines for guidance as ISO 11783-10 task data, version 4.3: a part field with its outline, what is avoided, and a
/// guidance group of one pattern a line.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees to 9 decimals (0.1 mm), the most the format takes; swath width in mm, area in m².</para>
/// <para>Missing: heights are not written, since the format means heights above the ellipsoid; the swath width is left out
/// where it is not known.</para>
/// <para>Promises: valid against the V4.3 schema, and closed in what it leaves open: rings end in their first point, a group
/// has a pattern, a curve runs from an A through guidance points to a B, a straight line is an A and a B. No line is extended
/// past its ends nor repeated to its sides (extension and propagation are "none"), since the plan's spacing and ends are
/// measured on the ground and a display's are not. The positioning method is "desktop generated". The same lines give the
/// same bytes.</para>
/// <para>Errors: <see cref="GroundDataException"/> for a name longer than the 32 characters the format takes.</para>
/// <para>Cost: about 0.5 microseconds a point and core; zipped, as long as deflate takes.</para>
/// <para>Source: ISO 11783-10:2015, schema ISO11783_TaskFile_V4-3.xsd (2018).</para>
/// </remarks>
public static class TaskDataGuidance
{
    /// <summary>Name of the file, in a folder of that name without ending.</summary>
    public const string FileName = "TASKDATA/TASKDATA.XML";

    private const int LongestName = 32;

    // PLN types 1 boundary and 6 obstacle; LSG types 1 exterior, 2 interior, 5 guidance and 9 obstacle; PNT types 2 other,
    // 5 obstacle, 6 A, 7 B and 9 guidance point; GPN types 1 AB and 3 curve, propagation and extension 4 none, method 16 desktop.
    private static readonly DateTimeOffset NoTime = new(1980, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>Writes TASKDATA.XML.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="set">The lines.</param>
    /// <param name="crs">The projected system their metres are in.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A name is too long, or a place has no longitude and latitude.</exception>
    public static void Write(Stream stream, GuidanceSet set, GroundCrs crs, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(set);
        ArgumentNullException.ThrowIfNull(crs);
        CheckNames(set);
        string field = set.FieldName.Length > 0 ? set.FieldName : "Field";
        string area = FormattableString.Invariant($"{Math.Round(set.Boundary?.Area ?? 0)}");
        Utf8Text text = new();
        text.Add("<?xml version=\"1.0\" encoding=\"utf-8\"?>\n"u8)
            .Add("<ISO11783_TaskData VersionMajor=\"4\" VersionMinor=\"3\" ManagementSoftwareManufacturer=\"Keyline\" ManagementSoftwareVersion=\""u8).AddXml(Version())
            .Add("\" DataTransferOrigin=\"1\">\n <PFD A=\"PFD1\" C=\""u8).AddXml(field).Add("\" D=\""u8).Add(area).Add("\">\n"u8);
        PlanPlaces places = new(crs, null);
        if (set.Boundary is { } boundary)
        {
            foreach (Polygon part in FieldReader.Parts(places.Of(boundary)).Cast<Polygon>())
            {
                Area(text, part, "1"u8, "");
            }
        }

        // Lines and points of a part field come after its areas.
        (string Name, Geometry Shape)[] avoided = [.. set.Avoided.SelectMany(a => FieldReader.Parts(places.Of(a.Shape)).Select(part => (a.Name, part)))];
        foreach ((string name, Geometry shape) in avoided.OrderBy(a => a.Shape.Dimension == Dimension.Surface ? 0 : a.Shape.Dimension == Dimension.Curve ? 1 : 2))
        {
            switch (shape)
            {
                case Polygon polygon:
                    Area(text, polygon, "6"u8, name);
                    break;
                case LineString line:
                    Path(text, line, "9"u8, name);
                    break;
                default:
                    Point(text.Add("  "u8), "5"u8, shape.Coordinate.X, shape.Coordinate.Y, name);
                    text.Add("\n"u8);
                    break;
            }
        }

        if (set.Lines.Count == 0)
        {
            stream.Write(text.Add(" </PFD>\n</ISO11783_TaskData>\n"u8).Written);
            return;
        }

        // A notice takes the place of the group's name, which a display shows before the lines are chosen.
        string group = set.Notice.Length is > 0 and <= LongestName ? set.Notice : "Lines in driving order";
        stream.Write(text.Add("  <GGP A=\"GGP1\" B=\""u8).AddXml(group).Add("\">\n"u8).Written);
        string width = double.IsFinite(set.SwathWidth) ? FormattableString.Invariant($" C=\"{Math.Round(1000 * set.SwathWidth)}\"") : "";
        LineTexts.Write(stream, set.Lines, crs, (t, line, number, at) => Pattern(t, line, number, at, width), cancellationToken);
        stream.Write("  </GGP>\n </PFD>\n</ISO11783_TaskData>\n"u8);
    }

    /// <summary>Writes the same, zipped as displays take it.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="set">The lines.</param>
    /// <param name="crs">The projected system their metres are in.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A name is too long, or a place has no longitude and latitude.</exception>
    public static void WriteZip(Stream stream, GuidanceSet set, GroundCrs crs, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        using ZipArchive zip = new(stream, ZipArchiveMode.Create, leaveOpen: true);
        ZipArchiveEntry entry = zip.CreateEntry(FileName, CompressionLevel.Fastest);
        entry.LastWriteTime = NoTime;
        using Stream inside = entry.Open();
        Write(inside, set, crs, cancellationToken);
    }

    private static string Version() => PlanProvenance.LibraryVersion is { Length: <= LongestName } whole ? whole : PlanProvenance.LibraryVersion[..LongestName];

    private static void CheckNames(GuidanceSet set)
    {
        Check(set.FieldName, "The field's name");
        foreach (GuidanceLine line in set.Lines)
        {
            Check(line.Name, "The name of the line");
        }

        foreach (var area in set.Avoided)
        {
            Check(area.Name, "The name of the avoided area");
        }
    }

    private static void Check(string name, string what)
    {
        if (name.Length > LongestName)
        {
            throw new GroundDataException(FormattableString.Invariant($"{what} \"{name}\" has {name.Length} characters, and ISO 11783-10 takes {LongestName}: give it a shorter one."));
        }
    }

    private static void Pattern(Utf8Text text, GuidanceLine line, int number, LinePlaces at, string width)
    {
        text.Add("   <GPN A=\"GPN"u8).Add(number + 1).Add("\" B=\""u8).AddXml(line.Name)
            .Add(line.IsStraight ? "\" C=\"1\""u8 : "\" C=\"3\""u8).Add(" E=\"4\" F=\"4\" I=\"16\"><LSG A=\"5\""u8).Add(width).Add(">\n"u8);
        for (int i = 0; i < at.Count; i++)
        {
            if (!line.IsStraight || i == 0 || i == at.Count - 1)
            {
                Point(text, i == 0 ? "6"u8 : i == at.Count - 1 ? "7"u8 : "9"u8, at.Longitude[i], at.Latitude[i], "");
                text.Add("\n"u8);
            }
        }

        text.Add("   </LSG></GPN>\n"u8);
    }

    private static void Area(Utf8Text text, Polygon polygon, ReadOnlySpan<byte> type, string name)
    {
        text.Add("  <PLN A=\""u8).Add(type).Add("\""u8);
        Name(text, name).Add(">\n"u8);
        Path(text, polygon.ExteriorRing, "1"u8, "");
        foreach (LineString hole in polygon.InteriorRings)
        {
            Path(text, hole, "2"u8, "");
        }

        text.Add("  </PLN>\n"u8);
    }

    private static void Path(Utf8Text text, LineString path, ReadOnlySpan<byte> type, string name)
    {
        text.Add("  <LSG A=\""u8).Add(type).Add("\""u8);
        Name(text, name).Add(">"u8);
        foreach (Coordinate c in path.Coordinates)
        {
            Point(text, "2"u8, c.X, c.Y, "");
        }

        text.Add("</LSG>\n"u8);
    }

    private static void Point(Utf8Text text, ReadOnlySpan<byte> type, double longitude, double latitude, string name)
    {
        text.Add("<PNT A=\""u8).Add(type).Add("\""u8);
        Name(text, name).Add(" C=\""u8).Add(latitude, 9).Add("\" D=\""u8).Add(Antimeridian.Turn(longitude), 9).Add("\"/>"u8);
    }

    private static Utf8Text Name(Utf8Text text, string name) => name.Length > 0 ? text.Add(" B=\""u8).AddXml(name).Add("\""u8) : text;
}
