using System.Text;
using BitMiracle.LibTiff.Classic;
using Keyline.Formats;
using Keyline.Formats.Tests.Support;

namespace Keyline.Fuzzing;

/// <summary>Small sound files of every kind that is read, and the readers they go to.</summary>
internal static class Corpus
{
    private const string Ring = "[[-122.0,36.0],[-121.99,36.0],[-121.99,36.01],[-122.0,36.01],[-122.0,36.0]]";
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);
    private static readonly ElevationReadOptions Options = new() { Crs = Utm, MaximumCells = Kind.MaximumCells };
    private static readonly ElevationReadOptions OwnSystem = new() { MaximumCells = Kind.MaximumCells };
    private static readonly ElevationReadOptions Window = Options with { Window = new GroundWindow(new NetTopologySuite.Geometries.Envelope(-121.889, -121.888, 36.136, 36.137), 10) };

    public static IReadOnlyList<Kind> Kinds { get; } =
    [
        new("GeoTIFF", Tiffs(), s => ElevationReader.Read(s, "f", OwnSystem)),
        new("GeoTIFF, given its system", Tiffs(), s => ElevationReader.Read(s, "f", Options)),
        new("GeoTIFF, a window", Tiffs(), s => ElevationReader.Read(s, "f", Window)),
        new("ASCII grid", Texts(
            "ncols 4\nnrows 3\nxllcorner 600000\nyllcorner 4000000\ncellsize 10\nNODATA_value -1\n1 2 3 4\n4 5 -1 7\n8 9 10 11.5\n",
            "NCOLS\t3\r\nNROWS\t2\r\nXLLCENTER\t500005\r\nYLLCENTER\t4000005\r\nDX\t1.0e1\r\nDY\t5\r\n1.0E+0\t2\t+3\r\n4\t5\tnan\r\n"), s => ElevationReader.Read(s, "f", Options)),
        new("x y z", Texts("600000 4000000 5\n600010 4000000 6\n600000 4000010 7\n600010 4000010 8\n", "x;y;z\n0;0;1\n5;0;2\n0;5;3\n5;5;4\n10;0;5\n10;5;6\n"), s => ElevationReader.Read(s, "f", Options)),
        new("survey", Texts(
            "shot,easting_ft,northing_ft,height_ft\n1,0,0,10\n2,100,0,11\n3,0,100,12\n4,100,100,14\n5,50,40,12\n6,20,80,12\n",
            "setup,shot,lon,lat,height_m,rod_m\n1,BM,,,100,1.5\n1,1,-122,36,,1\n1,2,-121.999,36,,1.2\n2,2,-121.999,36,,0.7\n2,3,-122,36.001,,0.9\n2,4,-121.999,36.001,,1.1\n2,5,-121.9995,36.0004,,1.1\n"), s => ElevationReader.Read(s, "f", Options)),
        new("field", Texts("{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{\"name\":\"Top\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[" + Ring + "]}}]}", "{\"type\":\"MultiPolygon\",\"coordinates\":[[" + Ring + "]]}"), s => FieldReader.ReadField(s, "f", Utm)),
        new("avoided areas", Texts("{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{\"setback_m\":6},\"geometry\":{\"type\":\"Point\",\"coordinates\":[-122,36]}},{\"type\":\"Feature\",\"properties\":{\"setback_m\":2.5},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[-122,36],[-121.9,36.1]]}}]}"), s => FieldReader.ReadAvoided(s, "f", Utm)),
        new("notes", Texts("{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{\"setback_m\":6},\"geometry\":{\"type\":\"Point\",\"coordinates\":[-122,36]}},{\"type\":\"Feature\",\"properties\":{\"free\":true,\"name\":\"pond\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[" + Ring + "]}}]}"), s => FieldNotes.Read(s, "f", Utm)),
        new("lines", Texts("{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{\"kind\":\"rip-line\",\"id\":\"R001\"},\"geometry\":{\"type\":\"MultiLineString\",\"coordinates\":[[[-122,36],[-121.999,36]],[[-122,36.001],[-121.999,36.001]]]}}]}"), s => FieldReader.ReadLines(s, "f", Utm)),
        new("points", Texts("{\"type\":\"Feature\",\"properties\":{},\"geometry\":{\"type\":\"MultiPoint\",\"coordinates\":[[-122,36],[-121.999,36.001]]}}"), s => FieldReader.ReadPoints(s, "f", Utm)),
        new("tracks", Texts(
            "<gpx xmlns=\"http://www.topografix.com/GPX/1/1\" version=\"1.1\" creator=\"a\"><trk><name>R1</name><trkseg><trkpt lat=\"36\" lon=\"-122\"><ele>5</ele></trkpt><trkpt lat=\"36.001\" lon=\"-122\"/></trkseg></trk><rte><rtept lat=\"36\" lon=\"179.9999\"/><rtept lat=\"36\" lon=\"-179.9999\"/></rte></gpx>",
            "<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document><Placemark><name>R1</name><MultiGeometry><LineString><coordinates>-122,36,5 -122,36.001,6</coordinates></LineString><LineString><coordinates>-122,36 -122,36.002</coordinates></LineString></MultiGeometry></Placemark></Document></kml>",
            "<ISO11783_TaskData VersionMajor=\"4\" VersionMinor=\"3\"><PFD A=\"PFD1\"><GGP A=\"GGP1\"><GPN A=\"GPN1\" B=\"R1\" C=\"3\"><LSG A=\"5\"><PNT A=\"6\" C=\"36\" D=\"-122\"/><PNT A=\"7\" C=\"36.001\" D=\"-122\"/></LSG></GPN></GGP></PFD></ISO11783_TaskData>",
            "$GPGGA,120000.00,3600.0000,N,12200.0000,W,4,12,0.8,5.0,M,30.0,M,,*50\r\n$GPGGA,120001.00,3600.0010,N,12200.0000,W,4,12,0.8,5.0,M,30.0,M,,\r\n$GPRMC,120002,A,3600.0020,N,12200.0000,W,3.0,1.0,260101,,\r\n",
            "line_id,latitude,longitude,height_m\r\nR1,36,-122,5\r\nR1,36.001,-122,\r\nR2,36,-122,5\r\nR2,36.001,-122.001,6\r\n",
            "{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{\"id\":\"R1\"},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[-122,36,5],[-122,36.001]]}}]}"), s => TrackReader.Read(s, "f")),
        new("plans", Texts("{\"type\":\"FeatureCollection\",\"keyline\":{\"crs\":{\"epsg\":32610},\"options\":{\"spacing_m\":3,\"shanks\":3,\"shank_spacing_m\":1}},\"features\":[{\"type\":\"Feature\",\"properties\":{\"kind\":\"boundary\",\"name\":\"Top\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[" + Ring + "]}},{\"type\":\"Feature\",\"properties\":{\"kind\":\"guide-line\",\"id\":\"G1\",\"keyline\":true},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[-122,36,5],[-121.999,36,5]]}},{\"type\":\"Feature\",\"properties\":{\"kind\":\"rip-line\",\"id\":\"R1\",\"sequence\":1,\"offset_m\":3},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[-122,36.001,5],[-121.999,36.001,5]]}}]}"), s => PlanReader.Read(s, "f")),
        new("readings", Texts("stake,line,distance_m,planned_height_m,setup,height_m,rod_m,moved_left_m\r\nBM,G1,,,G1/1,52.000,1.250,\r\nG1-01,G1,0.00,50.000,G1/1,,3.2,\r\nG1-02,G1,20.00,49.840,G1/1,,3.4,-0.5\r\nG1-02,G1,20.00,49.840,G1/2,,0.4,\r\nG1-03,G1,40.00,49.700,G1/2,,0.6,\r\n"), s => LevelReadings.Read(s, "f")),
        new("outlets", Texts("{\"type\":\"GeometryCollection\",\"geometries\":[{\"type\":\"Point\",\"coordinates\":[-122,36]},{\"type\":\"LineString\",\"coordinates\":[[-122,36],[-121.999,36]]}]}"), s => FieldReader.ReadShapes(s, "f", Utm)) { IsBehind = true },
        new("windows", Texts("{\"type\":\"Polygon\",\"coordinates\":[" + Ring + "]}"), s => FieldReader.ReadWindow(s, "f")) { IsBehind = true },
        new("guidance", [Behind.Plan(Ring)], Behind.Guidance) { IsBehind = true },
        new("stakes", [Behind.Plan(Ring)], Behind.Stakes) { IsBehind = true },
        new("zipped task data", Texts("<ISO11783_TaskData VersionMajor=\"4\" VersionMinor=\"3\"><PFD A=\"PFD1\"><GGP A=\"GGP1\"><GPN A=\"GPN1\" B=\"R1\" C=\"3\"><LSG A=\"5\"><PNT A=\"6\" C=\"36\" D=\"-122\"/><PNT A=\"7\" C=\"36.001\" D=\"-122\"/></LSG></GPN></GGP></PFD></ISO11783_TaskData>"), Behind.Zipped) { IsBehind = true },
        new("job files", Texts("{\"dem\": [\"a.tif\", \"b.tif\"], \"field\": \"f.geojson\", \"spacing\": \"10 ft\", \"max_grade\": 2, \"compare\": true, \"crs\": \"EPSG:32610\", \"out\": \"plan\"}"), Behind.Job) { IsBehind = true },
        new("WKT", [.. new[] { 32610, 2227, 27700, 3358, 4326, 28992 }.Select(c => Encoding.UTF8.GetBytes(GroundCrs.FromEpsg(c).Wkt))], s => Parse(s)),
        .. LaterKinds.All,
    ];

    private static GroundCrs Parse(Stream stream)
    {
        using StreamReader reader = new(stream);
        return GroundCrs.FromWkt(reader.ReadToEnd());
    }

    private static byte[][] Texts(params string[] texts) => Array.ConvertAll(texts, Encoding.UTF8.GetBytes);

    private static byte[][] Tiffs() =>
    [
        new TestTiff().ToBytes(),
        new TestTiff { Compression = Compression.ADOBE_DEFLATE, Predictor = 3, Tile = 16 }.ToBytes(),
        new TestTiff { Compression = Compression.LZW, Predictor = 2, Bits = 16, Format = SampleFormat.INT, Height = (r, c) => 200 + r + c }.ToBytes(),
        new TestTiff { Compression = Compression.PACKBITS, Mode = "wb", Nodata = "-9999" }.ToBytes(),
        new TestTiff { Mode = "w8", Compression = Compression.ADOBE_DEFLATE, Bits = 64, Nodata = "nan" }.ToBytes(),
        new TestTiff { Keys = TestTiff.KeysOf((1024, 2), (1025, 1), (2048, 4326)), PixelScale = [0.00002, 0.00002, 0], TiePoint = [0, 0, 0, -120.5, 36.2, 0] }.ToBytes(),
        new TestTiff { Matrix = [2, 0.5, 0, 600_000, 0.5, -2, 0, 4_000_000, 0, 0, 0, 0, 0, 0, 0, 1], PixelScale = null, TiePoint = null, Metadata = "<GDALMetadata><Item name=\"x\" sample=\"0\" role=\"scale\">0.1</Item></GDALMetadata>" }.ToBytes(),
    ];
}

/// <summary>A kind of file and its reader.</summary>
/// <param name="Name">What it is.</param>
/// <param name="Sound">Sound files.</param>
/// <param name="Read">The reader.</param>
internal sealed record Kind(string Name, byte[][] Sound, Func<Stream, object> Read)
{
    /// <summary>Whether more than a reader is tried.</summary>
    public bool IsBehind { get; init; }

    /// <summary>Most cells the readers are told to make.</summary>
    public const long MaximumCells = 1_000_000;
}
