using System.Globalization;

namespace Keyline.Console.Tests;

/// <summary>What is written has the same bytes whatever the language of the machine and the number of threads.</summary>
public sealed class SameBytesTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    // A comma for a point; another sign for minus; a dotless i; digits by twos and a calendar of its own.
    [Fact]
    public void EveryCommand_InFourLanguagesAndOnOneThread_WritesTheSame()
    {
        Assert.Equal("1,5", 1.5.ToString(CultureInfo.GetCultureInfo("de-DE")));
        Assert.NotEqual("i", "I".ToLower(CultureInfo.GetCultureInfo("tr-TR")));
        Assert.NotEqual("-1", (-1).ToString(CultureInfo.GetCultureInfo("sv-SE")));
        Assert.NotEqual("2026", new DateTime(2026, 1, 1).ToString("yyyy", CultureInfo.GetCultureInfo("fa-IR")));
        Dictionary<string, string> first = All("first", CultureInfo.InvariantCulture, "2");
        Assert.True(first.Count > 40, $"{first.Count} files");
        foreach ((string language, string threads) in new[] { ("de-DE", "1"), ("tr-TR", "2"), ("sv-SE", "1"), ("fa-IR", "2") })
        {
            Dictionary<string, string> other = All(language, CultureInfo.GetCultureInfo(language), threads);
            Assert.Equal(first.Keys.Order(StringComparer.Ordinal), other.Keys.Order(StringComparer.Ordinal));
            Assert.All(first, file => Assert.True(other[file.Key] == file.Value, $"{file.Key} in {language} on {threads} threads"));
        }
    }

    private Dictionary<string, string> All(string name, CultureInfo language, string threads)
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        string folder = _farm.At(name);
        Directory.CreateDirectory(folder);
        string At(string part) => Path.Combine(folder, part);
        try
        {
            CultureInfo.CurrentCulture = language;
            CultureInfo.DefaultThreadCurrentCulture = language;
            string[] plan = _farm.PlanWith("--spacing", "12 m");
            plan[Array.IndexOf(plan, "--out") + 1] = At("plan");
            Run(plan);
            Run("guidance", At("plan"), "--to", "gpx,gpx-routes,gpx-waypoints,kml,csv,geojson,taskdata,taskdata-zip,shapefile,geopackage", "--out", At("cab"));
            Run("setout", At("plan"), "--guide", "all", "--out", At("stakes"));
            Run("driven", At("plan"), "--track", At("plan/guidance/lines.gpx"), "--out", At("driven"));
            Run("terrain", "--dem", _farm.Dem, "--out", At("terrain"));
            Run("drainage", "--dem", _farm.Dem, "--out", At("drainage"));
            Run("landform", "--dem", _farm.Dem, "--out", At("landform"));
            File.WriteAllText(At("said.txt"), Cli.Run("check", "--dem", _farm.Dem, "--lines", At("plan/plan.geojson"), "--json").Output + Cli.Run("inspect", _farm.Dem).Output);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
            CultureInfo.DefaultThreadCurrentCulture = null;
        }

        return Keyline.Console.Cli.WrittenFiles.Below(folder).ToDictionary(n => n, n => Keyline.Console.Cli.WrittenFiles.Hash(Path.Combine(folder, n)));

        void Run(params string[] words)
        {
            CliResult run = Cli.Run([.. words, "--threads", threads, "--quiet"]);
            Assert.True(run.Exit is 0 or 3, $"{words[0]}: {run.Error}");
        }
    }
}
