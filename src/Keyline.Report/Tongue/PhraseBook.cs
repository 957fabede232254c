using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>Sentences and words of the pages beside the report in Spanish, known by their shape.</summary>
/// <remarks>
/// <para>A shape has places in braces: {n} a number, {q} one or two numbers with a unit, {d} a day, {z} letters of zones, {t} any text, {w} words that are said too, {l} several of them with semicolons between.</para>
/// <para>Promises: of the shapes that fit, the one that says most is taken; no place takes the end of a sentence and the beginning of the next, save in a title, whose name may hold anything. What no shape
/// fits is looked at sentence by sentence, and stays as it is where none fits either. Cost: that of trying the shapes, some hundred.</para>
/// </remarks>
internal static partial class PhraseBook
{
    // Making a pattern takes longer than all else here, so one is made only for a text that has all a shape says beside its places, in that order.
    private sealed record Shape(Lazy<Regex> Known, string[] Fixed, string[] Kinds, string Spanish)
    {
        // A title has no stop at its end.
        public bool IsTitle => Fixed[^1].Length == 0 || char.IsLetterOrDigit(Fixed[^1][^1]);

        public string? Of(string text, bool loosely, List<string>? unsaid) =>
            Fits(text) is { } match && (loosely || !match.Groups.Values.Skip(1).Any(g => Swallows(g.Value)))
                ? string.Format(CultureInfo.InvariantCulture, Spanish, [.. Kinds.Select((kind, i) => (object)Put(kind, match.Groups[i + 1].Value, unsaid))])
                : null;

        private Match? Fits(string text)
        {
            if (!text.StartsWith(Fixed[0], StringComparison.Ordinal) || !text.EndsWith(Fixed[^1], StringComparison.Ordinal))
            {
                return null;
            }

            int at = 0;
            foreach (string part in Fixed)
            {
                int found = text.IndexOf(part, at, StringComparison.Ordinal);
                if (found < 0)
                {
                    return null;
                }

                at = found + part.Length;
            }

            return Known.Value.Match(text) is { Success: true } match ? match : null;
        }
    }

    private static readonly Lazy<(Dictionary<string, string> Exact, Shape[] Shapes)> Book = new(() =>
    {
        Dictionary<string, string> exact = new(StringComparer.Ordinal);
        List<Shape> shapes = [];
        foreach ((string english, string spanish) in All)
        {
            string[] kinds = [.. Places().Matches(english).Select(m => m.Groups[1].Value)];
            if (kinds.Length == 0)
            {
                exact.TryAdd(english, spanish);
            }
            else
            {
                shapes.Add(new Shape(new Lazy<Regex>(() => new Regex(Pattern(english), RegexOptions.CultureInvariant | RegexOptions.NonBacktracking)), FixedParts(english), kinds, spanish));
            }
        }

        // "May has them most often" before what any word may begin.
        return (exact, [.. shapes.OrderByDescending(s => s.Fixed.Sum(part => part.Length))]);
    });

    /// <summary>Every shape with its Spanish.</summary>
    public static IEnumerable<(string English, string Spanish)> All =>
    [
        .. CommonWords.All, .. SheetWords.All, .. SeasonWords.All, .. SoilWords.All, .. RuleWords.All, .. TrialWords.All, .. FormWords.All, .. ResultPhrases.All, .. SetOutWords.All, .. WaterWords.All, .. BatchWords.All, .. ReviseWords.All, .. MapWords.All,
        .. Phrases.Cautions.Select(c => (c.En, c.Es)),
        ("{q}", "{0}"),
    ];

    /// <summary>How many places a shape has.</summary>
    public static int PlacesOf(string english) => Places().Count(english);

    /// <summary>A text in Spanish, with the blanks about it.</summary>
    public static string Say(string text) => Told(text, null);

    /// <summary>A sentence in Spanish; null where a part of it has none.</summary>
    public static string? Whole(string sentence)
    {
        List<string> unsaid = [];
        string said = Told(sentence, unsaid);
        return unsaid.Count == 0 && said != sentence ? said : null;
    }

    /// <summary>What of a text has no Spanish.</summary>
    public static IReadOnlyList<string> Unsaid(string text)
    {
        List<string> unsaid = [];
        Told(text, unsaid);
        return unsaid;
    }

    /// <summary>Whether a text holds the end of one sentence and the beginning of another.</summary>
    internal static bool Swallows(string text) => Stops().Matches(text).Any(stop => !Shortened().IsMatch(text[..(stop.Index + 1)]));

    private static string Told(string text, List<string>? unsaid)
    {
        Match edge = Edges().Match(text);
        string inside = Blanks().Replace(edge.Groups["inside"].Value, " ");
        return inside.Length == 10 && CommonWords.Day(inside) is var day && day != inside ? edge.Groups["before"].Value + day + edge.Groups["after"].Value
            : inside.Length == 0 || !Letters().IsMatch(inside) ? text : edge.Groups["before"].Value + Inside(inside, unsaid) + edge.Groups["after"].Value;
    }

