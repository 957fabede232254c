using System.Text.Json;

namespace Keyline.Console.Tests;

/// <summary>Storms of a table, soils by polygons, places that are watched, and the pictures.</summary>
public sealed class WaterStormsTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Water_OfATableSoilsAndPlaces_TellsThemAll()
    {
        Assert.InRange(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "10 m", "--out", _farm.Out).Exit, 0, 3);
        _farm.Write("rain.csv", "duration_min,y6,y15,y100\n15,9,16,26\n60,15,27,44\n");
        _farm.Write("soils.geojson", Features(
            Feature("Polygon", TestFarm.Ring([(0, 0), (140, 0), (140, 220), (0, 220)]), """{"unit": "12A", "esp_pct": 9}"""),
            Feature("Polygon", TestFarm.Ring([(140, 0), (250, 0), (250, 220), (140, 220)]), """{"unit": "loam", "cracking": "no"}""")));
        _farm.Write("watch.geojson", Features(
            Feature("Polygon", TestFarm.Ring([(120, 2), (160, 2), (160, 24), (120, 24)]), """{"name": "house dam", "kind": "dam"}"""),
            Feature("Point", TestFarm.Place(140, 27), """{"name": "head cut", "kind": "gully"}"""),
            Feature("Point", TestFarm.Place(900, 900), """{"kind": "neighbour"}""")));
        CliResult run = Cli.Run(
            "water", _farm.Out, "--dem", _farm.Dem, "--storms", _farm.At("rain.csv"), "--storms-last", "30 min", "--soil", _farm.At("soils.geojson"), "--soil-by", "unit", "--soil-as", "12A = 3 mm/h; 7 = CN 80",
            "--watch", _farm.At("watch.geojson"), "--out", _farm.At("water"), "--json");
        Assert.True(run.Exit is 0 or 3, run.Error);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;

        // More rain, more of everything; the plan keeps some of each and never more than runs off.
        JsonElement[] storms = [.. said.GetProperty("storms").EnumerateArray()];
        Assert.Equal([6.0, 15, 100], storms.Select(s => s.GetProperty("return_years").GetDouble()));
        Assert.All(storms, s => Assert.InRange(s.GetProperty("kept_mm").GetDouble(), 0.3, s.GetProperty("runoff_before_mm").GetDouble() + 3));
        Assert.All(storms, s => Assert.True(s.GetProperty("runoff_after_mm").GetDouble() < s.GetProperty("runoff_before_mm").GetDouble() && s.GetProperty("peak_after_l_s").GetDouble() < s.GetProperty("peak_before_l_s").GetDouble()));
        Assert.All(storms.Zip(storms.Skip(1)), p => Assert.True(p.First.GetProperty("runoff_before_mm").GetDouble() < p.Second.GetProperty("runoff_before_mm").GetDouble() && p.First.GetProperty("storm_mm").GetDouble() < p.Second.GetProperty("storm_mm").GetDouble()));

        // Maps are of the storm nearest ten years in ratio: by the power of the table 16 (30 / 15)^0.377 mm in half an hour.
        Assert.Equal(storms[1].GetProperty("storm_mm").GetDouble(), said.GetProperty("storm_mm").GetDouble());
        Assert.Equal(16 * Math.Pow(2, Math.Log(27.0 / 16) / Math.Log(4)), said.GetProperty("storm_mm").GetDouble(), 1e-3);
        Assert.Equal(said.GetProperty("cases")[0].GetProperty("runoff_mm").GetDouble(), storms[1].GetProperty("runoff_before_mm").GetDouble());

        JsonElement[] places = [.. said.GetProperty("places").EnumerateArray()];
        Assert.Equal(["house dam", "head cut", "neighbour 1"], places.Select(p => p.GetProperty("name").GetString()));
        Assert.True(places[0].GetProperty("before_m3").GetDouble() > places[0].GetProperty("after_m3").GetDouble() + 1, "The plan takes water from the dam below.");
        Assert.True(places[1].GetProperty("before_m3").GetDouble() > 0);
        string[] sentences = [.. said.GetProperty("said").EnumerateArray().Select(s => s.GetString()!)];
        Assert.Contains(sentences, s => s.StartsWith("House dam gets", StringComparison.Ordinal) && s.Contains("does not fill it", StringComparison.Ordinal));
        Assert.Contains(sentences, s => s.StartsWith("Neighbour 1 lies off the ground", StringComparison.Ordinal));
        Assert.Contains(sentences, s => s.Contains("3 mm/h 1.8 ha, loam 1.8 ha", StringComparison.Ordinal) && s.Contains("outside the polygons (0.0 ha", StringComparison.Ordinal));
        Assert.Contains(sentences, s => s.Contains("Exchangeable sodium is 9 % at its most, and 50 % of the field is sodic", StringComparison.Ordinal));
        Assert.DoesNotContain(sentences, s => s.Contains("cracking clay", StringComparison.Ordinal));
        string text = File.ReadAllText(Path.Combine(_farm.At("water"), "water.txt"));
        Assert.Contains("Return period, years", text, StringComparison.Ordinal);
        Assert.Contains("head cut", text, StringComparison.Ordinal);
        using (JsonDocument list = JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.At("water"), "water.json"))))
        {
            JsonElement gain = list.RootElement.GetProperty("files").EnumerateArray().Single(f => f.GetProperty("file").GetString() == "gain.tif");
            Assert.True(gain.GetProperty("greatest").GetDouble() > -2 * gain.GetProperty("least").GetDouble(), "Lines take in more where they are than land between them loses.");
        }

        foreach (string name in (string[])["taken-before", "taken-after", "gain", "deepest-before", "deepest-after"])
        {
            byte[] picture = File.ReadAllBytes(Path.Combine(_farm.At("water"), name + ".png"));
            Assert.True(picture.Length > 20_000 && picture.AsSpan(0, 8).SequenceEqual<byte>([0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A]), name);
        }
    }

    /// <summary>Polygons that all say the same soil are that soil; a storm beside a table is the one that is drawn.</summary>
    [Fact]
    public void Water_OfPolygonsOfOneSoil_IsThatSoil()
    {
        _farm.WriteField("upper.geojson", [(30, 110), (250, 110), (250, 190), (30, 190)]);
        Assert.InRange(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.At("upper.geojson"), "--spacing", "20 m", "--out", _farm.Out).Exit, 0, 3);
        _farm.Write("rain.csv", "duration_min,y10\n60,20\n");
        _farm.Write("watch.geojson", Features(Feature("Point", TestFarm.Place(140, 14), """{"name": "far weir"}""")));
        _farm.Write("soils.geojson", Features(Feature("Polygon", TestFarm.Ring([(0, 0), (140, 0), (140, 220), (0, 220)]), """{"texture": "clay loam"}""")));
        string[] call = ["water", _farm.Out, "--dem", _farm.Dem, "--storm", "20 mm in 20 min", "--storm-shape", "steady", "--watch", _farm.At("watch.geojson"), "--json"];
        JsonElement one = Ran([.. call, "--soil", "clay-loam", "--out", _farm.At("one")]), two = Ran([.. call, "--soil", _farm.At("soils.geojson"), "--storms", _farm.At("rain.csv"), "--storms-last", "20 min", "--out", _farm.At("two")]);
        Assert.Equal(one.GetProperty("cases").GetRawText(), two.GetProperty("cases").GetRawText());
        JsonElement row = Assert.Single(two.GetProperty("storms").EnumerateArray());
        Assert.Equal(20 * Math.Pow(1.0 / 3, 0.25), row.GetProperty("storm_mm").GetDouble(), 1e-3);
        Assert.Empty(one.GetProperty("storms").EnumerateArray());
        Assert.True(Assert.Single(one.GetProperty("places").EnumerateArray()).GetProperty("before_m3").GetDouble() > 1, "Ground is run as far as the places that are watched.");

        static JsonElement Ran(string[] words)
        {
            CliResult run = Cli.Run(words);
            Assert.True(run.Exit is 0 or 3, run.Error);
            return JsonDocument.Parse(run.Output).RootElement;
        }
    }

    /// <summary>What an option says holds where polygons do not say it; shares are of the field: a quarter of it (30 to 85 of 30 to 250 m) has a polygon that is sodic, over rock and
    /// cracks. Outside, --soil-elsewhere is the soil: sand lets less run off than the loam of the polygon.</summary>
    [Fact]
    public void Water_OfTraitsAndASoilElsewhere_TellsShares()
    {
        _farm.Write("plan.geojson", Features(
            Feature("Polygon", TestFarm.Ring([(30, 110), (250, 110), (250, 190), (30, 190)]), """{"kind": "boundary"}"""), Feature("LineString", TestFarm.Line([(40, 150), (240, 150)]), """{"kind": "rip-line", "id": "R001"}""")));
        _farm.Write("soils.geojson", Features(Feature("Polygon", TestFarm.Ring([(0, 0), (85, 0), (85, 220), (0, 220)]), """{"texture": "loam", "esp_pct": 9, "cracking": true, "rock_depth_cm": 30}""")));
        string[] call = ["water", _farm.At("plan.geojson"), "--dem", _farm.Dem, "--storm", "20 mm in 20 min", "--storm-shape", "steady", "--soil", _farm.At("soils.geojson"), "--json"];
        (double taken, string[] said) = Ran([.. call, "--out", _farm.At("a")]);
        (double sand, string[] elsewhere) = Ran([.. call, "--soil-elsewhere", "sand", "--out", _farm.At("b")]);
        (double same, string[] all) = Ran([.. call, "--soil-elsewhere", "loam", "--esp", "7", "--cracking", "--rock", "45 cm", "--out", _farm.At("c")]);
        Assert.Equal(taken, same);
        Assert.True(sand > taken + 1, $"{sand} {taken}");
        Assert.Contains(elsewhere, s => s.Contains("(1.3 ha of the field) sand is taken", StringComparison.Ordinal));
        Assert.Contains(said, s => s.Contains("9 % at its most, and 25 % of the field is sodic", StringComparison.Ordinal));
        Assert.Contains(said, s => s.Contains("The soil of 25 % of the field is a cracking clay", StringComparison.Ordinal));
        Assert.Contains(said, s => s.Contains("Rock lies 0.30 m down at its least; on 25 % of the field", StringComparison.Ordinal));
        Assert.Contains(all, s => s.Contains("Exchangeable sodium is 9 %, from 6 % on", StringComparison.Ordinal));
        Assert.Contains(all, s => s.Contains("The soil is a cracking clay", StringComparison.Ordinal));
        Assert.Contains(all, s => s.Contains("Rock lies 0.30 m down: above the tip", StringComparison.Ordinal));

        static (double Taken, string[] Said) Ran(string[] words)
        {
            CliResult run = Cli.Run(words);
            Assert.True(run.Exit is 0 or 3, run.Error);
            JsonElement json = JsonDocument.Parse(run.Output).RootElement;
            return (json.GetProperty("cases")[0].GetProperty("taken_in_mm").GetDouble(), [.. json.GetProperty("said").EnumerateArray().Select(s => s.GetString()!)]);
        }
    }

    /// <summary>A pan close below lets less in; rough ground holds more; a rip with less air, a narrower tip or no ratio above the soil's keeps less.</summary>
    [Fact]
    public void Water_OfLayersAndOtherRips_FollowsThem()
    {
        _farm.Write("plan.geojson", Features(
            Feature("Polygon", TestFarm.Ring([(30, 130), (250, 130), (250, 190), (30, 190)]), """{"kind": "boundary"}"""),
            Feature("LineString", TestFarm.Line([(40, 150), (240, 150)]), """{"kind": "rip-line", "id": "R001"}"""), Feature("LineString", TestFarm.Line([(40, 155), (240, 155)]), """{"kind": "rip-line", "id": "R002"}""")));
        (double loam, double gain) = Ran("loam");
        Assert.True(Ran("loam over 0.1 mm/h at 3 cm").Taken < loam - 1);
        Assert.Equal(loam, Ran("loam over clay at 90 cm").Taken);
        Assert.InRange(Ran("sand 40, clay 20, organic 2").Taken, 3, 20);
        Assert.True(Ran("loam", "--surface-storage", "5 mm").Taken > loam + 0.5);
        Assert.All((string[][])[["--rip-air", "3"], ["--rip-ratio", "1"], ["--tip-width", "0 cm"]], o => Assert.InRange(Ran("loam", o).Gain, 0.2 * gain, 0.997 * gain));

        Assert.True(Ran("loam", "--furrow-side", "1").Gain > gain, "A narrower furrow leads less out at its ends, and more soaks in on the way.");

        (double Taken, double Gain) Ran(string soil, params string[] more)
        {
            CliResult run = Cli.Run(["water", _farm.At("plan.geojson"), "--dem", _farm.Dem, "--storm", "20 mm in 20 min", "--storm-shape", "steady", "--json", "--out", _farm.At("w"), "--overwrite", "--soil", soil, .. more]);
            Assert.True(run.Exit is 0 or 3, run.Error);
            JsonElement cases = JsonDocument.Parse(run.Output).RootElement.GetProperty("cases");
            double before = cases[0].GetProperty("taken_in_mm").GetDouble();
            return (before, cases[1].GetProperty("taken_in_mm").GetDouble() - before);
        }
    }

    [Theory]
    [InlineData("--storm|30 mm in 20 min|--soil|loam|--storms-last|1 h", "is for storms of a table")]
    [InlineData("--storms|rain.csv|--soil|loam|--storms-last|2 days", "unknown unit of time \"days\"")]
    [InlineData("--storms|rain.csv|--soil|loam|--storms-last|1 min", "shorter than five minutes")]
    [InlineData("--storms|nowhere.csv|--soil|loam", "no table of rain nowhere.csv")]
    [InlineData("--storms|falling.csv|--soil|loam", "does not grow with the duration")]
    [InlineData("--soil|loam", "The storm is missing")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam|--soil-by|unit", "is for soils by polygons")]
    [InlineData("--storm|30 mm in 20 min|--soil|soils.geojson", "has no attribute texture: name the one that says the soil with --soil-by (it has unit)")]
    [InlineData("--storm|30 mm in 20 min|--soil|soils.geojson|--soil-by|unit", "\"12A\" is no soil")]
    [InlineData("--storm|30 mm in 20 min|--soil|soils.geojson|--soil-by|unit|--soil-as|12A: loam", "is no meaning")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam over clay", "does not say where its lower soil begins")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam over mud at 30 cm", "\"mud\" is no soil")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam over clay at 0 cm", "it must be deeper than 0")]
    [InlineData("--storm|30 mm in 20 min|--soil|sand 30, clay 20", "lacks a part")]
    [InlineData("--storm|30 mm in 20 min|--soil|sand 30, silt 20, organic 2", "does not say what the soil is made of")]
    [InlineData("--storm|30 mm in 20 min|--soil|sand 70, clay 50, organic 2", "does not add up: sand 70 %, clay 50 %")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam|--rip-ratio|0.5", "conductivity ratio is 0.5")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam|--rip-air|70", "air share is 0.7")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam|--surface-storage|2 m", "surface storage is 2")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam|--esp|101", "--esp is 101: exchangeable sodium is a share of 0 to 100 %")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam|--esp|-1", "--esp is -1: exchangeable sodium")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam|--rock|40", "without a unit")]
    [InlineData("--storm|30 mm in 20 min|--soil|esp.geojson", "feature 1: esp_pct is \"120\": it must be a share of 0 to 100 %")]
    [InlineData("--storm|30 mm in 20 min|--soil|cracks.geojson", "feature 1: cracking is \"perhaps\": it must be yes or no")]
    [InlineData("--storm|30 mm in 20 min|--soil|rock.geojson", "feature 1: rock_depth_cm is \"-5\": it must be a depth")]
    [InlineData("--storm|30 mm in 20 min|--soil|away.geojson", "none of its polygons lies on the field")]
    [InlineData("--storm|30 mm in 20 min|--soil|loam|--watch|nowhere.geojson", "no file of places nowhere.geojson")]
    public void Water_OfNoSense_IsRefusedInASentence(string words, string because)
    {
        _farm.Write("plan.geojson", Features(
            Feature("Polygon", TestFarm.Ring([(30, 30), (250, 30), (250, 190), (30, 190)]), """{"kind": "boundary"}"""), Feature("LineString", TestFarm.Line([(40, 100), (240, 100)]), """{"kind": "rip-line", "id": "R001"}""")));
        _farm.Write("rain.csv", "duration_min,y10\n60,20\n");
        _farm.Write("falling.csv", "duration_min,y10\n60,20\n120,19\n");
        _farm.Write("soils.geojson", Features(Feature("Polygon", TestFarm.Ring([(0, 0), (140, 0), (140, 220), (0, 220)]), """{"unit": "12A"}""")));
        foreach ((string name, string says) in ((string, string)[])[("esp", "\"esp_pct\": 120"), ("cracks", "\"cracking\": \"perhaps\""), ("rock", "\"rock_depth_cm\": -5")])
        {
            _farm.Write(name + ".geojson", Features(Feature("Polygon", TestFarm.Ring([(0, 0), (140, 0), (140, 220), (0, 220)]), $$"""{"texture": "loam", {{says}}}""")));
        }

        _farm.Write("away.geojson", Features(Feature("Polygon", TestFarm.Ring([(2000, 0), (2140, 0), (2140, 220), (2000, 220)]), """{"texture": "loam"}""")));
        string[] given = [.. words.Split('|').Select(w => w.EndsWith(".csv", StringComparison.Ordinal) || w.EndsWith(".geojson", StringComparison.Ordinal) ? _farm.At(w) : w)];
        CliResult run = Cli.Run(["water", _farm.At("plan.geojson"), "--dem", _farm.Dem, "--out", _farm.At("water"), .. given]);
        Assert.Equal(2, run.Exit);
        Assert.Contains(because, run.Error.Replace(_farm.Folder + Path.DirectorySeparatorChar, "", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("water")));
    }

    private static string Feature(string type, string coordinates, string properties) =>
        $$"""{"type":"Feature","properties":{{properties}},"geometry":{"type":"{{type}}","coordinates":{{coordinates}} } }""";

    private static string Features(params string[] features) => $$"""{"type":"FeatureCollection","features":[{{string.Join(',', features)}}]}""";
}
