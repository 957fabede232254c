using System.Text;
using System.Text.Json;
using System.Xml;
using System.Xml.Linq;
using System.Xml.Schema;
using Keyline.Formats.Tests.Support;
using Keyline.SetOut;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Guidance;

public sealed class StakeFilesTests
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);
    private static readonly LevelMark Post = new("post, \"old\"", 52, 1.25);

    [Fact]
    public void Table_FilledIn_GivesTheHeightsBack()
    {
        StakedLine[] lines = [Staked("G1", 50), Staked("G2", 46)];
        string table = Table(lines, Post);
        LevelReadingResult read = LevelReadings.Read(Stream(Fill(table, (_, planned) => planned + 0.04)), "stakes.csv");
        Assert.Equal(lines.Sum(l => l.Stakes.Count), read.Stakes.Count);
        Assert.Equal(0, read.Unread);

        // The first line is read from the benchmark; the second lies too low for it and counts from its own first stake.
        Assert.All(read.Stakes, s => Assert.Equal(s.Planned + (s.LineId == "G1" ? 0.04 : 0), s.Measured, 0.0021));
        Assert.Contains("Line G2 has no benchmark", Assert.Single(read.Notes), StringComparison.Ordinal);
        Assert.Equal(lines.SelectMany(l => l.Stakes).Select(s => (s.Name, Math.Round(s.Station, 2))), read.Stakes.Select(s => (s.Name, s.Station)));
    }

    [Fact]
    public void Table_InFeetWithMovedStakesAndGaps_IsRead()
    {
        // A foot is 0.3048 m (NIST SP 811, 2008, appendix B.6). The level stands at 40 ft above the datum of the benchmark.
        const string table = """
            stake;line;distance_m;planned_height_m;setup;height_ft;rod_ft;moved_left_ft
            BM;G1;;;1;35.00;5.00;
            G1-01;G1;0.00;11.000;1;;3.50;
            G1-02;G1;20.00;10.900;1;;4.00;2.5
            G1-03;G1;40.00;10.800;1;;;
            """;
        LevelReadingResult read = LevelReadings.Read(Stream(table), "stakes.csv");
        Assert.Equal([("G1-01", 11.1252, 0.0), ("G1-02", 10.9728, 0.762)], read.Stakes.Select(s => (s.Name, Math.Round(s.Measured, 9), Math.Round(s.MovedLeft, 9))));
        Assert.Equal(1, read.Unread);
        Assert.Empty(read.Notes);
    }

    [Fact]
    public void Table_WithoutBenchmark_CountsFromTheFirstStakeAndCarriesOn()
    {
        const string table = """
            stake,line,distance_m,planned_height_m,setup,height_m,rod_m
            G1-01,G1,0,50.00,G1/1,,1.000
            G1-02,G1,20,49.80,G1/1,,1.250
            G1-02,G1,20,49.80,G1/2,,0.400
            G1-03,G1,40,49.60,G1/2,,0.650
            """;
        LevelReadingResult read = LevelReadings.Read(Stream(table), "stakes.csv");
        Assert.Equal([50.0, 49.75, 49.5], read.Stakes.Select(s => Math.Round(s.Measured, 9)));
        Assert.Contains("no benchmark", Assert.Single(read.Notes), StringComparison.Ordinal);
    }

    // Two lines read at one standing: the second takes its heights from the first's mark, whichever row that stands in.
    [Theory]
    [InlineData("", "51.000", 0)]
    [InlineData("BM,G2,,,S,51.50,0.500\n", "51.000", 0)]
    [InlineData("", "", 1)]
    public void Table_LinesOfOneStanding_ShareItsMark(string last, string benchmark, int notes)
    {
        string bench = benchmark.Length > 0 && last.Length == 0 ? $"BM,G1,,,S,{benchmark},1.000\n" : "";
        LevelReadingResult read = LevelReadings.Read(
            Stream("stake,line,distance_m,planned_height_m,setup,height_m,rod_m\n" + bench + "G1-01,G1,0,50.00,S,,2.000\nG1-02,G1,20,49.80,S,,2.200\nG2-01,G2,0,49.00,S,,3.100\n" + last), "stakes.csv");
        Assert.Equal([50.0, 49.8, 48.9], read.Stakes.Select(s => Math.Round(s.Measured, 9)));
        Assert.Equal(notes, read.Notes.Count);
    }

    [Theory]
    [InlineData("stake,line,distance_m,planned_height_m,setup,rod_m\nG1-01,G1,0,50,1,1\nG1-02,G1,20,50,2,1\n", "has no benchmark")]
    [InlineData("stake,line,distance_m,planned_height_m,setup,height_m,rod_m\nBM,G1,,,1,50,1\n", "only benchmarks")]
    [InlineData("stake,line,distance_m,planned_height_m,setup,rod_m\nG1-01,G1,0,50,1,one\n", "as its rod")]
    [InlineData("stake,line,distance_m,setup,rod_m\nG1-01,G1,0,1,1\n", "no column planned_height_m")]
    public void Table_ThatCannotBeUsed_IsRefusedWithASentence(string table, string sentence) =>
        Assert.Contains(sentence, Assert.Throws<GroundDataException>(() => LevelReadings.Read(Stream(table), "stakes.csv")).Message, StringComparison.Ordinal);

    [Fact]
    public void Gpx_IsValidAgainstItsSchema()
    {
        XmlSchemaSet schemas = new();
        using (XmlReader reader = XmlReader.Create(TrialData.Schema("gpx-1.1.xsd")))
        {
            schemas.Add("http://www.topografix.com/GPX/1/1", reader);
        }

        using MemoryStream stream = new();
        StakeFiles.WriteGpx(stream, [Staked("G1", 50)], Utm);
        List<string> complaints = [];
        XDocument gpx = XDocument.Parse(Encoding.UTF8.GetString(stream.ToArray()));
        gpx.Validate(schemas, (_, e) => complaints.Add(e.Message));
        Assert.Empty(complaints);
        XNamespace space = "http://www.topografix.com/GPX/1/1";
        Assert.Equal(Staked("G1", 50).Stakes.Count, gpx.Root!.Elements(space + "wpt").Count());

        // Stakes are driven into the ground: what says so travels with them.
        Assert.Contains("located and marked", gpx.Root.Element(space + "metadata")!.Element(space + "desc")!.Value, StringComparison.Ordinal);
    }

    // Either side of the 180th meridian every place is written as -180 to below 180.
    [Fact]
    public void Files_AcrossThe180thMeridian_KeepToTheirRange()
    {
        GroundCrs zone = GroundCrs.FromEpsg(32601);
        (double x, double y) = zone.FromLonLat(180, 60);
        StakedLine line = Staking.Along("G1", new LineString([new CoordinateZ(x - 100, y, 5), new CoordinateZ(x + 100, y, 4)]), new SetOutOptions());
        using MemoryStream table = new();
        StakeFiles.WriteTable(table, [line], zone, null);
        double[] longitudes = [.. Encoding.UTF8.GetString(table.ToArray()).Split("\r\n")[1..^1].Select(r => double.Parse(r.Split(',')[6], System.Globalization.CultureInfo.InvariantCulture))];
        Assert.Contains(longitudes, l => l > 179.9);
        Assert.Contains(longitudes, l => l < -179.9);
        using MemoryStream json = new();
        StakeFiles.WriteGeoJson(json, [line], zone, new PlanProvenance("test", [], []));
        JsonElement root = JsonDocument.Parse(json.ToArray()).RootElement;
        Assert.All(root.GetProperty("features").EnumerateArray().Where(f => f.GetProperty("geometry").GetProperty("type").GetString() == "Point"), f => Assert.InRange(f.GetProperty("geometry").GetProperty("coordinates")[0].GetDouble(), -180, 180));
        Assert.Contains("located and marked", root.GetProperty("keyline").GetProperty("caution").GetString(), StringComparison.Ordinal);
        Assert.Equal("MultiLineString", root.GetProperty("features")[0].GetProperty("geometry").GetProperty("type").GetString());
    }

    private static StakedLine Staked(string id, double from) => Staking.Along(
        id, new LineString([.. Enumerable.Range(0, 301).Select(i => new CoordinateZ(600_000 + (2 * i), 4_100_000 + (20 * Math.Sin(i / 30.0)), from - (0.016 * i)))]), new SetOutOptions(), Post);

    private static string Table(StakedLine[] lines, LevelMark? mark)
    {
        using MemoryStream stream = new();
        StakeFiles.WriteTable(stream, lines, Utm, mark);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    // A level reads every row: its plane is wherever the first row of a set-up says. Names with commas stand in quotes.
    private static string Fill(string table, Func<string, double, double> height)
    {
        Dictionary<string, double> planes = [];
        string[] rows = table.Split("\r\n");
        for (int i = 1; i < rows.Length - 1; i++)
        {
            string[] cells = Cells(rows[i]);
            double ground = cells[3] == "benchmark" ? Number(cells[15]) : height(cells[0], Number(cells[9]));
            planes.TryAdd(cells[11], ground + 1.3);
            cells[16] = (planes[cells[11]] - ground).ToString("0.000", System.Globalization.CultureInfo.InvariantCulture);
            rows[i] = string.Join(',', cells.Select(c => "\"" + c.Replace("\"", "\"\"", StringComparison.Ordinal) + "\""));
        }

        return string.Join("\r\n", rows);
    }

    private static string[] Cells(string row)
    {
        using Microsoft.VisualBasic.FileIO.TextFieldParser parser = new(new StringReader(row)) { Delimiters = [","], HasFieldsEnclosedInQuotes = true };
        return parser.ReadFields()!;
    }

    private static double Number(string text) => double.Parse(text, System.Globalization.CultureInfo.InvariantCulture);

    private static MemoryStream Stream(string text) => new(Encoding.UTF8.GetBytes(text));
}
