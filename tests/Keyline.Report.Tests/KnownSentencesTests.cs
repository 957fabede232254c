using System.Text.RegularExpressions;

namespace Keyline.Report.Tests;

/// <summary>Sentences of other parts of the program, as they write them, said in both languages and in the reader's units.</summary>
public sealed class KnownSentencesTests
{
    [Theory]
    [InlineData("12.2 % of the length has its next line, on one side or the other, more than 10 % off the spacing of 3.05 m.", "m", "3.048\" data-d=\"2\" data-w=\"1", "En el")]
    [InlineData("14.1 % of the length is steeper along the line than the 2 % asked for.", "pct", "14.1", "cae a lo largo más")]
    [InlineData("4 of 11 keypoints are weak: walk to them before trusting them.", "n", "11", "puntos clave son débiles")]
    [InlineData("0.26 ha of the field is steeper than 15 % and is left out.", "ha", "2600", "quedan fuera")]
    [InlineData("1264 m2 in patches smaller than 400 m2 is steeper than 15 % and is worked over: look at them before driving.", "m2", "1264", "mírelas")]
    [InlineData("Longitudes and latitudes are NAD83 taken as WGS 84 without a shift (EPSG transformation 1188, good to about 4 m): field, lines and map agree with each other, but a receiver on another datum can be that far off.", "m", "4", "NAD83")]
    public void Of_AKnownShape_SaysItInBothLanguagesWithItsNumbers(string sentence, string kind, string value, string spanish)
    {
        Statement known = KnownSentences.Of(sentence)!;
        Assert.NotNull(known);
        string html = PageText.Say(known);
        Assert.Contains($"data-k=\"{kind}\" data-v=\"{value}\"", html, StringComparison.Ordinal);
        Assert.Contains(spanish, html, StringComparison.Ordinal);
        // In English it is what it was.
        string english = html[..html.IndexOf("<span lang=\"es\">", StringComparison.Ordinal)];
        Assert.Equal(sentence.Replace("m2", "m²", StringComparison.Ordinal), System.Net.WebUtility.HtmlDecode(Regex.Replace(english, "<[^>]*>", "")).Replace('\u00A0', ' ').Replace("1,264", "1264", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("12.2 % of the length has its next line elsewhere.")]
    [InlineData("The only keypoint is weak: walk to it before trusting it. <b>")]
    [InlineData("x of 11 keypoints are weak: walk to them before trusting them.")]
    public void Of_AnotherShape_IsNone(string sentence) => Assert.Null(KnownSentences.Of(sentence));

    [Fact]
    public void EveryPhrase_HasItsPlacesInBothLanguages()
    {
        (int Places, Phrase Said)[] all = [.. KnownSentences.Phrases];
        Assert.True(all.Length >= 20);
        Assert.All(all, p =>
        {
            Assert.Equal(Places(p.Said.En), Places(p.Said.Es));
            Assert.All(Places(p.Said.En), place => Assert.InRange(place, 0, p.Places - 1));
            Assert.NotEqual(p.Said.En, p.Said.Es);
        });

        static int[] Places(string text) => [.. Regex.Matches(text, @"\{(\d)\}").Select(m => int.Parse(m.Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture)).Order()];
    }

    [Fact]
    public void Measured_QuantitiesOfOtherSentences_AreTheReaders_AndTextStaysText()
    {
        string html = PageText.Measured("Line <b>R1</b> lets 7.8 L/s go over 12 m; \"the 5 m strip\", +3 m, 17.5 Pa.");
        Assert.Contains("data-k=\"lps\" data-v=\"7.8\" data-d=\"1\"", html, StringComparison.Ordinal);
        Assert.Contains("data-k=\"m\" data-v=\"12\" data-d=\"0\"", html, StringComparison.Ordinal);
        Assert.Equal(2, Regex.Count(html, "class=\"q\""));
        Assert.Contains("&lt;b&gt;R1", html, StringComparison.Ordinal);
        Assert.EndsWith("+3 m, 17.5 Pa.", html.Replace("&#x2B;", "+", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    /// <summary>Of two numbers with one unit both are the reader's, as are speeds and rates of water: no sentence has feet beside metres.</summary>
    [Fact]
    public void Measured_RangesAndWater_AreTheReadersToo()
    {
        string html = PageText.Measured("It loosens down to 30 to 42 cm; 8.1 L/s at 0.83 m/s; 79 mm/h; it gets 821.6 m3 less (3226.0 m3 for 4047.6 m3); the standard leaves 11.2 to 33.6 kN open.");
        foreach (string expected in (string[])["data-k=\"cm\" data-v=\"0.3\" data-d=\"0\"", "data-k=\"cm\" data-v=\"0.42\"", "data-k=\"mps\" data-v=\"0.83\"", "data-k=\"mmh\" data-v=\"79\"", "data-k=\"m3\" data-v=\"3226\"", "data-k=\"kn\" data-v=\"11.2\"", "data-k=\"kn\" data-v=\"33.6\""])
        {
            Assert.Contains(expected, html, StringComparison.Ordinal);
        }

        Assert.Equal(10, Regex.Count(html, "class=\"q\""));
        Assert.Contains("</span> to <span", html, StringComparison.Ordinal);
    }

    /// <summary>A storm of a table is named as a person would, in both languages; a name with braces is left alone.</summary>
    [Fact]
    public void StormName_OfATable_IsPlainInBothLanguages()
    {
        Phrase said = Assert.IsType<Phrase>(WaterPart.StormName("10 years, 2 h"));
        Assert.Equal(("once in 10 years, 2 h long", "una vez en 10 años, de 2 h"), (said.En, said.Es));
        string shown = Regex.Replace(PageText.Say(Phrases.WaterIntro, WaterPart.StormName("40 mm in 1 h, type II"), "loam"), "</?bdi>", "");
        Assert.Contains("Tormenta: <span class=\"q\" data-k=\"mm\" data-v=\"0.04\" data-d=\"1\" data-w=\"1\">40 mm</span> en 1 h, tipo II. Suelo", shown, StringComparison.Ordinal);
        Assert.Contains("Storm: <span class=\"q\" data-k=\"mm\" data-v=\"0.04\" data-d=\"1\" data-w=\"1\">40 mm</span> in 1 h, type II. Soil", shown, StringComparison.Ordinal);
        Assert.Equal("gauge {0}.csv", WaterPart.StormName("gauge {0}.csv"));
    }

    /// <summary>The answer does not say that nothing can come to harm where the storm says that water would cut.</summary>
    [Theory]
    [InlineData("Line R014 lets 8.1 L/s go at its end at 0.83 m/s and 19.1 Pa, more than fresh soil stands (0.3 m/s, 2.3 Pa): less fall, break the line, or lead it to a stable outlet.", true)]
    [InlineData("Lines end on the headland of 6 m.", false)]
    public void WhatWouldCut_IsToldInTheAnswer(string sentence, bool told)
    {
        ReportedStorm storm = new("40 mm in 1 h", "loam", [], [sentence], []);
        Assert.Equal(told, WaterPart.Stop(storm).Contains("it would cut there", StringComparison.Ordinal));
        Assert.Equal(told, MadeParts.Of("stop", new MadeSince { Storm = storm }).Contains("allí cortaría", StringComparison.Ordinal));
        Assert.Equal("", WaterPart.Stop(null));
    }
}
