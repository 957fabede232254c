using System.IO.Compression;
using System.Text;
using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests;

/// <summary>Text that nobody wrote by mistake: refused early, with one sentence.</summary>
public sealed class HostileTextTests
{
    [Theory]
    [InlineData("latitude,longitude\n")]
    [InlineData("$GPGGA,")]
    [InlineData("<gpx version=\"")]
    [InlineData("")]
    public void ALineThatNeverEnds_IsRefusedBeforeItIsRead(string begin)
    {
        using Endless stream = new(Encoding.ASCII.GetBytes(begin));
        GroundDataException refused = Assert.Throws<GroundDataException>(() => TrackReader.Read(stream, "f"));
        Assert.Contains("f: ", refused.Message, StringComparison.Ordinal);
        Assert.InRange(stream.Given, 0, 8 << 20);
    }

    [Fact]
    public void AQuoteThatIsNotClosed_IsRefusedWithItsLine_InTimeThatGrowsWithTheFile()
    {
        StringBuilder text = new("shot,easting_m,northing_m,height_m\n1,0,0,5\n\"2,5,0,6\n");
        for (int i = 0; i < 200_000; i++)
        {
            text.Append("3,1,1,5\n");
        }

        using Counting stream = new(Encoding.UTF8.GetBytes(text.ToString()));
        GroundDataException refused = Assert.Throws<GroundDataException>(() => ElevationReader.Read(stream, "f", new ElevationReadOptions { Crs = GroundCrs.FromEpsg(32610) }));
        Assert.Contains("line 3 has a quote that is not closed", refused.Message, StringComparison.Ordinal);
        Assert.InRange(stream.Given, 0, 3 * stream.Length);
    }

