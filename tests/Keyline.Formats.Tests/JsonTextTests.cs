using System.Text;
using System.Text.Json;

namespace Keyline.Formats.Tests;

/// <summary>Numbers, texts and lists as they stand in the file, byte by byte.</summary>
public sealed class JsonTextTests
{
    private static string Written(JsonWriterOptions options, Action<Utf8JsonWriter> members)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream, options))
        {
            json.WriteStartObject();
            members(json);
            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(stream.ToArray());
    }

    [Fact]
    public void Numbers_AreRounded_WithoutAMinusBeforeNothing_AndNullWhereThereIsNone() => Assert.Equal(
        """{"a":1.23,"b":-1.3,"c":0,"d":null,"e":null,"f":[1.5,null,0,-2.4],"g":2.345678,"h":null,"i":null,"j":7,"k":null}""",
        Written(JsonText.Compact, json =>
        {
            JsonText.Number(json, "a", 1.2345, 2);
            JsonText.Number(json, "b", -1.26, 1);
            JsonText.Number(json, "c", -0.004, 2);
            JsonText.Number(json, "d", double.NaN, 2);
            JsonText.Number(json, "e", double.NegativeInfinity, 2);
            JsonText.Numbers(json, "f", [1.5, double.PositiveInfinity, -0.01, -2.449], 1);
            JsonText.Exact(json, "g", 2.345678);
            JsonText.Exact(json, "h", null);
            JsonText.Exact(json, "i", double.NaN);
            JsonText.Whole(json, "j", 7);
            JsonText.Whole(json, "k", null);
        }));

    [Fact]
    public void Fixed_HasJustSoManyDecimals() => Assert.Equal(
        """{"a":[1.200,-0.500,3,0.000,123456.790]}""",
        Written(JsonText.Compact, json =>
        {
            json.WriteStartArray("a");
            JsonText.Fixed(json, 1.2, 3);
            JsonText.Fixed(json, -0.5, 3);
            JsonText.Fixed(json, 3.2, 0);
            JsonText.Fixed(json, -0.0001, 3);
            JsonText.Fixed(json, 123456.78999, 3);
            json.WriteEndArray();
        }));

    [Fact]
    public void SectionsAndTexts_AreForPeopleToRead() => Assert.Equal(
        "{\n  \"one\": {\n    \"name\": \"Größe <2 & mehr>\"\n  },\n  \"many\": [\n    {\n      \"n\": 1\n    },\n    {\n      \"n\": 2\n    }\n  ],\n  \"texts\": [\n    \"a\",\n    \"b\"\n  ],\n  \"none\": []\n}",
        Written(JsonText.Readable, json =>
        {
            JsonText.Section(json, "one", () => json.WriteString("name", "Größe <2 & mehr>"));
            JsonText.Sections(json, "many", [1, 2], n => json.WriteNumber("n", n));
            JsonText.Texts(json, "texts", ["a", "b"]);
            JsonText.Texts(json, "none", []);
        }));
}
