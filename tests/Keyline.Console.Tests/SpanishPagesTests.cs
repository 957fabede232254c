using System.Net;
using System.Text.RegularExpressions;
using Keyline.Report;
using Keyline.Water;

namespace Keyline.Console.Tests;

/// <summary>Pages and sheets in Spanish, whole: nothing of ours is left in English but sources, names and words that files are read by.</summary>
public sealed partial class SpanishPagesTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void SheetsAndPages_AreSaidWhole()
    {
        Assert.InRange(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "3 m", "--out", _farm.Out).Exit, 0, 3);
        using (StreamWriter text = new(_farm.At("daily.csv")))
        {
            InventedWeather.Write(text, 3, new DateOnly(2010, 1, 1), 6 * 365);
        }

        Page("season", "season.html", "season", "--weather", _farm.At("daily.csv"), "--latitude", "38", "--soil", "loam", "--depth", "40 cm", "--plan", _farm.Out);
        string notes = _farm.Write("notes.geojson", TestFarm.Feature("Point", TestFarm.Place(140, 110), """{"setback_m": 10, "name": "peña"}"""));
        Page("revised", "changes.html", "revise", _farm.Out, "--notes", notes);
        string gone = _farm.Write("gone.geojson", TestFarm.Feature("Point", TestFarm.Place(140, 110), """{"free": true}"""));
        Page("freed", "changes.html", "revise", _farm.At("revised"), "--notes", gone, "--dem", _farm.Dem);
        Page("work", "sheet-01.html", "work", _farm.Out, "--machine", "front-assist-90");
        Page("trial", "trial.html", "trial", _farm.Out, "--dem", _farm.Dem, "--blocks", "2", "--passes", "3", "--plot-length", "50 m");
    }

    private void Page(string folder, string page, params string[] call)
    {
        CliResult english = Cli.Run([.. call, "--out", _farm.At(folder)]), spanish = Cli.Run([.. call, "--language", "es", "--units", "us", "--out", _farm.At(folder + "-es")]);
        Assert.True(english.Exit is 0 or 3 && spanish.Exit == english.Exit, english.Error + spanish.Error);
        string left = string.Join('\n', PageTongue.Unsaid(File.ReadAllText(Path.Combine(_farm.At(folder), page))).Where(t => OfOurs().IsMatch(" " + t + " ")));
        Assert.True(left.Length == 0, left);
        string said = WebUtility.HtmlDecode(File.ReadAllText(Path.Combine(_farm.At(folder + "-es"), page)));
        Assert.Contains("<html lang=\"es\">", said, StringComparison.Ordinal);
        Assert.Matches("[0-9] (pies|pulg)", said);
        Assert.DoesNotContain(" NaN", said, StringComparison.Ordinal);
    }

    [Fact]
    public void OtherLanguages_AreRefused()
    {
        CliResult run = Cli.Run("season", "--weather", _farm.Dem, "--soil", "loam", "--language", "fr", "--out", _farm.At("season"));
        Assert.Equal(2, run.Exit);
    }

    // Small words that no name or source of these pages holds alone.
    [GeneratedRegex(@"[ (](the|is|are|was|were|with|which|before|after|where|not|its|this|that|from|to|on|at)[ ,.)]", RegexOptions.IgnoreCase)]
    private static partial Regex OfOurs();
}
