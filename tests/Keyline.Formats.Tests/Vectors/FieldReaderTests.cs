using System.Text;
using Keyline.Field;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Vectors;

/// <summary>Fields, avoided areas and lines in GeoJSON (RFC 7946), good and bad.</summary>
public sealed class FieldReaderTests
{
    private const string Ring = "[[-122.0,36.0],[-121.99,36.0],[-121.99,36.01],[-122.0,36.01],[-122.0,36.0]]";
    private const string Square = "{\"type\":\"Polygon\",\"coordinates\":[" + Ring + "]}";
    private const string East = "{\"type\":\"Polygon\",\"coordinates\":[[[-121.98,36.0],[-121.97,36.0],[-121.97,36.01],[-121.98,36.01],[-121.98,36.0]]]}";
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);

    // 0.01 degrees of longitude and latitude at 36.005 N are 901.6 by 1109.6 m on the ground (radii of curvature, Snyder,
    // USGS Professional Paper 1395, 1987, equations 4-18 and 4-20), and UTM shrinks areas there by 0.9998 squared or so.
    [Theory]
    [InlineData(Square, 1)]
    [InlineData("{\"type\":\"Feature\",\"properties\":null,\"geometry\":" + Square + "}", 1)]
    [InlineData("{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{},\"geometry\":" + Square + "},{\"type\":\"Feature\",\"properties\":{},\"geometry\":" + East + "}]}", 2)]
    [InlineData("{\"type\":\"GeometryCollection\",\"geometries\":[" + Square + "]}", 1)]
    [InlineData("{\"type\":\"MultiPolygon\",\"coordinates\":[[" + Ring + "]]}", 1)]
    [InlineData("{\"crs\":{\"type\":\"name\",\"properties\":{\"name\":\"urn:ogc:def:crs:OGC:1.3:CRS84\"}},\"type\":\"Polygon\",\"coordinates\":[" + Ring + "]}", 1)]
    public void ReadField_EveryFrame_GivesTheArea(string json, int squares)
    {
        FieldArea field = FieldReader.ReadField(Text(json), "f", Utm);
        double one = 901.6 * 1109.6 * 0.9998 * 0.9998;
        Assert.Equal(squares * one, field.Boundary.Area, squares * one * 2e-3);
    }

    // A piece of 0.002 degrees is 180.3 by 221.9 m there (as above), so half its diagonal is 143 m and the least margin of 300 m holds for it.
    // Pieces 0.004 degrees apart, 180 m between them, are one: 0.006 by 0.002 degrees, 541 by 222 m. With 0.05 degrees, 4.3 km, between them they stay two.
    // Of 0.006 degrees with 361 m between them they are 1443 by 666 m. With 0.03 degrees, 2.5 km, and one of 0.01 by 0.01 degrees the larger, of 901.6 by 1109.6 m, has the say. The last is a chain of four, 1307 by 1110 m, and one apart.
    [Theory]
    [InlineData("-122.0,36.0,0.002", 300)]
    [InlineData("-122.0,36.0,0.002;-121.996,36.0,0.002", 300)]
    [InlineData("-122.0,36.0,0.006;-121.99,36.0,0.006", 794.4)]
    [InlineData("-122.0,36.0,0.002;-121.95,36.0,0.002", 300)]
    [InlineData("-122.0,36.0,0.002;-122.0,36.05,0.002", 300)]
    [InlineData("-122.0,36.0,0.002;-121.97,36.03,0.01", 714.9)]
    [InlineData("179.999,36.0,0.002;179.999,36.05,0.01", 714.9)]
    [InlineData("-122.0,36.0,0.002;-121.96,36.0,0.002;-122.0,36.008,0.002;-121.994,36.0,0.002;-121.9875,36.0,0.002", 857.4)]
    public void ReadWindow_MarginIsThatOfTheLargestGroupOfPieces(string squares, double expected)
    {
        static string Ring(string square)
        {
            double[] v = [.. square.Split(',').Select(t => double.Parse(t, System.Globalization.CultureInfo.InvariantCulture))];
            static double Turned(double lon) => lon > 180 ? lon - 360 : lon;
            return string.Join(',', new[] { (0, 0), (1, 0), (1, 1), (0, 1), (0, 0) }.Select(c => FormattableString.Invariant($"[{Turned(v[0] + (c.Item1 * v[2]))},{v[1] + (c.Item2 * v[2])}]")));
        }

        GroundWindow window = FieldReader.ReadWindow(Text("{\"type\":\"MultiPolygon\",\"coordinates\":[" + string.Join(',', squares.Split(';').Select(s => "[[" + Ring(s) + "]]")) + "]}"), "f");
        Assert.Equal(expected, window.Margin, 0.005 * expected);
    }

    [Fact]
    public void ReadField_Corners_AreWhereProjPutsThem()
    {
        // PROJ 9.1.1, EPSG:26910 and EPSG:32610 alike, puts 122.3 W 36.1 N at 563010.073537, 3995266.799771.
        FieldArea field = FieldReader.ReadField(Text("{\"type\":\"Polygon\",\"coordinates\":[[[-122.3,36.1,55],[-122.29,36.1,56],[-122.29,36.11,57],[-122.3,36.1,55]]]}"), "f", Utm);
        Coordinate corner = field.Boundary.Coordinates[0];
        Assert.Equal(563010.073537, corner.X, 1e-3);
        Assert.Equal(3995266.799771, corner.Y, 1e-3);
    }

    [Fact]
    public void ReadField_NameAndAvoided_AreCarried()
    {
        AvoidedArea[] avoided = [new AvoidedArea(new Point(0, 0), 1)];
        FieldArea field = FieldReader.ReadField(Text("{\"type\":\"Feature\",\"properties\":{\"name\":\"Top\"},\"geometry\":" + Square + "}"), "f", Utm, avoided);
        Assert.Equal("Top", field.Name);
        Assert.Same(avoided[0], Assert.Single(field.Avoided));
    }

    [Theory]
    [InlineData("", "not JSON")]
    [InlineData("{\"type\":\"Polygon\",", "not JSON")]
    [InlineData("[1,2,3]", "not GeoJSON")]
    [InlineData("{\"a\":1}", "not GeoJSON")]
    [InlineData("{\"type\":\"Polygon\"}", "draw the field")]
    [InlineData("{\"type\":\"Circle\",\"coordinates\":[1,2]}", "cannot be read")]
    [InlineData("{\"type\":\"FeatureCollection\",\"features\":[]}", "no outline")]
    [InlineData("{\"type\":\"FeatureCollection\",\"features\":{}}", "not GeoJSON")]
    [InlineData("{\"type\":\"FeatureCollection\",\"features\":[7]}", "feature 1")]
    [InlineData("{\"type\":\"Feature\",\"properties\":{},\"geometry\":null}", "no outline")]
    [InlineData("{\"type\":\"Polygon\",\"coordinates\":[]}", "no outline")]
    [InlineData("{\"type\":\"LineString\",\"coordinates\":[[-122,36],[-121,36]]}", "must be a Polygon")]
    [InlineData("{\"type\":\"Point\",\"coordinates\":[-122,36]}", "must be a Polygon")]
    [InlineData("{\"type\":\"Polygon\",\"coordinates\":[[[-122,36],[-121.99,36],[-121.99,36.01],[-122,36.01]]]}", "not closed")]
    [InlineData("{\"type\":\"Polygon\",\"coordinates\":[[[-122,36],[-121.99,36.01],[-121.99,36],[-122,36.01],[-122,36]]]}", "not a simple area")]
    [InlineData("{\"type\":\"Polygon\",\"coordinates\":[[[600000,4000000],[600100,4000000],[600100,4000100],[600000,4000000]]]}", "metres of a projection")]
    [InlineData("{\"type\":\"Polygon\",\"coordinates\":[[[-122,\"36\"],[-121,36],[-121,37],[-122,36]]]}", "cannot be read")]
    [InlineData("{\"type\":\"Polygon\",\"coordinates\":[[[-122],[-121,36],[-121,37],[-122]]]}", "feature 1")]
    [InlineData("{\"type\":\"Polygon\",\"crs\":{\"type\":\"name\",\"properties\":{\"name\":\"urn:ogc:def:crs:EPSG::26910\"}},\"coordinates\":[" + Ring + "]}", "26910")]
    public void ReadField_Unusable_IsRefusedInOneSentence(string json, string says)
    {
        GroundDataException e = Assert.Throws<GroundDataException>(() => FieldReader.ReadField(Text(json), "field.geojson", Utm));
        Assert.StartsWith("field.geojson: ", e.Message, StringComparison.Ordinal);
        Assert.EndsWith(".", e.Message, StringComparison.Ordinal);
        Assert.Contains(says, e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void ReadField_DeepNesting_IsRefused() =>
        Assert.Throws<GroundDataException>(() => FieldReader.ReadField(Text(new string('[', 100_000)), "f", Utm));

    [Fact]
    public void ReadField_NoSuchFile_IsRefused() =>
        Assert.Contains("no such field file", Assert.Throws<GroundDataException>(() => FieldReader.ReadField("/no/such/file.geojson", Utm)).Message, StringComparison.Ordinal);

    [Fact]
    public void ReadField_GeographicSystem_IsAWrongCall() =>
        Assert.Throws<ArgumentException>(() => FieldReader.ReadField(Text(Square), "f", GroundCrs.FromEpsg(4326)));

    [Fact]
    public void ReadAvoided_EveryShape_KeepsItsSetback()
    {
        IReadOnlyList<AvoidedArea> areas = FieldReader.ReadAvoided(Text(Collection(
            Feature("{\"setback_m\":6,\"name\":\"tree\"}", "{\"type\":\"Point\",\"coordinates\":[-122,36]}"),
            Feature("{\"setback_m\":0,\"kind\":\"pipe\"}", "{\"type\":\"LineString\",\"coordinates\":[[-122,36],[-121.999,36]]}"),
            Feature("{\"setback_m\":2.5}", Square))), "a", Utm);
        Assert.Equal([("tree", 6.0), ("pipe", 0.0), ("", 2.5)], areas.Select(a => (a.Name, a.Setback)));
        Assert.Equal(Math.PI * 36, areas[0].KeptClear.Area, 1.0);
        Assert.IsType<LineString>(areas[1].Shape);
        Assert.IsType<Polygon>(areas[2].Shape);
    }

    [Theory]
    [InlineData("{}", "no setback")]
    [InlineData("null", "no setback")]
    [InlineData("{\"setback_m\":\"6\",\"name\":\"dam\"}", "(dam)")]
    [InlineData("{\"setback_m\":\"6 m\"}", "without quotes")]
    [InlineData("{\"setback_m\":-1}", "-1")]
    [InlineData("{\"setback_m\":1e9}", "1e9")]
    [InlineData("{\"setback_m\":null}", "null")]
    public void ReadAvoided_SetbackMissingOrAbsurd_IsRefused(string properties, string says)
    {
        string json = Collection(Feature("{\"setback_m\":1}", Square), Feature(properties, Square));
        GroundDataException e = Assert.Throws<GroundDataException>(() => FieldReader.ReadAvoided(Text(json), "avoid.geojson", Utm));
        Assert.StartsWith("avoid.geojson: avoided area 2", e.Message, StringComparison.Ordinal);
        Assert.Contains(says, e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void ReadLines_PlainLines_AreNamedByTheirPlace()
    {
        IReadOnlyList<GroundLine> lines = FieldReader.ReadLines(Text(Collection(
            Feature("{}", "{\"type\":\"LineString\",\"coordinates\":[[-122,36],[-121.999,36]]}"),
            Feature("{}", Square),
            Feature("{\"id\":7,\"guide\":\"G2\"}", "{\"type\":\"MultiLineString\",\"coordinates\":[[[-122,36],[-121.999,36]],[[-122,36.001],[-121.999,36.001]]]}"))), "l", Utm);
        Assert.Equal(["line 1", "7.1", "7.2"], lines.Select(l => l.Id));
        Assert.Equal([null, "G2", "G2"], lines.Select(l => l.GuideId));

        // 0.001 degree of longitude at 36 N: 90.16 m on the ground (radii of curvature, as above), a little less in UTM there.
        Assert.Equal(90.16 * 0.9998, lines[0].Line.Length, 0.03);
    }

    [Fact]
    public void ReadLines_RipLinesAmongOthers_AreTakenAlone()
    {
        const string line = "{\"type\":\"LineString\",\"coordinates\":[[-122,36],[-121.999,36]]}";
        IReadOnlyList<GroundLine> lines = FieldReader.ReadLines(Text(Collection(Feature("{\"kind\":\"valley-line\"}", line), Feature("{\"kind\":\"rip-line\",\"id\":\"R001\"}", line))), "l", Utm);
        Assert.Equal("R001", Assert.Single(lines).Id);
    }

    [Fact]
    public void ReadLines_None_IsRefused() =>
        Assert.Contains("no line", Assert.Throws<GroundDataException>(() => FieldReader.ReadLines(Text(Square), "l", Utm)).Message, StringComparison.Ordinal);

    private static string Collection(params string[] features) => "{\"type\":\"FeatureCollection\",\"features\":[" + string.Join(',', features) + "]}";

    private static string Feature(string properties, string geometry) => "{\"type\":\"Feature\",\"properties\":" + properties + ",\"geometry\":" + geometry + "}";

    private static MemoryStream Text(string json) => new(Encoding.UTF8.GetBytes(json));
}
