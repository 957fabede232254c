using System.Globalization;
using System.Text;
using System.Xml;
using System.Xml.Linq;
using System.Xml.Schema;
using Keyline.Formats.Tests.Support;
using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Guidance;

public sealed class GuidanceFilesTests
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);
    private static readonly XNamespace Gpx = "http://www.topografix.com/GPX/1/1";

    [Fact]
    public void Csv_RowsGiveTheLinesBackWithinTwoCentimetres()
    {
        KeylinePlan plan = SmallPlan.Make();
        string[] rows = Csv(plan).Split("\r\n");
        Assert.Equal(CsvGuidance.Header, rows[0]);
        Assert.Equal("", rows[^1]);
        var parsed = rows[1..^1].Select(r => r.Split(',')).ToArray();
        Assert.All(parsed, r => Assert.Equal(10, r.Length));
        foreach (var line in plan.Layout.Lines)
        {
            var own = parsed.Where(r => r[0] == line.Id).ToArray();
            Assert.Equal(Enumerable.Range(1, own.Length).Select(i => i.ToString(CultureInfo.InvariantCulture)), own.Select(r => r[2]));
            LineString track = new([.. own.Select(r => new Coordinate(Number(r[5]), Number(r[6])))]);
            Assert.All(line.Line.Coordinates, c => Assert.True(track.Distance(new Point(c)) <= 0.0215));
            Assert.True(own.Length < line.Line.NumPoints / 2, "thinning did nothing");
            Assert.Equal(line.Line.Length, Number(own[^1][8]), 0.1);
            foreach (string[] r in own)
            {
                (double x, double y) = Utm.FromLonLat(Number(r[4]), Number(r[3]));
                Assert.Equal(Number(r[5]), x, 0.0015);
                Assert.Equal(Number(r[6]), y, 0.0015);
                Assert.Equal(SmallPlan.Height(x, y), Number(r[7]), 0.006);
            }
        }
    }

    [Fact]
    public void Csv_SamePlan_GivesSameBytesWhateverTheCulture() =>
        Assert.Equal(Csv(SmallPlan.Make()), InCulture.OfCommas(() => Csv(SmallPlan.Make())));

    [Fact]
    public void Gpx_IsValidAgainstItsSchema()
    {
        XmlSchemaSet schemas = new();
        using (XmlReader reader = XmlReader.Create(TrialData.Schema("gpx-1.1.xsd")))
        {
            schemas.Add(Gpx.NamespaceName, reader);
        }

        List<string> complaints = [];
        XDocument.Parse(GpxText(SmallPlan.Make(), Utm)).Validate(schemas, (_, e) => complaints.Add(e.Message));
        Assert.Empty(complaints);

        // The schema is really at work: it refuses a longitude of 180 (GPX 1.1, longitudeType).
        XDocument wrong = XDocument.Parse(GpxText(SmallPlan.Make(), Utm));
        wrong.Descendants(Gpx + "trkpt").First().SetAttributeValue("lon", "180.0");
        wrong.Validate(schemas, (_, e) => complaints.Add(e.Message));
        Assert.NotEmpty(complaints);
    }

    [Fact]
    public void Gpx_HasOneTrackALineInDrivingOrder()
    {
        XDocument gpx = XDocument.Parse(GpxText(SmallPlan.Make(), Utm));
        XElement[] tracks = [.. gpx.Root!.Elements(Gpx + "trk")];
        Assert.Equal(["R001", "R002", "R003"], tracks.Select(t => t.Element(Gpx + "name")!.Value));
        Assert.Equal(["1", "2", "3"], tracks.Select(t => t.Element(Gpx + "number")!.Value));
        XElement first = tracks[0].Descendants(Gpx + "trkpt").First();
        (double x, double y) = Utm.FromLonLat(Number(first.Attribute("lon")!.Value), Number(first.Attribute("lat")!.Value));
        Assert.Equal(SmallPlan.West + 30, x, 0.001);
        Assert.Equal(SmallPlan.North - 100, y, 0.001);
        Assert.Equal(SmallPlan.Height(x, y), Number(first.Element(Gpx + "ele")!.Value), 0.006);
        Assert.Contains("811", gpx.Root.Element(Gpx + "metadata")!.Element(Gpx + "desc")!.Value, StringComparison.Ordinal);
    }

    [Fact]
    public void Gpx_AcrossThe180thMeridian_StaysBelow180()
    {
        GroundCrs zone1 = GroundCrs.FromEpsg(32601);
        (double x, double y) = zone1.FromLonLat(180, 60);
        XDocument gpx = XDocument.Parse(GpxText(SmallPlan.Make(Math.Round(x) - 150, Math.Round(y) + 100), zone1));
        double[] longitudes = [.. gpx.Descendants(Gpx + "trkpt").Select(p => Number(p.Attribute("lon")!.Value))];
        Assert.Contains(longitudes, v => v > 179.9);
        Assert.Contains(longitudes, v => v < -179.9);
        Assert.All(longitudes, v => Assert.True(v is >= -180 and < 180));
    }

    [Fact]
    public void Gpx_NameWithQuotesAndMarks_Survives()
    {
        const string name = "a<b>&c \"d\", 'e' é 草";
        XDocument gpx = XDocument.Parse(GpxText(SmallPlan.Make(fieldName: name), Utm));
        Assert.Equal(name, gpx.Root!.Element(Gpx + "metadata")!.Element(Gpx + "name")!.Value);
    }

    [Fact]
    public void NameThatNoFormatCanHold_IsRefusedWithASentence()
    {
        GroundDataException refused = Assert.Throws<GroundDataException>(() => Lines(SmallPlan.Make(fieldName: "a\u0001b")));
        Assert.Contains("U+0001", refused.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(GuidanceFormat.Gpx)]
    [InlineData(GuidanceFormat.GpxRoutes)]
    [InlineData(GuidanceFormat.GpxWaypoints)]
    [InlineData(GuidanceFormat.Kml)]
    [InlineData(GuidanceFormat.Csv)]
    [InlineData(GuidanceFormat.GeoJson)]
    [InlineData(GuidanceFormat.TaskData)]
    [InlineData(GuidanceFormat.TaskDataZip)]
    [InlineData(GuidanceFormat.Shapefile)]
    [InlineData(GuidanceFormat.GeoPackage)]
    public void EveryFormat_ReadsBackWithinAMillimetre(GuidanceFormat format)
    {
        string folder = Directory.CreateTempSubdirectory("keyline-guidance-").FullName;
        try
        {
            KeylinePlan plan = SmallPlan.Make();
            GuidanceSet set = Lines(plan);
            GuidanceFiles.Write(folder, format, set, Utm, cancellationToken: TestContext.Current.CancellationToken);
            RoundTrip back = GuidanceVerification.ReadBack(folder, format, set, Utm, planned: [.. plan.Layout.Lines.Select(PlannedPath.Of)]);
            Assert.Empty(back.Missing);
            Assert.Equal(3, back.Lines);
            Assert.InRange(back.FromPrepared, 0, 0.001);
            Assert.InRange(back.FromPlanned, 0.001, 0.0211);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void Gpx_SamePlan_GivesSameBytesWhateverTheCulture() =>
        Assert.Equal(GpxText(SmallPlan.Make(), Utm), InCulture.OfCommas(() => GpxText(SmallPlan.Make(), Utm)));

    private static GuidanceSet Lines(KeylinePlan plan) => GuidancePreparation.Prepare([.. plan.Layout.Lines.Select(PlannedPath.Of)], null, plan.Field, plan.Options.Spacing);

    private static string Csv(KeylinePlan plan)
    {
        using MemoryStream stream = new();
        CsvGuidance.Write(stream, Lines(plan), Utm, TestContext.Current.CancellationToken);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static string GpxText(KeylinePlan plan, GroundCrs crs)
    {
        using MemoryStream stream = new();
        GpxGuidance.Write(stream, Lines(plan), crs, GpxKind.Tracks, TestContext.Current.CancellationToken);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static double Number(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);
}
