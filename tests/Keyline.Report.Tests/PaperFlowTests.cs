namespace Keyline.Report.Tests;

/// <summary>How the report's parts are shared out over pages and set in lines.</summary>
public sealed class PaperFlowTests
{
    private static readonly PaperVoice Voice = new("en", UnitSystem.Metric);
    private static readonly PaperBlocks Blocks = new(Voice, PaperStyle.Body);

    [Fact]
    public void Table_OverPages_HasItsHeadingOnEachAndNoRowTwice()
    {
        PaperTable table = new(Element("<table><thead><tr><th>Line</th><th>Length</th></tr></thead><tbody>" + string.Concat(Enumerable.Range(1, 90).Select(i => $"<tr><th scope=\"row\">R{i}</th><td>{i} m</td></tr>")) + "</tbody></table>"), Voice, 170);
        PaperPiece heading = table.Pieces[0];
        var pages = PaperFlow.Share(table.Pieces, 200, 150);
        Assert.InRange(pages.Count, 3, 6);
        Assert.All(pages, p => Assert.Same(heading, p[0].Piece));
        Assert.Equal(table.Pieces, [heading, .. pages.SelectMany(p => p.Skip(1)).Select(p => p.Piece)]);
        Assert.All(pages, p => Assert.True(p[^1].Top + p[^1].Piece.Height <= 200));
        Assert.All(pages.SkipLast(1), p => Assert.True(p.Count > 2));
    }

    [Fact]
    public void Heading_IsNeverTheLastOfAPage()
    {
        PageNode section = Element("<section id=\"x\"><h2>Part</h2>" + string.Concat(Enumerable.Range(0, 40).Select(i => $"<h3>Heading {i}</h3><p>One sentence of a few words.</p>")) + "</section>");
        IReadOnlyList<PaperPiece> pieces = Blocks.Section(section, 170, []);
        // The heading of the part, then a heading and a sentence by turns.
        Assert.Equal(81, pieces.Count);
        PaperPiece[] headings = [pieces[0], .. pieces.Where((_, i) => i % 2 == 1)];
        for (int first = 0; first < 60; first += 3)
        {
            Assert.All(PaperFlow.Share(pieces, 120, first).Where(p => p.Count > 0), page => Assert.DoesNotContain(page[^1].Piece, headings));
        }
    }

    [Fact]
    public void Paragraph_LeavesNoLineAlone()
    {
        PageNode part = Element("<div><p>" + string.Join(' ', Enumerable.Repeat("word", 400)) + "</p></div>");
        IReadOnlyList<PaperPiece> lines = Blocks.Flow(part, 60);
        Assert.True(lines.Count > 20);
        for (int rows = 0; rows < 10; rows++)
        {
            var pages = PaperFlow.Share(lines, 60, 60 - (rows * PaperStyle.Body.Pitch) - 0.1f);
            Assert.All(pages.Where(p => p.Count > 0), p => Assert.True(p.Count > 1));
        }
    }

    [Fact]
    public void Signatures_StayWithWhatIsAgreed()
    {
        PageNode section = Element("<section id=\"sign\"><h2>Agreed</h2><p>Signing says.</p><p class=\"blank\"></p><div class=\"signs\"><div><h3>Driver</h3><p class=\"blank\"></p><p class=\"label\">Name</p></div></div></section>");
        IReadOnlyList<PaperPiece> pieces = Blocks.Section(section, 170, []);
        for (int first = 0; first < 200; first += 10)
        {
            Assert.Single(PaperFlow.Share(pieces, 200, first), p => p.Count > 0);
        }
    }

    [Fact]
    public void Piece_HigherThanAPage_IsDrawnSmallerAndNotCut()
    {
        (PaperPiece _, float top, float scale) = Assert.Single(Assert.Single(PaperFlow.Share([new PaperPiece(400, (_, _, _) => { })], 200, 0)));
        Assert.Equal((0, 0.5f), (top, scale));
    }

    [Fact]
    public void Pieces_ThatMustStayTogether_AndAreHigherThanAPage_AreBrokenAndNotDrawnSmaller()
    {
        PaperPiece[] chain = [.. Enumerable.Range(0, 30).Select(_ => new PaperPiece(10, (_, _, _) => { }) { KeepsNext = true })];
        var pages = PaperFlow.Share(chain, 100, 0);
        Assert.Equal([10, 10, 10], pages.Select(p => p.Count));
        Assert.All(pages.SelectMany(p => p), p => Assert.Equal(1, p.Scale));
    }

    [Fact]
    public void Word_WiderThanItsLine_IsBrokenAndWhole()
    {
        const string hash = "996d2483d14bb876a15377dcb2240dbe4af1eda2393332fdb54338cecb799afd";
        IReadOnlyList<PaperLine> lines = PaperText.Lines([new PaperRun("hash: " + hash + " end", PaperStyle.Small)], 30);
        Assert.InRange(lines.Count, 4, 8);
        Assert.All(lines, l => Assert.True(l.Width <= 30));
        Assert.Equal("hash:" + hash + "end", string.Concat(lines.SelectMany(l => l.Runs).Select(r => r.Run.Text)).Replace(" ", "", StringComparison.Ordinal));
    }

    [Theory]
    // Factors of NIST SP 811, B.8: 1 ft is 0.3048 m, 1 acre 4046.856 m2, 1 gallon 3.785412 L, 1 mile 1609.344 m.
    [InlineData("m", 3.048, 2, "en", false, "3.05 m")]
    [InlineData("m", 3.048, 2, "es", false, "3,05 m")]
    [InlineData("m", 3.048, 2, "es", true, "10.0 pies")]
    [InlineData("m", 1000, 0, "en", true, "3,281 ft")]
    [InlineData("m", 1000, 0, "es", false, "1.000 m")]
    [InlineData("ha", 163_000, 1, "en", true, "40.3 ac")]
    [InlineData("km", 51_600, 1, "en", true, "32.1 mi")]
    [InlineData("l", 100, 0, "en", true, "26 gal")]
    [InlineData("pct", 98.8, 1, "es", false, "98,8 %")]
    [InlineData("deg", 7.7, 1, "es", true, "7.7°")]
    public void Quantity_IsInTheReadersUnits(string word, double value, int decimals, string language, bool isUs, string expected) =>
        Assert.Equal(expected.Replace(' ', '\u00A0'), Measure.Shown(word, value, decimals, false, language, isUs));

    private static PageNode Element(string markup) => PageNode.Read("<main>" + markup + "</main>", "main").Children.Single();
}
