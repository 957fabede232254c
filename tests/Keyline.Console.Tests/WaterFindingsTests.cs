using System.Text.Json;

namespace Keyline.Console.Tests;

/// <summary>What a storm finds wrong, with places and proposals; dams, rock, headland and outlets of a plan; holes; and what age does.</summary>
public sealed class WaterFindingsTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Water_OfAPlan_TellsWhereAndWhatWouldHelp()
    {
        _farm.WriteDem("holed.asc", (x, y) => x is > 60 and < 72 && y is > 100 and < 112 ? double.NaN : TestFarm.Height(x, y));
        _farm.Write("avoid.geojson", "{\"type\":\"FeatureCollection\",\"features\":[" + string.Join(",",
            Feature("Polygon", TestFarm.Ring([(130, 60), (150, 60), (150, 75), (130, 75)]), """{"setback_m": 3, "name": "House pond"}"""),
            Feature("Polygon", TestFarm.Ring([(200, 150), (215, 150), (215, 165), (200, 165)]), """{"setback_m": 3, "name": "The Heap", "kind": "rock"}"""),
            Feature("Polygon", TestFarm.Ring([(60, 150), (70, 150), (70, 165), (60, 165)]), """{"setback_m": 3, "name": "Tree belt"}""")) + "]}");
        _farm.Write("outlets.geojson", TestFarm.Feature("Polygon", TestFarm.Ring([(136, 30), (144, 30), (144, 58), (136, 58)]), """{"name": "waterway"}"""));
        CliResult plan = Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--avoid", _farm.Avoid, "--outlets", _farm.At("outlets.geojson"), "--spacing", "6 m", "--headland", "6 m", "--pattern", "straight", "--bearing", "60", "--out", _farm.Out);
        Assert.True(plan.Exit is 0 or 3, plan.Error);
        string[] call = ["water", _farm.Out, "--dem", _farm.At("holed.asc"), "--storm", "30 mm in 1 h", "--storm-shape", "steady", "--soil", "3 mm/h", "--ridge", "10 cm", "--json"];
        CliResult run = Cli.Run([.. call, "--age", "2", "--headland-intake", "40%", "--out", _farm.At("water")]);
        Assert.True(run.Exit == 3, run.Error);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        Assert.All(said.GetProperty("cases").EnumerateArray(), c => Assert.InRange(Math.Abs(c.GetProperty("balance_error").GetDouble()), 0, 1e-9));

        // Each finding lies on a line of the plan that it names.
        JsonElement[] lines = [.. Read("out", "plan.geojson").EnumerateArray().Where(f => f.GetProperty("properties").GetProperty("kind").GetString() == "rip-line")];
        JsonElement[] findings = [.. Read("water", "findings.geojson").EnumerateArray()];
        Assert.NotEmpty(findings);
        Assert.Equal(findings.Length, findings.Select(f => f.GetProperty("id").GetString()).Distinct().Count());

        // Like every file of shapes it says what it was made from and what to beware of.
        JsonElement origin = JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.At("water"), "findings.geojson"))).RootElement.GetProperty("keyline");
        Assert.True(origin.GetProperty("caution").GetString()!.Length > 20);
        Assert.Contains(origin.GetProperty("inputs").EnumerateArray(), i => i.ToString().Contains("holed.asc", StringComparison.Ordinal));
        Assert.All(findings, f =>
        {
            JsonElement p = f.GetProperty("properties");
            JsonElement line = lines.Single(l => l.GetProperty("properties").GetProperty("id").GetString() == p.GetProperty("line").GetString());
            (double lon, double lat) = (p.GetProperty("longitude").GetDouble(), p.GetProperty("latitude").GetDouble());
            Assert.Contains(Segments(line), s => s.Lon0 - 1e-6 <= lon && lon <= s.Lon1 + 1e-6 && s.Lat0 - 1e-6 <= lat && lat <= s.Lat1 + 1e-6);
            bool fast = p.GetProperty("kind").GetString() is "end-runs-fast" or "runs-fast";
            Assert.Equal(fast, p.GetProperty("breaks_limit").GetBoolean());
            Assert.Equal(fast ? "LineString" : "Point", f.GetProperty("geometry").GetProperty("type").GetString());
            Assert.StartsWith($"Line {p.GetProperty("line").GetString()} ", p.GetProperty("sentence").GetString(), StringComparison.Ordinal);
            Assert.True(!fast || p.GetProperty("value").GetDouble() > 1, "What is found is more than the soil stands.");
            Assert.True(!fast || p.GetProperty("less_fall_pct").ValueKind == JsonValueKind.Null || p.GetProperty("less_fall_pct").GetDouble() < p.GetProperty("grade_pct").GetDouble());
            Assert.Equal("outlet 1", p.GetProperty("nearest_outlet").GetString());
        });

        // Ends at the waterway are none of them, and what they bring is told.
        JsonElement[] ends = [.. said.GetProperty("line_ends_at_outlets").EnumerateArray()];
        Assert.NotEmpty(ends);
        Assert.All(ends, e => Assert.DoesNotContain(findings, f => Is(f, "line", e.GetProperty("line").GetString()!) && Is(f, "kind", "end-runs-fast") && (f.GetProperty("properties").GetProperty("from_start_m").GetDouble() < 1) == (e.GetProperty("end").GetString() == "start")));
        string[] sentences = [.. said.GetProperty("said").EnumerateArray().Select(s => s.GetString()!)];
        Assert.Contains(sentences, s => s.StartsWith("Outlet 1 gets ", StringComparison.Ordinal) && s.Contains("line ends: see that", StringComparison.Ordinal));

        JsonElement dam = Assert.Single(said.GetProperty("dams").EnumerateArray());
        Assert.Equal("House pond", dam.GetProperty("name").GetString());
        Assert.True(dam.GetProperty("before_m3").GetDouble() > 0.03 * 300, "More than the rain on it.");
        Assert.Contains(sentences, s => s.StartsWith("House pond stores ", StringComparison.Ordinal));
        Assert.Contains("Avoided ground that takes nothing in: The Heap.", sentences);
        Assert.Contains(sentences, s => s.Contains("its kind is not told: Tree belt.", StringComparison.Ordinal));
        Assert.Contains(sentences, s => s.Contains("headland of 6.0 m", StringComparison.Ordinal) && s.Contains("take in 40 %", StringComparison.Ordinal));
        Assert.Contains(sentences, s => s.StartsWith("The height of 36 cells in the field is not known (144 m2, holes: 1); the greatest hole, 144 m2, lies at ", StringComparison.Ordinal));

        // Fresh rips keep most, those of the short half-life least; the age asked for lies between.
        JsonElement[] ages = [.. said.GetProperty("ages").EnumerateArray()];
        Assert.Equal(["fresh", "2 years, half-life 0.5", "2 years, half-life 5"], ages.Select(a => a.GetProperty("name").GetString()));
        double[] kept = [.. ages.Select(a => a.GetProperty("kept_mm").GetDouble())];
        double asked = said.GetProperty("cases")[1].GetProperty("taken_in_mm").GetDouble() - said.GetProperty("cases")[0].GetProperty("taken_in_mm").GetDouble();
        Assert.True(kept[0] > kept[2] && kept[2] > asked && asked > kept[1] && kept[1] > 0, $"{kept[0]} {kept[2]} {asked} {kept[1]}");

        // A headland that is not driven hard takes more; fresh rips need no list of ages.
        JsonElement whole = JsonDocument.Parse(Cli.Run([.. call, "--out", _farm.At("whole")]).Output).RootElement;
        Assert.False(whole.TryGetProperty("ages", out _));
        Assert.True(whole.GetProperty("cases")[0].GetProperty("taken_in_mm").GetDouble() > said.GetProperty("cases")[0].GetProperty("taken_in_mm").GetDouble() + 0.05);

        Assert.Contains(Read("whole", "findings.geojson").EnumerateArray(), f => f.GetProperty("properties").GetProperty("less_fall_pct").ValueKind == JsonValueKind.Number);
        Assert.Contains(Read("whole", "findings.geojson").EnumerateArray(), f => f.GetProperty("properties").GetProperty("break_every_m").ValueKind == JsonValueKind.Number && f.GetProperty("properties").GetProperty("breaks").GetArrayLength() > 0);

        // What fresh soil stands goes by its texture (Fortier and Scobey 1926, speed halved).
        string firm = Cli.Run([.. call.Select(w => w == "3 mm/h" ? "clay-loam over 0.3 mm/h at 45 cm" : w), "--out", _farm.At("firm")]).Output, sandy = Cli.Run([.. call.Select(w => w == "3 mm/h" ? "sandy-loam" : w), "--out", _farm.At("sandy")]).Output;
        Assert.Contains("(0.38 m/s and 3.6 Pa on fresh soil; Manning)", firm, StringComparison.Ordinal);
        Assert.Contains("(0.265 m/s and 1.8 Pa on fresh soil; Manning)", sandy, StringComparison.Ordinal);
        Assert.All(Read("firm", "findings.geojson").EnumerateArray().Where(f => f.GetProperty("properties").GetProperty("breaks_limit").GetBoolean()), f => Assert.Equal(3.6, f.GetProperty("properties").GetProperty("shear_limit_pa").GetDouble()));
        Assert.Contains(sentences, s => s.EndsWith("(0.3 m/s and 2.3 Pa on fresh soil; Manning).", StringComparison.Ordinal));

        CliResult much = Cli.Run([.. call, "--headland-intake", "140%", "--out", _farm.At("much")]);
        Assert.Equal(2, much.Exit);
        Assert.Contains("is above 100 %", much.Error, StringComparison.Ordinal);

        JsonElement Read(string folder, string name) => JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.At(folder), name))).RootElement.GetProperty("features");
    }

    private static string Feature(string type, string coordinates, string properties) =>
        $$"""{"type":"Feature","properties":{{properties}},"geometry":{"type":"{{type}}","coordinates":{{coordinates}} } }""";

    private static bool Is(JsonElement finding, string property, string value) => finding.GetProperty("properties").GetProperty(property).GetString() == value;

    private static IEnumerable<(double Lon0, double Lon1, double Lat0, double Lat1)> Segments(JsonElement line)
    {
        (double Lon, double Lat)[] at = [.. line.GetProperty("geometry").GetProperty("coordinates").EnumerateArray().Select(c => (c[0].GetDouble(), c[1].GetDouble()))];
        return at.Zip(at.Skip(1)).Select(s => (Math.Min(s.First.Lon, s.Second.Lon), Math.Max(s.First.Lon, s.Second.Lon), Math.Min(s.First.Lat, s.Second.Lat), Math.Max(s.First.Lat, s.Second.Lat)));
    }
}
