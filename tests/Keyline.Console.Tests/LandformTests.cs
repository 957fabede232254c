using System.Globalization;
using System.Text.Json;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Report;

namespace Keyline.Console.Tests;

/// <summary>The landform command: what is in the files is what the library reads, and every refusal.</summary>
public sealed class LandformTests : IDisposable
{
    private readonly TestFarm _farm = new();
    private readonly string _dem;

    // One deep combe down the middle, falling 10 % to a break half way and 4 % below it.
    public LandformTests() => _dem = _farm.WriteDem("combe.asc", (x, y) => 100 + (5 * (1 - Math.Cos(2 * Math.PI * (x - 140) / 280))) + (y > 110 ? 0.10 * (y - 110) : 0.04 * (y - 110)));

    public void Dispose() => _farm.Dispose();

    private (ElevationSource Source, LandformReading Landform) Library(double spacing = 3.048, LandformOptions? options = null)
    {
        ElevationSource source = ElevationReader.Read(_dem);
        return (source, GroundReading.Of(source.Grid, spacing, options).Landform);
    }

    private JsonElement[] Features(string kind)
    {
        using JsonDocument shapes = JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.Out, "landform.geojson")));
        return [.. shapes.RootElement.GetProperty("features").EnumerateArray().Where(f => f.GetProperty("properties").GetProperty("kind").GetString() == kind).Select(f => f.Clone())];
    }

    [Fact]
    public void Landform_Farm_WritesWhatTheLibraryReads()
    {
        CliResult run = Cli.Run("landform", "--dem", _dem, "--out", _farm.Out);
        Assert.Equal((0, ""), (run.Exit, run.Error));
        (ElevationSource source, LandformReading landform) = Library();
        Assert.NotEmpty(landform.Valleys);
        Assert.Equal(landform.Valleys.Count, Features("valley-line").Length);
        Assert.Equal(landform.Ridges.Count, Features("ridge-line").Length);
        Assert.Equal(landform.Keypoints.Count, Features("keypoint").Length);
        Assert.Equal(landform.Keylines.Count, Features("keyline").Length);
        foreach ((JsonElement feature, ValleyLine valley) in Features("valley-line").Zip(landform.Valleys))
        {
            JsonElement properties = feature.GetProperty("properties");
            Assert.Equal(valley.Length, properties.GetProperty("length_m").GetDouble(), 0.006);
            Assert.Equal(LandformKeys.Of(valley.Kind), properties.GetProperty("part").GetString());
            Assert.Equal(LandformKeys.Of(valley.End), properties.GetProperty("ends").GetString());
            JsonElement head = feature.GetProperty("geometry").GetProperty("coordinates")[0];
            (double x, double y) = source.Crs.FromLonLat(head[0].GetDouble(), head[1].GetDouble());
            Assert.Equal(valley.Line.StartPoint.X, x, 0.02);
            Assert.Equal(valley.Line.StartPoint.Y, y, 0.02);
            Assert.Equal(valley.Profile is not null, File.Exists(Path.Combine(_farm.Out, "profiles", FormattableString.Invariant($"valley-{valley.Number}.png"))));
        }

        Assert.Equal(landform.Position.Values.ToArray(), ElevationReader.Read(Path.Combine(_farm.Out, "position.tif")).Grid.Heights.ToArray());
        string[] sentences = [.. LandformWords.Describe(landform, landform.GeneralGuide)];
        Assert.Equal(sentences, File.ReadAllLines(Path.Combine(_farm.Out, "reading.txt")));
        Assert.All(sentences, s => Assert.Contains(s, run.Output, StringComparison.Ordinal));
        using JsonDocument list = JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.Out, "landform.json")));
        Assert.Equal(LandformKeys.Of(landform.Shape.Kind), list.RootElement.GetProperty("settings").GetProperty("shape").GetProperty("kind").GetString());
        Assert.All(list.RootElement.GetProperty("files").EnumerateArray(), file => Assert.True(File.Exists(Path.Combine(_farm.Out, file.GetProperty("file").GetString()!))));
    }

    [Fact]
    public void Landform_Flagged_PutsThePointOnTheFloor()
    {
        (ElevationSource source, LandformReading landform) = Library();
        ValleyLine valley = landform.Valleys[0];
        NetTopologySuite.Geometries.Coordinate middle = valley.Line.GetCoordinateN(valley.Line.NumPoints / 2);
        string flagged = _farm.At("flagged.geojson");
        (double lon, double lat) = source.Crs.ToLonLat(middle.X, middle.Y);
        File.WriteAllText(flagged, FormattableString.Invariant($$$"""{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[{{{lon:F9}}},{{{lat:F9}}}]}}"""));
        CliResult run = Cli.Run("landform", "--dem", _dem, "--flagged", flagged, "--out", _farm.Out);
        Assert.Equal((0, ""), (run.Exit, run.Error));
        JsonElement pinned = Assert.Single(Features("keypoint"), f => f.GetProperty("properties").GetProperty("pinned").GetBoolean());
        Assert.Equal(valley.Number, pinned.GetProperty("properties").GetProperty("valley").GetInt32());
        Assert.Contains("flagged in the field", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Landform_Field_ReadsAroundItOnly()
    {
        CliResult run = Cli.Run("landform", "--dem", _dem, "--field", _farm.Field, "--json", "--quiet", "--out", _farm.Out);
        Assert.Equal((0, ""), (run.Exit, run.Error));
        using JsonDocument said = JsonDocument.Parse(run.Output);
        Assert.Equal(0, said.RootElement.GetProperty("exit_code").GetInt32());
        Assert.True(said.RootElement.GetProperty("settings").GetProperty("valleys").GetInt32() >= 1);
    }

    [Theory]
    [InlineData("is not a length", "--common-height", "low")]
    [InlineData("flagged", "--flagged", "nowhere.geojson")]
    [InlineData("above zero", "--spacing", "0 m")]
    public void Landform_BadOption_IsOneSentence(string word, string option, string value)
    {
        CliResult run = Cli.Run("landform", "--dem", _dem, option, value, "--out", _farm.Out);
        Assert.Equal(2, run.Exit);
        Assert.Contains(word, run.Error, StringComparison.Ordinal);
        Assert.Single(run.Error.TrimEnd().Split('\n'));
        Assert.False(Directory.Exists(_farm.Out));
    }

    [Fact]
    public void Landform_Overwrite_ReplacesItsOwnFolder()
    {
        Assert.Equal(0, Cli.Run("landform", "--dem", _dem, "--quiet", "--out", _farm.Out).Exit);
        byte[] first = File.ReadAllBytes(Path.Combine(_farm.Out, "landform.geojson"));
        Assert.Equal(2, Cli.Run("landform", "--dem", _dem, "--quiet", "--out", _farm.Out).Exit);
        Assert.Equal(0, Cli.Run("landform", "--dem", _dem, "--quiet", "--overwrite", "--out", _farm.Out).Exit);
        Assert.Equal(first, File.ReadAllBytes(Path.Combine(_farm.Out, "landform.geojson")));
    }
}
