using System.Text.RegularExpressions;

namespace Keyline.Report.Tests;

/// <summary>Pages said in Spanish and in other units: words change, elements, styles and names do not.</summary>
public sealed class PageTongueTests
{
    private const string Page = """
        <!DOCTYPE html>
        <html lang="en"><head><style>.rip { color: red }</style><title>When to rip: Rip &amp; rest</title></head><body>
        <h1>When to rip: Rip &amp; rest</h1><p class="right">silt loam, tip at 40 cm. Weather: daily.csv, 2001-01-01 to 2002-12-31.</p>
        <svg aria-label="Map of the sheet's lines"><text x="12.5">100 m</text></svg>
        <p>On 2002-12-31 the soil at 40 cm holds 11 % of its volume, 5 % of what plants can use: too dry; 65 mm of rain would reach the tip within a week.</p>
        <p>Nobody has said this one yet.</p><li><b>rip</b>: Hill &lt;b&gt; field</li>
        <!--metric--><td>depth cm</td><td>5 cm</td><!--/metric--><script>const rip = "too dry";</script>
        <footer>Keyline. An aid to judgement, not engineering advice; local codes and licensed practice come first.</footer></body></html>
        """;

    [Fact]
    public void English_InMetric_IsThePageItself() => Assert.Same(Page, PageTongue.Said(Page, "en", UnitSystem.Metric));

    [Fact]
    public void Spanish_SaysWords_AndLeavesNamesElementsAndStylesAlone()
    {
        string said = PageTongue.Said(Page, "es", UnitSystem.Metric);
        Assert.StartsWith("<!DOCTYPE html>\n<html lang=\"es\">", said, StringComparison.Ordinal);
        Assert.Contains("<h1>Cuándo subsolar: Rip &amp; rest</h1><p class=\"right\">franco limoso, punta a 40 cm. Tiempo: daily.csv, 2001-01-01 a 2002-12-31.</p>", said, StringComparison.Ordinal);
        Assert.Contains("<svg aria-label=\"Mapa de las líneas de la hoja\"><text x=\"12.5\">100 m</text></svg>", said, StringComparison.Ordinal);
        Assert.Contains("El 2002-12-31 el suelo a 40 cm tiene 11 % de su volumen, 5 % de lo que las plantas pueden usar: muy seco; 65 mm de lluvia llegarían a la punta en una semana.", said, StringComparison.Ordinal);
        Assert.Contains("<p>Nobody has said this one yet.</p><li><b>subsolar</b>: Hill &lt;b&gt; field</li>", said, StringComparison.Ordinal);
        Assert.Contains("<style>.rip { color: red }</style>", said, StringComparison.Ordinal);
        Assert.Contains("<script>const rip = \"too dry\";</script>", said, StringComparison.Ordinal);
        Assert.Contains("<footer>Lo que aquí está en inglés", said, StringComparison.Ordinal);
        Assert.Equal(Tags(Page).Replace("lang=\"en\"", "lang=\"es\"", StringComparison.Ordinal).Replace("Map of the sheet's lines", "", StringComparison.Ordinal), Tags(said).Replace("Mapa de las líneas de la hoja", "", StringComparison.Ordinal));
        Assert.Equal(said, PageTongue.Said(Page, "es", UnitSystem.Metric));

        // What is not said yet can be listed, for whoever says it.
        Assert.Contains("Nobody has said this one yet.", PageTongue.Unsaid(Page));
        Assert.DoesNotContain(PageTongue.Unsaid(Page), t => t.Contains("soil at", StringComparison.Ordinal));
    }

    [Fact]
    public void UsUnits_AreSaidInTheText_ButNotWhereTheTableNamesTheUnit()
    {
        string said = PageTongue.Said(Page, "en", UnitSystem.Us);
        Assert.Contains("the soil at 16 in holds 11 %", said, StringComparison.Ordinal);
        Assert.Contains("2.6 in of rain", said, StringComparison.Ordinal);
        Assert.Contains("<text x=\"12.5\">328 ft</text>", said, StringComparison.Ordinal);
        Assert.Contains("<td>depth cm</td><td>5 cm</td>", said, StringComparison.Ordinal);
        Assert.Contains("el suelo a 16 pulg tiene", PageTongue.Said(Page, "es", UnitSystem.Us), StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => PageTongue.Said(Page, "fr", UnitSystem.Us));
    }

    /// <summary>Markup in a name stays text in both languages.</summary>
    [Theory]
    [InlineData("<script>alert(1)</script>")]
    [InlineData("\"><img src=x onerror=alert(1)>")]
    [InlineData("{0} {t} rip")]
    [InlineData("&lt;b&gt;")]
    public void HostileNames_StayText(string name)
    {
        string page = $"<html lang=\"en\"><body><h1>When to rip: {System.Net.WebUtility.HtmlEncode(name)}</h1><svg aria-label=\"Map of {System.Net.WebUtility.HtmlEncode(name)}\"></svg></body></html>";
        string said = PageTongue.Said(page, "es", UnitSystem.Metric);
        Assert.Contains($"<h1>Cuándo subsolar: {name}</h1>", System.Net.WebUtility.HtmlDecode(said).Replace("lang=\"es\"", "", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.Equal(Regex.Matches(page, "<[a-z/]").Count, Regex.Matches(said, "<[a-z/]").Count);
    }

    /// <summary>Every shape has its places in Spanish, once at least, and no text is said twice in different words.</summary>
    [Fact]
    public void Phrases_KeepTheirPlaces()
    {
        Assert.True(PhraseBook.All.Count() > 400);
        foreach ((string english, string spanish) in PhraseBook.All)
        {
            int places = PhraseBook.PlacesOf(english);
            int[] used = [.. Regex.Matches(spanish, @"\{(\d+)\}").Select(m => int.Parse(m.Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture)).Distinct().Order()];
            Assert.True(used.SequenceEqual(Enumerable.Range(0, places)), $"{english} => {spanish}");
            Assert.False(string.IsNullOrWhiteSpace(spanish), english);
        }

        Assert.All(PhraseBook.All.GroupBy(p => p.English), g => Assert.True(g.Select(p => p.Spanish).Distinct().Count() == 1, $"{g.Key}: {string.Join(" | ", g.Select(p => p.Spanish))}"));
    }

    private static string Tags(string html) => string.Concat(Regex.Matches(html, "<[^>]*>").Select(m => m.Value));
}
