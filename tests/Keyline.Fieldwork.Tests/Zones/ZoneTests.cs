using System.Text;
using System.Xml.Linq;
using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

public sealed class ZoneTests
{
    private static readonly GridFrame Frame = new(40, 60, 5, 1000, 2200);

    private static Grid<double> Map(Func<int, int, double> value) => Grid.Copy<double>(Frame, [.. Enumerable.Range(0, 2400).Select(i => value(i / 60, i % 60))]);

    [Fact]
    public void Bounds_PartAMap()
    {
        Grid<byte> classes = ZoneClasses.ByBounds(Map((r, c) => c < 3 ? double.NaN : c), [10, 20]);
        Assert.Equal([ZoneClasses.None, 0, 0, 1, 1, 2], new[] { 2, 3, 9, 10, 19, 20 }.Select(c => classes[5, c]));
        Assert.Throws<ArgumentException>(() => ZoneClasses.ByBounds(Map((_, _) => 1), [20, 10]));
    }

    // Three heaps of values, far from each other: every cell must be found in its own, whatever the start.
    [Fact]
    public void Likeness_FindsHeapsThatLieApart()
    {
        int Heap(int r, int c) => (r * 7919 % 3 + c) % 3;
        Grid<double> a = Map((r, c) => new[] { 10, 20, 12 }[Heap(r, c)] + (0.3 * Math.Sin(r + (3 * c)))), b = Map((r, c) => new[] { 1, 2, 9 }[Heap(r, c)] + (0.2 * Math.Cos((2 * r) + c)));
        Grid<byte> classes = ZoneClasses.ByLikeness([a, b], 3);
        byte[] expected = [0, 2, 1];
        for (int i = 0; i < 2400; i++)
        {
            Assert.Equal(expected[Heap(i / 60, i % 60)], classes.Values[i]);
        }

        Assert.True(classes.Values.SequenceEqual(ZoneClasses.ByLikeness([a, b], 3).Values));
        Assert.Equal(ZoneClasses.None, ZoneClasses.ByLikeness([Map((r, c) => r == 0 ? double.NaN : c)], 2)[0, 5]);
    }

    // Of one map in two classes no other bound may lie nearer to the means: tried against every bound there is.
    [Fact]
    public void Likeness_OfOneMap_IsTheBestOfAllBounds()
    {
        Grid<double> map = Map((r, c) => Math.Pow(((r * 60) + c) * 7919 % 2400 / 2400.0, 2));
        double Misses(Func<double, int> of) => map.Values.ToArray().GroupBy(of).Sum(g => g.Sum(v => (v - g.Average()) * (v - g.Average())));
        Grid<byte> classes = ZoneClasses.ByLikeness([map], 2);
        double bound = map.Values.ToArray().Where((_, i) => classes.Values[i] == 1).Min(), got = Misses(v => v >= bound ? 1 : 0);
        Assert.All(Enumerable.Range(1, 99), k => Assert.True(Misses(v => v >= k / 100.0 ? 1 : 0) >= got - 1e-3));
    }

    [Fact]
    public void SmallPieces_JoinTheirNeighbours()
    {
        // Halves, with a lone block of 4 by 4 cells (400 m2), one of 12 by 12 (3,600 m2), and single cells strewn about.
        Grid<byte> classes = Grid.Copy<byte>(Frame, [.. Enumerable.Range(0, 2400).Select(i =>
        {
            (int r, int c) = (i / 60, i % 60);
            return r < 2 ? ZoneClasses.None : r is >= 10 and < 14 && c is >= 10 and < 14 ? (byte)2 : r is >= 20 and < 32 && c is >= 8 and < 20 ? (byte)3 : i % 97 == 0 ? (byte)4 : c < 30 ? (byte)0 : (byte)1;
        })]);
        Grid<byte> joined = ZonePieces.Joined(classes, 1000);
        Assert.Equal(new byte[] { 0, 1, 3, ZoneClasses.None }, joined.Values.ToArray().Distinct().Order());
        Assert.Equal(120, joined.Values.ToArray().Count(k => k == ZoneClasses.None));
        Assert.Equal((0, 1, 3), (joined[12, 12], joined[5, 40], joined[25, 12]));
        IReadOnlyList<(int Class, Geometry Shape)> outlines = ZonePieces.Outlines(joined);
        Assert.Equal(3, outlines.Sum(o => o.Shape.NumGeometries));
        Assert.All(outlines, o =>
        {
            Assert.True(o.Shape.IsValid);
            Assert.Equal(25.0 * joined.Values.ToArray().Count(k => k == o.Class), o.Shape.Area, 1e-6);
        });
        Assert.Contains(ZonePieces.Outlines(ZonePieces.Joined(classes, 100)), o => o.Class == 2);
    }