    [Fact]
    public void AZipThatUnpacksToFarMore_IsRefused()
    {
        using MemoryStream zipped = new();
        using (ZipArchive zip = new(zipped, ZipArchiveMode.Create, leaveOpen: true))
        {
            using Stream entry = zip.CreateEntry("TASKDATA.XML").Open();
            byte[] letters = [.. Enumerable.Repeat((byte)'a', 1 << 20)];
            entry.Write("<ISO11783_TaskData A=\""u8);
            for (int i = 0; i < 40; i++)
            {
                entry.Write(letters);
            }
        }

        zipped.Position = 0;
        Assert.Contains("more than 100 times", Assert.Throws<GroundDataException>(() => TrackReader.Read(zipped, "f")).Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("R\\u0000", "control character")]
    [InlineData("R\\u001b[2J", "control character")]
    [InlineData("R\\u0085", "control character")]
    [InlineData(" R", "a blank")]
    [InlineData("R\\u00a0", "a blank")]
    [InlineData("RRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRRR", "82 characters")]
    public void AnIdThatNoFormatHolds_IsRefused(string id, string says) =>
        Refused($$"""{"type":"FeatureCollection","features":[{{Line(id, "[-122,36],[-121.99,36]")}}]}""", says);

    [Theory]
    [InlineData(32612, "not true to scale")]
    [InlineData(32631, "not true to scale")]
    [InlineData(4326, "in degrees")]
    public void AWrongSystem_IsRefused(int epsg, string says) =>
        Refused($$$"""{"type":"FeatureCollection","keyline":{"crs":{"epsg":{{{epsg}}}}},"features":[{{{Line("R1", "[-122,36],[-121.99,36]")}}}]}""", says);

    [Theory]
    [InlineData("[-122,36],[-110,40]", "span 1", "")]
    [InlineData("[-122,36,99999],[-121.99,36]", "where no land is", "")]
    [InlineData("[-122,36],[-121.99,36]", "spacing_m is -3", "\"spacing_m\":-3")]
    [InlineData("[-122,36],[-121.99,36]", "shanks is 1E+06", "\"shanks\":1000000,\"shank_spacing_m\":1")]
    public void FiguresThatCannotBe_AreRefused(string places, string says, string options) =>
        Refused($$$"""{"type":"FeatureCollection","keyline":{"crs":{"epsg":32610},"options":{{{{options}}}}},"features":[{{{Line("R1", places)}}}]}""", says);

    [Fact]
    public void ASystemOfEndlessText_IsRefused() =>
        Assert.Contains("longer than any", Assert.Throws<GroundDataException>(() => GroundCrs.FromWkt($"GEOGCS[\"WGS 84\",DATUM[\"{new string('x', 60_000)}")).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("99999999999")]
    [InlineData("-1e400")]
    [InlineData("Circle")]
    [InlineData("")]
    public void AShapeOfNoKnownKind_IsRefused(string kind) =>
        Assert.Throws<GroundDataException>(() => FieldReader.ReadShapes(Stream($$$"""{"type":"Feature","properties":{},"geometry":{"type":"{{{kind}}}","coordinates":[0,0]}}"""), "f", GroundCrs.FromEpsg(32610)));

    [Fact]
    public void AnEmptyShapeAmongOthers_IsLeftOut() =>
        Assert.Equal(1, FieldReader.ReadShapes(Stream("""{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[]},{"type":"LineString","coordinates":[[-122,36],[-121.999,36]]}]}"""), "f", GroundCrs.FromEpsg(32610)).NumGeometries);

    [Fact]
    public void LinesOfOneName_GetNumbers()
    {
        string line = Line("R", "[-122,36],[-121.99,36]");
        WrittenPlan plan = PlanReader.Read(Stream($$"""{"type":"FeatureCollection","features":[{{line}},{{Line("R.2", "[-122,36],[-121.99,36]")}},{{line}},{{line}}]}"""), "f");
        Assert.Equal(["R", "R.2", "R.3", "R.4"], plan.Lines.Select(l => l.Id));
        Assert.Contains(plan.Notes, n => n.StartsWith("Several lines are named R;", StringComparison.Ordinal));
    }

    // CSV injection: OWASP, "CSV Injection", characters = + - @ tab and carriage return at the beginning of a cell.
    [Theory]
    [InlineData("=1+1", "'=1+1")]
    [InlineData("+A1", "'+A1")]
    [InlineData("-A1", "'-A1")]
    [InlineData("@SUM(A1)", "'@SUM(A1)")]
    [InlineData("=HYPERLINK(\"http://x\",1)", "\"'=HYPERLINK(\"\"http://x\"\",1)\"")]
    [InlineData("-5.2", "-5.2")]
    [InlineData("G16", "G16")]
    [InlineData("'quoted", "'quoted")]
    public void ATextThatLooksLikeAFormula_StaysText(string text, string cell)
    {
        Assert.Equal(cell, Encoding.UTF8.GetString(new Utf8Text().AddCell(text).Written));
        LineString line = new([new CoordinateZ(600_000, 4_000_000, 5), new CoordinateZ(600_050, 4_000_000, 5)]);
        using MemoryStream written = new();
        CsvGuidance.Write(written, GuidancePreparation.Prepare([new PlannedPath(text, 1, line)], null, null, 3), GroundCrs.FromEpsg(32610));
        written.Position = 0;
        Assert.Equal(text, Assert.Single(TrackReader.Read(written, "f")).Name);
    }

    private static string Line(string id, string places) => $$$"""{"type":"Feature","properties":{"id":"{{{id}}}"},"geometry":{"type":"LineString","coordinates":[{{{places}}}]}}""";

    private static void Refused(string plan, string says) =>
        Assert.Contains(says, Assert.Throws<GroundDataException>(() => PlanReader.Read(Stream(plan), "f")).Message, StringComparison.Ordinal);

    private static MemoryStream Stream(string text) => new(Encoding.UTF8.GetBytes(text));

    // Counts what is read of it.
    private sealed class Counting(byte[] bytes) : MemoryStream(bytes)
    {
        public long Given { get; private set; }

        // Spans come through this one too.
        public override int Read(byte[] buffer, int offset, int count)
        {
            int got = base.Read(buffer, offset, count);
            Given += got;
            return got;
        }
    }

    // A beginning, then the letter a without end.
    private sealed class Endless(byte[] begin) : Stream
    {
        public long Given { get; private set; }

        public override bool CanRead => true;

        public override bool CanSeek => true;

        public override bool CanWrite => false;

        public override long Length => 1_000_000_000;

        public override long Position { get; set; }

        public override int Read(Span<byte> buffer)
        {
            buffer.Fill((byte)'a');
            for (int i = 0; i < buffer.Length && Position + i < begin.Length; i++)
            {
                buffer[i] = begin[(int)Position + i];
            }

            Position += buffer.Length;
            Given += buffer.Length;
            return buffer.Length;
        }

        public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

        public override long Seek(long offset, SeekOrigin origin) => Position = offset;

        public override void Flush()
        {
        }

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }
}
