using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>Adds to a finished PDF file what its writer does not know: its language, and bookmarks to named places.</summary>
/// <remarks>Source: an incremental update as in ISO 32000-1:2008, 7.5.6; the outline as in 12.3.3; the language as in 14.9.2.</remarks>
internal static partial class PdfOutline
{
    /// <summary>The file with its language and bookmarks.</summary>
    /// <param name="pdf">A file with a plain table of its objects at its end.</param>
    /// <param name="language">Language of its text, as en.</param>
    /// <param name="marks">Names of places in the file with the titles of their bookmarks, in order.</param>
    public static byte[] Added(byte[] pdf, string language, IReadOnlyList<(string Place, string Title)> marks)
    {
        string text = Encoding.Latin1.GetString(pdf);
        Match end = Tail().Match(text);
        int size = Number(Size().Match(end.Groups["trailer"].Value)), root = Number(Root().Match(end.Groups["trailer"].Value));
        int at = text.LastIndexOf(FormattableString.Invariant($"\n{root} 0 obj"), StringComparison.Ordinal), close = text.IndexOf("endobj", at, StringComparison.Ordinal);
        if (!end.Success || at < 0 || close < 0)
        {
            throw new InvalidOperationException("The file has no catalogue that can be added to.");
        }

        string catalogue = text[(text.IndexOf("<<", at, StringComparison.Ordinal) + 2)..text.LastIndexOf(">>", close, StringComparison.Ordinal)];
        StringBuilder added = new("\n");
        List<(int Number, int Offset)> objects = [];
        Put(root, $"{catalogue}\n/Lang ({language})\n/PageMode /UseOutlines\n/Outlines {size} 0 R");
        Put(size, FormattableString.Invariant($"/Type /Outlines\n/First {size + 1} 0 R\n/Last {size + marks.Count} 0 R\n/Count {marks.Count}"));
        for (int i = 0; i < marks.Count; i++)
        {
            string before = i > 0 ? FormattableString.Invariant($"\n/Prev {size + i} 0 R") : "", after = i < marks.Count - 1 ? FormattableString.Invariant($"\n/Next {size + i + 2} 0 R") : "";
            Put(size + 1 + i, FormattableString.Invariant($"/Title <FEFF{Convert.ToHexString(Encoding.BigEndianUnicode.GetBytes(marks[i].Title))}>\n/Parent {size} 0 R{before}{after}\n/Dest /{marks[i].Place}"));
        }

        int table = pdf.Length + added.Length;
        added.Append("xref\n");
        foreach ((int number, int offset) in objects)
        {
            added.Append(CultureInfo.InvariantCulture, $"{number} 1\n{offset:0000000000} 00000 n \n");
        }

        string trailer = Size().Replace(end.Groups["trailer"].Value, FormattableString.Invariant($"/Size {size + 1 + marks.Count}"));
        added.Append(CultureInfo.InvariantCulture, $"trailer\n<<{trailer}\n/Prev {end.Groups["table"].Value}>>\nstartxref\n{table}\n%%EOF\n");
        return [.. pdf, .. Encoding.Latin1.GetBytes(added.ToString())];

        void Put(int number, string what)
        {
            objects.Add((number, pdf.Length + added.Length));
            added.Append(CultureInfo.InvariantCulture, $"{number} 0 obj\n<<{what}>>\nendobj\n");
        }
    }

    private static int Number(Match match) => match.Success ? int.Parse(match.Groups["n"].Value, CultureInfo.InvariantCulture) : throw new InvalidOperationException("The file's end does not say where its objects are.");

    [GeneratedRegex(@"trailer\s*<<(?<trailer>[^>]*(?:<[0-9A-Fa-f]*>[^>]*)*)>>\s*startxref\s+(?<table>\d+)\s+%%EOF\s*$", RegexOptions.ExplicitCapture)]
    private static partial Regex Tail();

    [GeneratedRegex(@"/Size (?<n>\d+)", RegexOptions.ExplicitCapture)]
    private static partial Regex Size();

    [GeneratedRegex(@"/Root (?<n>\d+) 0 R", RegexOptions.ExplicitCapture)]
    private static partial Regex Root();
}
