using System.Text;
using System.Text.Json;
using Keyline.Field;
using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

/// <summary>What a driver is handed: days, runs for the display, sheet, shapes, calendar.</summary>
public sealed class PackTests
{
    private static readonly ServiceRecord Cleared = new("A. Digger", "4711", new DateOnly(2027, 3, 20));

    private static readonly WorkJob Job = WorkJob.Plan(
        [.. Rows.North(60, 1.4, 16, 30).Select((l, i) => new WorkLine($"R{i + 1:000}", l, i == 7 ? "side slope too steep" : ""))],
        new FieldArea(Rows.Box(0, 0, 200, 200), [new AvoidedArea(Rows.Box(122, 60, 140, 90), 3, "Dam & spillway")], "Top <paddock>"),
        Rows.Mounted(),
        new WorkOptions { HoursADay = 2, RefillTime = 0.1 });

    [Fact]
    public void Blocks_HoldEveryLineOnceInOrder_AndAboutADayEach()
    {
        IReadOnlyList<WorkBlock> blocks = WorkBlock.ByDay(Job);
        Assert.Equal(Job.Stops, blocks.SelectMany(b => b.Stops));
        Assert.Equal((int)Math.Ceiling(Job.Usual!.Hours / 2), blocks.Count);
        Assert.Equal(Job.Usual.Hours, blocks.Sum(b => b.Hours), 1e-6);
        Assert.All(blocks, b => Assert.InRange(b.Hours, 0.7 * Job.Usual.Hours / blocks.Count, 1.3 * Job.Usual.Hours / blocks.Count));
    }

    [Theory]
    [InlineData(7, false)]
    [InlineData(50, true)]
    [InlineData(3, true)]
    public void Runs_HoldEveryLineOnceInOrder_AndKeepToTheGreatestNumber(int most, bool join)
    {
        IReadOnlyList<IReadOnlyList<PlannedPath>> files = WorkRuns.Of(Job.Stops, most, join);
        Assert.All(files, f => Assert.InRange(f.Count, 1, most));
        PlannedPath[] all = [.. files.SelectMany(f => f)];
        Assert.Equal(all.Select(p => p.Id), all.Select(p => p.Id).Order(StringComparer.Ordinal));
        Assert.Equal(Enumerable.Range(1, all.Length), all.Select(p => p.Sequence));
        Assert.Equal(Job.Stops.Select(s => s.Line.Id), all.SelectMany(p => p.Note.Split("; ").Select(n => n.Split(':')[0])));
        int joints = Job.Stops.Count(s => s.Change is { Kind: RowChangeKind.Forward, Fits: true });
        Assert.InRange(all.Length, join ? Job.Stops.Count - joints : Job.Stops.Count, join ? Job.Stops.Count - joints + 5 : Job.Stops.Count);
        Assert.Equal(Job.Stops.Count(s => s.Line.Warning.Length > 0), all.Count(p => p.Id.EndsWith('!')));

        // A run is one way without a jump: no two neighbours farther apart than a line's own points (here 168 m), and none back upon itself at a joint.
        Assert.All(all, p =>
        {
            Coordinate[] c = p.Line.Coordinates;
            for (int i = 2; i < c.Length; i++)
            {
                double turn = NetTopologySuite.Algorithm.AngleUtility.AngleBetween(c[i - 2], c[i - 1], c[i]);
                Assert.True(turn > 2.2, $"{p.Id} turns by {Math.PI - turn} at {c[i - 1]}");
            }
        });
    }

