using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>A list of elevation files gives those under a field. Source: SpatioTemporal Asset Catalog specification 1.0.0 (2021), Item.</summary>
public sealed class TileCatalogueTests : IDisposable
{
    private readonly string _root = Directory.CreateTempSubdirectory("keyline-items-").FullName;

    public void Dispose() => Directory.Delete(_root, recursive: true);

    private TileCatalogue Read(string items)
    {
        string path = Path.Combine(_root, "items.json");
        File.WriteAllText(path, items);
        return TileCatalogue.Read(path);
    }

    private static string Item(string box, string assets) => $$"""{"type":"Feature","stac_version":"1.0.0","bbox":[{{box}}],"assets":{{{assets}} } }""";

    [Fact]
    public void TilesUnderAWindow_AreFound_InTheirOrder_WithTheMargin()
    {
        TileCatalogue tiles = Read($$"""{"type":"FeatureCollection","features":[{{string.Join(",", Enumerable.Range(0, 4).Select(i => Item(FormattableString.Invariant($"{i},10,{i + 1},11"), $"\"dem\":{{\"href\":\"t{i}.tif\"}}")))}}]}""");
        Assert.Equal(4, tiles.Count);
        Assert.Equal(["t1.tif"], In(tiles, new Envelope(1.2, 1.4, 10.2, 10.4), 100));
        Assert.Equal(["t1.tif", "t2.tif"], In(tiles, new Envelope(1.2, 1.9999, 10.2, 10.4), 100));
        Assert.Equal(["t1.tif"], In(tiles, new Envelope(1.2, 1.9999, 10.2, 10.4), 5));
        Assert.Empty(In(tiles, new Envelope(1.2, 1.4, 12, 13), 100));
    }

    [Fact]
    public void ATileAcrossThe180thMeridian_IsFoundFromBothSides()
    {
        TileCatalogue tiles = Read(Item("179.5,-18,-179.5,-17", "\"dem\":{\"href\":\"fiji.tif\"}"));
        Assert.Equal(["fiji.tif"], In(tiles, new Envelope(179.7, 179.8, -17.6, -17.5), 10));
        Assert.Equal(["fiji.tif"], In(tiles, new Envelope(-179.8, -179.7, -17.6, -17.5), 10));
        Assert.Equal(["fiji.tif"], In(tiles, new Envelope(179.9, 180.1, -17.6, -17.5), 10));
        Assert.Empty(In(tiles, new Envelope(178, 179, -17.6, -17.5), 10));
    }

    private string[] In(TileCatalogue tiles, Envelope box, double margin) => [.. tiles.In(new GroundWindow(box, margin)).Select(p => Path.GetRelativePath(_root, p))];

    [Theory]
    [InlineData("\"thumbnail\":{\"href\":\"a.png\"},\"dem\":{\"href\":\"sub/b.tif\"}", "sub/b.tif")]
    [InlineData("\"thumbnail\":{\"href\":\"a.png\"},\"heights\":{\"href\":\"b.tif\",\"roles\":[\"data\"]}", "b.tif")]
    [InlineData("\"only\":{\"href\":\"c.tif\"}", "c.tif")]
    public void TheAssetWithHeights_IsChosen(string assets, string file) =>
        Assert.Equal([file.Replace('/', Path.DirectorySeparatorChar)], In(Read(Item("0,0,1,1", assets)), new Envelope(0.2, 0.3, 0.2, 0.3), 0));

    [Theory]
    [InlineData("0,0,1", "\"dem\":{\"href\":\"a\"}", "no proper bbox")]
    [InlineData("0,1,1,0", "\"dem\":{\"href\":\"a\"}", "no proper bbox")]
    [InlineData("0,0,1,91", "\"dem\":{\"href\":\"a\"}", "no proper bbox")]
    [InlineData("0,0,1,1", "\"a\":{\"href\":\"a\"},\"b\":{\"href\":\"b\"}", "several assets")]
    [InlineData("0,0,1,1", "\"a\":{}", "no asset")]
    [InlineData("0,0,1,1", "\"dem\":{\"href\":\"https://example.org/a.tif\"}", "fetched")]
    public void WhatCannotBeUsed_IsRefused_WithItsItem(string box, string assets, string says)
    {
        GroundDataException refused = Assert.Throws<GroundDataException>(() => Read(Item(box, assets)));
        Assert.Contains(says, refused.Message, StringComparison.Ordinal);
        Assert.Contains("item 1", refused.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{", "not JSON")]
    [InlineData("[]", "no item")]
    [InlineData("{\"type\":\"FeatureCollection\",\"features\":[]}", "no item")]
    public void NoList_IsRefused(string text, string says) => Assert.Contains(says, Assert.Throws<GroundDataException>(() => Read(text)).Message, StringComparison.Ordinal);
}
