using System.Text;

namespace Keyline.Console.Cli;

/// <summary>A writer to standard output or error that never ends the program: what cannot be written is dropped and remembered, and
/// control characters, which a terminal would obey, are written out.</summary>
/// <remarks>Line feed and tab pass, and carriage return where <paramref name="returns"/> says so, for the line of progress.</remarks>
/// <param name="to">Where it goes.</param>
/// <param name="returns">Whether a carriage return passes.</param>
internal sealed class CarefulText(TextWriter to, bool returns) : TextWriter(System.Globalization.CultureInfo.InvariantCulture)
{
    /// <summary>What the first failure was; null where there was none.</summary>
    public string? Failure { get; private set; }

    public override Encoding Encoding => to.Encoding;

    public override void Write(char value) => Write([value]);

    public override void Write(char[] buffer, int index, int count) => Write(buffer.AsSpan(index, count));

    public override void Write(string? value) => Write(value.AsSpan());

    public override void WriteLine(string? value) => Write((value ?? "") + CoreNewLineText);

    public override void Write(ReadOnlySpan<char> buffer)
    {
        if (Failure is not null)
        {
            return;
        }

        try
        {
            to.Write(Plain(buffer));
        }
        catch (Exception e) when (e is IOException or ObjectDisposedException or UnauthorizedAccessException)
        {
            Failure = e.Message.ReplaceLineEndings(" ");
        }
    }

    public override void Flush()
    {
        try
        {
            to.Flush();
        }
        catch (Exception e) when (e is IOException or ObjectDisposedException or UnauthorizedAccessException)
        {
            Failure ??= e.Message.ReplaceLineEndings(" ");
        }
    }

    private string CoreNewLineText => new(CoreNewLine);

    private string Plain(ReadOnlySpan<char> text)
    {
        StringBuilder plain = new(text.Length);
        for (int i = 0; i < text.Length; i++)
        {
            char c = text[i];
            bool passes = c is '\n' or '\t' || (c == '\r' && (returns || (i + 1 < text.Length && text[i + 1] == '\n'))) || !(char.IsControl(c) || IsTurning(c));
            _ = passes ? plain.Append(c) : plain.Append(System.Globalization.CultureInfo.InvariantCulture, $"\\u{(int)c:x4}");
        }

        return plain.ToString();
    }

    // Marks that turn the direction of what follows can make one name look like another.
    private static bool IsTurning(char c) => c is (>= '\u202a' and <= '\u202e') or (>= '\u2066' and <= '\u2069');
}
