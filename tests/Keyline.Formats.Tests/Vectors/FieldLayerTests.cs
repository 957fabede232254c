using System.Text;

namespace Keyline.Formats.Tests.Vectors;

/// <summary>A layer of fields gives each a name of its own and leaves its outline as it is.</summary>
public sealed class FieldLayerTests
{
    private static IReadOnlyList<LayerField> Read(string features, string? id = null) =>
        FieldLayer.Read(new MemoryStream(Encoding.UTF8.GetBytes($$"""{"type":"FeatureCollection","features":[{{features}}]}""")), "fields.geojson", id);

    private static string Feature(string properties) => $$"""{"type":"Feature","properties":{{properties}},"geometry":{"type":"Polygon","coordinates":[[[1.25,50],[1.26,50],[1.26,50.0123456789],[1.25,50]]]} }""";

    [Fact]
    public void Names_BecomeIdsThatNameFolders_AndNoTwoAreTheSame()
    {
        IReadOnlyList<LayerField> fields = Read(string.Join(",", [Feature("""{"name":"Top / left"}"""), Feature("""{"name":"top _ LEFT"}"""), Feature("""{"id":7,"name":"Low"}"""), Feature("{}"), Feature("""{"name":"..."}"""), Feature("null")]));
        Assert.Equal(["Top___left", "top___LEFT-2", "7", "field-4", "field-5", "field-6"], fields.Select(f => f.Id));
        Assert.Equal(["Top / left", "top _ LEFT", "Low", "field-4", "...", "field-6"], fields.Select(f => f.Name));
    }

    [Fact]
    public void AFieldAlone_IsTheSameOutline_ToTheLastDigit()
    {
        LayerField field = Read(Feature("""{"name":"a"}"""))[0];
        LayerField again = FieldLayer.Read(new MemoryStream(field.ToGeoJson()), "again")[0];
        Assert.True(field.Shape.EqualsExact(again.Shape));
        Assert.Equal(field.ToGeoJson(), again.ToGeoJson());
        Assert.Equal(50.0123456789, again.Shape.Coordinates[2].Y);
    }

    [Fact]
    public void Attributes_AreTextsNumbersAndTrue_AsWritten() =>
        Assert.Equal(["plan_spacing=\"3 m\"", "plan_ease=1.50", "plan_svg=true"], Read(Feature("""{"plan_spacing":"3 m","plan_ease":1.50,"plan_svg":true,"a":false,"b":null,"c":[1]}"""))[0].Attributes.Select(a => a.Key + "=" + a.Value));

    [Fact]
    public void TheAttributeAskedFor_MustBeThere()
    {
        Assert.Equal("12", Read(Feature("""{"name":"a","parcel":12}"""), "parcel")[0].Id);
        GroundDataException missing = Assert.Throws<GroundDataException>(() => Read(Feature("""{"parcel":1}""") + "," + Feature("""{"name":"a"}"""), "parcel"));
        Assert.Contains("feature 2 has no attribute parcel", missing.Message, StringComparison.Ordinal);
        Assert.Contains("empty", Assert.Throws<GroundDataException>(() => Read("")).Message, StringComparison.Ordinal);
    }
}
