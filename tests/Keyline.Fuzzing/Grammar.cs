using System.Text;

namespace Keyline.Fuzzing;

/// <summary>Damages texts by what they are made of: a number, a name, an element or a row is changed, taken out, swapped or repeated, so that
/// what comes out is mostly still of the format and reaches what lies behind the reader.</summary>
internal static class Grammar
{
    private const int MostBytes = 1 << 20;

    private static readonly string[] Numbers =
    [
        "0", "-0", "1", "-1", "1e308", "-1e308", "1e-308", "NaN", "Infinity", "99999999999999999999", "2147483648", "-2147483649", "0.1", "180", "-180", "90", "-90.0000001", "360", "1,5", "+7", "0x10",
        "4326", "32610", "32631", "3857", "2227", "1000000", "12001", "200", "3.0000000000000001",
    ];

    private static readonly string[] Names =
    [
        "", " ", "\u0000", "=1+1", "@a", "-b", "\u202e", "\ud83d\ude00", "e\u0301", "a,b", "a\"b", "a\nb", "<b>", "&amp;", "../x", "CON", "nul", "rip-line", "guide-line", "boundary", "avoid", "Polygon",
        "LineString", "Point", "MultiPolygon", "GeometryCollection", "true", "null",
    ];

    /// <summary>A damaged copy. Large repetition now and then shows what takes more than linear time.</summary>
    public static byte[] Of(byte[] sound, Dice dice)
    {
        List<string> tokens = Tokens(Encoding.UTF8.GetString(sound));
        for (int change = 1 + dice.Below(4); change > 0 && tokens.Count > 0; change--)
        {
            int at = dice.Below(tokens.Count), to = Math.Min(tokens.Count, at + 1 + dice.Below(40));
            switch (dice.Below(12))
            {
                case < 4:
                    at = Find(tokens, at, t => t.Length > 0 && IsNumber(t[0]));
                    tokens[at] = Numbers[dice.Below(Numbers.Length)];
                    break;
                case < 7:
                    at = Find(tokens, at, t => t.Length > 0 && char.IsAsciiLetter(t[0]));
                    tokens[at] = dice.Below(8) == 0 ? new string('x', 1 << dice.Below(17)) : Names[dice.Below(Names.Length)];
                    break;
                case 7:
                    tokens.RemoveRange(at, to - at);
                    break;
                case 8:
                    int other = dice.Below(tokens.Count);
                    (tokens[at], tokens[other]) = (tokens[other], tokens[at]);
                    break;
                case 9:
                    string[] moved = [.. tokens[at..to]];
                    tokens.InsertRange(dice.Below(tokens.Count), moved);
                    break;
                case 10 when dice.Below(4) == 0:
                    Repeat(tokens, at, to, 1 << (4 + dice.Below(11)));
                    break;
                default:
                    Repeat(tokens, at, to, 1 + dice.Below(8));
                    break;
            }
        }

        byte[] bytes = Encoding.UTF8.GetBytes(string.Concat(tokens));
        return bytes.Length <= MostBytes ? bytes : bytes[..MostBytes];
    }

    // From bracket to bracket where there are any, so that what is repeated is an element.
    private static void Repeat(List<string> tokens, int at, int to, int times)
    {
        int open = tokens.FindIndex(at, t => t is "{" or "[" or "<" or "\n");
        int end = open < 0 ? -1 : Close(tokens, open);
        (at, to) = end > open && open >= 0 ? (open, end) : (at, to);
        string piece = string.Concat(tokens[at..to]);
        string comma = at < tokens.Count && tokens[at] is "{" or "[" ? "," : "";
        times = Math.Min(times, MostBytes / Math.Max(1, piece.Length));
        tokens.Insert(to, string.Concat(Enumerable.Repeat(comma + piece, Math.Max(0, times))));
    }

    private static int Close(List<string> tokens, int open)
    {
        if (tokens[open] is "\n" or "<")
        {
            int next = tokens.FindIndex(open + 1, t => t == (tokens[open] == "<" ? ">" : "\n"));
            return next < 0 ? -1 : tokens[open] == "<" ? next + 1 : next;
        }

        int depth = 0;
        for (int i = open; i < tokens.Count; i++)
        {
            depth += tokens[i] is "{" or "[" ? 1 : tokens[i] is "}" or "]" ? -1 : 0;
            if (depth == 0)
            {
                return i + 1;
            }
        }

        return -1;
    }

    private static int Find(List<string> tokens, int from, Predicate<string> which)
    {
        int at = tokens.FindIndex(from, which);
        at = at < 0 ? tokens.FindIndex(which) : at;
        return at < 0 ? from : at;
    }

    private static List<string> Tokens(string text)
    {
        List<string> tokens = [];
        for (int i = 0; i < text.Length;)
        {
            int end = i + 1;
            while (end < text.Length && ((IsNumber(text[i]) && IsNumber(text[end])) || (IsWord(text[i]) && IsWord(text[end]))))
            {
                end++;
            }

            tokens.Add(text[i..end]);
            i = end;
        }

        return tokens;
    }

    private static bool IsNumber(char c) => char.IsAsciiDigit(c) || c is '-' or '+' or '.';

    private static bool IsWord(char c) => char.IsAsciiLetter(c) || c == '_';
}
