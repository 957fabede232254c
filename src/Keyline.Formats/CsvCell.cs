using System.Globalization;

namespace Keyline.Formats;

/// <summary>Text in a cell of a CSV table that people open in a spreadsheet.</summary>
/// <remarks>
/// <para>Promises: text that a spreadsheet would run as a formula gets an apostrophe before it, which spreadsheets take as the mark of
/// text; numbers stay numbers. Cost: the text's length. Source: RFC 4180 (2005).</para>
/// </remarks>
public static class CsvCell
{
    /// <summary>The cell of a text, between quotes where it needs them.</summary>
    /// <param name="text">The text.</param>
    public static string Of(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        string safe = IsFormula(text) ? "'" + text : text;
        return safe.AsSpan().IndexOfAny(",\"\r\n") < 0 ? safe : "\"" + safe.Replace("\"", "\"\"", StringComparison.Ordinal) + "\"";
    }

    /// <summary>The text that a cell, its quotes taken off, was written for.</summary>
    /// <param name="cell">The cell.</param>
    public static string TextOf(string cell)
    {
        ArgumentNullException.ThrowIfNull(cell);
        return cell.Length > 1 && cell[0] == '\'' && IsFormula(cell[1..]) ? cell[1..] : cell;
    }

    private static bool IsFormula(string text) => text.Length > 0 && text[0] is '=' or '+' or '-' or '@' or '\t' or '\r'
        && !double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out _);
}
