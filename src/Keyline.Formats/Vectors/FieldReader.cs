using System.Text.Json;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Union;

namespace Keyline.Formats;

/// <summary>Reads the field, what to avoid in it, and lines to be checked, from GeoJSON.</summary>
/// <remarks>
/// <para>Units: WGS 84 longitude and latitude in; metres of the ground's coordinate system out. Setbacks are metres.</para>
/// <para>Promises: a bare geometry, a Feature, a FeatureCollection and geometry collections are all taken. Heights in the
/// file are dropped: the ground comes from the elevation. Corners are moved, edges between them are taken as straight in
/// the projection, which differs by 2 cm over 1 km at 45 degrees. What cannot be used is refused with one sentence.</para>
/// <para>Source: RFC 7946 (The GeoJSON Format, 2016).</para>
/// </remarks>
public static class FieldReader
{
    private const int MostName = 200;

    // More than twice the least surroundings: pieces whose surroundings meet are read as one. Metres.
    private const double LeastApart = 700;
    private static readonly GeometryFactory Factory = new(new PrecisionModel(PrecisionModels.Floating));

    /// <summary>Reads a field's outline from a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="crs">The projected system to bring it to.</param>
    /// <param name="avoided">What to stay away from, in the same system; null for nothing.</param>
    /// <exception cref="GroundDataException">The file is absent, not GeoJSON in longitude and latitude, or no proper area.</exception>
    public static FieldArea ReadField(string path, GroundCrs crs, IEnumerable<AvoidedArea>? avoided = null) =>
        Field(GeoJsonFeatures.ReadFile(path, "field"), Path.GetFileName(path), Projected(crs), avoided);

