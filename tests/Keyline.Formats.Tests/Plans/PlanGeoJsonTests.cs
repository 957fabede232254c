using System.Text;
using System.Text.Json;
using Keyline.Formats.Tests.Support;
using NetTopologySuite.Algorithm;
using NetTopologySuite.Geometries;
using NetTopologySuite.IO.Converters;

namespace Keyline.Formats.Tests.Plans;

/// <summary>plan.geojson against RFC 7946 and against the plan it was written from.</summary>
public sealed class PlanGeoJsonTests
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);
    private static readonly JsonSerializerOptions Shapes = new() { Converters = { new GeoJsonConverterFactory() } };
    private static readonly string[] Kinds = ["boundary", "avoid", "avoid", "avoid", "steep-land", "valley-line", "ridge-line", "keypoint", "keyline", "guide-line", "rip-line", "rip-line", "rip-line"];

    [Fact]
    public void Write_HasEveryKindInItsOrder()
    {
        JsonElement root = Parse(Write(SmallPlan.Make(), Utm));
        Assert.Equal(Kinds, root.GetProperty("features").EnumerateArray().Select(f => f.GetProperty("properties").GetProperty("kind").GetString()));
        Assert.All(root.GetProperty("features").EnumerateArray(), f => Assert.Equal(f.GetProperty("id").GetString(), f.GetProperty("properties").GetProperty("id").GetString()));
        Assert.False(root.TryGetProperty("crs", out _));
        JsonElement origin = root.GetProperty("keyline");
        Assert.Equal("1.2.3", origin.GetProperty("version").GetString());
        Assert.Equal(32610, origin.GetProperty("crs").GetProperty("epsg").GetInt32());
        Assert.Equal(new string('b', 64), origin.GetProperty("inputs")[1].GetProperty("sha256").GetString());
        Assert.Equal(3, origin.GetProperty("options").GetProperty("spacing_m").GetDouble());
        Assert.Contains("licensed practice", origin.GetProperty("caution").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Write_RipLine_CarriesItsMeasures()
    {
        JsonElement[] rips = [.. Features(Write(SmallPlan.Make(), Utm), "rip-line").Select(f => f.GetProperty("properties"))];
        JsonElement second = rips[1];
        Assert.Equal("R002", second.GetProperty("id").GetString());
        Assert.Equal("G1", second.GetProperty("guide").GetString());
        Assert.Equal("downslope", second.GetProperty("side").GetString());
        Assert.Equal(3, second.GetProperty("offset_m").GetDouble());
        Assert.Equal(160.2, second.GetProperty("length_m").GetDouble());
        Assert.Equal(1.9, second.GetProperty("grade_max_pct").GetDouble());
        Assert.Equal(0.8, second.GetProperty("grade_mean_pct").GetDouble());
        Assert.Equal(0.9, second.GetProperty("to_ridge_share").GetDouble());
        Assert.Equal(2, second.GetProperty("sequence").GetInt32());
        Assert.Equal(JsonValueKind.Null, rips[2].GetProperty("to_ridge_share").ValueKind);
        Assert.Equal(JsonValueKind.Null, rips[0].GetProperty("radius_min_m").ValueKind);
    }

    [Fact]
    public void Write_Keypoint_CarriesItsEvidence()
    {
        JsonElement p = Assert.Single(Features(Write(SmallPlan.Make(), Utm), "keypoint")).GetProperty("properties");
        Assert.Equal("weak", p.GetProperty("class").GetString());
        Assert.Equal((90, 8, 4, 2, 12.5), (p.GetProperty("distance_from_head_m").GetDouble(), p.GetProperty("slope_above_pct").GetDouble(), p.GetProperty("slope_below_pct").GetDouble(), p.GetProperty("slope_ratio").GetDouble(), p.GetProperty("f_statistic").GetDouble()));
        Assert.Equal(JsonValueKind.Null, p.GetProperty("inflection_distance_m").ValueKind);
    }

    // RFC 7946 section 3.1.1 (longitude first, height third) and section 11.2 (no more digits than mean something).
    [Fact]
    public void Write_Positions_AreLongitudeLatitudeHeightWithinTheirRounding()
    {
        KeylinePlan plan = SmallPlan.Make();
        JsonElement rip = Features(Write(plan, Utm), "rip-line").First().GetProperty("geometry");
        JsonElement[] positions = [.. rip.GetProperty("coordinates").EnumerateArray()];
        Coordinate[] line = plan.Layout.Lines[0].Line.Coordinates;
        Assert.Equal(line.Length, positions.Length);
        for (int i = 0; i < line.Length; i++)
        {
            (double x, double y) = Utm.FromLonLat(positions[i][0].GetDouble(), positions[i][1].GetDouble());

            // Half of the last digit: 0.06 mm of latitude.
            Assert.Equal(line[i].X, x, 0.0001);
            Assert.Equal(line[i].Y, y, 0.0001);
            Assert.Equal(line[i].Z, positions[i][2].GetDouble(), 0.0051);
            Assert.True(positions[i][0].GetRawText().Length <= "-123.123456789".Length);
        }
    }

    // RFC 7946 section 3.1.6: outer rings counter-clockwise, holes clockwise, four positions or more, closed.
    [Fact]
    public void Write_Rings_FollowTheRightHandRule()
    {
        string text = Write(SmallPlan.Make(), Utm);
        JsonElement boundary = Assert.Single(Features(text, "boundary")).GetProperty("geometry");
        Coordinate[][] rings = [.. boundary.GetProperty("coordinates").EnumerateArray().Select(r => r.EnumerateArray().Select(p => new Coordinate(p[0].GetDouble(), p[1].GetDouble())).ToArray())];
        Assert.Equal(2, rings.Length);
        Assert.True(Shoelace(rings[0]) > 0);
        Assert.True(Shoelace(rings[1]) < 0);
        Assert.All(rings, r => Assert.Equal(r[0], r[^1]));
        Assert.All(rings, r => Assert.True(r.Length >= 4));
    }

    [Fact]
    public void Write_Boundary_TakesItsHeightsFromTheGround()
    {
        JsonElement corner = Assert.Single(Features(Write(SmallPlan.Make(), Utm), "boundary")).GetProperty("geometry").GetProperty("coordinates")[0][0];
        (double x, double y) = Utm.FromLonLat(corner[0].GetDouble(), corner[1].GetDouble());
        Assert.Equal(SmallPlan.Height(x, y), corner[2].GetDouble(), 0.01);
    }

    // RFC 7946 section 5: west, south, lowest, east, north, highest.
    [Fact]
    public void Write_BoundingBox_HoldsEveryPosition()
    {
        string text = Write(SmallPlan.Make(), Utm);
        double[] box = [.. Parse(text).GetProperty("bbox").EnumerateArray().Select(v => v.GetDouble())];
        Assert.Equal(6, box.Length);
        Coordinate[] all = [.. Parse(text).GetProperty("features").EnumerateArray().SelectMany(f => ReadShape(f).Coordinates)];
        double[] held = [all.Min(c => c.X), all.Min(c => c.Y), all.Min(c => c.Z), all.Max(c => c.X), all.Max(c => c.Y), all.Max(c => c.Z)];
        Assert.Equal(held, box);
    }

    // RFC 7946 sections 3.1.9 and 5.2. UTM zone 1 begins at the 180th meridian, 166 km west of its middle at 60 degrees north.
    [Fact]
    public void Write_FieldAcrossThe180thMeridian_IsCutThere()
    {
        GroundCrs zone1 = GroundCrs.FromEpsg(32601);
        (double x, double y) = zone1.FromLonLat(180, 60);
        string text = Write(SmallPlan.Make(Math.Round(x) - 150, Math.Round(y) + 100), zone1);
        double[] box = [.. Parse(text).GetProperty("bbox").EnumerateArray().Select(v => v.GetDouble())];
        Assert.True(box[0] > 179.9 && box[3] < -179.9, "The box must run from its west in the eastern half to its east in the western.");
        Geometry boundary = ReadShape(Assert.Single(Features(text, "boundary")));
        Assert.IsType<MultiPolygon>(boundary);
        Assert.All(boundary.Coordinates, c => Assert.InRange(Math.Abs(c.X), 179.9, 180));
        Assert.All(((MultiPolygon)boundary).Geometries, g => Assert.True(g.EnvelopeInternal.Width < 1));
        MultiLineString rip = Assert.IsType<MultiLineString>(ReadShape(Features(text, "rip-line").First()));
        Assert.Equal(180, Math.Abs(rip[0].Coordinates[^1].X));
        Assert.Equal(180, Math.Abs(rip[1].Coordinates[0].X));
        Assert.Equal(rip[0].Coordinates[^1].Y, rip[1].Coordinates[0].Y);
        Assert.Equal(rip[0].Coordinates[^1].Z, rip[1].Coordinates[0].Z);

        // Read back, the halves make one field again.
        Geometry field = FieldReader.ReadField(Stream(OneFeature(Assert.Single(Features(text, "boundary")))), "field", zone1).Boundary;
        Assert.Equal((260 * 160) - 400, field.Area, 20.0);
        Assert.IsType<Polygon>(field);
    }

    // The two examples printed in RFC 7946 section 3.1.9.
    [Fact]
    public void Cut_ExamplesOfTheStandard_GiveItsAnswers()
    {
        Geometry line = Antimeridian.Cut(new LineString([new Coordinate(170, 45), new Coordinate(190, 45)]));
        Assert.Equal("MULTILINESTRING ((170 45, 180 45), (-180 45, -170 45))", line.AsText());
        Geometry box = Antimeridian.Cut(new Polygon(new LinearRing([new Coordinate(170, 40), new Coordinate(190, 40), new Coordinate(190, 50), new Coordinate(170, 50), new Coordinate(170, 40)])));
        Assert.True(box.EqualsTopologically(new NetTopologySuite.IO.WKTReader().Read(
            "MULTIPOLYGON (((180 40, 180 50, 170 50, 170 40, 180 40)), ((-170 40, -170 50, -180 50, -180 40, -170 40)))")));
    }

    [Fact]
    public void Write_SamePlan_GivesSameBytesWhateverTheCulture()
    {
        string plain = Write(SmallPlan.Make(), Utm);
        Assert.Equal(plain, InCulture.OfCommas(() => Write(SmallPlan.Make(), Utm)));
    }

    [Fact]
    public void Write_ThenReadLines_ReturnsTheRipLines()
    {
        KeylinePlan plan = SmallPlan.Make();
        IReadOnlyList<GroundLine> lines = FieldReader.ReadLines(Stream(Write(plan, Utm)), "plan", Utm);
        Assert.Equal(plan.Layout.Lines.Select(l => (l.Id, (string?)l.GuideId, "rip-line")), lines.Select(l => (l.Id, l.GuideId, l.Kind)));
        Assert.All(lines.Zip(plan.Layout.Lines), p => Assert.True(p.First.Line.EqualsExact(p.Second.Line, 0.009)));
    }

    [Fact]
    public void Write_NamesWithQuotesAndAccents_SurviveTheRoundTrip()
    {
        JsonElement boundary = Assert.Single(Features(Write(SmallPlan.Make(), Utm), "boundary"));
        Assert.Equal("Home \"paddock\", é", boundary.GetProperty("properties").GetProperty("name").GetString());
    }

    internal static string Write(KeylinePlan plan, GroundCrs crs)
    {
        using MemoryStream stream = new();
        PlanGeoJson.Write(stream, plan, crs, SmallPlan.Provenance);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    private static JsonElement Parse(string text)
    {
        using JsonDocument document = JsonDocument.Parse(text);
        return document.RootElement.Clone();
    }

    private static IEnumerable<JsonElement> Features(string text, string kind) =>
        Parse(text).GetProperty("features").EnumerateArray().Where(f => f.GetProperty("properties").GetProperty("kind").GetString() == kind);

    private static Geometry ReadShape(JsonElement feature) =>
        feature.GetProperty("geometry").Deserialize<Geometry>(Shapes)!;

    private static string OneFeature(JsonElement feature) => $$"""{"type":"FeatureCollection","features":[{{feature.GetRawText()}}]}""";

    private static MemoryStream Stream(string text) => new(Encoding.UTF8.GetBytes(text));

    private static double Shoelace(Coordinate[] ring) => -Area.OfRingSigned(ring);
}
