using System.Text.Json;

namespace Keyline.Console.Tests;

/// <summary>Lines of known grade on a plane, measured.</summary>
public sealed class CheckTests : IDisposable
{
    private readonly TestFarm _farm = new();
    private readonly string _plane;

    // A plane that rises 4 % to the north and 1 % to the east: a line due east climbs 1 %, one due north 4 %.
    public CheckTests() => _plane = _farm.WriteDem("plane.asc", (x, y) => 50 + (0.04 * y) + (0.01 * x));

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Check_LineAcrossThePlane_HasThePlanesGrade()
    {
        CliResult result = Cli.Run("check", "--dem", _plane, "--lines", East(60), "--json");
        Assert.Equal(0, result.Exit);
        JsonElement line = JsonDocument.Parse(result.Output).RootElement.GetProperty("lines")[0];
        Assert.Equal(1, line.GetProperty("grade_max_pct").GetDouble(), 0.02);
        Assert.Equal(1, line.GetProperty("grade_mean_pct").GetDouble(), 0.02);
        Assert.Equal(160, line.GetProperty("length_m").GetDouble(), 0.1);
        Assert.Equal(1, line.GetProperty("within_grade_share").GetDouble());
    }

    [Fact]
    public void Check_LineUpThePlane_BreaksTheLimit()
    {
        string lines = _farm.Write("up.geojson", TestFarm.Feature("LineString", TestFarm.Line([(100, 40), (100, 180)]), """{"id":"up"}"""));
        CliResult result = Cli.Run("check", "--dem", _plane, "--lines", lines);
        Assert.Equal(3, result.Exit);
        Assert.Contains("4.0 %", result.Output, StringComparison.Ordinal);
        Assert.Contains("Not kept everywhere", result.Output, StringComparison.Ordinal);
        Assert.Equal(0, Cli.Run("check", "--dem", _plane, "--lines", lines, "--max-grade", "4.2").Exit);
    }

    [Fact]
    public void Check_Spacing_IsComparedOnlyWhenAskedFor()
    {
        // Two lines 2 m apart: too close for a spacing of 6 m, nothing said about it where no spacing is given.
        string lines = _farm.Write("two.geojson", TestFarm.Feature("MultiLineString", $"[{TestFarm.Line([(50, 60), (210, 60)])},{TestFarm.Line([(50, 62), (210, 62)])}]", "{}"));
        Assert.Equal(0, Cli.Run("check", "--dem", _plane, "--lines", lines).Exit);
        CliResult asked = Cli.Run("check", "--dem", _plane, "--lines", lines, "--spacing", "6 m");
        Assert.Equal(3, asked.Exit);
        Assert.Contains("half the spacing", asked.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Check_LineInASetback_IsFound()
    {
        CliResult result = Cli.Run("check", "--dem", _plane, "--lines", East(67), "--field", _farm.Field, "--avoid", _farm.Avoid);
        Assert.Equal(3, result.Exit);
        Assert.Contains("Dam", result.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Check_LineOutsideTheField_IsFound()
    {
        CliResult result = Cli.Run("check", "--dem", _plane, "--lines", East(15), "--field", _farm.Field);
        Assert.Equal(3, result.Exit);
        Assert.Contains("outside the field", result.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("check", "--dem")]
    [InlineData("check", "--lines", "nowhere.geojson", "--dem", "x.tif")]
    [InlineData("check", "--colour")]
    public void Check_BadCall_IsRefused(params string[] args)
    {
        CliResult result = Cli.Run(args);
        Assert.Equal(2, result.Exit);
        Assert.Equal("", result.Output);
        Assert.Single(result.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries));
    }

    [Fact]
    public void Check_FileWithoutLines_IsRefused() =>
        Assert.Equal(2, Cli.Run("check", "--dem", _plane, "--lines", _farm.Field).Exit);

    [Fact]
    public void Check_EmptyFileOfLines_SaysSo()
    {
        string empty = _farm.Write("empty.geojson", """{"type":"FeatureCollection","features":[]}""");
        CliResult result = Cli.Run("check", "--dem", _plane, "--lines", empty);
        Assert.Equal((2, ""), (result.Exit, result.Output));
        Assert.Contains("the file is empty", result.Error, StringComparison.Ordinal);
        Assert.Contains("lines to check", result.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Check_WithoutASpacing_SaysSo_AndAStraightLineHasNoRadius()
    {
        CliResult text = Cli.Run("check", "--dem", _plane, "--lines", East(60));
        Assert.Contains("No spacing was given", text.Output, StringComparison.Ordinal);
        Assert.Contains("straight", text.Output, StringComparison.Ordinal);
        JsonElement root = JsonDocument.Parse(Cli.Run("check", "--dem", _plane, "--lines", East(60), "--json").Output).RootElement;
        Assert.Equal(JsonValueKind.Null, root.GetProperty("spacing_asked_m").ValueKind);
        Assert.Equal(JsonValueKind.Null, root.GetProperty("figures").GetProperty("spacing_within_10pct_share").ValueKind);
        Assert.Equal(JsonValueKind.Null, root.GetProperty("lines")[0].GetProperty("radius_min_m").ValueKind);
    }

    [Fact]
    public void Check_AvoidedWithoutField_IsRefused()
    {
        CliResult result = Cli.Run("check", "--dem", _plane, "--lines", East(60), "--avoid", _farm.Avoid);
        Assert.Equal(2, result.Exit);
        Assert.Contains("--field", result.Error, StringComparison.Ordinal);
    }

    private string East(double north) =>
        _farm.Write("east.geojson", TestFarm.Feature("LineString", TestFarm.Line([(50, north), (210, north)]), """{"id":"east"}"""));
}
