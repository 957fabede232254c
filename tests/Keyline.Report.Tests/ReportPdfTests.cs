using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using Keyline.Layout;

namespace Keyline.Report.Tests;

/// <summary>The report's pages on paper, as another program (poppler) reads them: they say what the page says, and nothing runs out of them.</summary>
public sealed partial class ReportPdfTests
{
    private const double PointsPerMillimetre = 72 / 25.4;

    private static readonly KeylinePlan Plan = InventedPlan.Make();

    public static TheoryData<string, SheetPaper> Voices { get; } = new() { { "en", SheetPaper.A4 }, { "es", SheetPaper.A4 }, { "en", SheetPaper.Letter }, { "es", SheetPaper.Letter } };

    [Theory, MemberData(nameof(Voices))]
    public void EveryTextOfThePage_StandsOnPaperInItsOrder(string language, SheetPaper paper)
    {
        string page = Page(language), file = Written(page, paper);
        StringBuilder said = new();
        foreach (string text in MapSheetsTests.Run("pdftotext", "-raw", file, "-").Split('\f'))
        {
            // Pieces come first in a page's text, then its title block or head, and its foot.
            int head = HeadOfPage().Matches(text).LastOrDefault()?.Index ?? -1;
            said.Append(head > 0 ? text[..head] : text);
        }

        string all = Bare(said.ToString());
        string[] heads = [.. Parts(page).Descendants("thead").Select(h => string.Concat(Shown(h, language).Select(Bare))).Append("")];
        int at = 0, found = 0, maps = 0;
        foreach (string text in TextsOf(page, language))
        {
            int next = all.IndexOf(text, at, StringComparison.Ordinal);
            Assert.True(next >= 0, $"\"{text}\" is not on paper behind \"{all[Math.Max(0, at - 60)..at]}\".");
            // Nothing stands between but places, the marks around counts, and headings of tables that go on; once the map.
            if (!heads.Contains(Extra().Replace(all[at..next], "")))
            {
                Assert.Contains("4200200N", all[at..next], StringComparison.Ordinal);
                maps++;
            }

            at = next + text.Length;
            found++;
        }

        Assert.Equal(1, maps);

        Assert.InRange(found, 400, 5000);
    }

    [Theory, MemberData(nameof(Voices))]
    public void Words_StayWithinTheMarginsAndOffEachOther(string language, SheetPaper paper)
    {
        string boxes = MapSheetsTests.Run("pdftotext", "-bbox", Written(Page(language), paper), "-");
        double width = paper == SheetPaper.A4 ? 210 : 215.9, height = paper == SheetPaper.A4 ? 297 : 279.4;
        string[] pages = boxes.Split("<page ")[1..];
        Assert.InRange(pages.Length, 8, 30);
        foreach (string page in pages)
        {
            Assert.Equal(width * PointsPerMillimetre, double.Parse(Regex.Match(page, "width=\"([0-9.]+)\"").Groups[1].Value, CultureInfo.InvariantCulture), 0.6);
            Assert.Equal(height * PointsPerMillimetre, double.Parse(Regex.Match(page, "height=\"([0-9.]+)\"").Groups[1].Value, CultureInfo.InvariantCulture), 0.6);
            (double X0, double Y0, double X1, double Y1, string Word)[] words = [.. Word().Matches(page).Select(m => (Mm(m, 1), Mm(m, 2), Mm(m, 3), Mm(m, 4), m.Groups[5].Value))];
            Assert.NotEmpty(words);
            Assert.All(words, w => Assert.True(w.X0 > 17.4 && w.X1 < width - 17.4 && w.Y0 > 7 && w.Y1 < height - 7, FormattableString.Invariant($"{w}")));
            // On the map labels may come close; they are placed by the map's own rules.
            if (words.Any(w => w.Word == "1" || w.Word == ":") && page.Contains(">4200200<", StringComparison.Ordinal))
            {
                continue;
            }

            for (int i = 0; i < words.Length; i++)
            {
                for (int j = i + 1; j < words.Length; j++)
                {
                    double across = Math.Min(words[i].X1, words[j].X1) - Math.Max(words[i].X0, words[j].X0), down = Math.Min(words[i].Y1, words[j].Y1) - Math.Max(words[i].Y0, words[j].Y0);
                    Assert.False(across > 0.3 && down > 0.45 * Math.Min(words[i].Y1 - words[i].Y0, words[j].Y1 - words[j].Y0), $"{words[i]} lies on {words[j]}.");
                }
            }
        }
    }

