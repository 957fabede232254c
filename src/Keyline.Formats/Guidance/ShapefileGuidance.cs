using System.Text;
using Keyline.Guidance;
using NetTopologySuite.Features;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO.Esri;
using NetTopologySuite.IO.Esri.Shapefiles.Writers;

namespace Keyline.Formats;

/// <summary>Writes lines for guidance as a Shapefile: .shp, .shx, .dbf, .prj and .cpg.</summary>
/// <remarks>
/// <para>Units: WGS 84 degrees, or the units of the plan's own projected system; both in full precision. Heights in metres.</para>
/// <para>Missing: where one height of the set is not known, the whole file is without heights.</para>
/// <para>Promises: texts in UTF-8, said so in the .cpg; the date in the .dbf is always 1 January 1980, so that the same lines
/// give the same bytes. In degrees, lines are cut at the 180th meridian.</para>
/// <para>Errors: <see cref="GroundDataException"/> for a name longer than the 254 bytes the format takes.</para>
/// <para>Source: ESRI Shapefile Technical Description (1998); written by NetTopologySuite.IO.Esri.Shapefile.</para>
/// </remarks>
public static class ShapefileGuidance
{
    private const int LongestText = 254;

    /// <summary>Writes the five files.</summary>
    /// <param name="create">Makes the file with an ending (".shp"); closed by this.</param>
    /// <param name="set">The lines.</param>
    /// <param name="crs">The projected system their metres are in.</param>
    /// <param name="inPlane">Whether to write the plan's own projected system, not longitude and latitude.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="GroundDataException">A name is too long, or a place has no longitude and latitude.</exception>
    public static void Write(Func<string, Stream> create, GuidanceSet set, GroundCrs crs, bool inPlane = false, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(create);
        ArgumentNullException.ThrowIfNull(set);
        ArgumentNullException.ThrowIfNull(crs);
        int name = Widest(set.Lines, l => l.Name, "name"), source = Widest(set.Lines, l => l.SourceId, "name"), note = Widest(set.Lines, l => l.Note, "note");
        bool heights = set.Lines.All(l => Enumerable.Range(0, l.Path.NumPoints).All(i => double.IsFinite(l.Path.CoordinateSequence.GetZ(i))));
        using MemoryStream table = new();
        using (Stream shapes = create(".shp"))
        using (Stream index = create(".shx"))
        using (Stream prj = create(".prj"))
        using (Stream cpg = create(".cpg"))
        {
            ShapefileWriterOptions options = new(heights ? ShapeType.PolyLineZM : ShapeType.PolyLine) { Encoding = new UTF8Encoding(false), Projection = inPlane ? crs.Wkt : GroundCrs.FromEpsg(4326).Wkt };
            options.AddCharacterField("name", name);
            options.AddNumericInt32Field("sequence");
            options.AddNumericInt32Field("part");
            options.AddNumericInt32Field("parts");
            options.AddCharacterField("source", source);
            options.AddCharacterField("form", 8);
            options.AddNumericDoubleField("length_m");
            options.AddCharacterField("note", note);
            using (ShapefileWriter writer = Shapefile.OpenWrite(shapes, index, table, prj, options))
            {
                LinePlaces places = new(crs);
                foreach (GuidanceLine line in set.Lines)
                {
                    cancellationToken.ThrowIfCancellationRequested();
                    writer.Write(new Feature(Shape(line, places, crs, inPlane), new AttributesTable
                    {
                        { "name", line.Name }, { "sequence", line.Sequence }, { "part", line.Part }, { "parts", line.Parts }, { "source", line.SourceId },
                        { "form", line.IsStraight ? "straight" : "curve" }, { "length_m", Math.Round(line.Path.Length, 3) }, { "note", line.Note },
                    }));
                }
            }

            cpg.Write("UTF-8"u8);
        }

        using Stream dbf = create(".dbf");
        byte[] bytes = table.GetBuffer();

        // Bytes 1 to 3 are the day of writing; years count from 1900.
        (bytes[1], bytes[2], bytes[3]) = (80, 1, 1);
        dbf.Write(bytes, 0, (int)table.Length);
    }

    /// <summary>A line as it is written: in degrees, or in the units of the plan's system.</summary>
    internal static MultiLineString Shape(GuidanceLine line, LinePlaces places, GroundCrs crs, bool inPlane)
    {
        if (inPlane)
        {
            LineString own = line.Path;
            if (crs.MetresPerUnit != 1)
            {
                own = (LineString)own.Copy();
                for (int i = 0; i < own.NumPoints; i++)
                {
                    own.CoordinateSequence.SetX(i, own.CoordinateSequence.GetX(i) / crs.MetresPerUnit);
                    own.CoordinateSequence.SetY(i, own.CoordinateSequence.GetY(i) / crs.MetresPerUnit);
                }

                own.GeometryChanged();
            }

            return own.Factory.CreateMultiLineString([own]);
        }

        places.Take(line.Path);
        return GeometryFactory.Default.CreateMultiLineString(places.Parts());
    }

    private static int Widest(IReadOnlyList<GuidanceLine> lines, Func<GuidanceLine, string> text, string what)
    {
        int widest = 1;
        foreach (GuidanceLine line in lines)
        {
            int bytes = Encoding.UTF8.GetByteCount(text(line));
            widest = bytes <= LongestText ? Math.Max(widest, bytes)
                : throw new GroundDataException(FormattableString.Invariant($"The {what} \"{text(line)}\" takes {bytes} bytes, and a Shapefile holds {LongestText}: give it a shorter one."));
        }

        return widest;
    }
}
