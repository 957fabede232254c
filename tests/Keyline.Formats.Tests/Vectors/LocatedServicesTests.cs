using System.Text;
using Keyline.Field;

namespace Keyline.Formats.Tests.Vectors;

/// <summary>Located services: how far lines keep off them, which is what keeps people from harm.</summary>
public sealed class LocatedServicesTests
{
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);

    // A hand-dig zone of 0.6096 m (24 in) and shanks that reach 1.2 m to the side: 1.8096 m, or the service's own setback where that is more.
    [Theory]
    [InlineData("{}", 1.8096)]
    [InlineData("{\"setback_m\": 0}", 1.8096)]
    [InlineData("{\"setback_m\": 1.5}", 1.8096)]
    [InlineData("{\"setback_m\": 10}", 10)]
    public void Lines_KeepOffByTheZoneAndTheShanks_OrByMore(string properties, double setback)
    {
        AvoidedArea service = Assert.Single(LocatedServices.Read(Text(Line(properties)), "gas.geojson", Utm, 0.6096, 1.2));
        Assert.Equal(setback, service.Setback, 9);
        Assert.Equal(0.6096, service.HandDig);
        Assert.Equal(LocatedServices.NoName, service.Name);

        // Half a width on either side of a line of known length, and its round ends.
        double length = service.Shape.Length;
        Assert.Equal((2 * setback * length) + (Math.PI * setback * setback), service.KeptClear.Area, 0.01 * setback * length);
    }

    [Theory]
    [InlineData("{\"setback_m\": -1}", "has the setback -1")]
    [InlineData("{\"setback_m\": 10001}", "has the setback 10001")]
    public void ASetbackThatCannotBe_IsRefused(string properties, string said) =>
        Assert.Contains(said, Assert.Throws<GroundDataException>(() => LocatedServices.Read(Text(Line(properties)), "gas.geojson", Utm, 0.6, 0)).Message, StringComparison.Ordinal);

    [Fact]
    public void WhatHoldsNoService_IsRefused()
    {
        Assert.Contains("holds no point, line or area", Assert.Throws<GroundDataException>(() => LocatedServices.Read(Text("{\"type\":\"FeatureCollection\",\"features\":[]}"), "gas.geojson", Utm, 0.6, 0)).Message, StringComparison.Ordinal);
        Assert.Contains("crosses or touches itself", Assert.Throws<GroundDataException>(() => LocatedServices.Read(
            Text("{\"type\":\"Polygon\",\"coordinates\":[[[-122,36],[-121.99,36.01],[-121.99,36],[-122,36.01],[-122,36]]]}"), "gas.geojson", Utm, 0.6, 0)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => LocatedServices.Read(Text(Line("{}")), "gas.geojson", Utm, 0, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => LocatedServices.Read(Text(Line("{}")), "gas.geojson", Utm, 0.6, -1));
    }

    private static string Line(string properties) => $$"""{"type":"FeatureCollection","features":[{"type":"Feature","properties":{{properties}},"geometry":{"type":"LineString","coordinates":[[-122.0,36.0],[-121.99,36.0]]} }]}""";

    private static MemoryStream Text(string json) => new(Encoding.UTF8.GetBytes(json));
}
