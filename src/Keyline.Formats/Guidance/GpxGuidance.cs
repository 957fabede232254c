using Keyline.Guidance;

namespace Keyline.Formats;

/// <summary>What a GPX file holds a line as.</summary>
public enum GpxKind
{
    /// <summary>A track: a line that was or is to be driven.</summary>
    Tracks,

    /// <summary>A route: a list of points to make for, one after the other.</summary>
    Routes,

    /// <summary>Waypoints, every one with a name of its own.</summary>
    Waypoints,
}

/// <summary>Writes lines for guidance as GPX, in driving order.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees to 9 decimals (0.1 mm), heights in metres to 2 decimals.</para>
/// <para>Missing: a point without a height has no <c>ele</c>.</para>
/// <para>Promises: valid against the GPX 1.1 schema; longitudes from -180 to below 180, as it demands; a track that crosses the
/// 180th meridian is in two segments; no times, so the same lines give the same bytes.</para>
/// <para>Cost: about 0.5 microseconds a point and core. Source: GPX 1.1 schema (topografix, 2004).</para>
/// </remarks>
public static class GpxGuidance
{
    /// <summary>Writes the lines.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="set">The lines.</param>
    /// <param name="crs">The projected system their metres are in.</param>
    /// <param name="kind">What the lines are written as.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A place has no longitude and latitude.</exception>
    public static void Write(Stream stream, GuidanceSet set, GroundCrs crs, GpxKind kind = GpxKind.Tracks, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(set);
        ArgumentNullException.ThrowIfNull(crs);
        stream.Write(GpxText.Begin("Keyline " + PlanProvenance.LibraryVersion).Add(" <metadata>\n  <name>"u8).AddXml(set.FieldName.Length > 0 ? set.FieldName : "Rip lines")
            .Add("</name>\n  <desc>"u8).AddXml(GuidanceNotes.Summary(set, crs)).Add("</desc>\n </metadata>\n"u8).Written);
        LineTexts.Write(stream, set.Lines, crs, kind switch { GpxKind.Tracks => Track, GpxKind.Routes => Route, _ => Waypoints }, cancellationToken);
        stream.Write("</gpx>\n"u8);
    }

    private static void Track(Utf8Text text, GuidanceLine line, int number, LinePlaces at)
    {
        Head(text, "trk"u8, line);
        if (!at.Crosses)
        {
            text.Add("  <trkseg>\n"u8);
            for (int i = 0; i < at.Count; i++)
            {
                Point(text, "trkpt"u8, at.Longitude[i], at.Latitude[i], at.Height[i]);
                text.Add("</trkpt>\n"u8);
            }

            text.Add("  </trkseg>\n"u8);
        }
        else
        {
            foreach (var part in at.Parts())
            {
                text.Add("  <trkseg>\n"u8);
                for (int i = 0; i < part.NumPoints; i++)
                {
                    Point(text, "trkpt"u8, part.CoordinateSequence.GetX(i), part.CoordinateSequence.GetY(i), part.CoordinateSequence.GetZ(i));
                    text.Add("</trkpt>\n"u8);
                }

                text.Add("  </trkseg>\n"u8);
            }
        }

        text.Add(" </trk>\n"u8);
    }

    private static void Route(Utf8Text text, GuidanceLine line, int number, LinePlaces at)
    {
        Head(text, "rte"u8, line);
        for (int i = 0; i < at.Count; i++)
        {
            Point(text, "rtept"u8, at.Longitude[i], at.Latitude[i], at.Height[i]);
            text.Add("</rtept>\n"u8);
        }

        text.Add(" </rte>\n"u8);
    }

    // "R012 007": the line, and the point's place on it.
    private static void Waypoints(Utf8Text text, GuidanceLine line, int number, LinePlaces at)
    {
        for (int i = 0; i < at.Count; i++)
        {
            Point(text, "wpt"u8, at.Longitude[i], at.Latitude[i], at.Height[i]);
            GpxText.Said(text, ""u8, "name"u8, FormattableString.Invariant($"{line.Name} {i + 1:000}")).Add("</wpt>\n"u8);
        }
    }

    private static void Head(Utf8Text text, ReadOnlySpan<byte> element, GuidanceLine line)
    {
        text.Add(" <"u8).Add(element).Add(">\n  <name>"u8).AddXml(line.Name).Add("</name>\n"u8);
        if (line.Note.Length > 0)
        {
            text.Add("  <desc>"u8).AddXml(line.Note).Add("</desc>\n"u8);
        }

        text.Add("  <number>"u8).Add(line.Sequence).Add("</number>\n  <type>rip line</type>\n"u8);
    }

    private static Utf8Text Point(Utf8Text text, ReadOnlySpan<byte> element, double longitude, double latitude, double height) =>
        GpxText.Point(text, "   "u8, element, longitude, latitude, height, 2, ""u8);
}
