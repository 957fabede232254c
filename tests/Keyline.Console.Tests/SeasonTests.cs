using System.Text.Json;
using Keyline.Water;

namespace Keyline.Console.Tests;

public sealed class SeasonTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public SeasonTests()
    {
        using StreamWriter text = new(_farm.At("daily.csv"));
        InventedWeather.Write(text, 3, new DateOnly(2010, 1, 1), 12 * 365);
    }

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Season_WritesPageDaysAndCalendar()
    {
        CliResult run = Cli.Run("season", "--weather", _farm.At("daily.csv"), "--latitude", "-33.5", "--soil", "sand 30, clay 35", "--subsoil", "clay", "--subsoil-depth", "30 cm", "--depth", "16 in", "--hours", "40", "--out", _farm.At("season"), "--json");
        Assert.True(run.Exit == 0, run.Error);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        Assert.Equal(12, said.GetProperty("rules")[0].GetProperty("months").GetArrayLength());
        Assert.Equal(4, said.GetProperty("rules").GetArrayLength());
        Assert.Equal(52, said.GetProperty("weeks").GetArrayLength());
        Assert.Equal(5, said.GetProperty("needed_days").GetInt32());
        Assert.Equal(5, said.GetProperty("window_days").GetInt32());
        Assert.All(said.GetProperty("files").EnumerateArray(), f => Assert.True(File.Exists(Path.Combine(_farm.At("season"), f.GetString()!)), f.GetString()));
        string[] days = File.ReadAllLines(Path.Combine(_farm.At("season"), "season.csv"));
        Assert.Equal((12 * 365) + 1, days.Length);
        int right = days.Count(d => d.EndsWith(",right", StringComparison.Ordinal)), dry = days.Count(d => d.EndsWith(",too-dry", StringComparison.Ordinal)), wet = days.Count(d => d.EndsWith(",too-wet", StringComparison.Ordinal));
        Assert.Equal(12 * 365, right + dry + wet);
        Assert.True(right > 0 && dry > 0 && wet > 0);
        string calendar = File.ReadAllText(Path.Combine(_farm.At("season"), "season.ics"));
        Assert.Equal(said.GetProperty("dates").GetArrayLength(), calendar.Split("BEGIN:VEVENT").Length - 1);
        Assert.Contains("Ball and thread test", File.ReadAllText(Path.Combine(_farm.At("season"), "season.txt")), StringComparison.Ordinal);
    }

    [Fact]
    public void Season_OfAPlan_TakesItsHoursAndLatitude()
    {
        Assert.InRange(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "10 m", "--out", _farm.Out).Exit, 0, 3);
        string[] call = ["season", "--weather", _farm.At("daily.csv"), "--plan", _farm.Out, "--soil", "loam", "--depth", "40 cm", "--rule", "dry", "--start", "2027-02-01", "--out"];
        CliResult run = Cli.Run([.. call, _farm.At("season"), "--json"]);
        Assert.True(run.Exit == 0, run.Error);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        Assert.InRange(said.GetProperty("hours").GetDouble(), 0.1, 10);
        Assert.Equal("2027-02-01", said.GetProperty("dates")[2].GetProperty("date").GetString());
        CliResult faster = Cli.Run([.. call, _farm.At("other"), "--json", "--machine", "two-wheel-45", "--hours-a-day", "0.5"]);
        Assert.True(faster.Exit == 0, faster.Error);
        Assert.True(JsonDocument.Parse(faster.Output).RootElement.GetProperty("needed_days").GetInt32() > 1);
    }

    [Theory]
    [InlineData("--latitude 38 --soil loam", "The depth of the tip is missing")]
    [InlineData("--latitude 38 --depth 40cm", "The soil is missing")]
    [InlineData("--latitude 38 --depth 40cm --soil mud", "is no soil")]
    [InlineData("--latitude 38 --depth 40cm --soil sand=40", "is no soil")]
    [InlineData("--depth 40cm --soil loam", "latitude is not known")]
    [InlineData("--latitude 138 --depth 40cm --soil loam", "latitude is 138")]
    [InlineData("--latitude 38 --depth 4m --soil loam", "tip runs at 4 m")]
    [InlineData("--latitude 38 --depth 40cm --soil loam --between 10", "is no range")]
    [InlineData("--latitude 38 --depth 40cm --soil loam --between 60-10", "between 60 and 10")]
    [InlineData("--latitude 38 --depth 40cm --soil loam --between 10-60 --rule dry", "leave one out")]
    [InlineData("--latitude 38 --depth 40cm --soil loam --subsoil clay", "Where the subsoil begins is missing")]
    [InlineData("--latitude 38 --depth 40cm --soil loam --subsoil-depth 30cm", "say which with --subsoil")]
    [InlineData("--latitude 38 --depth 40cm --soil loam --machine front-assist-90", "hours of a plan")]
    [InlineData("--latitude 38 --depth 40cm --soil loam --start tomorrow", "is not a date")]
    [InlineData("plan --latitude 38 --depth 40cm --soil loam", "belongs to no option")]
    [InlineData("--latitude 38 --depth 40cm --soil loam --hours-a-day 0.2", "half an hour at least")]
    public void Season_OfNoSense_IsRefusedInASentence(string words, string because)
    {
        CliResult run = Cli.Run(["season", "--weather", _farm.At("daily.csv"), "--out", _farm.At("season"), .. words.Split(' ')]);
        Assert.Equal(2, run.Exit);
        Assert.Contains(because, Assert.Single(run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("season")));
    }
}