    [Fact]
    public void Sheet_ShowsLinesInOrder_WarningsMarked_AndSaysWhatIsMissing()
    {
        IReadOnlyList<WorkBlock> blocks = WorkBlock.ByDay(Job);
        string sheet = Sheet(blocks[0], null), cleared = Sheet(blocks[0], Cleared);
        Assert.Contains("NO RECORD", sheet, StringComparison.Ordinal);
        Assert.DoesNotContain("NO RECORD", cleared, StringComparison.Ordinal);
        Assert.Contains("ticket 4711, until 2027-03-20", cleared, StringComparison.Ordinal);
        string[] ids = [.. sheet.Split("<span class=\"id\">").Skip(1).Select(s => s.Split('<')[0])];
        Assert.Equal(blocks[0].Stops.Select(s => s.Line.Id), ids);
        string all = string.Concat(blocks.Select(b => Sheet(b, null)));
        Assert.Equal(1, all.Split("<b>!</b>").Length - 1);
        Assert.Contains("Top &lt;paddock&gt;", sheet, StringComparison.Ordinal);
        Assert.Contains("Dam &amp; spillway (keep 3 m off)", all, StringComparison.Ordinal);
        Assert.Contains(">START<", sheet, StringComparison.Ordinal);
        Assert.Contains("Call before you dig", sheet, StringComparison.Ordinal);
        Assert.DoesNotContain("http", sheet, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", sheet, StringComparison.Ordinal);
        Assert.Equal(sheet, Sheet(blocks[0], null));
        System.Xml.Linq.XDocument.Parse(sheet[sheet.IndexOf("<svg", StringComparison.Ordinal)..(sheet.IndexOf("</svg>", StringComparison.Ordinal) + 6)]);
    }

    /// <summary>Zones by their letters: where they change, in metres from the line's start; where they change often, which they are; and each explained once.</summary>
    [Fact]
    public void Sheet_TellsDepthsByLetter()
    {
        DepthZone[] zones = [new("zone 1, loam", Rows.Box(0, 0, 200, 100), 0.3, 0.35, ""), new("zone 2, clay", Rows.Box(0, 100, 200, 150), 0.4, 0.45, "test strip first")];
        string sheet = Sheet(WorkBlock.ByDay(Job)[0], null, zones);
        WorkStop first = WorkBlock.ByDay(Job)[0].Stops[0];
        bool north = first.Course.EndPoint.Y > first.Course.StartPoint.Y;
        Assert.Contains(north ? "<span class=\"why\">A 84 m B 134 m &#8211;</span>" : "<span class=\"why\">&#8211; 34 m B 84 m A</span>", sheet, StringComparison.Ordinal);
        Assert.Equal(1, sheet.Split("<b>B 40 to 45 cm</b>: zone 2, clay (test strip first)").Length - 1);
        Assert.Contains(">A</text>", sheet, StringComparison.Ordinal);
        DepthZone[] strips = [.. Enumerable.Range(0, 10).Select(i => new DepthZone($"strip {i}", Rows.Box(0, 20 * i, 200, 20 * (i + 1)), 0.3, 0.35, ""))];
        string busy = Sheet(WorkBlock.ByDay(Job)[0], null, strips);
        
        // The first strip and the last have 4 m of the line each, at which nobody changes the depth.
        Assert.Contains("B/C/D/E/F/G/H/I, 7 changes", busy, StringComparison.Ordinal);
    }

    /// <summary>A zone in which digging is by hand only stands on top of the sheet and in the map.</summary>
    [Fact]
    public void Sheet_TellsAndDrawsHandDigZones()
    {
        AvoidedArea gas = new(new LineString([new Coordinate(20, 0), new Coordinate(20, 200)]), 1, "gas main") { HandDig = 0.6096 };
        WorkJob job = WorkJob.Plan([.. Rows.North(4, 1.4, 16, 30).Select((l, i) => new WorkLine($"R{i + 1:000}", l))], new FieldArea(Rows.Box(0, 0, 200, 200), [gas]), Rows.Mounted());
        using MemoryStream stream = new();
        DriverSheet.Write(stream, new DriverSheetContent { Job = job, Block = WorkBlock.ByDay(job)[0], Blocks = 1, ToLonLat = at => (at.X / 1e5, at.Y / 1e5) });
        string sheet = Encoding.UTF8.GetString(stream.ToArray());
        Assert.Contains("HAND DIGGING ONLY within 0.61 m on either side of gas main", sheet, StringComparison.Ordinal);
        Assert.Contains(">HAND DIG</text>", sheet, StringComparison.Ordinal);
        Assert.DoesNotContain("HAND DIG", Sheet(WorkBlock.ByDay(Job)[0], null), StringComparison.Ordinal);
    }

    // Widths as the pages beside the table print them: Idaho 24 in, Michigan 48 in, Colorado 18 in.
    [Fact]
    public void HandDigZone_ByState()
    {
        Assert.Equal(24 * 0.0254, HandDigZones.Of("ID"), 1e-12);
        Assert.Equal(48 * 0.0254, HandDigZones.Of("mi"), 1e-12);
        Assert.Equal(18 * 0.0254, HandDigZones.Of("CO"), 1e-12);
        Assert.True(double.IsNaN(HandDigZones.Of("XX")));
        Assert.Equal(9, HandDigZones.States.Count);
    }

    [Fact]
    public void Shapes_AreLinesWaysAndFindings()
    {
        using MemoryStream stream = new();
        WorkShapes.Write(stream, Job, at => (at.X / 1e5, at.Y / 1e5), "said");
        JsonElement root = JsonDocument.Parse(stream.ToArray()).RootElement;
        JsonElement[] features = [.. root.GetProperty("features").EnumerateArray()];
        Assert.Equal("said", root.GetProperty("located_services").GetString());
        Assert.Equal(Job.Stops.Count, features.Count(f => Kind(f) == "line"));
        Assert.Equal(Job.Stops.Count - 1, features.Count(f => Kind(f) == "way"));
        Assert.Equal(Job.Findings.Count, features.Count(f => Kind(f) == "finding"));
        JsonElement first = features.First(f => Kind(f) == "line").GetProperty("geometry").GetProperty("coordinates")[0];
        Assert.Equal(Job.Stops[0].Course.StartPoint.X / 1e5, first[0].GetDouble(), 1e-6);

        static string Kind(JsonElement feature) => feature.GetProperty("properties").GetProperty("kind").GetString()!;
    }

    // RFC 5545: lines end with CRLF and have 75 octets at most; an event of whole days ends the day after its last.
    [Fact]
    public void Calendar_PlacesJobsOneAfterTheOther_WithWeatherDays()
    {
        PlannedDays[] jobs =
        [
            new("Rip north; block, Ä", "a long note that goes on and on, well beyond what one line of a calendar may hold, and has a ü at the fold or near it somewhere", 3, new DateOnly(2027, 3, 1)),
            new("Rip south", "", 1.5, new DateOnly(2027, 3, 2)),
            new("Rip south again", "", 1, new DateOnly(2028, 3, 1)),
        ];
        (PlannedDays _, DateOnly from, DateOnly to)[] placed = [.. WorkCalendar.Place(jobs, 0.25)];
        Assert.Equal((new DateOnly(2027, 3, 1), new DateOnly(2027, 3, 4)), (placed[0].from, placed[0].to));
        Assert.Equal((new DateOnly(2027, 3, 5), new DateOnly(2027, 3, 6)), (placed[1].from, placed[1].to));
        Assert.Equal(new DateOnly(2028, 3, 1), placed[2].from);
        using MemoryStream stream = new();
        WorkCalendar.Write(stream, jobs, 0.25);
        string text = Encoding.UTF8.GetString(stream.ToArray());
        Assert.All(text.Split("\r\n"), line => Assert.True(Encoding.UTF8.GetByteCount(line) <= 75, line));
        Assert.DoesNotContain("\n", text.Replace("\r\n", "", StringComparison.Ordinal), StringComparison.Ordinal);
        string unfolded = text.Replace("\r\n ", "", StringComparison.Ordinal);
        Assert.Contains("SUMMARY:Rip north\\; block\\, Ä\r\n", unfolded, StringComparison.Ordinal);
        Assert.Contains("DTSTART;VALUE=DATE:20270301\r\nDTEND;VALUE=DATE:20270305\r\n", unfolded, StringComparison.Ordinal);
        Assert.Contains("a ü at the fold", unfolded, StringComparison.Ordinal);
    }

    [Fact]
    public void ServiceRecord_IsMissedAndRunsOut()
    {
        Assert.Equal(ServiceRecord.Missing, ServiceRecord.Say(null));
        Assert.DoesNotContain("renewed", ServiceRecord.Say(Cleared, new DateOnly(2027, 3, 20)), StringComparison.Ordinal);
        Assert.Contains("renewed before 2027-03-20", ServiceRecord.Say(Cleared, new DateOnly(2027, 3, 21)), StringComparison.Ordinal);
        Assert.Equal(0.6096, ServiceRecord.HandDigZone, 1e-9);
        Assert.Equal(0.3048, ServiceRecord.NoticeDepth, 1e-9);
    }

    [Fact]
    public void Cost_IsHoursTimesTheHour_OverHectaresAndKilometres()
    {
        Assert.Null(JobCost.Of(Job, Job.Usual));
        MachinePrices prices = new() { TractorPrice = 95_000, ImplementPrice = 9000, FuelPrice = 1, Wage = 25 };
        WorkJob priced = Job.With(Job.Machine with { Prices = prices });
        JobCost cost = JobCost.Of(priced, priced.Usual)!;
        Assert.Equal(cost.Hour.Total * priced.Usual!.Hours, cost.Total, 1e-9);
        Assert.Equal(priced.Usual.Litres * 1.15, cost.Hour.Fuel * priced.Usual.Hours, 1e-6);
        Assert.Equal(cost.Total, cost.AHectare * priced.Hectares, 1e-6);
        Assert.Equal(cost.Total, cost.AKilometre * priced.Length / 1000, 1e-6);
        WorkJob deeper = Job.With(Job.Machine with { Implement = Job.Machine.Implement with { Depth = 0.8 } });
        Assert.Equal(Job.Stops, deeper.Stops);
        Assert.True(deeper.Usual!.Litres > Job.Usual!.Litres);
    }

    private static string Sheet(WorkBlock block, ServiceRecord? services, DepthZone[]? depths = null)
    {
        using MemoryStream stream = new();
        DriverSheet.Write(stream, new DriverSheetContent { Job = Job, Block = block, Blocks = 3, ToLonLat = at => (at.X / 1e5, at.Y / 1e5), Services = services, Depths = depths ?? [], Cautions = ["Call before you dig & wait."] });
        return Encoding.UTF8.GetString(stream.ToArray());
    }
}