    [Fact]
    public void File_HasFontsBookmarksLanguageAndNoDate()
    {
        string file = Written(Page("es"), SheetPaper.A4);
        string info = MapSheetsTests.Run("pdfinfo", file), fonts = MapSheetsTests.Run("pdffonts", file), marks = MapSheetsTests.Run("pdftohtml", "-xml", "-i", "-stdout", file);
        Assert.Contains("Three Combes · Plan de líneas de subsolado", info, StringComparison.Ordinal);
        Assert.DoesNotContain("Date", info, StringComparison.Ordinal);
        Assert.DoesNotContain("Author", info, StringComparison.Ordinal);
        string[] rows = [.. fonts.Split('\n', StringSplitOptions.RemoveEmptyEntries)[2..]];
        Assert.Equal(2, rows.Length);
        Assert.All(rows, r => Assert.Matches(@"OpenSans.*Identity-H\s+yes yes yes", r));
        string outline = Regex.Match(marks, "<outline>(.*)</outline>", RegexOptions.Singleline).Groups[1].Value;
        XElement main = Parts(Page("es"));
        string[] titles = [.. main.Elements("section").Select(s => Bare(string.Concat(Shown(s.Element("h2")!, "es"))))];
        Assert.Equal(titles, Regex.Matches(outline, "<item[^>]*>(.*?)</item>").Select(m => Bare(System.Net.WebUtility.HtmlDecode(m.Groups[1].Value))));
        // The catalogue that holds, the last, names nothing twice.
        string bytes = Encoding.Latin1.GetString(File.ReadAllBytes(file)), catalogue = bytes[bytes.LastIndexOf("/Type /Catalog", StringComparison.Ordinal)..];
        string[] names = [.. Regex.Matches(catalogue[..catalogue.IndexOf("endobj", StringComparison.Ordinal)], @"(?:^|\n)(/\w+)").Select(m => m.Groups[1].Value)];
        Assert.Equal(names.Distinct(), names);
        Assert.Contains("/Lang (es)", catalogue, StringComparison.Ordinal);
        Assert.Contains("/DisplayDocTitle true", catalogue, StringComparison.Ordinal);
    }

    [Fact]
    public void Write_Twice_GivesTheSameBytes() => Assert.Equal(Pdf(Page("en"), SheetPaper.A4), Pdf(Page("en"), SheetPaper.A4));

    [Theory]
    [InlineData("<script>alert(1)</script>")]
    [InlineData("\"><img src=x onerror=alert(1)>")]
    [InlineData("<!--part:water-->x<!--/part:water-->")]
    [InlineData("{0}{1}{9}")]
    [InlineData("&lt;b&gt;")]
    [InlineData("/Dest (x) endobj")]
    [InlineData("Averyveryveryveryveryveryverylongnamewithoutanyblankthatnolineofthepagecanholdasitstandssoitmustbebrokensomewhereinthemiddleofit")]
    public void Text_OfOthers_IsLetters(string text)
    {
        ReportContent content = ReportPageTests.Named(text);
        string page = ReportPage.With(ReportPageTests.Text(content), ReportPageTests.Made(text)), file = Path.Combine(Directory.CreateTempSubdirectory("pages").FullName, "report.pdf");
        using (FileStream stream = File.Create(file))
        {
            ReportPdf.Write(stream, page, content.Plan, new SheetOptions { Map = new PlanMapOptions { Title = text } });
        }

        string said = Bare(MapSheetsTests.Run("pdftotext", "-raw", file, "-"));
        // The title, the first sentence, the files, the zones of the soil.
        Assert.InRange(Regex.Count(said, Regex.Escape(Bare(text))), 10, 1000);
    }

