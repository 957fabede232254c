using System.Text;

namespace Keyline.Formats.Tests;

/// <summary>Pieces of GPX 1.1 as they stand in the file, byte by byte.</summary>
public sealed class GpxTextTests
{
    private static string Text(Utf8Text text) => Encoding.UTF8.GetString(text.Written);

    [Fact]
    public void TheHead_NamesSchemaAndMaker_Escaped() => Assert.Equal(
        "<?xml version=\"1.0\" encoding=\"utf-8\"?>\n<gpx version=\"1.1\" creator=\"Keyline &lt;1 &amp; 2&gt;\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n",
        Text(GpxText.Begin("Keyline <1 & 2>")));

    [Theory]
    [InlineData(-98.123456789012, 30.5, 412.347, "\t<wpt lat=\"30.500000000\" lon=\"-98.123456789\"> <ele>412.35</ele>")]
    [InlineData(180, -30.0000000004, double.NaN, "\t<wpt lat=\"-30.000000000\" lon=\"-180.000000000\">")]
    [InlineData(190.25, 0, -3, "\t<wpt lat=\"0.000000000\" lon=\"-169.750000000\"> <ele>-3.00</ele>")]
    public void APoint_IsLeftOpen_ItsHeightLeftOutWhereItIsNotKnown(double longitude, double latitude, double height, string expected) =>
        Assert.Equal(expected, Text(GpxText.Point(new Utf8Text(), "\t"u8, "wpt"u8, longitude, latitude, height, 2, " "u8)));

    [Fact]
    public void WhatIsSaid_IsAnElement_Escaped() => Assert.Equal("\n  <name>R1 &lt;a&gt; &amp; b</name>", Text(GpxText.Said(new Utf8Text(), "\n  "u8, "name"u8, "R1 <a> & b")));
}
