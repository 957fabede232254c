namespace Keyline.Formats.Tests;

/// <summary>Cells keep their text, and nothing in them runs. Source: RFC 4180 (2005), section 2, rules 5 to 7; which characters begin a
/// formula is what spreadsheets do, no source.</summary>
public sealed class CsvCellTests
{
    [Theory]
    [InlineData("plain", "plain")]
    [InlineData("", "")]
    [InlineData("a,b", "\"a,b\"")]
    [InlineData("a \"b\"", "\"a \"\"b\"\"\"")]
    [InlineData("a\nb", "\"a\nb\"")]
    [InlineData("=1+1", "'=1+1")]
    [InlineData("+cmd", "'+cmd")]
    [InlineData("-cmd", "'-cmd")]
    [InlineData("@sum", "'@sum")]
    [InlineData("\t=1", "'\t=1")]
    [InlineData("=a,b", "\"'=a,b\"")]
    [InlineData("-5.25", "-5.25")]
    [InlineData("+1e3", "+1e3")]
    [InlineData("a=1", "a=1")]
    public void Of_KeepsTheText(string text, string cell) => Assert.Equal(cell, CsvCell.Of(text));

    [Theory]
    [InlineData("'=1+1", "=1+1")]
    [InlineData("'-5", "'-5")]
    [InlineData("'tis", "'tis")]
    [InlineData("'", "'")]
    public void TextOf_TakesOffOnlyWhatWasPutOn(string cell, string text) => Assert.Equal(text, CsvCell.TextOf(cell));
}
