using System.Text;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests;

public sealed class AttributedFileTests
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);

    private static AttributedFile Table(string text) => AttributedFile.ReadTable(new MemoryStream(Encoding.UTF8.GetBytes(text)), "made.csv");

    [Fact]
    public void GeoJson_KeepsEveryAttributeAsText()
    {
        const string Json = """{"type":"Feature","properties":{"a":1.50,"b":"x\ty","c":true,"d":null},"geometry":{"type":"Polygon","coordinates":[[[-122,37],[-121.99,37],[-121.99,37.01],[-122,37]]]}}""";
        AttributedFile file = AttributedFile.ReadGeoJson(new MemoryStream(Encoding.UTF8.GetBytes(Json)), "made.geojson");
        AttributedShape shape = file.On(Utm).Single();
        Assert.Equal("a=1.50, b=x y, c=true, d=", string.Join(", ", shape.Values.Select(v => $"{v.Key}={v.Value}")));
        Assert.Equal("made.geojson, feature 1", shape.Where);
        Assert.Equal(-121.995, file.Middle!.Value.Longitude, 1e-9);
        (double x, double y) = Utm.FromLonLat(-122, 37);
        Assert.Equal(0, shape.Shape.Coordinates[0].Distance(new Coordinate(x, y)), 1e-9);
    }

    [Theory]
    [InlineData("longitude,latitude,depth_cm\n-122,37,\"4,5\"\n\n-121,38,\n", "4,5")]
    [InlineData("lat;depth_cm;lon\n37;4;-122\n", "4")]
    [InlineData("\uFEFFLongitude\tLatitude\tdepth_cm\n-122\t37\t4\n", "4")]
    public void Tables_AreReadWithAnySeparator(string text, string value)
    {
        AttributedFile file = Table(text);
        AttributedShape first = file.On(Utm)[0];
        Assert.Equal(value, first.Values["depth_cm"]);
        Assert.Equal("made.csv, line 2", first.Where);
        (double x, double y) = Utm.FromLonLat(-122, 37);
        Assert.Equal(0, first.Shape.Coordinate.Distance(new Coordinate(x, y)), 1e-9);
        Assert.Single(first.Values);
    }

    [Fact]
    public void Tables_InMetres_SayNoMiddle()
    {
        AttributedFile file = Table("easting,northing,eca\n600000,4100000,3\n");
        Assert.Null(file.Middle);
        Assert.Equal(new Coordinate(600_000, 4_100_000), file.On(Utm)[0].Shape.Coordinate);
    }

    [Theory]
    [InlineData("a,b\n1,2\n", "names no places")]
    [InlineData("longitude,latitude,a\n1,2\n", "line 2 has 2 columns and the head 3")]
    [InlineData("longitude,latitude\nx,2\n", "line 2 holds \"x\" as its longitude")]
    [InlineData("longitude,latitude\n600000,2\n", "name metres easting and northing")]
    [InlineData("longitude,latitude\n", "holds no line")]
    [InlineData("longitude,latitude,a,A\n1,2,3,4\n", "name a twice")]
    [InlineData("longitude,latitude,a\n1,2,\"x\n", "line 2 has a quote that is not closed")]
    public void WhatIsNoTable_IsRefused(string text, string because) =>
        Assert.Contains(because, Assert.Throws<GroundDataException>(() => Table(text)).Message, StringComparison.Ordinal);

    [Fact]
    public void WhatIsNotThere_IsRefused()
    {
        Assert.Contains("there is no such readings file", Assert.Throws<GroundDataException>(() => AttributedFile.Read("nowhere.csv", "readings")).Message, StringComparison.Ordinal);
        Assert.Contains("there is no such sites file", Assert.Throws<GroundDataException>(() => AttributedFile.Read("nowhere.geojson", "sites")).Message, StringComparison.Ordinal);
    }
}
