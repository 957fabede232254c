using System.Globalization;
using System.Text.Json;

namespace Keyline.Console.Tests;

public sealed class WaterTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Water_OfAPlan_WritesMapsAndFigures()
    {
        Assert.InRange(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "10 m", "--out", _farm.Out).Exit, 0, 3);
        CliResult run = Cli.Run("water", _farm.Out, "--dem", _farm.Dem, "--storm", "30 mm in 20 min", "--storm-shape", "steady", "--soil", "3 mm/h", "--out", _farm.At("water"), "--json");
        Assert.True(run.Exit is 0 or 3, run.Error);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        Assert.Equal(run.Exit, said.GetProperty("exit_code").GetInt32());
        Assert.All(said.GetProperty("files").EnumerateArray(), f => Assert.True(File.Exists(Path.Combine(_farm.At("water"), f.GetString()!)), f.GetString()));
        JsonElement[] cases = [.. said.GetProperty("cases").EnumerateArray()];
        Assert.Equal(["as it is", "with the plan"], cases.Select(c => c.GetProperty("name").GetString()));
        double gain = cases[1].GetProperty("taken_in_mm").GetDouble() - cases[0].GetProperty("taken_in_mm").GetDouble();
        Assert.InRange(gain, 0.5, cases[0].GetProperty("runoff_mm").GetDouble() + 3);
        Assert.All(cases, c => Assert.InRange(Math.Abs(c.GetProperty("balance_error").GetDouble()), 0, 1e-9));
        Assert.Contains("as it is", File.ReadAllText(Path.Combine(_farm.At("water"), "water.txt")), StringComparison.Ordinal);
        string[] lines = File.ReadAllLines(Path.Combine(_farm.At("water"), "lines.csv"));
        Assert.True(lines.Length > 5 && lines[1..].All(l => double.Parse(l.Split(',')[2], CultureInfo.InvariantCulture) > 0));
    }

    [Theory]
    [InlineData("40 in 1 h", "3 mm/h", "without a unit")]
    [InlineData("-40 mm in 1 h", "3 mm/h", "depth is -40 mm")]
    [InlineData("40 mm", "3 mm/h", "neither a file nor a storm")]
    [InlineData("40 mm in 1 day", "3 mm/h", "unit of time")]
    [InlineData("40 mm in 1 h", "gravel", "is no soil")]
    [InlineData("40 mm in 1 h", "CN 140", "curve number is 140")]
    public void Water_OfNoSense_IsRefusedInASentence(string storm, string soil, string because)
    {
        _farm.WriteField(Path.Combine("plan.geojson"), [(30, 30), (250, 30), (250, 190), (30, 190)]);
        CliResult run = Cli.Run("water", _farm.At("plan.geojson"), "--dem", _farm.Dem, "--storm", storm, "--soil", soil, "--out", _farm.At("water"));
        Assert.Equal(2, run.Exit);
        Assert.Contains(because, run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("water")));
    }
}
