using System.Text.Json;
using Keyline.Formats.Tests.Support;
using Keyline.Guidance;
using NetTopologySuite.Algorithm;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Guidance;

/// <summary>lines.geojson against the rules of RFC 7946, each by its section.</summary>
public sealed class LinesGeoJsonTests
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);
    private static readonly JsonSerializerOptions Shapes = new() { Converters = { new NetTopologySuite.IO.Converters.GeoJsonConverterFactory() } };

    // Sections 1.4, 3.2, 3.3 and 4: the types, their members, and no crs.
    [Fact]
    public void Objects_HaveTheirMembersAndNoCrs()
    {
        JsonElement root = Write(SmallPlan.Make(), Utm);
        Assert.Equal("FeatureCollection", root.GetProperty("type").GetString());
        Assert.False(root.TryGetProperty("crs", out _));
        Assert.Contains("located and marked", root.GetProperty("keyline").GetProperty("caution").GetString(), StringComparison.Ordinal);
        JsonElement[] features = [.. root.GetProperty("features").EnumerateArray()];
        Assert.True(features.Length > 3);
        Assert.All(features, f =>
        {
            Assert.Equal("Feature", f.GetProperty("type").GetString());
            Assert.Equal(JsonValueKind.Object, f.GetProperty("properties").ValueKind);
            Assert.False(f.TryGetProperty("crs", out _));

            // Section 7.1: what makes a type must not stand elsewhere.
            Assert.False(f.TryGetProperty("coordinates", out _));
            Assert.False(f.TryGetProperty("geometries", out _));
            Assert.False(f.TryGetProperty("features", out _));
        });

        // Section 3.2: an id is a string or a number, here unique besides.
        string[] ids = [.. features.Select(f => f.GetProperty("id").GetString()!)];
        Assert.Equal(ids.Length, ids.Distinct().Count());
    }

    // Sections 3.1.1 and 3.1.4: longitude before latitude, at most a height after them, two positions or more in a line.
    [Fact]
    public void Positions_AreLongitudeLatitudeAndHeight()
    {
        KeylinePlan plan = SmallPlan.Make();
        foreach (JsonElement feature in Features(Write(plan, Utm), "guidance-line"))
        {
            JsonElement[] positions = [.. feature.GetProperty("geometry").GetProperty("coordinates").EnumerateArray()];
            Assert.True(positions.Length >= 2);
            Assert.All(positions, p =>
            {
                Assert.InRange(p.GetArrayLength(), 2, 3);
                Assert.InRange(p[0].GetDouble(), -180, 180);
                Assert.InRange(p[1].GetDouble(), -90, 90);
                (double x, double y) = Utm.FromLonLat(p[0].GetDouble(), p[1].GetDouble());
                Assert.True(plan.Field.Boundary.EnvelopeInternal.Contains(x, y));
            });
        }
    }

    // Section 3.1.6: rings of four positions or more, closed, outer ones counter-clockwise, holes clockwise.
    [Fact]
    public void Rings_AreClosedAndFollowTheRightHandRule()
    {
        Polygon outline = Assert.IsType<Polygon>(Shape(Assert.Single(Features(Write(SmallPlan.Make(), Utm), "boundary"))));
        Assert.True(Orientation.IsCCW(outline.ExteriorRing.CoordinateSequence));
        Assert.All(outline.InteriorRings, r => Assert.False(Orientation.IsCCW(r.CoordinateSequence)));
        Assert.NotEmpty(outline.InteriorRings);
        Assert.All(outline.InteriorRings.Append(outline.ExteriorRing), r => Assert.True(r.IsClosed && r.NumPoints >= 4));
    }

    // Section 5: a box may be left out, and is: lines are written as they come. Section 5.2 then asks for nothing.
    [Fact]
    public void BoundingBox_IsLeftOut()
    {
        JsonElement root = Write(SmallPlan.Make(), Utm);
        Assert.False(root.TryGetProperty("bbox", out _));
        Assert.All(root.GetProperty("features").EnumerateArray(), f => Assert.False(f.TryGetProperty("bbox", out _)));
    }

    // Section 3.1.9: nothing crosses the 180th meridian.
    [Fact]
    public void AcrossThe180thMeridian_ShapesAreCut()
    {
        GroundCrs zone1 = GroundCrs.FromEpsg(32601);
        (double x, double y) = zone1.FromLonLat(180, 60);
        JsonElement root = Write(SmallPlan.Make(Math.Round(x) - 150, Math.Round(y) + 100), zone1);
        Geometry[] shapes = [.. root.GetProperty("features").EnumerateArray().Select(Shape)];
        Assert.Contains(shapes, s => s is MultiLineString);
        Assert.All(shapes.SelectMany(s => Enumerable.Range(0, s.NumGeometries).Select(s.GetGeometryN)), part => Assert.True(part.EnvelopeInternal.Width < 1));
    }

    private static JsonElement Write(KeylinePlan plan, GroundCrs crs)
    {
        GuidanceSet set = GuidancePreparation.Prepare([.. plan.Layout.Lines.Select(PlannedPath.Of)], null, plan.Field, plan.Options.Spacing);
        using MemoryStream stream = new();
        GeoJsonGuidance.Write(stream, set, crs);

        // Section 1: JSON text (RFC 8259), in UTF-8 without a mark.
        Assert.NotEqual(0xEF, stream.ToArray()[0]);
        return JsonDocument.Parse(stream.ToArray()).RootElement;
    }

    private static IEnumerable<JsonElement> Features(JsonElement root, string kind) =>
        root.GetProperty("features").EnumerateArray().Where(f => f.GetProperty("properties").GetProperty("kind").GetString() == kind);

    private static Geometry Shape(JsonElement feature) =>
        JsonSerializer.Deserialize<Geometry>(feature.GetProperty("geometry").GetRawText(), Shapes)!;
}
