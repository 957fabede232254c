using System.Text;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using Keyline.Field;
using Keyline.SetOut;
using NetTopologySuite.Geometries;

namespace Keyline.Report.Tests;

public sealed partial class SetOutSheetTests
{
    private static readonly StakedLine Line = Staking.Along(
        "G<7>", new LineString([.. Enumerable.Range(0, 201).Select(i => new CoordinateZ(500_000 + (2 * i), 4_000_000 + (15 * Math.Sin(i / 25.0)), 80 - (0.02 * i)))]), new SetOutOptions(), new LevelMark("gate post", 80.4, 1.1));

    [Fact]
    public void Sheet_HasARowAStakeWithItsReadingAndRoomToWrite()
    {
        XElement body = Body(new() { Lines = [Line], ToLonLat = _ => (10.5, 45.25), Mark = new LevelMark("gate post", 80.4, 1.1) });
        XElement[] rows = [.. body.Descendants("tbody").Elements("tr").Where(r => (string?)r.Attribute("class") != "setup")];
        Assert.Equal(Line.Stakes.Select(s => s.Name), rows.Select(r => r.Elements("td").First().Value));
        Assert.All(rows, r => Assert.Equal(3, r.Elements("td").Count(c => (string?)c.Attribute("class") == "write" && c.Value.Length == 0)));
        for (int i = 0; i < rows.Length; i++)
        {
            LevelSetUp setUp = Line.SetUpOf(Line.Stakes[i]);
            string expected = double.IsFinite(setUp.Plane) ? (81.5 - Line.Stakes[i].Place.Z).ToString("0.00", System.Globalization.CultureInfo.InvariantCulture) : "+";
            Assert.StartsWith(expected, rows[i].Elements("td").Single(c => (string?)c.Attribute("class") == "rod").Value, StringComparison.Ordinal);
        }

        Assert.Equal(Line.SetUps.Count, body.Descendants("tr").Count(r => (string?)r.Attribute("class") == "setup"));
        Assert.Contains("gate post", body.Value, StringComparison.Ordinal);
    }

    [Fact]
    public void Sheet_InFeet_TurnsEveryLength()
    {
        XElement metres = Body(new() { Lines = [Line], ToLonLat = _ => (10.5, 45.25) }), feet = Body(new() { Lines = [Line], ToLonLat = _ => (10.5, 45.25), Unit = SheetUnit.Foot });
        double[] Along(XElement body) => [.. body.Descendants("tbody").Elements("tr").Where(r => (string?)r.Attribute("class") != "setup").Select(r => double.Parse(r.Elements("td").ElementAt(1).Value, System.Globalization.CultureInfo.InvariantCulture))];
        Assert.All(Along(metres).Zip(Along(feet)), p => Assert.Equal(p.First / 0.3048, p.Second, 0.25));
        Assert.Contains("ft long", feet.Value, StringComparison.Ordinal);
    }

    [Fact]
    public void Drawings_HoldEveryStakeAndNothingFromOutside()
    {
        KeylinePlan plan = InventedPlan.Make();
        string text = Text(new() { Lines = [Line], ToLonLat = _ => (10.5, 45.25), Field = plan.Field, OtherLines = [Line.Line], Cautions = ["Mind the gap & the <dog>."] });
        Assert.DoesNotMatch(Outside(), text);
        Assert.DoesNotContain("NaN", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Infinity", text, StringComparison.Ordinal);
        Assert.DoesNotContain("<dog>", text, StringComparison.Ordinal);
        XElement body = XDocument.Parse(Parsable(text)).Root!.Element("body")!;
        XElement[] drawings = [.. body.Descendants("svg")];
        Assert.Equal(3, drawings.Length);
        Assert.Empty(drawings[0].Descendants("circle"));
        Assert.Equal(Line.Stakes.Count, drawings[1].Descendants("circle").Count());
        Assert.Equal(Line.Stakes.Count, drawings[2].Descendants("circle").Count());
        string[] ids = [.. body.Descendants().Select(e => (string?)e.Attribute("id")).OfType<string>()];
        Assert.Equal(ids.Length, ids.Distinct().Count());
        Assert.Contains("hatch", ids);
        Assert.All(drawings.Skip(1).Descendants("circle"), c => Assert.InRange((double)c.Attribute("cx")!, 0, 186));
    }

    [Fact]
    public void Sheet_OverWhatIsKeptClear_SaysFlagOnly()
    {
        FieldArea field = new(new Point(0, 0).Buffer(200), [new AvoidedArea(new Point(40, 0), 15, "gas <pipe>")]);
        StakedLine line = Staking.Along("G1", new LineString([new CoordinateZ(0, 0, 5), new CoordinateZ(100, 0, 4)]), new SetOutOptions(), field: field);
        XElement body = Body(new() { Lines = [line], ToLonLat = _ => (10.5, 45.25), Field = field });
        XElement flagged = Assert.Single(body.Descendants("td"), c => (string?)c.Attribute("class") == "why" && c.Value.Contains("flag only: gas <pipe>", StringComparison.Ordinal));
        Assert.Equal("G1-03", flagged.Parent!.Elements("td").First().Value);
        Assert.Contains("drive nothing into the ground", body.Value, StringComparison.Ordinal);
        Assert.DoesNotContain("flag only", Body(new() { Lines = [Line], ToLonLat = _ => (10.5, 45.25) }).Value, StringComparison.Ordinal);
    }

    [Fact]
    public void Sheet_WithoutHeights_HasDashesAndNoProfile()
    {
        StakedLine bare = Staking.Along("G1", new LineString([new CoordinateZ(0, 0, double.NaN), new CoordinateZ(90, 0, double.NaN)]), new SetOutOptions());
        XElement body = Body(new() { Lines = [bare], ToLonLat = _ => (10.5, 45.25) });
        Assert.Equal(2, body.Descendants("svg").Count());
        Assert.All(body.Descendants("td").Where(c => (string?)c.Attribute("class") == "rod"), c => Assert.Equal("–", c.Value));
    }

    [Fact]
    public void Sheet_SameContent_GivesTheSameBytes() =>
        Assert.Equal(Text(new() { Lines = [Line], ToLonLat = _ => (10.5, 45.25) }), Text(new() { Lines = [Line], ToLonLat = _ => (10.5, 45.25) }));

    private static XElement Body(SetOutSheetContent content) => XDocument.Parse(Parsable(Text(content))).Root!.Element("body")!;

    private static string Text(SetOutSheetContent content)
    {
        using MemoryStream stream = new();
        SetOutSheet.Write(stream, content);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    // HTML's empty elements and named entities, as XML.
    private static string Parsable(string html) => html.Replace("<!DOCTYPE html>", "", StringComparison.Ordinal).Replace("<br>", "<br/>", StringComparison.Ordinal)
        .Replace("&ndash;", "–", StringComparison.Ordinal).Replace("&nbsp;", " ", StringComparison.Ordinal)
        .Replace("<meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">", "", StringComparison.Ordinal);

    [GeneratedRegex("(src|href)=|https?:|@import")]
    private static partial Regex Outside();
}
