using Keyline.Guidance;
using NetTopologySuite.Algorithm;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes lines for guidance as KML, with the field's outline and what is avoided in it.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees to 9 decimals (0.1 mm), heights in metres to 2 decimals, which viewers pass over: lines lie on
/// the viewer's own ground.</para>
/// <para>Missing: a line with an unknown height is written without heights.</para>
/// <para>Promises: outer rings counter-clockwise; what crosses the 180th meridian is cut there; the same lines give the same bytes.</para>
/// <para>Cost: about 0.5 microseconds a point and core. Source: OGC 07-147r2, KML 2.2 (2008).</para>
/// </remarks>
public static class KmlGuidance
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
        Utf8Text text = new();
        text.Add("<?xml version=\"1.0\" encoding=\"utf-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\">\n<Document>\n <name>"u8)
            .AddXml(set.FieldName.Length > 0 ? set.FieldName : "Rip lines").Add("</name>\n <description>"u8).AddXml(GuidanceNotes.Summary(set, crs))
            .Add("</description>\n <Style id=\"line\"><LineStyle><color>ff2f6b1f</color><width>2</width></LineStyle></Style>\n"u8)
            .Add(" <Style id=\"edge\"><LineStyle><color>ff303030</color><width>2</width></LineStyle><PolyStyle><fill>0</fill></PolyStyle></Style>\n"u8);
        PlanPlaces places = new(crs, null);
        if (set.Boundary is { } boundary)
        {
            Area(text, set.FieldName.Length > 0 ? set.FieldName : "Field", "field", places.Of(boundary));
        }

        foreach (var area in set.Avoided)
        {
            Area(text, area.Name.Length > 0 ? area.Name : "Avoided", FormattableString.Invariant($"keep {area.Setback:0.##} m away"), places.Of(area.Shape));
        }

        stream.Write(text.Add(" <Folder>\n  <name>Lines in driving order</name>\n"u8).Written);
        LineTexts.Write(stream, set.Lines, crs, Line, cancellationToken);
        stream.Write(" </Folder>\n</Document>\n</kml>\n"u8);
    }

    private static void Line(Utf8Text text, GuidanceLine line, int number, LinePlaces at)
    {
        Head(text, "  "u8, line.Name, line.Note, "#line"u8);
        if (!at.Crosses)
        {
            bool heights = at.HasHeights;
            text.Add("<LineString><tessellate>1</tessellate><coordinates>"u8);
            for (int i = 0; i < at.Count; i++)
            {
                Place(text, Antimeridian.Turn(at.Longitude[i]), at.Latitude[i], heights ? at.Height[i] : double.NaN, i == 0);
            }

            text.Add("</coordinates></LineString>"u8);
        }
        else
        {
            text.Add("<MultiGeometry>"u8);
            foreach (LineString part in at.Parts())
            {
                Path(text, part);
            }

            text.Add("</MultiGeometry>"u8);
        }

        text.Add("</Placemark>\n"u8);
    }

    private static void Area(Utf8Text text, string name, string note, Geometry shape)
    {
        Head(text, " "u8, name, note, "#edge"u8);
        Geometry[] parts = [.. FieldReader.Parts(Antimeridian.Cut(shape))];
        text.Add(parts.Length > 1 ? "<MultiGeometry>"u8 : ""u8);
        foreach (Geometry part in parts)
        {
            switch (part)
            {
                case Polygon polygon:
                    text.Add("<Polygon><outerBoundaryIs>"u8);
                    Ring(text, polygon.ExteriorRing, counterClockwise: true);
                    text.Add("</outerBoundaryIs>"u8);
                    foreach (LineString hole in polygon.InteriorRings)
                    {
                        text.Add("<innerBoundaryIs>"u8);
                        Ring(text, hole, counterClockwise: false);
                        text.Add("</innerBoundaryIs>"u8);
                    }

                    text.Add("</Polygon>"u8);
                    break;
                case LineString line:
                    Path(text, line);
                    break;
                default:
                    text.Add("<Point><coordinates>"u8);
                    Place(text, part.Coordinate.X, part.Coordinate.Y, double.NaN, true);
                    text.Add("</coordinates></Point>"u8);
                    break;
            }
        }

        text.Add(parts.Length > 1 ? "</MultiGeometry>"u8 : ""u8).Add("</Placemark>\n"u8);
    }

    private static void Head(Utf8Text text, ReadOnlySpan<byte> indent, string name, string note, ReadOnlySpan<byte> style)
    {
        text.Add(indent).Add("<Placemark><name>"u8).AddXml(name).Add("</name>"u8);
        if (note.Length > 0)
        {
            text.Add("<description>"u8).AddXml(note).Add("</description>"u8);
        }

        text.Add("<styleUrl>"u8).Add(style).Add("</styleUrl>"u8);
    }

    private static void Path(Utf8Text text, LineString path)
    {
        CoordinateSequence at = path.CoordinateSequence;
        bool heights = Enumerable.Range(0, at.Count).All(i => double.IsFinite(at.GetZ(i)));
        text.Add("<LineString><tessellate>1</tessellate><coordinates>"u8);
        for (int i = 0; i < at.Count; i++)
        {
            Place(text, at.GetX(i), at.GetY(i), heights ? at.GetZ(i) : double.NaN, i == 0);
        }

        text.Add("</coordinates></LineString>"u8);
    }

    private static void Ring(Utf8Text text, LineString ring, bool counterClockwise)
    {
        Coordinate[] path = ring.Coordinates;
        if (Orientation.IsCCW(path) != counterClockwise)
        {
            Array.Reverse(path);
        }

        text.Add("<LinearRing><coordinates>"u8);
        for (int i = 0; i < path.Length; i++)
        {
            Place(text, path[i].X, path[i].Y, double.NaN, i == 0);
        }

        text.Add("</coordinates></LinearRing>"u8);
    }

    private static void Place(Utf8Text text, double longitude, double latitude, double height, bool first)
    {
        text.Add(first ? ""u8 : " "u8).Add(longitude, 9).Add(","u8).Add(latitude, 9);
        if (double.IsFinite(height))
        {
            text.Add(","u8).Add(height, 2);
        }
    }
}