    [Fact]
    public void NameOfManyLines_LeavesTheFirstPageItsText()
    {
        string page = ReportPageTests.Text(ReportPageTests.Named(string.Concat(Enumerable.Repeat("far paddock ", 400)))), file = Written(page, SheetPaper.Letter);
        string first = MapSheetsTests.Run("pdftotext", "-f", "1", "-l", "1", "-bbox", file, "-");
        Assert.Contains(">answer<", first, StringComparison.Ordinal);
        Assert.All(Word().Matches(first), m => Assert.True(Mm(m, 4) < 279.4 - 7));
    }

    [Fact]
    public void UnitsOfTheUnitedStates_AreThoseOfThePage()
    {
        ReportContent content = ReportPageTests.Content(Plan) with { Units = UnitSystem.Us };
        string file = Path.Combine(Directory.CreateTempSubdirectory("pages").FullName, "report.pdf");
        using (FileStream stream = File.Create(file))
        {
            ReportPdf.Write(stream, ReportPageTests.Text(content), Plan, new SheetOptions { Map = new PlanMapOptions { Units = UnitSystem.Us } });
        }

        string said = MapSheetsTests.Run("pdftotext", "-raw", file, "-").Replace('\u00A0', ' ');
        // 3.048 m are 10 ft (NIST SP 811, B.8).
        Assert.Contains("10 ft apart", said.Replace('\n', ' '), StringComparison.Ordinal);
        Assert.DoesNotMatch(@"\d ha\b", said);
        Assert.DoesNotMatch(@"\d km\b", said);
    }

    [Fact]
    public void PictureForAMap_LiesOnAPageOfItsOwnAtItsSize()
    {
        using MemoryStream picture = new();
        PlanMap.Write(picture, Plan);
        string page = Page("en"), folder = Directory.CreateTempSubdirectory("pages").FullName, with = Path.Combine(folder, "with.pdf"), without = Path.Combine(folder, "without.pdf");
        int pages, fewer;
        using (FileStream stream = File.Create(with))
        {
            pages = ReportPdf.Write(stream, page, picture.ToArray());
        }

        using (FileStream stream = File.Create(without))
        {
            fewer = ReportPdf.Write(stream, page, ReadOnlyMemory<byte>.Empty);
        }

        string info = MapSheetsTests.Run("pdfinfo", "-f", "1", "-l", "99", with);
        Assert.InRange(pages - fewer, 1, 2);
        Assert.Contains($"Pages:           {pages}\n", info, StringComparison.Ordinal);
        Assert.Single(Regex.Matches(info, @"size:\s+841\.9"));
        Assert.Contains("\"map\"", MapSheetsTests.Run("pdfinfo", "-dests", with), StringComparison.Ordinal);
        Assert.DoesNotContain("\"map\"", MapSheetsTests.Run("pdfinfo", "-dests", without), StringComparison.Ordinal);
        Assert.Throws<InvalidDataException>(() => ReportPdf.Write(Stream.Null, page, new byte[] { 1, 2, 3 }));
    }

    [Theory]
    [InlineData("<p>", "<blink>", "</p>", "</blink>")]
    [InlineData("<p>", "<p class=\"new\">", "", "")]
    [InlineData("</section>", "", "", "")]
    [InlineData("<svg class=\"chart\"", "<svg class=\"chart\" onload=x", "", "")]
    [InlineData("class=\"bar\"", "class=\"column\"", "", "")]
    public void MarkupThatThePageDoesNotWrite_IsRefused(string old, string other, string end, string otherEnd)
    {
        string page = Page("en"), changed = page.Replace(old, other, StringComparison.Ordinal);
        changed = end.Length > 0 ? changed.Replace(end, otherEnd, StringComparison.Ordinal) : changed;
        Assert.NotEqual(page, changed);
        Assert.Throws<FormatException>(() => ReportPdf.Write(Stream.Null, changed, ReadOnlyMemory<byte>.Empty));
    }

