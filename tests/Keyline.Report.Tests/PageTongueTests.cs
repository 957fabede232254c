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
        Assert.Contains("<h1>Cuándo subsolar: Rip &amp; rest</h1><p class=\"right\">franco limoso, punta a 40 cm. Tiempo: daily.csv, 1 de enero de 2001 a 31 de diciembre de 2002.</p>", said, StringComparison.Ordinal);
        Assert.Contains("<svg aria-label=\"Mapa de las líneas de la hoja\"><text x=\"12.5\">100 m</text></svg>", said, StringComparison.Ordinal);
        Assert.Contains("El 31 de diciembre de 2002 el suelo a 40 cm tiene 11 % de su volumen, 5 % de lo que las plantas pueden usar: muy seco; 65 mm de lluvia llegarían a la punta en una semana.", said, StringComparison.Ordinal);
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

    /// <summary>Sentences within sentences, with units converted beforehand.</summary>
    [Theory]
    [InlineData("2.19 % less (95 % sure: -6.66 to +2.27 %)", "2.19 % menos (95 % seguro: -6.66 a +2.27 %)")]
    [InlineData("1.45 times the control (95 % sure: 1.23 to 1.72 times)", "1.45 veces el testigo (95 % seguro: 1.23 a 1.72 veces)")]
    [InlineData("Plant cover: cannot tell. On the ripped plots it was 2.19 % less (95 % sure: -6.66 to +2.27 %) (t with 8 degrees of freedom at block level, p = 0.290, 0.290 over all measures, 0.281 by randomisation; differences before the work taken off).",
        "Cobertura de plantas: no se puede decir. En las parcelas ripped fue 2.19 % menos (95 % seguro: -6.66 a +2.27 %) (t con 8 grados de libertad a nivel de bloque, p = 0.290, 0.290 en todas las medidas, 0.281 por aleatorización; diferencias previas descontadas).")]
    [InlineData("A layer that stops roots or water begins 8.7 in down and ends at 13.4 in.", "Una capa que detiene raíces o agua empieza a 8.7 pulg y termina a 13.4 pulg.")]
    [InlineData("side slope too steep, crosses a line", "ladera lateral demasiado fuerte, cruza una línea")]
    [InlineData("rip after rest and cover, gypsum, draining", "subsolar después de descanso y cobertura, yeso agrícola, drenaje")]
    [InlineData("  132 lines, 16.6 mi in the ground, about 5.8 hours. front-assist-90: 121 hp, 2 shanks, 22 in deep. ", "  132 líneas, 16.6 mi con la punta en el suelo, unas 5.8 horas. front-assist-90: 121 hp, 2 púas, 22 pulg de profundidad. ")]
    [InlineData("Depth: 36.2 to 38.7 cm: pan to 34 cm and 2.5 to 5 cm below it; no machine was given, so neither its tip nor its pull was held against it.", "Profundidad: 36.2 a 38.7 cm: capa dura hasta 34 cm y 2.5 a 5 cm por debajo; no se dio máquina, así que no se comparó con su punta ni con su tiro.")]
    [InlineData("On medium soil 2 shanks at 0.55 m take 21 kN (the standard leaves 15 to 27 kN open) and 60 kW at the engine; 50 kW at the drawbar pull them at 6.0 km/h, 6.0 km/h where the soil is easy, not at all where it is hard.", "En suelo medio, 2 púas a 0.55 m piden 21 kN (la norma deja abierto 15 a 27 kN) y 60 kW en el motor; 50 kW en la barra las llevan a 6.0 km/h, 6.0 km/h donde el suelo es fácil, nada donde es duro.")]
    public void Sentences_AreSaidToTheirInmostPart(string english, string spanish)
    {
        Assert.Equal(spanish, PhraseBook.Say(english));
        Assert.Empty(PhraseBook.Unsaid(english));
        Assert.Equal(spanish.Trim(), PhraseBook.Whole(english.Trim()));
        Assert.Null(PhraseBook.Whole(english + " Nobody said this."));
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
        Assert.Equal(Regex.Count(page, "<[a-z/]"), Regex.Count(said, "<[a-z/]"));
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
