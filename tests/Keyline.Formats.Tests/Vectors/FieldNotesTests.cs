using System.Text;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Formats.Tests.Vectors;

/// <summary>Notes from the field: what was found beside what was set free, and plans' options read back for laying lines on it.</summary>
public sealed class FieldNotesTests
{
    private const string Place = "{\"type\":\"Point\",\"coordinates\":[-122,36]}";
    private static readonly GroundCrs Utm = GroundCrs.FromEpsg(32610);

    [Fact]
    public void FoundAndFreed_AreToldApart()
    {
        FieldNotes notes = FieldNotes.Read(Text(Collection(
            Feature("{\"setback_m\":6,\"name\":\"rock\"}", Place),
            Feature("{\"free\":true,\"name\":\"pond\\tfilled\"}", Place),
            Feature("{\"free\":false,\"setback_m\":2}", "{\"type\":\"LineString\",\"coordinates\":[[-122,36],[-121.999,36]]}"),
            Feature("{\"free\":true}", "{\"type\":\"Polygon\",\"coordinates\":[[[-122,36],[-121.999,36],[-121.999,36.001],[-122,36]]]}"))), "n", Utm);
        Assert.Equal([("rock", 6.0), ("", 2.0)], notes.Found.Select(a => (a.Name, a.Setback)));
        Assert.Equal(["pond filled", ""], notes.Freed.Select(f => f.Name));
        Assert.IsType<Polygon>(notes.Freed[1].Shape);
        Assert.Equal(notes.Found[0].Shape.Coordinate, notes.Freed[0].Shape.Coordinate);
    }

    [Theory]
    [InlineData("{\"free\":\"yes\"}", Place, "n: note 1 has free \"yes\"; write true or false")]
    [InlineData("{\"free\":true,\"setback_m\":4}", Place, "set free and has a setback as well")]
    [InlineData("{\"free\":false}", Place, "has no setback")]
    [InlineData("{\"free\":true}", "{\"type\":\"Polygon\",\"coordinates\":[[[-122,36],[-121.999,36.001],[-121.999,36],[-122,36.001],[-122,36]]]}", "crosses or touches itself")]
    public void WhatCannotBeUsed_IsRefusedInASentence(string properties, string shape, string said) =>
        Assert.Contains(said, Assert.Throws<GroundDataException>(() => FieldNotes.Read(Text(Collection(Feature(properties, shape))), "n", Utm)).Message, StringComparison.Ordinal);

    // A headland or radius of 0 was asked for and stays 0; what the file leaves out is as usual; options that cannot be are none.
    [Fact]
    public void OptionsOfAPlan_AreReadBack()
    {
        LayoutOptions options = PlanReader.Read(Plan("\"spacing_m\":3,\"max_grade_pct\":1.5,\"fall_pct\":0.4,\"min_radius_m\":0,\"headland_m\":0,\"min_length_m\":12,\"max_slope_pct\":20,\"row_grade_rule\":null,\"max_side_slope_deg\":12,\"critical_length_m\":null"), "p").Options!;
        Assert.Equal((3, 1.5, 0.4, 0.0, 0.0), (options.Spacing, options.MaximumGrade, options.DesignFall, options.MinimumRadius, options.Headland));
        Assert.Equal((12.0, 20.0, 12.0), (options.MinimumLength, options.MaximumSlope, options.MaximumSideSlope));
        Assert.True(double.IsInfinity(options.CriticalLength));
        LayoutOptions usual = PlanReader.Read(Plan("\"spacing_m\":4"), "p").Options!;
        Assert.Equal(new LayoutOptions { Spacing = 4 }, usual);
        Assert.Null(PlanReader.Read(Plan("\"headland_m\":4"), "p").Options);
        Assert.Null(PlanReader.Read(Plan("\"spacing_m\":4,\"max_slope_pct\":-3"), "p").Options);
    }

    private static MemoryStream Plan(string options) => Text("{\"type\":\"FeatureCollection\",\"keyline\":{\"crs\":{\"epsg\":32610},\"options\":{" + options + "}},\"features\":[" + Feature("{\"kind\":\"rip-line\",\"id\":\"R001\"}", "{\"type\":\"LineString\",\"coordinates\":[[-122,36],[-121.999,36]]}") + "]}");

    private static string Collection(params string[] features) => "{\"type\":\"FeatureCollection\",\"features\":[" + string.Join(',', features) + "]}";

    private static string Feature(string properties, string geometry) => "{\"type\":\"Feature\",\"properties\":" + properties + ",\"geometry\":" + geometry + "}";

    private static MemoryStream Text(string json) => new(Encoding.UTF8.GetBytes(json));
}
