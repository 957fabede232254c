namespace Keyline.Formats;

/// <summary>Whether a text has the shape of WKT: words with bracketed lists of texts, numbers, bare words and further such words.</summary>
/// <remarks>
/// <para>Promises: looked at before ProjNET parses a text, because its parser runs forever on one that is cut short.</para>
/// <para>Source: OGC 01-009, Coordinate Transformation Services, 2001, section 7.2.</para>
/// </remarks>
internal static class WktShape
{
    private const int Deepest = 32;

    /// <summary>Looks at a text.</summary>
    public static bool IsSound(string text)
    {
        int at = 0;
        Stack<char> open = new();
        bool wantsValue = true;
        while (true)
        {
            SkipBlanks(text, ref at);
            if (at >= text.Length)
            {
                return false;
            }

            if (wantsValue)
            {
                if (!Value(text, ref at, open))
                {
                    return false;
                }

                // A word that opens a list wants its first value next.
                wantsValue = text[at - 1] is '[' or '(' && open.Count > 0;
                if (!wantsValue && open.Count == 0)
                {
                    return false;
                }

                continue;
            }

            switch (text[at++])
            {
                case ',':
                    wantsValue = true;
                    break;
                case char close and (']' or ')'):
                    if (close != (open.Pop() == '[' ? ']' : ')'))
                    {
                        return false;
                    }

                    if (open.Count == 0)
                    {
                        SkipBlanks(text, ref at);
                        return at == text.Length;
                    }

                    break;
                default:
                    return false;
            }
        }
    }

    private static bool Value(string text, ref int at, Stack<char> open)
    {
        int start = at;
        if (text[at] == '"')
        {
            int end = text.IndexOf('"', at + 1);
            at = end + 1;

            // ProjNET's parser takes a minus before the closing quote together with it and looks for another one for ever.
            return end > 0 && open.Count > 0 && text[end - 1] != '-' && !text.AsSpan(start, at - start).ContainsAny('\n', '\r');
        }

        if (text[at] is '-' or '+' or '.' || char.IsAsciiDigit(text[at]))
        {
            while (at < text.Length && (text[at] is '-' or '+' or '.' or 'e' or 'E' || char.IsAsciiDigit(text[at])))
            {
                at++;
            }

            return open.Count > 0 && double.TryParse(text.AsSpan(start, at - start), System.Globalization.NumberStyles.Float, System.Globalization.CultureInfo.InvariantCulture, out double number) && double.IsFinite(number);
        }

        while (at < text.Length && (char.IsAsciiLetterOrDigit(text[at]) || text[at] == '_'))
        {
            at++;
        }

        if (at == start)
        {
            return false;
        }

        SkipBlanks(text, ref at);
        if (at < text.Length && text[at] is '[' or '(')
        {
            open.Push(text[at++]);
            return open.Count <= Deepest;
        }

        // A bare word, as EAST in an axis.
        return open.Count > 0;
    }

    private static void SkipBlanks(string text, ref int at)
    {
        while (at < text.Length && char.IsWhiteSpace(text[at]))
        {
            at++;
        }
    }
}
