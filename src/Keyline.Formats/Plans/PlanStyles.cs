using System.Globalization;
using System.Text;
using System.Xml;

namespace Keyline.Formats;

/// <summary>Styles for the tables of a plan's GeoPackage, in the colours of its map.</summary>
/// <remarks>
/// <para>Promises: one style a table, named as the table is; widths and sizes are pixels, so that every reader takes them.</para>
/// <para>Source: OGC 02-070, Styled Layer Descriptor 1.0.0 (2002); filters after OGC 02-059, Filter Encoding 1.0.0.</para>
/// </remarks>
public static class PlanStyles
{
    private const string Sld = "http://www.opengis.net/sld";
    private const string Ogc = "http://www.opengis.net/ogc";

    private sealed record Line(string Color, double Width, string? Dash = null);

    private sealed record Look(string Title, (string Property, string Comparison, string Value)? When = null, string? Fill = null, double Opacity = 1, Line[]? Lines = null, (string Mark, double Size)? Mark = null, string? Label = null);

    private static readonly (string Table, Look[] Looks)[] Tables =
    [
        ("contour", [new("Contour", Lines: [new("#8C745A", 0.6)], Label: "height_m")]),
        ("avoid", [new("Avoided", Fill: "#4A3F52", Opacity: 0.55, Lines: [new("#4A3F52", 1.5)], Label: "name")]),
        ("steep_land", [new("Left out as too steep", Fill: "#8A4B1F", Opacity: 0.3, Lines: [new("#8A4B1F", 0.8)])]),
        ("valley_line", [new("Valley floor, primary", ("primary", "PropertyIsEqualTo", "1"), Lines: [new("#125CB0", 3)]), new("Valley floor, lesser", ("primary", "PropertyIsEqualTo", "0"), Lines: [new("#125CB0", 1.5)])]),
        ("ridge_line", [new("Ridge crest, main", ("main", "PropertyIsEqualTo", "1"), Lines: [new("#B85C00", 3, "8 3 2 3")]), new("Ridge crest", ("main", "PropertyIsEqualTo", "0"), Lines: [new("#B85C00", 1.5, "8 3 2 3")])]),
        ("rip_line",
        [
            new("Rip line, falls toward the ridge", ("to_ridge_share", "PropertyIsGreaterThanOrEqualTo", "0.5"), Lines: [new("#00645F", 1.2)]),
            new("Rip line, falls toward the valley", ("to_ridge_share", "PropertyIsLessThan", "0.5"), Lines: [new("#E0448F", 1.2, "6 2")]),
            new("Rip line, about level", ("to_ridge_share", "PropertyIsNull", ""), Lines: [new("#7C8388", 1)]),
        ]),
        ("guide_line", [new("Guide", Lines: [new("#1D242B", 2)], Label: "id")]),
        ("keyline", [new("Keyline", Lines: [new("#1D242B", 5), new("#F2C114", 3)])]),
        ("keypoint", [new("Keypoint, clear", ("class", "PropertyIsEqualTo", "clear"), Fill: "#F2C114", Lines: [new("#1D242B", 1.5)], Mark: ("square", 11), Label: "id"), new("Keypoint, weak: walk it first", ("class", "PropertyIsEqualTo", "weak"), Fill: "#FFFFFF", Lines: [new("#1D242B", 1.5)], Mark: ("square", 11), Label: "id")]),
        ("lesser_break", [new("Lesser break of a floor", Fill: "#FFFFFF", Lines: [new("#125CB0", 1.2)], Mark: ("square", 7))]),
        ("boundary", [new("Field boundary", Lines: [new("#1D242B", 2.5)])]),
        ("outlet", [new("Stable outlet", Fill: "#125CB0", Opacity: 0.4, Lines: [new("#125CB0", 2)])]),
        ("stake", [new("Stake", Fill: "#FFFFFF", Lines: [new("#1D242B", 1)], Mark: ("circle", 5), Label: "id")]),
        ("gate", [new("Gate", Fill: "#1D242B", Lines: [new("#FFFFFF", 1)], Mark: ("triangle", 12))]),
        ("finding", [new("Breaks a limit", ("breaks_limit", "PropertyIsEqualTo", "1"), Fill: "#9B1148", Lines: [new("#FFFFFF", 1)], Mark: ("triangle", 11)), new("Uneven here", ("breaks_limit", "PropertyIsEqualTo", "0"), Fill: "#FFFFFF", Lines: [new("#9B1148", 1)], Mark: ("circle", 6))]),
    ];

    /// <summary>The tables that have a style, those to be drawn first before those upon them.</summary>
    public static IReadOnlyList<string> Names { get; } = [.. Tables.Select(t => t.Table)];

