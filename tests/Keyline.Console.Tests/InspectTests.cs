using System.Globalization;
using System.Text.Json.Nodes;
using Keyline.Gdal;

namespace Keyline.Console.Tests;

/// <summary>Elevation as people have it, through the console: looked at, in tiles, with holes, as shots, in other formats.</summary>
public sealed class InspectTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Inspect_SoundGround_SaysWhatItIs()
    {
        CliResult result = Cli.Run("inspect", _farm.Dem);
        Assert.Equal(0, result.Exit);
        Assert.Equal("", result.Error);
        Assert.Contains("110 rows by 140 columns, cells of 2 m, 6.2 ha", result.Output, StringComparison.Ordinal);
        Assert.Contains("UTM", result.Output, StringComparison.Ordinal);
        Assert.Contains("Missing       nothing", result.Output, StringComparison.Ordinal);
        Assert.Contains("    good        Cells of 2 m against a spacing of 3.05 m", result.Output, StringComparison.Ordinal);
        Assert.All(result.Output.Split('\n').Where(l => l.Length > 0), line => Assert.DoesNotContain("NaN", line, StringComparison.Ordinal));
    }

    [Fact]
    public void Inspect_CoarseForTheJob_EndsWithThree()
    {
        CliResult result = Cli.Run("inspect", _farm.Dem, "--spacing", "40 cm");
        Assert.Equal(3, result.Exit);
        Assert.Contains("not enough  Cells of 2 m against a spacing of 0.4 m", result.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Inspect_SeveralFiles_GoesOnAfterOneThatCannotBeRead()
    {
        string broken = _farm.Write("broken.tif", "nothing");
        CliResult result = Cli.Run("inspect", broken, _farm.Dem, "--json");
        Assert.Equal(2, result.Exit);
        Assert.Contains("broken.tif", result.Error, StringComparison.Ordinal);
        JsonArray list = JsonNode.Parse(result.Output)!.AsArray();
        Assert.Equal(2, list.Count);
        Assert.NotNull(list[0]!["refused"]);
        Assert.Equal(2.0, (double)list[1]!["grid"]!["cell_m"]!);
        Assert.Equal("good", (string)list[1]!["judgements"]![0]!["grade"]!);
    }

    [Fact]
    public void Heights_OfNoUnit_AreTakenAsMetresAndDoubtedWhereNobodyFarms()
    {
        Assert.Contains("Heights are taken as metres: the file does not say.", Cli.Run("inspect", _farm.Dem).Output, StringComparison.Ordinal);
        Assert.Contains("Heights are taken as metres: the file does not say.", Cli.Run("terrain", "--dem", _farm.Dem, "--out", _farm.Out).Output, StringComparison.Ordinal);
        string high = _farm.WriteDem("high.asc", (x, y) => TestFarm.Height(x, y) + 5000), steep = _farm.WriteDem("steep.asc", (x, y) => 5 * TestFarm.Height(x, y));
        Assert.Contains("where nobody farms: if they are feet, say so", Cli.Run("inspect", high).Output, StringComparison.Ordinal);
        Assert.Matches("the land would fall by [0-9]+ % on average: if they are feet", Cli.Run("inspect", steep).Output);
        Assert.DoesNotContain("taken as metres", Cli.Run("inspect", high, "--height-unit", "ft").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Plan_OnGroundThatInspectDoubts_SaysSoToo()
    {
        CliResult fine = Cli.Run(_farm.PlanWith("--spacing", "1 m"));
        Assert.True(fine.Exit is 0 or 3, fine.Error);
        Assert.Contains("Cells of 2 m against a spacing of 1 m: coarser than the lines", fine.Output, StringComparison.Ordinal);
        Assert.Contains("coarser than the lines", File.ReadAllText(Path.Combine(_farm.Out, "plan.json")), StringComparison.Ordinal);
        Assert.DoesNotContain("against a spacing", Cli.Run([.. _farm.Plan(), "--overwrite"]).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Plan_InAnotherZone_IsRefusedWithTheZoneOfTheField()
    {
        CliResult run = Cli.Run([.. _farm.Plan(), "--crs", "EPSG:32614"]);
        Assert.Equal(2, run.Exit);
        Assert.Contains("as EPSG:32610 if it is the UTM zone that the field lies in", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Inspect_NoFile_IsRefused()
    {
        CliResult result = Cli.Run("inspect");
        Assert.Equal(2, result.Exit);
        Assert.Contains("No file to inspect", result.Error, StringComparison.Ordinal);
        Assert.Contains("perhaps --spacing", Cli.Run("inspect", _farm.Dem, "--spacin").Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Formats_ListsOwnAndSaysWhetherGdalIsHere()
    {
        CliResult result = Cli.Run("formats");
        Assert.Equal(0, result.Exit);
        Assert.Contains("survey shots", result.Output, StringComparison.Ordinal);
        Assert.Contains(GdalLibrary.IsPresent ? "Read through GDAL " + GdalLibrary.Version : "GDAL is not on this machine", result.Output, StringComparison.Ordinal);
        JsonNode json = JsonNode.Parse(Cli.Run("formats", "--json").Output)!;
        Assert.Equal("GeoTIFF", (string)json["elevation_read"]![0]!["name"]!);
        Assert.Equal(GdalLibrary.IsPresent, json["gdal"] is not null);
    }

    [Fact]
    public void Plan_FromTilesAndFromOneFile_IsTheSame()
    {
        // The same ground cut into a western and an eastern tile.
        string folder = Directory.CreateDirectory(_farm.At("tiles")).FullName;
        string[] lines = File.ReadAllLines(_farm.Dem);
        string[][] rows = [.. lines.Skip(6).Select(l => l.Split(' '))];
        string prj = File.ReadAllText(Path.ChangeExtension(_farm.Dem, ".prj"));
        foreach ((string name, int from, int to) in new[] { ("east", 70, 140), ("west", 0, 70) })
        {
            string path = Path.Combine(folder, name + ".asc");
            string west = (TestFarm.West + (from * TestFarm.Cell)).ToString(CultureInfo.InvariantCulture);
            File.WriteAllLines(path, [$"ncols {to - from}", lines[1], $"xllcorner {west}", .. lines[3..6], .. rows.Select(r => string.Join(' ', r[from..to]))]);
            File.WriteAllText(Path.ChangeExtension(path, ".prj"), prj);
        }

        Assert.InRange(Cli.Run(_farm.PlanWith("--out", _farm.At("whole"))).Exit, 0, 3);
        CliResult tiled = Cli.Run(_farm.PlanWith("--dem", folder));
        Assert.True(tiled.Exit is 0 or 3, tiled.Error);
        Assert.Equal(Lines("whole"), Lines("out"));
        JsonNode plan = JsonNode.Parse(File.ReadAllText(_farm.At("out/plan.json")))!;
        Assert.Equal(["east.asc", "west.asc"], plan["inputs"]!.AsArray().Where(i => (string)i!["role"]! == "dem").Select(i => (string)i!["file"]!));
    }

    [Fact]
    public void Plan_OverASmallHole_FillsAndSaysSo()
    {
        string dem = _farm.WriteDem("holed.asc", (x, y) => Math.Abs(x - 150) < 4 && Math.Abs(y - 120) < 4 ? double.NaN : TestFarm.Height(x, y));
        CliResult filled = Cli.Run(_farm.PlanWith("--dem", dem));
        Assert.True(filled.Exit is 0 or 3, filled.Error);
        Assert.Contains("1 hole in the elevation, 64 m2 in all", filled.Output, StringComparison.Ordinal);
        CliResult left = Cli.Run([.. _farm.PlanWith("--dem", dem), "--fill-holes", "10 m2", "--overwrite"]);
        Assert.Equal(2, left.Exit);
    }

    [Fact]
    public void Plan_FromSurveyShots_IsNearThePlanFromTheGrid()
    {
        List<string> rows = ["shot,easting_ft,northing_ft,height_ft"];
        for (int i = 0; i < 28 * 22; i++)
        {
            (double x, double y) = (1 + (i % 28 * 10.2), 1 + (i / 28 * 10.3));
            rows.Add(string.Create(CultureInfo.InvariantCulture, $"{i},{(TestFarm.West + x) / 0.3048:F4},{(TestFarm.South + y) / 0.3048:F4},{TestFarm.Height(x, y) / 0.3048:F4}"));
        }

        string shots = _farm.Write("shots.csv", string.Join('\n', rows));
        CliResult result = Cli.Run([.. _farm.PlanWith("--dem", shots), "--crs", "EPSG:32610"]);
        Assert.True(result.Exit is 0 or 3, result.Error);
        Assert.Contains("616 of 616 shots", result.Output, StringComparison.Ordinal);
        Assert.InRange(Cli.Run(_farm.PlanWith("--out", _farm.At("whole"))).Exit, 0, 3);
        double Length(string folder) => (double)JsonNode.Parse(File.ReadAllText(_farm.At(folder + "/plan.json")))!["lines"]!["total_length_m"]!;
        Assert.InRange(Length("out"), 0.95 * Length("whole"), 1.05 * Length("whole"));
    }

    [Fact]
    public void Plan_FieldAsKml_IsReadThroughGdal()
    {
        Assert.SkipUnless(GdalLibrary.IsPresent, "GDAL's library is not on this machine (Debian: apt install gdal-bin).");
        JsonNode ring = JsonNode.Parse(File.ReadAllText(_farm.Field))!["geometry"]?["coordinates"]![0]!
            ?? JsonNode.Parse(File.ReadAllText(_farm.Field))!["features"]![0]!["geometry"]!["coordinates"]![0]!;
        string corners = string.Join(' ', ring.AsArray().Select(p => string.Create(CultureInfo.InvariantCulture, $"{(double)p![0]!:R},{(double)p[1]!:R}")));
        string kml = _farm.Write("field.kml", $"<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document><Placemark><name>Field</name><Polygon><outerBoundaryIs><LinearRing><coordinates>{corners}</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Document></kml>");
        CliResult result = Cli.Run(_farm.PlanWith("--field", kml));
        Assert.True(result.Exit is 0 or 3, result.Error);
        Assert.InRange(Cli.Run(_farm.PlanWith("--out", _farm.At("whole"))).Exit, 0, 3);
        Assert.Equal(Lines("whole").Length, Lines("out").Length);
    }

    private string[] Lines(string folder) => [.. File.ReadLines(_farm.At(folder + "/plan.geojson")).Where(l => l.Contains("rip-line", StringComparison.Ordinal))];
}
