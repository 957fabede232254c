using System.Globalization;
using System.Text.RegularExpressions;

namespace Keyline.Report.Tests;

/// <summary>Every shape of every table of sentences: it says itself, and no place of it takes two sentences.</summary>
public sealed class PhraseBookTests
{
    private const string Next = "Nobody has said this one yet.";

    /// <summary>A shape filled with what its places hold comes out as its own Spanish, and nothing of it is left in English.</summary>
    [Fact]
    public void EveryShape_SaysItself()
    {
        foreach ((string english, string spanish) in PhraseBook.All)
        {
            string text = Filled(english, kind => Value(kind).English);
            object[] values = [.. Kinds(english).Select(kind => (object)Value(kind).Spanish)];
            Assert.Equal(string.Format(CultureInfo.InvariantCulture, spanish, values), PhraseBook.Say(text));
            Assert.Empty(PhraseBook.Unsaid(text));
        }
    }

    /// <summary>What a storm says of lines, dams, outlets, avoided ground and holes is said whole in Spanish.</summary>
    [Theory]
    [InlineData("Line R001 lets 4.7 L/s go at its end at 0.75 m/s and 17.0 Pa, more than fresh soil stands (0.3 m/s, 2.3 Pa): less fall and breaks would not do: lead it to a stable outlet there. The nearest outlet, outlet 1, is 148 m away.", "salir por su extremo")]
    [InlineData("Line R009 lets 1.9 L/s run 170 m from its start at 0.46 m/s and 4.5 Pa, more than fresh soil stands (0.3 m/s, 2.3 Pa): let it fall no more than 0.83 % and break it every 45 m, or lead it to a stable outlet there.", "córtela cada 45 m")]
    [InlineData("Line R009 lets 1.2 L/s go at its end at 0.31 m/s and 2.5 Pa, more than fresh soil stands (0.3 m/s, 2.3 Pa): let it fall no more than 0.9 %, or break it every 45 m, or lead it to a stable outlet there.", "no caiga más del 0.9 %")]
    [InlineData("So it is at 43 more places: findings.geojson has each with its place and what would help it.", "43 lugares más")]
    [InlineData("17 lines spill at a low place along the way: findings.geojson has them too.", "rebosan")]
    [InlineData("House pond stores 186.3 m3 with the plan and 184.3 m3 without, the rain on it in both; it is taken to hold what comes.", "House pond guarda")]
    [InlineData("Outlet 1 gets 25.7 m3 out of 5 line ends: see that it stands that.", "5 extremos")]
    [InlineData("Avoided ground that takes nothing in: The Heap.", "no absorbe nada")]
    [InlineData("Avoided ground that is taken as the ground around it, for its kind is not told: Tree belt. Kinds that behave otherwise are dam, rock, building, yard, track, road and wetland (the attribute kind, or a word of the name).", "humedal")]
    [InlineData("Lines end on the headland of 6.0 m, which is not ripped and is taken to take in 40 % of what its soil would (--headland-intake).", "cabecera de 6.0 m")]
    [InlineData("The height of 36 cells in the field is not known (144 m2, holes: 1); the greatest hole, 144 m2, lies at 37.04220, -121.87460. Such ground counts as outside: no rain falls on it, and water that the land leads to it is gone.", "36 celdas")]
    public void Storms_AreSaidInSpanish(string text, string part)
    {
        Assert.Empty(PhraseBook.Unsaid(text));
        Assert.Contains(part, PhraseBook.Say(text), StringComparison.Ordinal);
    }

    /// <summary>A sentence that nobody has said stays whole behind every sentence, and does not keep that one from being said.</summary>
    [Fact]
    public void EverySentence_LeavesTheNextOneAlone()
    {
        foreach ((string english, string spanish) in PhraseBook.All.Where(p => p.English[^1] is '.' or '?' or '!'))
        {
            string text = Filled(english, kind => Value(kind).English);
            string said = PhraseBook.Say(text + " " + Next);
            Assert.Equal(PhraseBook.Say(text) + " " + Next, said);
            Assert.Equal([Next], PhraseBook.Unsaid(text + " " + Next));
        }
    }

    /// <summary>A place that holds the end of a sentence and the beginning of the next makes the shape fit no longer: what is known of the text is said, and the strange sentences stay whole.</summary>
    [Fact]
    public void NoPlaceOfASentence_TakesTwoSentences()
    {
        int tried = 0;
        foreach ((string english, _) in PhraseBook.All.Where(p => p.English[^1] is '.' or '?' or '!'))
        {
            string[] kinds = Kinds(english);
            for (int place = 0; place < kinds.Length; place++)
            {
                if (kinds[place] is "t" or "w" or "l")
                {
                    int at = 0, here = place;
                    string text = Filled(english, kind => at++ == here ? "of a strange kind. " + Next + " So is the last" : Value(kind).English);
                    Assert.Contains(Next, PhraseBook.Unsaid(text));
                    Assert.Contains(Next, PhraseBook.Say(text), StringComparison.Ordinal);
                    tried++;
                }
            }
        }

        Assert.InRange(tried, 100, 2000);
    }

    [Theory]
    [InlineData("It is dry. The rest waits", true)]
    [InlineData("It is 40 cm. \"Low\" waits", true)]
    [InlineData("Is it dry? No", true)]
    [InlineData("St. Mary, no. 4", false)]
    [InlineData("J. Smith's field", false)]
    [InlineData("Franklin et al. 2007 (Fig. 3)", false)]
    [InlineData("0.5 m", false)]
    [InlineData("It is dry.", false)]
    public void Swallows_FindsAnEndAndABeginning(string text, bool two) => Assert.Equal(two, PhraseBook.Swallows(text));

    /// <summary>A name in a title may hold anything; a sentence that begins as another does has its own Spanish.</summary>
    [Theory]
    [InlineData("When to rip: Low. And high", "Cuándo subsolar: Low. And high")]
    [InlineData("2027-05-01", "1 de mayo de 2027")]
    [InlineData("2027-13-01", "2027-13-01")]
    [InlineData("May has them most often: begun on its first day it is done within the month in 90 % of the years.", "El mes que más los tiene es mayo: empezado el día primero, termina dentro del mes en el 90 % de los años.")]
    [InlineData("October has them most often: begun on its first day it is done within the month in 90 % of the years; in one year of five not within a year.", "El mes que más los tiene es octubre: empezado el día primero, termina dentro del mes en el 90 % de los años; un año de cada cinco no termina ni en un año.")]
    public void TheOneThatSaysMost_IsTaken(string english, string spanish) => Assert.Equal(spanish, PhraseBook.Say(english));

    private static (string English, string Spanish) Value(string kind) => kind switch
    {
        "n" => ("12.5", "12.5"),
        "q" => ("30 m", "30 m"),
        "d" => ("2027-03-20", "20 de marzo de 2027"),
        "z" => ("A/B", "A/B"),
        "t" => ("Zz-7", "Zz-7"),
        "l" => ("gypsum; draining", "yeso agrícola; drenaje"),
        _ => ("gypsum", "yeso agrícola"),
    };

    private static string[] Kinds(string shape) => [.. Places(shape).Select(m => m.Groups[1].Value)];

    private static MatchCollection Places(string shape) => Regex.Matches(shape, @"\{([nqdztwl])\}");

    private static string Filled(string shape, Func<string, string> value) => Regex.Replace(shape, @"\{([nqdztwl])\}", m => value(m.Groups[1].Value));
}