    /// <summary>Reads a field's outline from a stream.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="crs">The projected system to bring it to.</param>
    /// <param name="avoided">What to stay away from, in the same system; null for nothing.</param>
    /// <exception cref="GroundDataException">It is not GeoJSON in longitude and latitude, or no proper area.</exception>
    public static FieldArea ReadField(Stream stream, string name, GroundCrs crs, IEnumerable<AvoidedArea>? avoided = null)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return Field(GeoJsonFeatures.Read(stream, name), name, Projected(crs), avoided);
    }

    /// <summary>The ground that a plan of the shapes in a file needs: their box, with the surroundings that have a say in its landform.</summary>
    /// <param name="path">A file of fields or lines.</param>
    /// <exception cref="GroundDataException">The file is absent, not GeoJSON in longitude and latitude, or holds no shape.</exception>
    public static GroundWindow ReadWindow(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        return Window(GeoJsonFeatures.ReadFile(path, "field"), Path.GetFileName(path));
    }

    /// <summary>The ground that a plan of the shapes in a stream needs; see <see cref="ReadWindow(string)"/>.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="GroundDataException">It is not GeoJSON in longitude and latitude, or holds no shape.</exception>
    public static GroundWindow ReadWindow(Stream stream, string name)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return Window(GeoJsonFeatures.Read(stream, name), name);
    }

    private static GroundWindow Window(IReadOnlyList<GeoJsonFeature> features, string name)
    {
        Envelope box = new();
        double first = double.NaN;
        foreach (Coordinate c in features.SelectMany(f => f.Shape.Coordinates))
        {
            // Counted from the first position, so that a field on both sides of the 180th meridian stays in one piece.
            first = double.IsNaN(first) ? c.X : first;
            box.ExpandToInclude(first + Math.IEEERemainder(c.X - first, 360), c.Y);
        }

        if (box.IsNull)
        {
            throw new GroundDataException($"{name}: the file is empty: it holds no outline and no line; draw the field as a Polygon, or the lines to check as LineStrings.");
        }

        return new GroundWindow(box, Margin(features, first));
    }

    // Far-apart pieces have surroundings of their own, none wider than their group's; pieces are joined from farther off than where ground is
    // read, for boxes in degrees are not those in metres.
    private static double Margin(IReadOnlyList<GeoJsonFeature> features, double first)
    {
        List<Envelope> groups = [];
        foreach (Geometry piece in features.SelectMany(f => Enumerable.Range(0, f.Shape.NumGeometries).Select(f.Shape.GetGeometryN)).Where(g => !g.IsEmpty))
        {
            Envelope box = new();
            foreach (Coordinate c in piece.Coordinates)
            {
                box.ExpandToInclude(first + Math.IEEERemainder(c.X - first, 360), c.Y);
            }

            (double east, double north) = GroundScale.MetresPerDegree(Math.Min(85, Math.Max(Math.Abs(box.MinY), Math.Abs(box.MaxY))));
            Envelope wide = box.Copy();
            wide.ExpandBy(LeastApart / east, LeastApart / north);
            for (int k = groups.FindIndex(g => g.Intersects(wide)); k >= 0; k = groups.FindIndex(g => g.Intersects(wide)))
            {
                box.ExpandToInclude(groups[k]);
                wide.ExpandToInclude(groups[k]);
                wide.ExpandToInclude(new Envelope(box.MinX - (LeastApart / east), box.MaxX + (LeastApart / east), box.MinY - (LeastApart / north), box.MaxY + (LeastApart / north)));
                groups.RemoveAt(k);
            }

            groups.Add(box);
        }

        return groups.Max(g => GroundReading.SurroundingsOf(GroundScale.Distance(g.MinX, g.MinY, g.MaxX, g.MaxY)));
    }

    /// <summary>Reads avoided areas from a file: points, lines and polygons, each with <c>setback_m</c>.</summary>
    /// <param name="path">The file.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <exception cref="GroundDataException">The file is absent, not GeoJSON in longitude and latitude, or a setback is missing or absurd.</exception>
    public static IReadOnlyList<AvoidedArea> ReadAvoided(string path, GroundCrs crs) =>
        Avoided(GeoJsonFeatures.ReadFile(path, "avoided areas"), Path.GetFileName(path), Projected(crs));

    /// <summary>Reads avoided areas from a stream.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <exception cref="GroundDataException">It is not GeoJSON in longitude and latitude, or a setback is missing or absurd.</exception>
    public static IReadOnlyList<AvoidedArea> ReadAvoided(Stream stream, string name, GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return Avoided(GeoJsonFeatures.Read(stream, name), name, Projected(crs));
    }

    /// <summary>Reads lines from a file. Where it has features of kind <c>rip-line</c>, as a plan does, only those are taken.</summary>
    /// <param name="path">The file.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <exception cref="GroundDataException">The file is absent, not GeoJSON in longitude and latitude, or has no line.</exception>
    public static IReadOnlyList<GroundLine> ReadLines(string path, GroundCrs crs) =>
        Lines(GeoJsonFeatures.ReadFile(path, "lines"), Path.GetFileName(path), Projected(crs));

    /// <summary>Reads lines from a stream; see <see cref="ReadLines(string, GroundCrs)"/>.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <exception cref="GroundDataException">It is not GeoJSON in longitude and latitude, or has no line.</exception>
    public static IReadOnlyList<GroundLine> ReadLines(Stream stream, string name, GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return Lines(GeoJsonFeatures.Read(stream, name), name, Projected(crs));
    }

    /// <summary>Reads points from a file, for instance keypoints flagged in the field.</summary>
    /// <param name="path">The file.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <exception cref="GroundDataException">The file is absent, not GeoJSON in longitude and latitude, or has no point.</exception>
    public static IReadOnlyList<Coordinate> ReadPoints(string path, GroundCrs crs) =>
        Points(GeoJsonFeatures.ReadFile(path, "points"), Path.GetFileName(path), Projected(crs));

    /// <summary>Reads points from a stream; see <see cref="ReadPoints(string, GroundCrs)"/>.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <exception cref="GroundDataException">It is not GeoJSON in longitude and latitude, or has no point.</exception>
    public static IReadOnlyList<Coordinate> ReadPoints(Stream stream, string name, GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return Points(GeoJsonFeatures.Read(stream, name), name, Projected(crs));
    }

    /// <summary>Reads shapes of any kind from a file, for instance stable outlets.</summary>
    /// <param name="path">The file.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <returns>All of them in one collection.</returns>
    /// <exception cref="GroundDataException">The file is absent or not GeoJSON in longitude and latitude.</exception>
    public static Geometry ReadShapes(string path, GroundCrs crs) =>
        Shapes(GeoJsonFeatures.ReadFile(path, "shapes"), Path.GetFileName(path), Projected(crs));

    /// <summary>Reads shapes of any kind from a stream; see <see cref="ReadShapes(string, GroundCrs)"/>.</summary>
    /// <param name="stream">GeoJSON text in UTF-8.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="crs">The projected system to bring them to.</param>
    /// <returns>All of them in one collection.</returns>
    /// <exception cref="GroundDataException">It is not GeoJSON in longitude and latitude.</exception>
    public static Geometry ReadShapes(Stream stream, string name, GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(stream);
        return Shapes(GeoJsonFeatures.Read(stream, name), name, Projected(crs));
    }

    private static GeometryCollection Shapes(IReadOnlyList<GeoJsonFeature> features, string name, GroundCrs crs) =>
        Factory.CreateGeometryCollection([.. features.SelectMany(f => Parts(ToGround(f.Shape, crs, name)))]);

    private static GroundCrs Projected(GroundCrs crs)
    {
        ArgumentNullException.ThrowIfNull(crs);
        return crs.IsGeographic ? throw new ArgumentException("Fields are brought to a projected system; this one is geographic.", nameof(crs)) : crs;
    }

    private static FieldArea Field(IReadOnlyList<GeoJsonFeature> features, string name, GroundCrs crs, IEnumerable<AvoidedArea>? avoided)
    {
        List<Polygon> parts = [];
        string fieldName = "";
        bool split = false;
        foreach (GeoJsonFeature feature in features)
        {
            foreach (Geometry part in Parts(feature.Shape))
            {
                if (part is not Polygon polygon)
                {
                    throw new GroundDataException(FormattableString.Invariant($"{name}: feature {feature.Number} is a {part.GeometryType}, and a field must be a Polygon or MultiPolygon: draw its outline as a closed area."));
                }

                split |= polygon.EnvelopeInternal.MaxX == 180 || polygon.EnvelopeInternal.MinX == -180;
                parts.Add((Polygon)ToGround(polygon, crs, name));
            }

            fieldName = fieldName.Length > 0 ? fieldName : Printable(feature.Text("name") ?? "");
        }

        if (parts.Count == 0)
        {
            throw new GroundDataException($"{name}: it holds no outline; draw the field as a Polygon.");
        }

        try
        {
            Geometry boundary = parts.Count == 1 ? parts[0] : Factory.CreateMultiPolygon([.. parts]);

            // A field across the 180th meridian comes cut in two there (RFC 7946, section 3.1.9); the ground is not cut.
            boundary = split && parts.Count > 1 && parts.TrueForAll(p => p.IsValid) ? UnaryUnionOp.Union(parts) : boundary;
            return new FieldArea(boundary, avoided, fieldName);
        }
        catch (GroundDataException e)
        {
            throw new GroundDataException($"{name}: {e.Message}", e);
        }
    }

    internal static List<AvoidedArea> Avoided(IReadOnlyList<GeoJsonFeature> features, string name, GroundCrs crs)
    {
        List<AvoidedArea> areas = [];
        foreach (GeoJsonFeature feature in features)
        {
            if (feature.Shape.IsEmpty)
            {
                continue;
            }

            string what = Printable(feature.Text("name") ?? feature.Text("kind") ?? "");
            string where = FormattableString.Invariant($"{name}: avoided area {feature.Number}") + (what.Length > 0 ? $" ({what})" : "");
            if (feature.Flag("free"))
            {
                throw new GroundDataException($"{where} is ground set free, which only keyline revise takes, among its notes: take it out here.");
            }

            if (feature.Properties.ValueKind != JsonValueKind.Object || !feature.Properties.TryGetProperty("setback_m", out JsonElement setback))
            {
                throw new GroundDataException($"{where} has no setback; give the metres to stay away from it as its property \"setback_m\".");
            }

            if (setback.ValueKind != JsonValueKind.Number || !setback.TryGetDouble(out double metres) || !(metres >= 0 && metres <= 10_000))
            {
                throw new GroundDataException($"{where} has the setback {setback.GetRawText()}; write it as a number of metres from 0 to 10000, without quotes.");
            }

            Geometry shape = ToGround(feature.Shape, crs, name);
            if (!shape.IsValid)
            {
                throw new GroundDataException($"{where} crosses or touches itself; redraw it.");
            }

            if (feature.Properties.TryGetProperty("wet", out JsonElement wet) && wet.ValueKind is not (JsonValueKind.True or JsonValueKind.False or JsonValueKind.Null))
            {
                throw new GroundDataException($"{where} has wet {wet.GetRawText()}; write true or false, without quotes.");
            }

            areas.Add(new AvoidedArea(shape, metres, what, wet.ValueKind == JsonValueKind.True) { Kind = Printable(feature.Text("kind") ?? "") });
        }

        return areas;
    }

    // Tabs and line ends become blanks; no file that is written can hold the rest.
    internal static string Printable(string text) => string.Concat(text.Take(MostName).Select(c => c is '\t' or '\r' or '\n' ? ' ' : c).Where(c => !char.IsControl(c) && c is not ('\uFFFE' or '\uFFFF')));

    private static bool IsRipped(GeoJsonFeature feature, string name)
    {
        if (feature.Properties.ValueKind != JsonValueKind.Object || !feature.Properties.TryGetProperty("rip", out JsonElement rip) || rip.ValueKind is JsonValueKind.Null or JsonValueKind.True)
        {
            return true;
        }

        return rip.ValueKind == JsonValueKind.False
            ? false
            : throw new GroundDataException($"{name}: feature {feature.Number} has rip {Printable(rip.GetRawText())}; write true or false, without quotes.");
    }

    private static List<GroundLine> Lines(IReadOnlyList<GeoJsonFeature> features, string name, GroundCrs crs)
    {
        bool ofPlan = features.Any(f => f.Text("kind") == "rip-line");
        List<GroundLine> lines = [];
        foreach (GeoJsonFeature feature in features)
        {
            string kind = feature.Text("kind") ?? "";
            if (ofPlan && kind != "rip-line")
            {
                continue;
            }

            LineString[] parts = [.. Parts(feature.Shape).OfType<LineString>().Where(l => l.Length > 0)];
            for (int i = 0; i < parts.Length; i++)
            {
                string id = feature.Text("id") ?? FormattableString.Invariant($"line {feature.Number}");
                id = parts.Length > 1 ? FormattableString.Invariant($"{id}.{i + 1}") : id;
                lines.Add(new GroundLine(id, feature.Text("guide"), kind, (LineString)ToGround(parts[i], crs, name)) { IsRipped = IsRipped(feature, name) });
            }
        }

        return lines.Count > 0 ? lines : throw new GroundDataException($"{name}: it holds no line; give LineString or MultiLineString features.");
    }

    private static List<Coordinate> Points(IReadOnlyList<GeoJsonFeature> features, string name, GroundCrs crs)
    {
        List<Coordinate> points = [.. features.SelectMany(f => Parts(f.Shape)).OfType<Point>().Select(p => ToGround(p, crs, name).Coordinate)];
        return points.Count > 0 ? points : throw new GroundDataException($"{name}: it holds no point; give Point or MultiPoint features.");
    }

    internal static IEnumerable<Geometry> Parts(Geometry shape)
    {
        Stack<Geometry> open = new([shape]);
        while (open.TryPop(out Geometry? g))
        {
            if (g is GeometryCollection many)
            {
                for (int i = many.NumGeometries - 1; i >= 0; i--)
                {
                    open.Push(many.GetGeometryN(i));
                }
            }
            else if (!g.IsEmpty)
            {
                yield return g;
            }
        }
    }

    internal static Geometry ToGround(Geometry shape, GroundCrs crs, string name)
    {
        Geometry moved = shape switch
        {
            Point { IsEmpty: true } => Factory.CreatePoint(),
            Point p => Factory.CreatePoint(Move(p.Coordinate)),
            LinearRing r => Factory.CreateLinearRing(Moved(r)),
            LineString l => Factory.CreateLineString(Moved(l)),
            Polygon p => Factory.CreatePolygon(Factory.CreateLinearRing(Moved(p.ExteriorRing)), [.. p.InteriorRings.Select(r => Factory.CreateLinearRing(Moved(r)))]),
            MultiPolygon m => Factory.CreateMultiPolygon([.. m.Geometries.Cast<Polygon>().Select(g => (Polygon)ToGround(g, crs, name))]),
            MultiLineString m => Factory.CreateMultiLineString([.. m.Geometries.Cast<LineString>().Select(g => (LineString)ToGround(g, crs, name))]),
            MultiPoint m => Factory.CreateMultiPoint([.. m.Geometries.Cast<Point>().Select(g => (Point)ToGround(g, crs, name))]),
            GeometryCollection m => Factory.CreateGeometryCollection([.. m.Geometries.Select(g => ToGround(g, crs, name))]),
            _ => throw new GroundDataException($"{name}: a {shape.GeometryType} cannot be used; give points, lines or polygons."),
        };
        return moved;

        Coordinate[] Moved(LineString l) => Array.ConvertAll(l.Coordinates, Move);

        Coordinate Move(Coordinate c)
        {
            (double x, double y) = crs.FromLonLat(c.X, c.Y);
            return double.IsNaN(x) || double.IsNaN(y)
                ? throw new GroundDataException(FormattableString.Invariant($"{name}: the position {c.X:0.######}, {c.Y:0.######} lies outside where {crs.Name} reaches; check that longitude comes first and that the elevation is of the same place."))
                : new Coordinate(x, y);
        }
    }
}

/// <summary>A line read from a file, to be measured.</summary>
/// <param name="Id">Its name: the property <c>id</c>, or its place in the file.</param>
/// <param name="GuideId">The guide it is parallel to, where the file says; null otherwise.</param>
/// <param name="Kind">The property <c>kind</c>; may be empty.</param>
/// <param name="Line">The line in projected metres, without heights.</param>
public sealed record GroundLine(string Id, string? GuideId, string Kind, LineString Line)
{
    /// <summary>Whether it is to be ripped: the property <c>rip</c>, true where the file does not say.</summary>
    public bool IsRipped { get; init; } = true;
}
