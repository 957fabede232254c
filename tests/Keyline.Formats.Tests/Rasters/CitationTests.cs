using Keyline.Formats.Tests.Support;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>GeoTIFFs that tell their coordinate system in words alone (OGC 19-008r4, keys 1026, 3073 and 2049).</summary>
public sealed class CitationTests
{
    [Theory]
    [InlineData("WGS 84 / UTM zone 10N|WGS 84|", 32610)]
    [InlineData("NAD83 / California zone 3 (ftUS)|", 2227)]
    [InlineData("PCS Name = NAD83 / UTM zone 10N|", 26910)]
    [InlineData("ETRS89 / UTM zone 32N|", 25832)]
    [InlineData("nad83 / utm ZONE 10n", 26910)]
    public void Read_NameOfTheDataset_IsItsCode(string citation, int code) =>
        Assert.Equal(code, Words(citation).Read(new ElevationReadOptions { MetresPerHeightUnit = 1.0 }).Crs.EpsgCode);

    [Theory]
    [InlineData("UTM Zone 10, Northern Hemisphere|", 4326, 32610)]
    [InlineData("UTM zone 10N", 4269, 26910)]
    [InlineData("UTM Zone 55, Southern Hemisphere", 4326, 32755)]
    public void Read_ZoneInWordsOnADatumWithCode_IsThatZone(string citation, int geographic, int code) =>
        Assert.Equal(code, Words(citation, (2048, geographic)).Read().Crs.EpsgCode);

    // A zone without its datum may lie 200 m off.
    [Theory]
    [InlineData("UTM Zone 10, Northern Hemisphere|")]
    [InlineData("local grid of the quarry|")]
    [InlineData("WGS 84 / UTM zone 99N|")]
    public void Read_WordsThatNameNoSystem_AreRefused(string citation) =>
        Assert.Contains("no code and no parameters", Assert.Throws<GroundDataException>(() => Words(citation).Read()).Message, StringComparison.Ordinal);

    private static TestTiff Words(string citation, params (int Key, int Value)[] more)
    {
        (int Key, int Value)[] shorts = [(1024, 1), (1025, 1), (3072, 32767), (3074, 32767), .. more];
        List<(int Key, short[] Entry)> entries = [.. shorts.Select(k => (k.Key, new[] { (short)k.Key, (short)0, (short)1, (short)k.Value }))];
        entries.Add((3073, [3073, unchecked((short)34737), (short)citation.Length, 0]));
        return new TestTiff { KeyText = citation, Keys = [1, 1, 0, (short)entries.Count, .. entries.OrderBy(e => e.Key).SelectMany(e => e.Entry)] };
    }
}
