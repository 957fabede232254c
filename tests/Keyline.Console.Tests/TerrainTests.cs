using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Drainage;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Terrain;

namespace Keyline.Console.Tests;

/// <summary>The commands that write rasters: what is in the files is what the library gives, and every refusal.</summary>
public sealed class TerrainTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    private ElevationSource Ground => ElevationReader.Read(_farm.Dem);

    private float[] Raster(string name) => ElevationReader.Read(Path.Combine(_farm.Out, name)).Grid.Heights.ToArray();

    private JsonDocument Json(string name) => JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.Out, name)));

    [Fact]
    public void Terrain_Farm_WritesWhatTheLibraryGives()
    {
        CliResult run = Cli.Run("terrain", "--dem", _farm.Dem, "--interval", "2 m", "--window", "10 m", "--out", _farm.Out);
        Assert.Equal((0, ""), (run.Exit, run.Error));
        Assert.Contains("slope.tif", run.Output, StringComparison.Ordinal);
        ElevationGrid ground = Ground.Grid;
        Assert.Equal(Slope.Percent(ground).Values.ToArray(), Raster("slope.tif"));
        Assert.Equal(Hillshade.Compute(ground).Values.ToArray(), Raster("relief.tif"));
        Assert.Equal(Curvature.Plan(ground, 5).Values.ToArray(), Raster("bend-plan.tif"));

        using JsonDocument contours = Json("contours.geojson");
        JsonElement[] lines = [.. contours.RootElement.GetProperty("features").EnumerateArray()];
        Assert.Equal(ContourLines.Trace(ground, ContourLevels.Of(ground, 2, 20)).Count, lines.Length);
        Assert.All(lines, line => Assert.Equal(0, line.GetProperty("properties").GetProperty("height_m").GetDouble() % 2));
        Assert.All(lines, line => Assert.InRange(line.GetProperty("geometry").GetProperty("coordinates")[0][1].GetDouble(), 36, 38));

        using JsonDocument list = Json("terrain.json");
        Assert.Equal(2, list.RootElement.GetProperty("settings").GetProperty("contour_interval_m").GetDouble());
        Assert.Equal(5, list.RootElement.GetProperty("settings").GetProperty("window_cells").GetInt32());
        foreach (JsonElement file in list.RootElement.GetProperty("files").EnumerateArray())
        {
            Assert.True(File.Exists(Path.Combine(_farm.Out, file.GetProperty("file").GetString()!)));
        }
    }

    [Fact]
    public void Terrain_Calm_MeasuresTheSmoothedGround()
    {
        Assert.Equal(0, Cli.Run("terrain", "--dem", _farm.Dem, "--calm", "6 m", "--quiet", "--out", _farm.Out).Exit);
        ElevationGrid calm = FaceSmoothing.Apply(Ground.Grid, new FaceSmoothingOptions { Reach = 6 });
        Assert.Equal(calm.Heights.ToArray(), Raster("calmed.tif"));
        Assert.Equal(Slope.Percent(calm).Values.ToArray(), Raster("slope.tif"));
    }

    [Fact]
    public void Drainage_Farm_WritesWhatTheLibraryGives()
    {
        string line = _farm.At("gauge.geojson");
        (double west, double south) = Ground.Crs.ToLonLat(TestFarm.West + 100, TestFarm.South + 40);
        (double east, double north) = Ground.Crs.ToLonLat(TestFarm.West + 180, TestFarm.South + 40);
        File.WriteAllText(line, FormattableString.Invariant(
            $$$"""{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"LineString","coordinates":[[{{{west}}},{{{south}}}],[{{{east}}},{{{north}}}]]}}]}"""));
        CliResult run = Cli.Run("drainage", "--dem", _farm.Dem, "--channel-area", "0.5 acres", "--shared", "--outlets", line, "--json", "--out", _farm.Out);
        Assert.Equal((0, ""), (run.Exit, run.Error));
        ElevationGrid ground = Ground.Grid;
        ElevationGrid filled = DepressionFilling.Fill(ground);
        D8Directions directions = D8Directions.Route(filled);
        Grid<double> area = FlowAccumulation.Compute(directions);
        Assert.Equal(filled.Heights.ToArray(), Raster("filled.tif"));
        Assert.Equal(Array.ConvertAll(area.Values.ToArray(), a => (float)a), Raster("area.tif"));
        Assert.Equal(Array.ConvertAll(FlowAccumulation.Compute(DInfinityDirections.Route(filled)).Values.ToArray(), a => (float)a), Raster("shared-area.tif"));
        Assert.Equal(Array.ConvertAll(directions.Codes.ToArray(), code => code == 255 ? float.NaN : 45f * code), Raster("directions.tif"));

        using JsonDocument printed = JsonDocument.Parse(run.Output);
        Assert.Equal(0.5 * 4046.8564224, printed.RootElement.GetProperty("settings").GetProperty("channel_area_m2").GetDouble(), 6);
        using JsonDocument catchments = Json("catchments.geojson");
        JsonElement only = Assert.Single(catchments.RootElement.GetProperty("features").EnumerateArray());
        Assert.InRange(only.GetProperty("properties").GetProperty("area_m2").GetDouble(), 10_000, ground.Frame.CellCount * 4.0);
    }

    // What is asked for alone is what a whole run writes, byte for byte, and nothing else is there.
    [Theory]
    [InlineData("terrain", "slope,contours", "slope.tif,contours.geojson")]
    [InlineData("terrain", "bend-least,relief.tif", "bend-least.tif,relief.tif")]
    [InlineData("drainage", "depressions,order", "depressions.geojson,order.tif")]
    [InlineData("drainage", "shared-area,catchments", "shared-area.tif,catchments.tif,catchments.geojson")]
    [InlineData("drainage", "length-up,catchments.geojson", "length-up.tif,catchments.geojson")]
    public void Only_Some_AreTheBytesOfAll(string command, string only, string files)
    {
        string line = _farm.At("gauge.geojson");
        (double west, double south) = Ground.Crs.ToLonLat(TestFarm.West + 100, TestFarm.South + 40);
        (double east, double north) = Ground.Crs.ToLonLat(TestFarm.West + 180, TestFarm.South + 40);
        File.WriteAllText(line, FormattableString.Invariant(
            $$$"""{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"LineString","coordinates":[[{{{west}}},{{{south}}}],[{{{east}}},{{{north}}}]]}}]}"""));
        string[] call = [command, "--dem", _farm.Dem, "--quiet", .. command == "drainage" ? (string[])["--shared", "--outlets", line] : []];
        string all = _farm.At("all");
        Assert.Equal(0, Cli.Run([.. call, "--out", all]).Exit);
        CliResult run = Cli.Run([.. call, "--only", only, "--out", _farm.Out]);
        Assert.Equal((0, ""), (run.Exit, run.Error));
        string[] names = files.Split(',');
        Assert.Equal([.. names.Append(command + ".json").Append(WrittenFiles.Name).Order(StringComparer.Ordinal)], Directory.EnumerateFiles(_farm.Out).Select(Path.GetFileName).Order(StringComparer.Ordinal));
        Assert.All(names, name => Assert.Equal(File.ReadAllBytes(Path.Combine(all, name)), File.ReadAllBytes(Path.Combine(_farm.Out, name))));
        using JsonDocument list = Json(command + ".json");
        Assert.Equal(names.Order(), list.RootElement.GetProperty("files").EnumerateArray().Select(f => f.GetProperty("file").GetString()!).Order());
    }

    [Theory]
    [InlineData("terrain")]
    [InlineData("drainage")]
    public void Threads_Any_GiveTheSameBytes(string command)
    {
        Assert.Equal(0, Cli.Run(command, "--dem", _farm.Dem, "--quiet", "--threads", "1", "--out", _farm.At("one")).Exit);
        Assert.Equal(0, Cli.Run(command, "--dem", _farm.Dem, "--quiet", "--threads", "4", "--out", _farm.Out).Exit);
        Assert.All(Directory.EnumerateFiles(_farm.At("one")), file => Assert.Equal(File.ReadAllBytes(file), File.ReadAllBytes(Path.Combine(_farm.Out, Path.GetFileName(file)))));
    }

    [Fact]
    public void Drainage_Cuts_LetTheTrackThrough()
    {
        _farm.WriteDem("dammed.asc", (x, y) => y is > 80 and < 86 ? Math.Max(TestFarm.Height(x, y), TestFarm.Height(140, y) + 1) : TestFarm.Height(x, y));
        Assert.Equal(0, Cli.Run("drainage", "--dem", _farm.At("dammed.asc"), "--cut-depth", "1.5 m", "--out", _farm.Out).Exit);
        using JsonDocument cut = Json("drainage.json");
        Assert.True(cut.RootElement.GetProperty("settings").GetProperty("cuts").GetInt32() >= 1);
        using JsonDocument open = Json("depressions.geojson");
        Assert.Empty(open.RootElement.GetProperty("features").EnumerateArray());

        Assert.Equal(0, Cli.Run("drainage", "--dem", _farm.At("dammed.asc"), "--overwrite", "--out", _farm.Out).Exit);
        using JsonDocument shut = Json("depressions.geojson");
        JsonElement dam = shut.RootElement.GetProperty("features")[0].GetProperty("properties");
        Assert.InRange(dam.GetProperty("depth_m").GetDouble(), 0.3, 1.1);
    }

    [Fact]
    public void Drainage_Memory_WritesTheBitsOfMemory()
    {
        string dem = _farm.At("dem.tif");
        using (FileStream stream = File.Create(dem))
        {
            GeoTiffWriter.Write(stream, Ground.Grid, Ground.Crs);
        }

        Assert.Equal(0, Cli.Run("drainage", "--dem", dem, "--quiet", "--out", _farm.Out).Exit);
        string[] names = ["filled.tif", "directions.tif", "area.tif"];
        byte[][] inMemory = [.. names.Select(name => File.ReadAllBytes(Path.Combine(_farm.Out, name)))];
        CliResult run = Cli.Run("drainage", "--dem", dem, "--memory", "256 MB", "--overwrite", "--json", "--out", _farm.Out);
        Assert.Equal((0, ""), (run.Exit, run.Error));
        Assert.Equal(inMemory, names.Select(name => File.ReadAllBytes(Path.Combine(_farm.Out, name))));
        Assert.Equal([Keyline.Console.Cli.WrittenFiles.Name, "area.tif", "directions.tif", "drainage.json", "filled.tif"], Directory.EnumerateFileSystemEntries(_farm.Out).Select(Path.GetFileName).Order());
        using JsonDocument printed = JsonDocument.Parse(run.Output);
        Assert.Equal(3, printed.RootElement.GetProperty("files").GetArrayLength());
    }

    [Theory]
    [InlineData("drainage", "--memory 256", "no unit")]
    [InlineData("drainage", "--memory 10MB", "more than 192 MB")]
    [InlineData("drainage", "--memory 256MB", "only a GeoTIFF")]
    [InlineData("drainage", "--memory 256MB --shared", "leave --shared out")]
    [InlineData("terrain", "--only slop", "write some of calmed, slope, aspect, relief")]
    [InlineData("terrain", "--only ,", "names nothing")]
    [InlineData("terrain", "--only slope,calmed", "made only with --calm")]
    [InlineData("drainage", "--only flow.tif", "no file of this command")]
    [InlineData("drainage", "--only shared-area", "made only with --shared")]
    [InlineData("drainage", "--only order --memory 256MB", "names none of them")]
    [InlineData("terrain", "--interval 2", "without a unit")]
    [InlineData("terrain", "--interval 0m", "above zero")]
    [InlineData("terrain", "--interval 0.1mm", "contours")]
    [InlineData("terrain", "--interwal 2m", "perhaps --interval is meant")]
    [InlineData("drainage", "--channel-area 3", "no unit")]
    [InlineData("drainage", "--channel-area 3furlongs", "unknown unit")]
    [InlineData("drainage", "--channel-area 0ha", "above zero")]
    [InlineData("drainage", "--cut-length 10m", "--cut-depth")]
    [InlineData("drainage", "--outlets nowhere.geojson", "nowhere.geojson")]
    [InlineData("drainage", "--crs EPSG:999999", "EPSG")]
    public void Commands_WrongOption_IsRefusedAndNothingIsWritten(string command, string option, string told)
    {
        CliResult run = Cli.Run([command, "--dem", _farm.Dem, "--out", _farm.Out, .. option.Split(' ')]);
        Assert.Equal(2, run.Exit);
        Assert.Contains(told, run.Error, StringComparison.Ordinal);
        Assert.Single(run.Error.Trim().Split('\n'));
        Assert.False(Directory.Exists(_farm.Out));
    }

    [Theory]
    [InlineData("terrain")]
    [InlineData("drainage")]
    public void Commands_GroundOfNoUse_IsRefused(string command)
    {
        _farm.WriteDem("level.asc", (_, _) => 5);
        _farm.WriteDem("empty.asc", (_, _) => -9999);
        foreach (string file in new[] { _farm.At("level.asc"), _farm.At("empty.asc"), _farm.At("absent.tif") })
        {
            CliResult run = Cli.Run(command, "--dem", file, "--out", _farm.Out);
            Assert.Equal(2, run.Exit);
            Assert.Contains(Path.GetFileName(file), run.Error, StringComparison.Ordinal);
            Assert.False(Directory.Exists(_farm.Out));
        }

        Assert.Equal(2, Cli.Run(command, "--out", _farm.Out).Exit);
        Assert.Equal(2, Cli.Run(command, "--dem", _farm.Dem).Exit);
        Assert.Equal(130, Cli.Run(new CancellationToken(true), command, "--dem", _farm.Dem, "--out", _farm.Out).Exit);
        Assert.Contains("Example", Cli.Run(command, "--help").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_NoInterval_ChoosesARoundOne()
    {
        GridFrame frame = new(1, 2, 1, 0, 1);
        IReadOnlyList<double> levels = ContourLevels.Of(ElevationGrid.Copy(frame, [101, 135]), null, 20);
        Assert.Equal(2, levels[1] - levels[0]);
        Assert.Equal(102, levels[0]);
        Assert.Equal(134, levels[^1]);
        Assert.Empty(ContourLevels.Of(ElevationGrid.Copy(frame, [5, 5]), null, 20));
    }
}
