using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;

namespace Keyline.Console.Tests;

public sealed class SoilTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    // Three soils side by side on the farm: loam with a pan, rock, and a bare strip.
    private string Sites() => _farm.Write("soil.geojson", "{\"type\":\"FeatureCollection\",\"features\":[" + string.Join(',',
        Site([(20, 20), (150, 20), (150, 200), (20, 200)], """{"name":"loam","texture":"loam","pan_depth_cm":22,"pan_bottom_cm":32,"rock_depth_cm":150,"drainage":"well","esp_pct":2,"cover_pct":70,"slope_pct":6,"salinity_ds_m":1}"""),
        Site([(150, 20), (200, 20), (200, 200), (150, 200)], """{"name":"rock","texture":"loam","rock_depth_cm":25,"drainage":"well","owner":"Anna"}"""),
        Site([(200, 20), (260, 20), (260, 200), (200, 200)], """{"name":"bare","texture":"loam","pan_depth_cm":22,"pan_bottom_cm":32,"rock_depth_cm":150,"drainage":"poorly drained","esp_pct":2,"cover_pct":12,"slope_pct":6}""")) + "]}");

    private static string Site((double East, double North)[] corners, string properties)
    {
        Formats.GroundCrs crs = Formats.GroundCrs.FromEpsg(32610);
        string ring = string.Join(',', corners.Append(corners[0]).Select(c =>
        {
            (double lon, double lat) = crs.ToLonLat(TestFarm.West + c.East, TestFarm.South + c.North);
            return string.Create(CultureInfo.InvariantCulture, $"[{lon:F8},{lat:F8}]");
        }));
        return $"{{\"type\":\"Feature\",\"properties\":{properties},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[{ring}]]}}}}";
    }

    private string Readings()
    {
        StringBuilder text = new("easting;northing;pan_depth_cm;pan_bottom_cm;cover_pct;eca_ms_m\n");
        for (int i = 0; i < 60; i++)
        {
            (double x, double y) = (35 + (105 * Frac(0.618034 * i)), 35 + (150 * Frac(0.754878 * i * 1.3)));
            double bottom = 30 + (8 * Math.Sin(x / 30)) + (0.02 * y);
            text.Append(CultureInfo.InvariantCulture, $"{TestFarm.West + x:F2};{TestFarm.South + y:F2};20;{bottom:F2};;{10 + (0.1 * x):F2}\n");
        }

        return _farm.Write("readings.csv", text.ToString());

        static double Frac(double v) => v - Math.Floor(v);
    }

    [Fact]
    public void Soil_OfSites_JudgesEachAndThePlanLeavesOutWhatIsNotToBeRipped()
    {
        CliResult run = Cli.Run("soil", "--sites", Sites(), "--field", _farm.Field, "--out", _farm.At("soil"), "--json");
        Assert.True(run.Exit == 0, run.Error);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        JsonElement[] zones = [.. said.GetProperty("zones").EnumerateArray()];
        Assert.Equal(["rip", "do-not-rip", "do-not-rip"], zones.Select(z => z.GetProperty("verdict").GetString()));
        Assert.Equal(34.5, zones[0].GetProperty("depth_from_cm").GetDouble());
        Assert.Equal(JsonValueKind.Null, zones[1].GetProperty("depth_from_cm").ValueKind);
        Assert.All(said.GetProperty("files").EnumerateArray(), f => Assert.True(File.Exists(Path.Combine(_farm.At("soil"), f.GetString()!)), f.GetString()));
        Assert.Contains("Rock lies 25 cm down", File.ReadAllText(Path.Combine(_farm.At("soil"), "soil.html")), StringComparison.Ordinal);
        string text = File.ReadAllText(Path.Combine(_farm.At("soil"), "soil.txt"));
        Assert.Contains("least_cover_pct", text, StringComparison.Ordinal);
        Assert.Contains("no facts here: owner", text, StringComparison.Ordinal);

        string avoid = Path.Combine(_farm.At("soil"), "avoid.geojson");
        JsonElement[] left = [.. JsonDocument.Parse(File.ReadAllText(avoid)).RootElement.GetProperty("features").EnumerateArray()];
        Assert.Equal([false, true], left.Select(f => f.GetProperty("properties").GetProperty("wet").GetBoolean()));
        CliResult plan = Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--avoid", avoid, "--spacing", "10 m", "--out", _farm.Out);
        Assert.True(plan.Exit is 0 or 3, plan.Error);
        JsonElement[] features = [.. JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.Out, "plan.geojson"))).RootElement.GetProperty("features").EnumerateArray()];
        Assert.Equal(2, features.Count(f => f.GetProperty("properties").GetProperty("kind").GetString() == "avoid" && f.GetProperty("properties").GetProperty("name").GetString()!.Contains("do not rip", StringComparison.Ordinal)));
        Formats.GroundCrs crs = Formats.GroundCrs.FromEpsg(32610);
        double[] easts = [.. features.Where(f => f.GetProperty("properties").GetProperty("kind").GetString() == "rip-line").SelectMany(f => f.GetProperty("geometry").GetProperty("coordinates").EnumerateArray())
            .Select(p => crs.FromLonLat(p[0].GetDouble(), p[1].GetDouble()).X - TestFarm.West)];
        Assert.True(easts.Length > 50);

        // The zone's depth is on the driver's sheets, and no file of other zones is taken.
        string zonesFile = Path.Combine(_farm.At("soil"), "zones.geojson");
        CliResult work = Cli.Run("work", _farm.Out, "--machine", "front-assist-90", "--depth-zones", zonesFile, "--out", _farm.At("work"), "--quiet");
        Assert.True(work.Exit is 0 or 3, work.Error);
        string sheet = File.ReadAllText(Path.Combine(_farm.At("work"), "sheet-01.html"));
        Assert.Contains(" 34.5 to 37 cm</b>: zone 1, loam (rip)", sheet, StringComparison.Ordinal);
        Assert.Matches("<span class=\"why\">[A-Z](</span>| [0-9])", sheet);
        CliResult other = Cli.Run("work", _farm.Out, "--machine", "front-assist-90", "--depth-zones", _farm.Field, "--out", _farm.At("work2"));
        Assert.Equal(2, other.Exit);
        Assert.Contains("has no depth_from_cm", other.Error, StringComparison.Ordinal);
        Assert.InRange(easts.Max(), 120, 150.5);
    }

    [Fact]
    public void Soil_OfReadings_MapsThemAndPartsTheLand()
    {
        CliResult run = Cli.Run("soil", "--field", _farm.Field, "--points", Readings(), "--crs", "EPSG:32610", "--split", "pan_bottom_cm", "--breaks", "34", "--map-cell", "5 m", "--state", "TX", "--out", _farm.At("soil"));
        Assert.True(run.Exit == 0, run.Error);
        string folder = _farm.At("soil");
        foreach (string name in new[] { "maps/pan_bottom_cm.tif", "maps/pan_bottom_cm-variance.tif", "maps/pan_bottom_cm-variogram.svg", "cores.geojson", "soil.json", "zones.geojson" })
        {
            Assert.True(File.Exists(Path.Combine(folder, name)), name);
            Assert.Contains(name, run.Output, StringComparison.Ordinal);
        }

        Assert.False(File.Exists(Path.Combine(folder, "maps", "pan_top_cm.tif")));
        string text = File.ReadAllText(Path.Combine(folder, "soil.txt"));
        Assert.Contains("all 60 values are 20 cm", text, StringComparison.Ordinal);
        Assert.Contains("left out one by one", text, StringComparison.Ordinal);
        Assert.Contains("Texas Utilities Code", text, StringComparison.Ordinal);
        JsonElement said = JsonDocument.Parse(File.ReadAllText(Path.Combine(folder, "soil.json"))).RootElement;
        JsonElement[] zones = [.. said.GetProperty("zones").EnumerateArray()];
        Assert.True(zones.Length is 2, text);
        Assert.Equal(16 * 22 / 10.0, zones.Sum(z => z.GetProperty("area_ha").GetDouble()) * 10, 0.3);
        double[] depths = [.. zones.Select(z => z.GetProperty("depth_from_cm").GetDouble())];
        Assert.True(depths.Max() - depths.Min() > 3);
        Assert.Equal(10, JsonDocument.Parse(File.ReadAllText(Path.Combine(folder, "cores.geojson"))).RootElement.GetProperty("features").GetArrayLength());
    }

    [Fact]
    public void Soil_GivesTheSameBytesOnAnyNumberOfThreads()
    {
        string readings = Readings();
        foreach (string threads in new[] { "1", "3" })
        {
            Assert.Equal(0, Cli.Run("soil", "--sites", Sites(), "--field", _farm.Field, "--points", readings, "--crs", "EPSG:32610", "--split", "eca_ms_m,pan_bottom_cm", "--classes", "2", "--threads", threads, "--out", _farm.At("soil" + threads), "--quiet").Exit);
        }

        // Outlines along cells pinch and touch; what is written must be read again.
        Assert.All(new[] { "zones.geojson", "avoid.geojson" }, f => Assert.NotNull(Formats.AttributedFile.Read(Path.Combine(_farm.At("soil1"), f), "zones")));
        Assert.NotEmpty(Formats.FieldReader.ReadAvoided(Path.Combine(_farm.At("soil1"), "avoid.geojson"), Formats.GroundCrs.FromEpsg(32610)));
        string[] files = [.. Directory.EnumerateFiles(_farm.At("soil1"), "*", SearchOption.AllDirectories)];
        Assert.True(files.Length > 10);
        Assert.All(files, f => Assert.Equal(File.ReadAllBytes(f), File.ReadAllBytes(f.Replace("soil1", "soil3", StringComparison.Ordinal))));
    }

    [Fact]
    public void Soil_WithAMachine_HoldsTheDepthAgainstItsTip()
    {
        CliResult run = Cli.Run("soil", "--sites", Sites(), "--machine", "front-assist-90", "--out", _farm.At("soil"), "--json");
        Assert.True(run.Exit == 0, run.Error);
        JsonElement loam = JsonDocument.Parse(run.Output).RootElement.GetProperty("zones")[0];
        Assert.Equal("test-strip-first", loam.GetProperty("verdict").GetString());
        Assert.Contains("A tip 6 cm wide surely loosens to 30 cm", loam.GetProperty("reason").GetString()!, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("There is no soil to judge")]
    [InlineData("is neither a file nor a survey", "--names", "other")]
    [InlineData("must rise", "--breaks", "30")]
    [InlineData("there are no such readings", "--split", "gold")]
    [InlineData("two letters", "--state", "Texas")]
    [InlineData("is in degrees", "--crs", "EPSG:4326")]
    [InlineData("write water or roots", "--purpose", "money")]
    public void Soil_OfNoSense_IsRefusedInASentence(string because, params string[] options)
    {
        CliResult run = Cli.Run(["soil", .. options.Length == 0 ? [] : (string[])["--sites", Sites()], .. options, "--out", _farm.At("soil")]);
        Assert.Equal(2, run.Exit);
        Assert.Matches(new Regex(Regex.Escape(because)), run.Error);
        Assert.Single(run.Error.Trim().Split('\n'));
        Assert.False(Directory.Exists(_farm.At("soil")));
    }
}
