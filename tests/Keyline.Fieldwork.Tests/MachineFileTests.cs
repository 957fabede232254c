using System.Text;
using Keyline.Field;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork.Tests;

public sealed class MachineFileTests
{
    private const string Least = """{ "tractor": { "power": "120 hp" }, "implement": { "shanks": 2, "shank_spacing": "29 in", "depth": "74 cm" } }""";

    [Fact]
    public void Profile_IsReadInItsUnits()
    {
        Machine machine = Read("""
            { "name": "ours", "tractor": { "power": "100 PS", "power_at": "pto", "drive": "track", "mass": "6 t", "width": "8 ft" },
              "implement": { "hitch": "trailed", "shanks": 3, "shank_spacing": "0.7 m", "depth": "20 in", "tip": "winged", "hitch_to_shank": "3 m", "radius_lifted": "9 m", "lift_time": "0.1 min" },
              "speed": { "slowest": "2 mph", "fastest": "1.5 m/s" }, "max_side_slope": 12,
              "prices": { "tractor": 90000, "implement": 8000, "fuel": 1.2, "wage": 20, "custom_rate": 70 } }
            """);
        Assert.Equal(73.549875, machine.Tractor.Power, 1e-9);
        Assert.Equal(PowerMeasure.PowerTakeOff, machine.Tractor.PowerMeasure);
        Assert.Equal(DriveClass.Track, machine.Tractor.Drive);
        Assert.Equal(6000, machine.Tractor.Mass);
        Assert.Equal(2.4384, machine.Tractor.Width, 1e-9);
        Assert.Equal(HitchKind.Trailed, machine.Implement.Hitch);
        Assert.Equal(TipKind.Winged, machine.Implement.Tip);
        Assert.Equal(0.508, machine.Implement.Depth, 1e-9);
        Assert.Equal(2.1, machine.PassSpacing, 1e-9);
        Assert.Equal(4, machine.AxleToShank, 1e-9);
        Assert.Equal(6, machine.Implement.LiftTime, 1e-9);
        Assert.Equal(0.89408, machine.SlowestSpeed, 1e-9);
        Assert.Equal(1.5, machine.FastestSpeed, 1e-9);
        Assert.Equal(12, machine.MaximumSideSlope);
        Assert.Equal(70, machine.Prices!.CustomRate);
        Assert.Equal(400, machine.Prices.TractorHours);
    }

    [Fact]
    public void WhatIsLeftOut_HasTheDefault()
    {
        Machine machine = Read(Least);
        Assert.Equal(89.484, machine.Tractor.Power, 1e-3);
        Assert.Equal(DriveClass.FrontAssist, machine.Tractor.Drive);
        Assert.Equal(1.4732, machine.PassSpacing, 1e-9);
        Assert.Equal(8, machine.Implement.RadiusInGround);
        Assert.Null(machine.Prices);
    }

    [Theory]
    [InlineData("\"120 hp\"", "\"120\"", "no unit")]
    [InlineData("\"120 hp\"", "120", "must be a text")]
    [InlineData("\"120 hp\"", "\"120 horses\"", "unknown unit \"horses\"")]
    [InlineData("\"120 hp\"", "\"2 kW\"", "is no farm tractor's")]
    [InlineData("\"74 cm\"", "\"1.2 m\"", "working depth of 1.2 m")]
    [InlineData("\"74 cm\"", "\"0 m\"", "working depth of 0 m")]
    [InlineData("\"shanks\": 2", "\"shanks\": 0", "1 to 99 shanks")]
    [InlineData("\"shanks\": 2", "\"shanks\": 2.5", "whole number")]
    [InlineData("\"depth\"", "\"radius_in_ground\": \"-3 m\", \"depth\"", "radius of -3 m")]
    [InlineData("\"depth\"", "\"radius_lifted\": \"0 m\", \"depth\"", "radius of 0 m")]
    [InlineData("\"depth\"", "\"width\": \"0.2 m\", \"depth\"", "does not carry 2 shanks")]
    [InlineData("\"depth\"", "\"colour\": \"red\", \"depth\"", "\"implement.colour\"")]
    [InlineData("\"tractor\"", "\"tractr\": {}, \"tractor\"", "\"tractr\"")]
    [InlineData("\"shanks\": 2,", "", "no implement.shanks")]
    [InlineData("\"tractor\"", "\"speed\": { \"slowest\": \"6 km/h\", \"fastest\": \"4 km/h\" }, \"tractor\"", "in that order")]
    [InlineData("\"tractor\"", "\"max_side_slope\": 60, \"tractor\"", "side slope of 60 degrees")]
    [InlineData("{ \"tractor\"", "{ tractor", "is not valid JSON at line 1")]
    public void ImpossibleOrMisspelt_IsRefusedWithASentence(string old, string put, string said)
    {
        GroundDataException error = Assert.Throws<GroundDataException>(() => Read(Least.Replace(old, put, StringComparison.Ordinal)));
        Assert.Contains(said, error.Message, StringComparison.Ordinal);
        Assert.Contains("m.json", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("\"tractor\"", "\"tr\u00FFctor\"")]
    [InlineData("\"74 cm\"", "\"74 c\u00FF\"")]
    public void TextThatIsNotUtf8_IsRefusedWithASentence(string old, string put)
    {
        // One byte a letter: 0xFF stands alone, which UTF-8 knows nothing like.
        byte[] bytes = Encoding.Latin1.GetBytes(Least.Replace(old, put, StringComparison.Ordinal));
        Assert.Contains("m.json holds a text that is not UTF-8", Assert.Throws<GroundDataException>(() => MachineFile.Read(new MemoryStream(bytes), "m.json")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void WiderThanTheFieldIsLong_IsRefused()
    {
        Machine machine = Read(Least) with { Implement = new Implement { Shanks = 2, ShankSpacing = 0.7, Depth = 0.5, Width = 25 } };
        FieldArea small = new(GeometryFactory.Default.ToGeometry(new Envelope(0, 20, 0, 15)));
        Assert.Contains("25 m wide and the field 20 m across", Assert.Throws<GroundDataException>(() => machine.CheckFits(small)).Message, StringComparison.Ordinal);
        machine.CheckFits(new FieldArea(GeometryFactory.Default.ToGeometry(new Envelope(0, 26, 0, 15))));
    }

    private static Machine Read(string json) => MachineFile.Read(new MemoryStream(Encoding.UTF8.GetBytes(json)), "m.json");
}