    /// <summary>Writes the style of a table.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="table">One of <see cref="Names"/>.</param>
    /// <exception cref="ArgumentException">There is no style of that name.</exception>
    public static void Write(Stream stream, string table)
    {
        ArgumentNullException.ThrowIfNull(stream);
        int at = Array.FindIndex(Tables, t => t.Table == table);
        if (at < 0)
        {
            throw new ArgumentException($"There is no style for {table}.", nameof(table));
        }

        using XmlWriter xml = XmlWriter.Create(stream, new XmlWriterSettings { Indent = true, NewLineChars = "\n", Encoding = new UTF8Encoding(false), CloseOutput = false });
        xml.WriteStartElement("StyledLayerDescriptor", Sld);
        xml.WriteAttributeString("xmlns", "ogc", null, Ogc);
        xml.WriteAttributeString("version", "1.0.0");
        xml.WriteStartElement("NamedLayer", Sld);
        Text(xml, "Name", table);
        xml.WriteStartElement("UserStyle", Sld);
        xml.WriteStartElement("FeatureTypeStyle", Sld);
        foreach (Look look in Tables[at].Looks)
        {
            Rule(xml, look, IsPoint(table), IsArea(table));
        }

        xml.WriteEndDocument();
    }

    private static bool IsPoint(string table) => table is "keypoint" or "lesser_break" or "gate" or "finding";

    private static bool IsArea(string table) => table is "avoid" or "steep_land" or "boundary" or "outlet";

    private static void Rule(XmlWriter xml, Look look, bool isPoint, bool isArea)
    {
        xml.WriteStartElement("Rule", Sld);
        Text(xml, "Title", look.Title);
        if (look.When is { } when)
        {
            xml.WriteStartElement("Filter", Ogc);
            xml.WriteStartElement(when.Comparison, Ogc);
            xml.WriteElementString("PropertyName", Ogc, when.Property);
            if (when.Value.Length > 0)
            {
                xml.WriteElementString("Literal", Ogc, when.Value);
            }

            xml.WriteEndElement();
            xml.WriteEndElement();
        }

        if (isArea && look.Fill is not null)
        {
            xml.WriteStartElement("PolygonSymbolizer", Sld);
            Fill(xml, look);
            xml.WriteEndElement();
        }

        if (isPoint)
        {
            xml.WriteStartElement("PointSymbolizer", Sld);
            xml.WriteStartElement("Graphic", Sld);
            xml.WriteStartElement("Mark", Sld);
            Text(xml, "WellKnownName", look.Mark!.Value.Mark);
            Fill(xml, look);
            Stroke(xml, look.Lines![0]);
            xml.WriteEndElement();
            Text(xml, "Size", Number(look.Mark.Value.Size));
            xml.WriteEndElement();
            xml.WriteEndElement();
        }
        else
        {
            foreach (Line line in look.Lines ?? [])
            {
                xml.WriteStartElement("LineSymbolizer", Sld);
                Stroke(xml, line);
                xml.WriteEndElement();
            }
        }

        if (look.Label is { } label)
        {
            Label(xml, label);
        }

        xml.WriteEndElement();
    }

    private static void Fill(XmlWriter xml, Look look)
    {
        xml.WriteStartElement("Fill", Sld);
        Parameter(xml, "fill", look.Fill!);
        if (look.Opacity < 1)
        {
            Parameter(xml, "fill-opacity", Number(look.Opacity));
        }

        xml.WriteEndElement();
    }

    private static void Stroke(XmlWriter xml, Line line)
    {
        xml.WriteStartElement("Stroke", Sld);
        Parameter(xml, "stroke", line.Color);
        Parameter(xml, "stroke-width", Number(line.Width));
        if (line.Dash is { } dash)
        {
            Parameter(xml, "stroke-dasharray", dash);
        }

        xml.WriteEndElement();
    }

    private static void Label(XmlWriter xml, string property)
    {
        xml.WriteStartElement("TextSymbolizer", Sld);
        xml.WriteStartElement("Label", Sld);
        xml.WriteElementString("PropertyName", Ogc, property);
        xml.WriteEndElement();
        xml.WriteStartElement("Font", Sld);
        Parameter(xml, "font-family", "Open Sans");
        Parameter(xml, "font-size", "10");
        xml.WriteEndElement();
        xml.WriteStartElement("Halo", Sld);
        Text(xml, "Radius", "1.5");
        xml.WriteStartElement("Fill", Sld);
        Parameter(xml, "fill", "#FFFFFF");
        xml.WriteEndElement();
        xml.WriteEndElement();
        xml.WriteStartElement("Fill", Sld);
        Parameter(xml, "fill", "#1D242B");
        xml.WriteEndElement();
        xml.WriteEndElement();
    }

    private static void Text(XmlWriter xml, string name, string text) => xml.WriteElementString(name, Sld, text);

    private static void Parameter(XmlWriter xml, string name, string value)
    {
        xml.WriteStartElement("CssParameter", Sld);
        xml.WriteAttributeString("name", name);
        xml.WriteString(value);
        xml.WriteEndElement();
    }

    private static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}
