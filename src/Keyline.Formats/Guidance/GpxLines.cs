using System.Globalization;
using System.Text;
using System.Xml;
using Keyline.Guidance;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Formats;

/// <summary>Writes a plan's lines as GPX tracks, one a line, in driving order.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees to 8 decimals (1 mm), heights in metres to 2 decimals.</para>
/// <para>Missing: a point without a height has no <c>ele</c>.</para>
/// <para>Promises: valid against the GPX 1.1 schema; longitudes from -180 to below 180, as it demands; no times, so the same
/// plan gives the same bytes. Lines are thinned to 2 cm with no gap above 50 m.</para>
/// <para>Source: GPX 1.1 schema (topografix, 2004).</para>
/// </remarks>
public static class GpxLines
{
    private const string Namespace = "http://www.topografix.com/GPX/1/1";

    /// <summary>Writes the tracks of a plan.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="crs">The projected system its metres are in.</param>
    /// <param name="provenance">What it was made from.</param>
    /// <param name="tolerance">Cross-track error allowed in thinning, metres.</param>
    /// <param name="cancellation">Stops the writing.</param>
    public static void Write(Stream stream, KeylinePlan plan, GroundCrs crs, PlanProvenance provenance, double tolerance = LineThinning.DefaultTolerance, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(crs);
        ArgumentNullException.ThrowIfNull(provenance);
        PlanPlaces places = new(crs, plan.Ground);
        XmlWriterSettings settings = new() { Encoding = new UTF8Encoding(false), Indent = true, IndentChars = " ", NewLineChars = "\n", CloseOutput = false };
        using XmlWriter xml = XmlWriter.Create(stream, settings);
        xml.WriteStartElement("gpx", Namespace);
        xml.WriteAttributeString("version", "1.1");
        xml.WriteAttributeString("creator", "Keyline " + provenance.Version);
        xml.WriteStartElement("metadata", Namespace);
        xml.WriteElementString("name", Namespace, Clean(plan.Field.Name.Length > 0 ? plan.Field.Name : "Rip lines"));
        xml.WriteElementString("desc", Namespace, FormattableString.Invariant(
            $"{plan.Layout.Lines.Count} rip lines in driving order, {plan.Options.Spacing:0.###} m apart. {Cautions.BuriedLines.Text}"));
        xml.WriteEndElement();
        foreach (RipLine line in plan.Layout.Lines.OrderBy(l => l.Sequence))
        {
            cancellation.ThrowIfCancellationRequested();
            WriteTrack(xml, line, places, tolerance);
        }

        xml.WriteEndElement();
    }

    private static void WriteTrack(XmlWriter xml, RipLine line, PlanPlaces places, double tolerance)
    {
        string side = line.Side == GuideSide.Upslope ? "upslope" : "downslope";
        xml.WriteStartElement("trk", Namespace);
        xml.WriteElementString("name", Namespace, Clean(line.Id));
        xml.WriteElementString("desc", Namespace, Clean(FormattableString.Invariant(
            $"{line.Measures.Length:F1} m long, {line.Offset:0.##} m {side} of guide {line.GuideId}, grade at most {line.Measures.MaximumGrade:F1} %")));
        xml.WriteElementString("number", Namespace, line.Sequence.ToString(CultureInfo.InvariantCulture));
        xml.WriteElementString("type", Namespace, "rip line");
        xml.WriteStartElement("trkseg", Namespace);
        foreach (Coordinate c in LineThinning.Thin(line.Line, tolerance).Coordinates)
        {
            CoordinateZ at = places.Of(c);

            // 180 degrees itself is no GPX longitude; the same meridian is -180.
            double longitude = Math.Round(at.X, 8);
            longitude = longitude >= 180 ? -180 : longitude;
            xml.WriteStartElement("trkpt", Namespace);
            xml.WriteAttributeString("lat", at.Y.ToString("F8", CultureInfo.InvariantCulture));
            xml.WriteAttributeString("lon", longitude.ToString("F8", CultureInfo.InvariantCulture));
            if (double.IsFinite(at.Z))
            {
                xml.WriteElementString("ele", Namespace, at.Z.ToString("F2", CultureInfo.InvariantCulture));
            }

            xml.WriteEndElement();
        }

        xml.WriteEndElement();
        xml.WriteEndElement();
    }

    // Names come from other people's files, and XML cannot hold every character.
    private static string Clean(string text) => string.Concat(text.Where(XmlConvert.IsXmlChar));
}
