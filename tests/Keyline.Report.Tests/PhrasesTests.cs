using System.Collections;
using System.Globalization;
using System.Reflection;
using System.Text.RegularExpressions;

namespace Keyline.Report.Tests;

/// <summary>Every sentence of the page is there in every language, with the same places; what the script says is among them; colours can be read.</summary>
/// <remarks>Contrast: WCAG 2.2, 1.4.3 (4.5 to 1 for text) and 1.4.11 (3 to 1 for graphics).</remarks>
public sealed partial class PhrasesTests
{
    private static IEnumerable<(string Name, Phrase Phrase)> All()
    {
        foreach (FieldInfo field in typeof(Phrases).GetFields(BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic))
        {
            IEnumerable<Phrase> phrases = field.GetValue(null) switch
            {
                Phrase one => [one],
                IEnumerable<Phrase> many => many,
                IDictionary by => by.Values.Cast<Phrase>(),
                _ => [],
            };
            foreach (Phrase phrase in phrases)
            {
                yield return (field.Name, phrase);
            }
        }

        foreach ((string key, Phrase phrase) in MapPhrases.All)
        {
            yield return (key, phrase);
        }
    }

    [Fact]
    public void EveryPhrase_IsThereInBothLanguages()
    {
        (string Name, Phrase Phrase)[] all = [.. All()];
        Assert.True(all.Length > 250, "the table was not found");
        foreach ((string name, Phrase phrase) in all)
        {
            Assert.True(phrase.En.Trim().Length > 0 && phrase.Es.Trim().Length > 0, name);
            Assert.True(phrase.En != phrase.Es || phrase.En.Length <= 12 || name == "by.plain", $"{name} is the same in both languages: {phrase.En}");
            Assert.Equal(PlacesIn(phrase.En), PlacesIn(phrase.Es));
        }
    }

    [Fact]
    public void EveryPhraseOfTheScript_IsInTheTable()
    {
        (string script, _) = ReportPage.OwnText;
        string[] said = [.. SaidByScript().Matches(script).Select(m => m.Groups[1].Value)];
        Assert.True(said.Length > 30, $"{said.Length} found");
        Assert.All(said, key => Assert.Contains(key, MapPhrases.All.Keys));
        // And none lies there unused; those of layers and colourings are named by the markup.
        Assert.All(MapPhrases.All.Keys.Where(k => k.StartsWith("l.", StringComparison.Ordinal) || k.StartsWith("card.", StringComparison.Ordinal) || k.StartsWith("m.", StringComparison.Ordinal) || k.StartsWith("w.", StringComparison.Ordinal)), key => Assert.Contains($"'{key}'", script, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("ink", "paper"), InlineData("ink", "card"), InlineData("quiet", "paper"), InlineData("quiet", "card"), InlineData("hill", "paper"), InlineData("hill", "card"), InlineData("card", "hill"), InlineData("care", "card"), InlineData("soil", "paper")]
    public void Text_CanBeReadOnItsGround(string text, string ground)
    {
        (_, string style) = ReportPage.OwnText;
        Assert.InRange(Contrast(Variable(style, text), Variable(style, ground)), 4.5, 21);
    }

    [Fact]
    public void Lines_StandOutFromTheGround()
    {
        (string script, _) = ReportPage.OwnText;
        string table = script[script.IndexOf("const STYLE", StringComparison.Ordinal)..script.IndexOf("const GRADES", StringComparison.Ordinal)];
        string[] colours = [.. Colour().Matches(table).Select(m => m.Value)];
        Assert.True(colours.Length >= 18);
        foreach (SkiaSharp.SKColor ground in (SkiaSharp.SKColor[])[MapStyle.LowGround, MapStyle.HighGround])
        {
            string tint = FormattableString.Invariant($"#{ground.Red:x2}{ground.Green:x2}{ground.Blue:x2}");
            Assert.All(colours, colour => Assert.True(Contrast(colour, tint) >= 3, $"{colour} on {tint}: {Contrast(colour, tint):0.00}"));
        }
    }

    [Fact]
    public void Numbers_AreWrittenAsTheLanguageDoes()
    {
        Assert.Equal("1,234.6 m", Measure.Length(1234.56, 1).In("en"));
        Assert.Equal("1.234,6 m", Measure.Length(1234.56, 1).In("es"));
        Assert.Equal("99.9 %", Measure.Share(0.99999).In("en"));
        Assert.Equal("16.6 ha", Measure.Area(166_490.3).In("en"));
        Assert.Equal("–", Measure.Length(double.NaN).In("en"));
    }

    private static string PlacesIn(string text) => string.Join(' ', PlaceIn().Matches(text).Select(m => m.Value).Order(StringComparer.Ordinal));

    private static string Variable(string style, string name) => Regex.Match(style, $"--{name}: (#[0-9a-f]+);").Groups[1].Value;

    private static double Contrast(string one, string other)
    {
        (double a, double b) = (Light(one), Light(other));
        return (Math.Max(a, b) + 0.05) / (Math.Min(a, b) + 0.05);
    }

    private static double Light(string colour)
    {
        string six = colour.Length == 4 ? string.Concat(colour.Skip(1).SelectMany(c => new[] { c, c })) : colour[1..];
        double[] linear = [.. Enumerable.Range(0, 3).Select(i => int.Parse(six.AsSpan(2 * i, 2), NumberStyles.HexNumber, CultureInfo.InvariantCulture) / 255.0).Select(c => c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4))];
        return (0.2126 * linear[0]) + (0.7152 * linear[1]) + (0.0722 * linear[2]);
    }

    [GeneratedRegex(@"\{\d\}")]
    private static partial Regex PlaceIn();

    [GeneratedRegex(@"say\('([a-z.]+)'[,)]")]
    private static partial Regex SaidByScript();

    [GeneratedRegex("#[0-9a-f]{6}")]
    private static partial Regex Colour();
}