    [Fact]
    public void Write_Cancelled_WritesNothing()
    {
        using MemoryStream pdf = new();
        Assert.Throws<OperationCanceledException>(() => ReportPdf.Write(pdf, Page("en"), Plan, null, new CancellationToken(canceled: true)));
        Assert.Equal(0, pdf.Length);
    }

    // The plan with everything that can be said of it.
    private static string Page(string language) => ReportPage.With(
        ReportPageTests.Text(ReportPageTests.Content(Plan) with { Language = language, Warnings = ["One of 3 keypoints is weak: walk to it before trusting it."], Comparison = [new PatternLayout(LayoutPattern.Straight, "", Plan.Layout), new PatternLayout(LayoutPattern.OneKeyline, "", Plan.Layout)] }),
        ReportPageTests.Made("a word"));

    private static byte[] Pdf(string page, SheetPaper paper)
    {
        using MemoryStream pdf = new();
        ReportPdf.Write(pdf, page, Plan, new SheetOptions { Paper = paper });
        return pdf.ToArray();
    }

    private static string Written(string page, SheetPaper paper)
    {
        string file = Path.Combine(Directory.CreateTempSubdirectory("pages").FullName, "report.pdf");
        File.WriteAllBytes(file, Pdf(page, paper));
        return file;
    }

    // The page as a reader of XML takes it, without the map's tools, which only a screen has.
    private static XElement Parts(string page)
    {
        string main = page[page.IndexOf("<main>", StringComparison.Ordinal)..(page.IndexOf("</main>", StringComparison.Ordinal) + "</main>".Length)];
        return XElement.Parse(MapTools().Replace(main, "</h2></section>"), LoadOptions.PreserveWhitespace);
    }

    private static IEnumerable<string> TextsOf(string page, string language) =>
        Shown(Parts(page), language).Select(Bare).Where(t => t.Length > 0);

    // What a reader of one language with metric units sees; links to the map, and tables that a script fills, are for a screen.
    private static IEnumerable<string> Shown(XElement element, string language)
    {
        string other = language == "en" ? "es" : "en";
        foreach (XNode node in element.Nodes())
        {
            if (node is XText text)
            {
                yield return language == "es" && element.Attribute("class")?.Value == "q" ? WithComma(text.Value, (int)element.Attribute("data-d")!) : text.Value;
            }
            else if (node is XElement e && e.Attribute("lang")?.Value != other && e.Attribute("data-s")?.Value != "us" && e.Name.LocalName != "title" && e.Attribute("id")?.Value != "lines"
                && e.Attribute("class")?.Value is not ("head" or "hint") && e.Ancestors("svg").All(s => s.Attribute("data-s")?.Value != "us"))
            {
                foreach (string inner in Shown(e, language))
                {
                    yield return inner;
                }
            }
        }
    }

    // Some numbers stand in the page with a point until its script says them.
    private static string WithComma(string number, int decimals) =>
        Regex.IsMatch(number, decimals > 0 ? $@"\.\d{{{decimals}}}(\D|$)" : ",") ? number.Replace('.', ';').Replace(',', '.').Replace(';', ',') : number;

    private static string Bare(string text) => Blank().Replace(text, "");

    private static double Mm(Match match, int group) => double.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture) / PointsPerMillimetre;

    [GeneratedRegex(@"\nThree Combes\s+Plan (of rip|de l)")]
    private static partial Regex HeadOfPage();

    [GeneratedRegex(@"\(?\d{6}E\d{7}N\)?|^[()]+|[()]+$")]
    private static partial Regex Extra();

    [GeneratedRegex(@"[\s\u00A0]+")]
    private static partial Regex Blank();

    [GeneratedRegex("(?<=<section id=\"map\".{1,200})</h2>.*?</section>", RegexOptions.Singleline)]
    private static partial Regex MapTools();

    [GeneratedRegex("<word xMin=\"([0-9.-]+)\" yMin=\"([0-9.-]+)\" xMax=\"([0-9.-]+)\" yMax=\"([0-9.-]+)\">(.*?)</word>")]
    private static partial Regex Word();
}