    private static Polygon Box(double west, double south, double east, double north) => new(new LinearRing([new(west, south), new(east, south), new(east, north), new(west, north), new(west, south)]));

    private static readonly SiteFacts Good = Site.Facts("texture=loam, pan_depth_cm=22, pan_bottom_cm=32, rock_depth_cm=150, drainage=well, esp_pct=2, salinity_ds_m=1, cover_pct=70, slope_pct=6");

    [Fact]
    public void Zones_FillTheFieldWithoutOverlap()
    {
        Polygon field = Box(0, 0, 300, 200);
        SoilSite[] sites = [new("loam", Box(-50, -50, 200, 400), Good), new("rock", Box(100, 50, 260, 150), Good with { RockDepth = 0.3 })];
        IReadOnlyList<SoilZone> zones = SoilZones.Of(field, sites, [], null, new RipRules(), null);
        Assert.Equal([("loam", RipVerdict.Rip), ("rock", RipVerdict.DoNotRip), ("outside the survey", RipVerdict.TestStripFirst)], zones.Select(z => (z.Name, z.Verdict.Verdict)));
        Assert.Equal([30_000, 16_000, 14_000], zones.Select(z => Math.Round(z.Area, 6)));
        Assert.Equal([1, 2, 3], zones.Select(z => z.Number));
        Assert.All(zones, a => Assert.All(zones.Where(b => b != a), b => Assert.Equal(0, a.Shape.Intersection(b.Shape).Area, 1e-6)));
        Assert.Equal([false, true, false], zones.Select(z => z.IsLeftOut));
        Assert.Equal("the field", SoilZones.Of(field, [], [], null, new RipRules(), null).Single().Name);
        Assert.Contains("same place", Assert.Throws<GroundDataException>(() => SoilZones.Of(null, [], [], null, new RipRules(), null)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Maps_PartSitesAndSmallPiecesJoin()
    {
        SoilSite[] sites = [new("loam", Box(0, 0, 300, 200), Good)];
        (string, Geometry)[] classes = [("shallow", Box(0, 0, 150, 198)), ("deep", Box(150, 0, 290, 198)), ("speck", Box(290, 0, 298, 20))];
        IReadOnlyList<SoilZone> zones = SoilZones.Of(null, sites, classes, null, new RipRules(), null);
        Assert.Equal(["loam, shallow", "loam, deep"], zones.Select(z => z.Name));
        Assert.Equal(60_000, zones.Sum(z => z.Area), 1e-6);
        Assert.Equal(140 * 198, zones[1].Area, 1e-6);
        Assert.Equal(3, SoilZones.Of(null, sites, classes, null, new RipRules(), null, leastArea: 100).Count);
    }

    // Two squares that meet in a corner, and a neck of 2 cm: neither may close when places are rounded to a centimetre.
    [Fact]
    public void Zones_HaveNoNecks()
    {
        Geometry corner = new MultiPolygon([Box(0, 0, 50, 50), Box(50, 50, 100, 100)]), neck = Box(0, 110, 50, 150).Union(Box(50, 120, 60, 120.02)).Union(Box(60, 110, 100, 150));
        SoilZone zone = SoilZones.Of(null, [new("loam", corner.Union(neck), Good)], [], null, new RipRules(), null).Single();
        Assert.Equal(4, zone.Shape.NumGeometries);
        Assert.Equal(corner.Area + neck.Area - 0.2, zone.Area, 1e-6);
        Geometry rounded = zone.Shape.Copy();
        Array.ForEach(rounded.Coordinates, c => (c.X, c.Y) = (Math.Round(c.X + 0.004, 2), Math.Round(c.Y, 2)));
        Assert.True(rounded.IsValid);
    }

    [Fact]
    public void Readings_GoBeforeTheSurveyAndThatIsSaid()
    {
        SiteRecord[] records = [.. new[] { (10, 1000), (30, 1000), (45, 3000), (60, 1000) }.Select(r => Site.Record(FormattableString.Invariant($"point=A, depth_cm={r.Item1}, pressure_kpa={r.Item2}, moisture=moist")) with { Shape = new Point(50, 50) })];
        SoilReadings readings = ReadingsReader.Read(records, new RipRules().StopStrength);
        SoilZone zone = SoilZones.Of(null, [new("loam", Box(0, 0, 100, 100), Good)], [], readings, new RipRules(), null).Single();
        Assert.Contains("the survey has the pan at 22 cm, the readings at 38 cm: the readings were taken", zone.How);
        Assert.Equal(0.3803, zone.Verdict.Facts.PanTop, 1e-3);
        SoilZone none = SoilZones.Of(null, [new("loam", Box(0, 0, 100, 100), Good with { HasPan = false, PanTop = double.NaN, PanBottom = double.NaN })], [], readings, new RipRules(), null).Single();
        Assert.Contains(none.How, h => h.StartsWith("the survey says that there is no pan, the readings found one", StringComparison.Ordinal));
        Assert.Equal(RipVerdict.Rip, none.Verdict.Verdict);
    }

    [Fact]
    public void Page_ShowsEveryZoneReasonAndBound()
    {
        SoilSite[] sites = [new("loam <A&B>", Box(0, 0, 100, 100), Good), new("rock", Box(100, 0, 200, 100), Good with { RockDepth = 0.3 })];
        SoilReadings readings = ReadingsReader.Read([Site.Record("cover_pct=50") with { Shape = new Point(50, 50) }], 2e6);
        PointMap map = PointMap.Of("clay", "%", MadePoints.Scattered(60, 3, 100), new GridFrame(20, 40, 5, 0, 100));
        SoilPageContent content = new()
        {
            FieldName = "Made & tried",
            Zones = SoilZones.Of(null, sites, [], readings, new RipRules(), null),
            Readings = readings,
            Maps = [map],
            Cores = [new Coordinate(20, 20), new Coordinate(60, 60)],
            Rules = new RipRules { MostSlope = 0.22 },
            Notice = "Notice here.",
            Cautions = ["Beware."],
            ToLonLat = c => (c.X / 1000, c.Y / 1000),
        };
        string Write()
        {
            using MemoryStream stream = new();
            SoilPage.Write(stream, content);
            return Encoding.UTF8.GetString(stream.ToArray());
        }

        string html = Write();
        Assert.Equal(html, Write());
        XElement body = XElement.Parse(html.Replace("<!DOCTYPE html>", "", StringComparison.Ordinal).Replace("<meta charset=\"utf-8\">", "", StringComparison.Ordinal).Replace("<meta name=\"viewport\" content=\"width=device-width\">", "", StringComparison.Ordinal));
        string text = body.Value;
        Assert.All(content.Zones.SelectMany(z => z.Verdict.Reasons), r => Assert.Contains(r.Sentence, text, StringComparison.Ordinal));
        Assert.All(content.Rules.Settings(), s => Assert.Contains(s.What + s.Value, text, StringComparison.Ordinal));
        Assert.Contains("loam <A&B>", text, StringComparison.Ordinal);
        Assert.Contains("22 %", text, StringComparison.Ordinal);
        Assert.Contains("Notice here.", text, StringComparison.Ordinal);
        Assert.Equal(2, body.Descendants().Count(e => e.Name.LocalName == "div" && (string?)e.Attribute("class") == "zone"));
        Assert.DoesNotContain("http://", html.Replace("http://www.w3.org/2000/svg", "", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.DoesNotContain("https://", html, StringComparison.Ordinal);
    }

    // Idaho Code 55-2210(2): tilling to less than 15 inches (38.1 cm) needs no notice. Texas Utilities Code 251.002(5): 16 inches (40.6 cm).
    [Theory]
    [InlineData("ID", 0.38, "above the depth that asks")]
    [InlineData("id", 0.39, "needs notice before it begins")]
    [InlineData("TX", 0.40, "above the depth that asks")]
    [InlineData("TX", 0.41, "needs notice before it begins")]
    [InlineData("IN", 0.1, "needs notice before it begins")]
    [InlineData("NE", 0.5, "sets off no notice by depth")]
    [InlineData("ZZ", 0.31, "needs notice before it begins")]
    [InlineData("", 0.30, "above the depth that asks")]
    [InlineData("", double.NaN, "not known yet")]
    public void Notice_ByState(string state, double depth, string says)
    {
        string said = NoticeRule.Say(state, depth);
        Assert.Contains(says, said, StringComparison.Ordinal);
        Assert.EndsWith("ask when unsure.", said, StringComparison.Ordinal);
        Assert.Contains("the depth given, 50 cm", NoticeRule.Say(state, depth, 0.5), StringComparison.Ordinal);
    }

    [Fact]
    public void RulesFile_TakesEveryNameThatIsPrinted()
    {
        foreach (RuleSetting s in new RipRules().Settings().Where(s => s.Name is not ("purpose" or "wettest_class")))
        {
            double value = double.Parse(new string([.. s.Value.TakeWhile(c => char.IsDigit(c) || c == '.')]), System.Globalization.CultureInfo.InvariantCulture);
            double moved = s.Name switch { "bare_cover_pct" or "careful_slope_pct" or "slow_strength_kpa" or "least_below_pan_cm" or "careful_sodium_pct" or "sure_widths" => Math.Round(value * 0.8, 1), "dispersive_class" => 3, _ => Math.Round(value * 1.25, 1) };
            RipRules rules = RipRulesFile.Parse(FormattableString.Invariant($"{{\"{s.Name}\": {moved}}}"), "rules.json");
            string after = rules.Settings().Single(t => t.Name == s.Name).Value;
            Assert.StartsWith(moved.ToString(moved >= 100 ? "0" : "0.#", System.Globalization.CultureInfo.InvariantCulture), after, StringComparison.Ordinal);
            Assert.Equal(new RipRules().Settings().Count - 1, rules.Settings().Intersect(new RipRules().Settings()).Count());
        }

        RipRules roots = RipRulesFile.Parse("""{"purpose": "roots", "wettest_class": "poor"}""", "rules.json");
        Assert.Equal((RipPurpose.Roots, SoilDrainage.Poor), (roots.Purpose, roots.WettestClass));
    }

    [Theory]
    [InlineData("""{"cover": 1}""", "is no rule; the rules are purpose")]
    [InlineData("""{"least_cover_pct": "much"}""", "is no file of rules")]
    [InlineData("""{"least_cover_pct": 10}""", "lies above least_cover")]
    [InlineData("""{"purpose": "money"}""", "must be \"water\" or \"roots\"")]
    [InlineData("[1]", "is no file of rules")]
    public void RulesFile_ThatIsNone_IsRefused(string json, string because) =>
        Assert.Contains(because, Assert.Throws<GroundDataException>(() => RipRulesFile.Parse(json, "rules.json")).Message, StringComparison.Ordinal);
}
