using System.Text;
using System.Xml.Linq;
using System.Xml.Schema;
using Keyline.Formats.Tests.Support;
using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Guidance;

/// <summary>Guidance in every form at awkward places and with awkward names.</summary>
public sealed class GuidancePlacesTests
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);

    // Both sides of the 180th meridian, the equator, the south, and 65 degrees north.
    public static TheoryData<GuidanceFormat, int, double, double> Everywhere()
    {
        TheoryData<GuidanceFormat, int, double, double> all = [];
        foreach (GuidanceFormat format in Enum.GetValues<GuidanceFormat>())
        {
            all.Add(format, 32601, 180, 60);
            all.Add(format, 32760, -180, -18);
            all.Add(format, 32630, -3, 0);
            all.Add(format, 32756, 151.2, -33.9);
            all.Add(format, 32606, -147, 65);
        }

        return all;
    }

    [Theory]
    [MemberData(nameof(Everywhere))]
    public void EveryFormat_Anywhere_ReadsBackWithinAMillimetre(GuidanceFormat format, int epsg, double longitude, double latitude)
    {
        GroundCrs crs = GroundCrs.FromEpsg(epsg);
        (double x, double y) = crs.FromLonLat(longitude, latitude);
        KeylinePlan plan = SmallPlan.Make(Math.Round(x) - 150, Math.Round(y) + 100);
        RoundTrip back = WriteAndRead(format, Prepared(plan), crs);
        Assert.Empty(back.Missing);
        Assert.InRange(back.FromPrepared, 0, 0.001);
    }

    [Theory]
    [InlineData("say \"R, 1\"")]
    [InlineData("a<b>&amp; 'c'")]
    [InlineData("Käse 草地 Ω 🌾")]
    public void EveryFormat_LineNames_Survive(string name)
    {
        GuidanceSet set = new([Line(name, (0, 0), (40, 3), (90, -2))], 3, name);
        foreach (GuidanceFormat format in Enum.GetValues<GuidanceFormat>())
        {
            Assert.Empty(WriteAndRead(format, set, Utm).Missing);
        }
    }

    [Fact]
    public void NamesThatAFormatCannotHold_AreRefusedWithASentence()
    {
        GuidanceSet set = new([Line(new string('ä', 200), (0, 0), (40, 3))]);
        foreach (GuidanceFormat format in new[] { GuidanceFormat.TaskData, GuidanceFormat.Shapefile })
        {
            Assert.Contains("shorter", Assert.Throws<GroundDataException>(() => WriteAndRead(format, set, Utm)).Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void TaskData_IsValidAgainstItsSchema_AndClosedInWhatTheSchemaLeavesOpen()
    {
        XmlSchemaSet schema = new() { XmlResolver = new System.Xml.XmlUrlResolver() };
        schema.Add(null, TrialData.Schema("ISO11783_TaskFile_V4-3.xsd"));
        XDocument data = TaskData(Prepared(SmallPlan.Make()));
        List<string> complaints = [];
        data.Validate(schema, (_, e) => complaints.Add(e.Message));
        Assert.Empty(complaints);
        Assert.All(data.Descendants("GGP"), g => Assert.NotEmpty(g.Elements("GPN")));
        Assert.All(data.Descendants("PLN").Elements("LSG"), r => Assert.Equal(r.Elements("PNT").First().ToString(), r.Elements("PNT").Last().ToString()));
        foreach (XElement pattern in data.Descendants("GPN"))
        {
            string[] roles = [.. pattern.Element("LSG")!.Elements("PNT").Select(p => p.Attribute("A")!.Value)];
            Assert.Equal(("6", "7"), (roles[0], roles[^1]));
            Assert.All(roles[1..^1], r => Assert.Equal("9", r));
            Assert.Equal(("4", "4", "16", "3"), (pattern.Attribute("E")!.Value, pattern.Attribute("F")!.Value, pattern.Attribute("I")!.Value, pattern.Attribute("C")!.Value));
            Assert.Equal("3000", pattern.Element("LSG")!.Attribute("C")!.Value);
        }

        // The schema is really at work.
        data.Descendants("PNT").First().SetAttributeValue("C", "44.5000000001");
        data.Validate(schema, (_, e) => complaints.Add(e.Message));
        Assert.NotEmpty(complaints);
    }

    [Fact]
    public void TaskData_StraightLine_IsAnAbPatternOfTwoPoints()
    {
        GuidanceSet set = GuidancePreparation.Prepare([new PlannedPath("R001", 1, new LineString([new Coordinate(500_000, 4_000_000), new Coordinate(500_200, 4_000_100)]))]);
        XElement pattern = Assert.Single(TaskData(set).Descendants("GPN"));
        Assert.Equal("1", pattern.Attribute("C")!.Value);
        Assert.Equal(["6", "7"], pattern.Descendants("PNT").Select(p => p.Attribute("A")!.Value));
    }

    // Sentences in the layout of GGA in NMEA 0183, from memory; degrees computed here as whole degrees and sixtieths, sums as the
    // exclusive or of the characters between $ and *.
    [Fact]
    public void Nmea_GivesThePositionsWithAFixAndARightSum()
    {
        const string log = "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n$GPGGA,123520,4807.040,N,01131.010,E,4,08,0.9,545.6,M,46.9,M,,\r\n"
            + "$GPGGA,123521,4807.042,N,01131.020,E,1,08,0.9,545.6,M,46.9,M,,*00\r\n$GPGGA,123522,4807.042,N,01131.020,E,0,08,0.9,,M,46.9,M,,\r\n";
        PlaceTrack track = Assert.Single(TrackReader.Read(new MemoryStream(Encoding.ASCII.GetBytes(log)), "drive.nmea"));
        Assert.Equal(2, track.Points.Count);
        Assert.Equal(48 + (7.038 / 60), track.Points[0].Y, 1e-12);
        Assert.Equal(11 + (31.0 / 60), track.Points[0].X, 1e-12);
        Assert.Equal(545.4, track.Points[0].Z);
    }

    [Theory]
    [InlineData("a.gpx", "<html/>")]
    [InlineData("a.gpx", "<gpx><trk>")]
    [InlineData("a.csv", "x,y\n1,2\n")]
    [InlineData("a.csv", "latitude,longitude\n95,10\n96,10\n")]
    [InlineData("a.nmea", "$GPGGA,123519,4807.038,N,01131.000,E,0,08,0.9,545.4,M,46.9,M,,\n")]
    [InlineData("a.geojson", "{\"type\":\"FeatureCollection\",\"features\":[]}")]
    public void TracksThatCannotBeUsed_AreRefusedWithTheirName(string name, string text) =>
        Assert.StartsWith(name + ": ", Assert.Throws<GroundDataException>(() => TrackReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), name)).Message, StringComparison.Ordinal);

    [Fact]
    public void Plan_ReadBack_GivesLinesGuidesFieldAndSpacing()
    {
        KeylinePlan plan = SmallPlan.Make();
        using MemoryStream file = new();
        PlanGeoJson.Write(file, plan, Utm, SmallPlan.Provenance, TestContext.Current.CancellationToken);
        file.Position = 0;
        WrittenPlan back = PlanReader.Read(file, "plan.geojson");
        Assert.Equal(plan.Layout.Lines.Select(l => (l.Id, l.Sequence)), back.Lines.Select(l => (l.Id, l.Sequence)));
        Assert.Equal(("G1", 3.0, 32610), (Assert.Single(back.Guides).Id, back.Spacing, back.Crs.EpsgCode!.Value));
        Assert.Equal(plan.Field.Boundary.Area, back.Field!.Boundary.Area, 0.1);
        Assert.Equal([6.0, 8, 5], back.Field.Avoided.Select(a => a.Setback));
        Coordinate[] was = plan.Layout.Lines[1].Line.Coordinates, now = back.Lines[1].Line.Coordinates;
        Assert.Equal(was.Length, now.Length);
        Assert.All(was.Zip(now), p => Assert.True(p.First.Distance(p.Second) < 0.0001 && Math.Abs(p.First.Z - p.Second.Z) < 0.006));
    }

    [Fact]
    public void Plan_ReadBack_GivesOutletsAndKindsOfAvoidedAreas()
    {
        string text = """
            {"type":"FeatureCollection","features":[
            {"type":"Feature","properties":{"kind":"boundary","name":"f"},"geometry":{"type":"Polygon","coordinates":[[[-123,37],[-122.999,37],[-122.999,37.001],[-123,37.001],[-123,37]]]}},
            {"type":"Feature","properties":{"kind":"avoid","name":"The Heap","what":"rock","setback_m":3},"geometry":{"type":"Point","coordinates":[-122.9995,37.0005]}},
            {"type":"Feature","properties":{"kind":"avoid","name":"belt","setback_m":3},"geometry":{"type":"Point","coordinates":[-122.9993,37.0005]}},
            {"type":"Feature","properties":{"kind":"outlet","id":"outlets"},"geometry":{"type":"LineString","coordinates":[[-122.999,37],[-122.999,37.001]]}},
            {"type":"Feature","properties":{"kind":"rip-line","id":"R001"},"geometry":{"type":"LineString","coordinates":[[-122.9998,37.0002],[-122.9992,37.0002]]}}]}
            """;
        WrittenPlan back = PlanReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "plan.geojson");
        Assert.Equal(["rock", ""], back.Field!.Avoided.Select(a => a.Kind));
        Assert.Equal(111, back.Field.Outlets!.Length, 1.0);
        Assert.Equal("R001", Assert.Single(back.Lines).Id);
    }

    private static GuidanceSet Prepared(KeylinePlan plan) => GuidancePreparation.Prepare([.. plan.Layout.Lines.Select(PlannedPath.Of)], null, plan.Field, plan.Options.Spacing);

    private static GuidanceLine Line(string name, params (double X, double Y)[] at) =>
        new() { Name = name, SourceId = name, Sequence = 1, Path = new LineString([.. at.Select(p => new CoordinateZ(500_000 + p.X, 4_000_000 + p.Y, double.NaN))]) };

    private static XDocument TaskData(GuidanceSet set)
    {
        using MemoryStream stream = new();
        TaskDataGuidance.Write(stream, set, Utm, TestContext.Current.CancellationToken);
        return XDocument.Parse(Encoding.UTF8.GetString(stream.ToArray()));
    }

    private static RoundTrip WriteAndRead(GuidanceFormat format, GuidanceSet set, GroundCrs crs)
    {
        string folder = Directory.CreateTempSubdirectory("keyline-guidance-").FullName;
        try
        {
            GuidanceFiles.Write(folder, format, set, crs, cancellationToken: TestContext.Current.CancellationToken);
            return GuidanceVerification.ReadBack(folder, format, set, crs);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