    private static string Inside(string text, List<string>? unsaid)
    {
        if (Whole(text, unsaid) is { } whole)
        {
            return whole;
        }

        // What stands before and behind: a point, a colon, a mark of the key.
        Match marks = Marks().Match(text);
        string bare = marks.Groups["inside"].Value;
        if (bare.Length < text.Length && bare.Length > 0 && Whole(bare, unsaid) is { } inner)
        {
            return marks.Groups["before"].Value + inner + marks.Groups["after"].Value;
        }

        string[] words = text.Split(", ");
        if (words.Length > 1 && Array.TrueForAll(words, Book.Value.Exact.ContainsKey))
        {
            return string.Join(", ", words.Select(w => Book.Value.Exact[w]));
        }

        string[] sentences = Ends().Split(text);
        if (sentences.Length == 1)
        {
            unsaid?.Add(text);
            return text;
        }

        if (Array.TrueForAll(sentences, sentence => Known(sentence, null) is null) && FirstOf(Book.Value.Shapes.Where(s => s.IsTitle), text, true, unsaid) is { } title)
        {
            return title;
        }

        // The longest run of sentences that is known, from each on.
        StringBuilder said = new();
        for (int from = 0; from < sentences.Length;)
        {
            int to = sentences.Length;
            string? known = null;
            while (to > from && (known = from == 0 && to == sentences.Length ? null : Known(string.Join(' ', sentences[from..to]), unsaid)) is null)
            {
                to--;
            }

            said.Append(said.Length > 0 ? " " : "").Append(known ?? sentences[from]);
            if (known is null)
            {
                unsaid?.Add(sentences[from]);
            }

            from = known is null ? from + 1 : to;
        }

        return said.ToString();
    }

    private static string? Known(string text, List<string>? unsaid)
    {
        if (Whole(text, unsaid) is { } whole)
        {
            return whole;
        }

        Match marks = Marks().Match(text);
        string bare = marks.Groups["inside"].Value;
        return bare.Length < text.Length && bare.Length > 0 && Whole(bare, unsaid) is { } inner ? marks.Groups["before"].Value + inner + marks.Groups["after"].Value : null;
    }

    private static string? Whole(string text, List<string>? unsaid)
    {
        (Dictionary<string, string> exact, Shape[] shapes) = Book.Value;
        if (exact.TryGetValue(text, out string? said))
        {
            return said;
        }

        return FirstOf(shapes, text, false, unsaid);
    }

    private static string? FirstOf(IEnumerable<Shape> shapes, string text, bool loosely, List<string>? unsaid)
    {
        foreach (Shape shape in shapes)
        {
            if (shape.Of(text, loosely, unsaid) is { } said)
            {
                return said;
            }
        }

        return null;
    }

    private static string Put(string kind, string text, List<string>? unsaid) => kind switch
    {
        "w" => text.Length == 0 ? "" : Told(text, unsaid),
        "d" => CommonWords.Day(text),
        "l" => string.Join("; ", text.Split("; ").Select(t => Told(t, unsaid))),
        "q" => Unit().Replace(text.Replace(" to ", " a ", StringComparison.Ordinal), m => m.Value switch { "ft" => "pies", "in" => "pulg", "ac" => "acres", "in/h" => "pulg/h", "yd3" => "yd3", "days" => "días", _ => m.Value }),
        _ => text,
    };

    // What stands before, between and behind the places.
    private static string[] FixedParts(string shape)
    {
        MatchCollection places = Places().Matches(shape);
        return [.. Enumerable.Range(0, places.Count + 1).Select(i => shape[(i == 0 ? 0 : places[i - 1].Index + places[i - 1].Length)..(i == places.Count ? shape.Length : places[i].Index)])];
    }

    private static string Pattern(string shape)
    {
        StringBuilder pattern = new("^");
        int from = 0;
        foreach (Match place in Places().Matches(shape))
        {
            pattern.Append(Regex.Escape(shape[from..place.Index])).Append(place.Groups[1].Value switch
            {
                "n" => "([-+]?[0-9][0-9.,]*|over 1000)",
                "q" => "([-+]?[0-9][0-9.,]*(?: to [-+]?[0-9][0-9.,]*)? [a-zA-Z0-9/²³]+)",
                "d" => "([0-9]{4}-[0-9]{2}-[0-9]{2})",
                "z" => "([A-Z/–]{1,20})",
                "t" or "l" => "(.+?)",
                _ => "(.*?)",
            });
            from = place.Index + place.Length;
        }

        return pattern.Append(Regex.Escape(shape[from..])).Append('$').ToString();
    }

    [GeneratedRegex(@"\{([nqdztwl])\}")]
    private static partial Regex Places();

    [GeneratedRegex(@"^(?<before>\s*)(?<inside>.*?)(?<after>\s*)$", RegexOptions.Singleline | RegexOptions.ExplicitCapture)]
    private static partial Regex Edges();

    [GeneratedRegex(@"^(?<before>(?:[^\p{L}0-9""“]+\s)?)(?<inside>.*?)(?<after>[.:;,!?]*)$", RegexOptions.Singleline | RegexOptions.ExplicitCapture)]
    private static partial Regex Marks();

    [GeneratedRegex(@"\s+")]
    private static partial Regex Blanks();

    [GeneratedRegex(@"\p{L}")]
    private static partial Regex Letters();

    [GeneratedRegex(@"(?<=[.?!:]) (?=[\p{Lu}0-9""“])")]
    private static partial Regex Ends();

    [GeneratedRegex(@"[.?!](?= [\p{Lu}""“])")]
    private static partial Regex Stops();

    // A stop behind an initial or a shortened title ends no sentence.
    [GeneratedRegex(@"(?:^|[^\p{L}\d])(?:\p{Lu}|St|Ste|Mt|Mr|Mrs|Dr|No|Jr|Sr|Sta|Sto)\.$")]
    private static partial Regex Shortened();

    [GeneratedRegex("[a-zA-Z][a-zA-Z0-9/]*$")]
    private static partial Regex Unit();
}
