using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Xml.Linq;

namespace Keyline.Formats.Tests.Plans;

/// <summary>The ways numbers and texts are written, against the framework's own (Math.Round, ToString, its parsers).</summary>
public sealed class TextFormsTests
{
    [Theory]
    [InlineData(0, 2, "0.00")]
    [InlineData(-0.004, 2, "0.00")]
    [InlineData(-0.005, 2, "-0.01")]
    [InlineData(1008.295, 1, "1008.3")]
    [InlineData(-98.860820310, 9, "-98.860820310")]
    [InlineData(7, 0, "7")]
    [InlineData(123_456_789.123456789, 4, "123456789.1235")]
    public void Fixed_HasJustSoManyDecimals(double value, int decimals, string text)
    {
        Assert.Equal(text, Encoding.UTF8.GetString(new Utf8Text().Add(value, decimals).Written));
        Assert.Equal(text, Json(json => JsonText.Fixed(json, value, decimals)));
        Assert.Equal(Math.Round(value, decimals, MidpointRounding.AwayFromZero), double.Parse(text, CultureInfo.InvariantCulture), 1e-9);
    }

    [Fact]
    public void Number_IsRounded_NullWhereItIsNone_AndNeverMinusNought()
    {
        Assert.Equal("{\"a\":1.25,\"b\":null,\"c\":null,\"d\":0}", Json(json =>
        {
            json.WriteStartObject();
            JsonText.Number(json, "a", 1.2549, 2);
            JsonText.Number(json, "b", double.NaN, 2);
            JsonText.Number(json, "c", double.PositiveInfinity, 2);
            JsonText.Number(json, "d", -0.001, 2);
            json.WriteEndObject();
        }));
    }

    [Fact]
    public void Gpx_OfNamesWithEveryCharacter_IsReadAsTheyWereLessWhatXmlForbids()
    {
        Utf8Text text = GpxText.Point(GpxText.Begin("<&>\"'"), "  "u8, "wpt"u8, 180, -12.5, 3.14159, 3, "\n    "u8);
        GpxText.Said(text, "\n    "u8, "name"u8, "dam \u0001<\"Ö\">\u001f & tree").Add("</wpt></gpx>"u8);
        XElement root = XDocument.Parse(Encoding.UTF8.GetString(text.Written)).Root!, point = root.Elements().Single();
        Assert.Equal("<&>\"'", root.Attribute("creator")!.Value);
        Assert.Equal(("-12.500000000", "-180.000000000"), (point.Attribute("lat")!.Value, point.Attribute("lon")!.Value));
        Assert.Equal(["3.142", "dam <\"Ö\"> & tree"], point.Elements().Select(e => e.Value));
        Assert.DoesNotContain("ele", Encoding.UTF8.GetString(GpxText.Point(new Utf8Text(), ""u8, "wpt"u8, 1, 1, double.NaN, 2, ""u8).Written), StringComparison.Ordinal);
    }

    private static string Json(Action<Utf8JsonWriter> write)
    {
        Utf8Text text = new();
        using (Utf8JsonWriter json = new(text, JsonText.Compact))
        {
            write(json);
        }

        return Encoding.UTF8.GetString(text.Written);
    }
}
