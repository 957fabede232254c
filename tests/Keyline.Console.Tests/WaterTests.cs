using System.Globalization;
using System.Text.Json;
using Keyline.Water;

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

    [Fact]
    public void Water_WithWeather_ReckonsTheYears()
    {
        using (StreamWriter text = new(_farm.At("daily.csv")))
        {
            InventedWeather.Write(text, 5, new DateOnly(2010, 1, 1), 3653);
        }

        Assert.InRange(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "10 m", "--out", _farm.Out).Exit, 0, 3);
        Assert.InRange(Cli.Run("work", _farm.Out, "--machine", "front-assist-90", "--out", _farm.At("unpriced")).Exit, 0, 3);
        string[] call = ["water", _farm.Out, "--dem", _farm.Dem, "--storm", "30 mm in 20 min", "--storm-shape", "steady", "--weather", _farm.At("daily.csv")];
        CliResult run = Cli.Run([.. call, "--soil", "clay-loam", "--cost", "60", "--out", _farm.At("water"), "--json"]);
        Assert.True(run.Exit is 0 or 3, run.Error);
        JsonElement json = JsonDocument.Parse(run.Output).RootElement;
        JsonElement years = json.GetProperty("years");
        Assert.Equal((2010, 2019), (years.GetProperty("first").GetInt32(), years.GetProperty("last").GetInt32()));
        Assert.InRange(years.GetProperty("balance_error").GetDouble(), 0, 1e-9);
        Assert.InRange(years.GetProperty("share_of_lines_that_works").GetDouble(), 0.05, 1);
        Assert.Equal(["dry", "middling", "wet"], years.GetProperty("kinds").EnumerateArray().Select(k => k.GetProperty("name").GetString()));
        Assert.Equal(["low", "middle", "high"], years.GetProperty("ends").EnumerateArray().Select(k => k.GetProperty("name").GetString()));
        Assert.Contains(years.GetProperty("said").EnumerateArray(), s => s.GetString()!.Contains("not paid back by water alone", StringComparison.Ordinal));
        string[] rows = File.ReadAllLines(Path.Combine(_farm.At("water"), "years.csv"));
        Assert.Equal(11, rows.Length);
        Assert.All(rows[1..].Select(r => r.Split(',')), r => Assert.True(double.Parse(r[6], CultureInfo.InvariantCulture) <= double.Parse(r[4], CultureInfo.InvariantCulture) + 0.01));
        Assert.Contains("The years: daily.csv", File.ReadAllText(Path.Combine(_farm.At("water"), "water.txt")), StringComparison.Ordinal);

        // Sand lets nothing run off, whatever falls.
        CliResult sand = Cli.Run([.. call, "--soil", "sand", "--out", _farm.At("sand")]);
        Assert.Contains("no storm runs off on this soil: ripping gains no water", sand.Output, StringComparison.Ordinal);
        CliResult unpriced = Cli.Run([.. call, "--soil", "sand", "--out", _farm.At("x"), "--work", _farm.At("unpriced")]);
        Assert.Contains("holds no cost", unpriced.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--cost 40", "--cost is for the account of years")]
    [InlineData("--weather nowhere.csv", "There is no table of weather")]
    [InlineData("--weather daily.csv --cost 40 --work w", "leave one out")]
    [InlineData("--weather daily.csv --work nowhere", "holds no work.json")]
    [InlineData("--weather daily.csv --texture mud", "is no texture class")]
    [InlineData("--weather daily.csv --harvest 140", "above 100 %")]
    [InlineData("--weather daily.csv --half-hour-share 99", "between 5 and 95 %")]
    public void Water_OfYearsWithoutSense_IsRefusedInASentence(string words, string because)
    {
        using (StreamWriter text = new(_farm.At("daily.csv")))
        {
            InventedWeather.Write(text, 5, new DateOnly(2010, 1, 1), 400);
        }

        _farm.WriteField("plan.geojson", [(30, 30), (250, 30), (250, 190), (30, 190)]);
        CliResult run = Cli.Run(["water", _farm.At("plan.geojson"), "--dem", _farm.Dem, "--storm", "30 mm in 20 min", "--soil", "3 mm/h", "--out", _farm.At("water"), .. words.Replace("daily.csv", _farm.At("daily.csv"), StringComparison.Ordinal).Split(' ')]);
        Assert.Equal(2, run.Exit);
        Assert.Contains(because, run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("water")));
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
