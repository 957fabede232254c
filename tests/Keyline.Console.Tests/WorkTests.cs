using System.Text.Json;

namespace Keyline.Console.Tests;

public sealed class WorkTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Work_OfAPlan_WritesTableSheetsGuidanceAndWays()
    {
        Plan();
        CliResult run = Cli.Run("work", _farm.Out, "--machine", "front-assist-90", "--most-lines", "5", "--separate", "--to", "gpx,geojson", "--start", "2027-03-01", "--out", _farm.At("work"), "--json");
        Assert.True(run.Exit is 0 or 3, run.Error);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        Assert.All(said.GetProperty("files").EnumerateArray(), f => Assert.True(File.Exists(_farm.At("work/" + f.GetString()))));
        JsonElement field = said.GetProperty("fields")[0];
        int lines = field.GetProperty("lines").GetInt32();
        Assert.Equal(run.Exit == 3, field.GetProperty("findings").GetArrayLength() > 0);
        Assert.Equal(JsonValueKind.Null, said.GetProperty("located_services").ValueKind);

        // Every line in guidance files of five at the most, each file with what is missing said in it.
        string[] parts = Directory.GetDirectories(_farm.At("work"), "guidance-*");
        Assert.Equal((lines + 4) / 5, parts.Length);
        Assert.Equal(lines, parts.Sum(p => File.ReadAllText(Path.Combine(p, "lines.gpx")).Split("<trk>").Length - 1));
        Assert.All(parts, p => Assert.StartsWith("NO RECORD", File.ReadAllText(Path.Combine(p, "READ-FIRST.txt")), StringComparison.Ordinal));
        Assert.All(parts, p => Assert.Contains("no record of located services", File.ReadAllText(Path.Combine(p, "lines.gpx")), StringComparison.Ordinal));
        Assert.All(Directory.GetFiles(_farm.At("work"), "sheet-*.html"), s => Assert.Contains("NO RECORD", File.ReadAllText(s), StringComparison.Ordinal));
        Assert.StartsWith("BEGIN:VCALENDAR\r\n", File.ReadAllText(_farm.At("work/work.ics")), StringComparison.Ordinal);
        Assert.Contains("DTSTART;VALUE=DATE:20270301", File.ReadAllText(_farm.At("work/work.ics")), StringComparison.Ordinal);

        // The order is no slower than the plan's own, and the hours add up.
        Assert.True(field.GetProperty("between_lines_h").GetDouble() <= field.GetProperty("between_lines_plan_order_h").GetDouble() + 1e-9);
        JsonElement usual = field.GetProperty("usual");
        Assert.Equal(usual.GetProperty("hours").GetDouble(), new[] { "ripping_h", "turning_h", "links_h", "lifting_h", "refills_h" }.Sum(k => usual.GetProperty(k).GetDouble()), 0.01);
    }

    [Fact]
    public void Work_WithARecordAndPrices_TellsThem_AndTheSameBytesTwice()
    {
        Plan();
        string machine = _farm.Write("machine.json", """{ "tractor": { "power": "90 kW" }, "implement": { "shanks": 2, "shank_spacing": "0.7 m", "depth": "50 cm" }, "prices": { "currency": "USD", "tractor": 95000, "implement": 9000, "fuel": 1, "wage": 25, "custom_rate": 60 } }""");
        CliResult run = Run("kept-a"), again = Run("kept-b");
        Assert.Contains("cleared by A. Digger, ticket 4711, until 2027-03-20", run.Output, StringComparison.Ordinal);
        Assert.Contains("USD: ", run.Output, StringComparison.Ordinal);
        Assert.Contains("A contractor at 60.00 a hectare", run.Output, StringComparison.Ordinal);
        Assert.Contains("year 2 at 0.50 m", run.Output, StringComparison.Ordinal);
        Assert.Equal(run.Output.Replace("kept-a", "kept-b", StringComparison.Ordinal), again.Output);
        foreach (string file in Directory.GetFiles(_farm.At("kept-a"), "*", SearchOption.AllDirectories).Where(f => !Path.GetFileName(f).StartsWith('.')))
        {
            Assert.DoesNotContain("NO RECORD", File.ReadAllText(file), StringComparison.Ordinal);
            Assert.Equal(File.ReadAllBytes(file), File.ReadAllBytes(file.Replace(_farm.At("kept-a"), _farm.At("kept-b"), StringComparison.Ordinal)));
        }

        CliResult Run(string folder) => Cli.Run("work", _farm.Out, "--machine", machine, "--depths", "30 cm,50 cm", "--cleared-by", "A. Digger", "--ticket", "4711", "--until", "2027-03-20", "--out", _farm.At(folder));
    }

    [Fact]
    public void Plan_ForAMachine_TakesShanksRadiusAndHeadlandFromIt_AndNotesReviseTheWork()
    {
        CliResult auto = Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--machine", "front-assist-90", "--spacing", "6 m", "--out", _farm.Out, "--json");
        Assert.True(auto.Exit is 0 or 3, auto.Error);
        JsonElement plan = JsonDocument.Parse(auto.Output).RootElement;
        JsonElement options = plan.GetProperty("options");
        Field.Machine machine = Field.GenericMachines.Named("front-assist-90")!;
        Assert.Equal(Fieldwork.HeadlandWidth.Automatic(machine, 6), options.GetProperty("headland_m").GetDouble());
        Assert.Equal(8, options.GetProperty("min_radius_m").GetDouble());
        Assert.Equal(2, options.GetProperty("shanks").GetInt32());
        Assert.Contains(plan.GetProperty("assumed").EnumerateArray(), a => a.GetString()!.Contains("kN", StringComparison.Ordinal));
        Assert.Contains(plan.GetProperty("assumed").EnumerateArray(), a => a.GetString()!.Contains("with one reverse; the headland is", StringComparison.Ordinal));
        Assert.Contains("auto needs the machine", Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "6 m", "--headland", "auto", "--out", _farm.At("no")).Error, StringComparison.Ordinal);

        string notes = _farm.Write("notes.geojson", TestFarm.Feature("Point", TestFarm.Place(140, 110), """{"setback_m": 10, "name": "rock"}"""));
        CliResult run = Cli.Run("work", _farm.Out, "--machine", "front-assist-90", "--notes", notes, "--keep-order", "--out", _farm.At("work"), "--json");
        Assert.True(run.Exit is 0 or 3, run.Error);
        JsonElement changes = JsonDocument.Parse(run.Output).RootElement.GetProperty("fields")[0].GetProperty("changes");
        Assert.InRange(changes.GetArrayLength(), 1, 6);
        Assert.All(changes.EnumerateArray(), c => Assert.Contains("rock", c.GetProperty("sentence").GetString(), StringComparison.Ordinal));
    }

    /// <summary>Located services: lines of a plan keep out of the hand-dig zone; a plan that does not know them is cut there; every sheet tells. The headland comes last.</summary>
    [Fact]
    public void Work_WithLocatedServices_AndTheHeadland()
    {
        string gas = _farm.Write("gas.geojson", TestFarm.Feature("LineString", TestFarm.Line([(140, 20), (140, 240)]), """{"name": "gas main"}"""));
        Assert.True(Cli.Run(_farm.Plan("--headland", "12 m", "--quiet")).Exit is 0 or 3);
        CliResult run = Cli.Run("work", _farm.Out, "--machine", "front-assist-90", "--located", gas, "--hand-dig", "MI", "--rip-headland", "--keep-order", "--to", "taskdata,geojson", "--out", _farm.At("work"), "--json");
        Assert.True(run.Exit is 0 or 3, run.Error);
        JsonElement field = JsonDocument.Parse(run.Output).RootElement.GetProperty("fields")[0];
        Assert.NotEmpty(field.GetProperty("changes").EnumerateArray());
        Assert.All(field.GetProperty("changes").EnumerateArray(), c => Assert.Contains("gas main", c.GetProperty("sentence").GetString(), StringComparison.Ordinal));
        Assert.InRange(field.GetProperty("headland_lines").GetInt32(), 1, 40);
        string[] order = [.. field.GetProperty("order").EnumerateArray().Select(o => o.GetString()!.TrimStart('-'))];
        Assert.StartsWith("H", order[^1], StringComparison.Ordinal);
        Assert.Equal(order.Length - field.GetProperty("headland_lines").GetInt32(), Array.FindIndex(order, o => o[0] == 'H'));
        Assert.All(Directory.GetFiles(_farm.At("work"), "TASKDATA.XML", SearchOption.AllDirectories), f => Assert.Contains("B=\"no record of located services\"", File.ReadAllText(f), StringComparison.Ordinal));
        Assert.Contains(Directory.GetFiles(_farm.At("work"), "sheet-*.html"), s => File.ReadAllText(s).Contains("HAND DIGGING ONLY within 1.22 m", StringComparison.Ordinal));

        CliResult plan = Cli.Run(_farm.Plan("--located", gas, "--overwrite", "--quiet"));
        Assert.True(plan.Exit is 0 or 3, plan.Error);
        Assert.Contains("\"hand_dig_m\":0.61", File.ReadAllText(Path.Combine(_farm.Out, "plan.geojson")), StringComparison.Ordinal);
        Assert.Contains("located", File.ReadAllText(Path.Combine(_farm.Out, "plan.json")), StringComparison.Ordinal);
        CliResult none = Cli.Run("work", _farm.Out, "--machine", "front-assist-90", "--keep-order", "--out", _farm.At("work-2"), "--json");
        Assert.Empty(JsonDocument.Parse(none.Output).RootElement.GetProperty("fields")[0].GetProperty("changes").EnumerateArray());
    }

    /// <summary>Two fields in one table: the road between them is counted for the second.</summary>
    [Fact]
    public void Work_OfTwoFields_CountsTheRoad_AndLinesThatAreUnsureAreMarked()
    {
        Plan();
        Assert.True(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "6 m", "--headland", "12 m", "--noise", "20 cm", "--out", _farm.At("plan-b"), "--quiet").Exit is 0 or 3);
        JsonElement unsure = JsonDocument.Parse(File.ReadAllText(_farm.At("plan-b/plan.json"))).RootElement.GetProperty("certainty").GetProperty("unsure_lines");
        Assert.NotEmpty(unsure.EnumerateArray());
        CliResult run = Cli.Run("work", _farm.Out, _farm.At("plan-b"), "--machine", "front-assist-90", "--keep-order", "--to", "csv", "--out", _farm.At("work"), "--json");
        Assert.True(run.Exit is 0 or 3, run.Error);
        JsonElement[] fields = [.. JsonDocument.Parse(run.Output).RootElement.GetProperty("fields").EnumerateArray()];
        Assert.Equal(0, fields[0].GetProperty("usual").GetProperty("moving_h").GetDouble());
        Assert.InRange(fields[1].GetProperty("usual").GetProperty("moving_h").GetDouble(), 0.25, 0.35);
        string sheets = string.Concat(Directory.GetFiles(_farm.At("work/field-2"), "sheet-*.html").Select(File.ReadAllText));
        Assert.Contains("which way it falls is not sure", sheets, StringComparison.Ordinal);
        Assert.Contains("!\"", File.ReadAllText(_farm.At("work/field-2/guidance-01/waypoints.csv")).Replace("!,", "!\"", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    /// <summary>A plan from another country among those of a farm is a slip, not a haul of a week.</summary>
    [Fact]
    public void Work_OfFieldsThatLieFarApart_IsRefused_AndWritesNothing()
    {
        Plan();
        string far = _farm.At("far.geojson");
        File.WriteAllText(far, "{\"type\":\"FeatureCollection\",\"keyline\":{\"crs\":{\"epsg\":32632},\"options\":{\"spacing_m\":6}},\"features\":["
            + "{\"type\":\"Feature\",\"properties\":{\"kind\":\"boundary\",\"name\":\"Far\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[[9,50],[9.01,50],[9.01,50.01],[9,50.01],[9,50]]]}},"
            + "{\"type\":\"Feature\",\"properties\":{\"kind\":\"rip-line\",\"id\":\"R1\",\"sequence\":1},\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[9.002,50.005],[9.008,50.005]]}}]}");
        CliResult run = Cli.Run("work", _farm.Out, far, "--machine", "front-assist-90", "--out", _farm.At("work"));
        Assert.Equal(2, run.Exit);
        Assert.Contains("km by road, farther than 300 km: give plans of fields that are worked in one round", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("work")));
    }

    [Theory]
    [InlineData("--machine no-such", "neither a file nor a generic machine")]
    [InlineData("--machine front-assist-90 --cleared-by A", "add --ticket NUMBER and --until DATE")]
    [InlineData("--machine front-assist-90 --start 1.3.2027", "is not a date")]
    [InlineData("--machine front-assist-90 --depths 30", "without a unit")]
    [InlineData("--machine front-assist-90 --depths 3m", "is no list of depths")]
    [InlineData("--machine front-assist-90 --soil mud", "write medium or fine or coarse")]
    [InlineData("--machine front-assist-90 --hours-a-day 30", "up to 24 hours")]
    [InlineData("--machine front-assist-90 --most-lines 0", "whole number from 1")]
    [InlineData("--machine front-assist-90 --to dxf", "is no format")]
    [InlineData("--machine front-assist-90 --hand-dig TX", "no figure for that state")]
    [InlineData("--machine front-assist-90 --hand-dig 0.6m", "needs the located services")]
    [InlineData("", "The machine is missing")]
    public void Work_WrongCall_IsRefusedWithOneSentence(string words, string said)
    {
        _farm.Write("plan.geojson", TestFarm.Feature("LineString", TestFarm.Line([(60, 60), (200, 60)]), "{}"));
        CliResult run = Cli.Run(["work", _farm.At("plan.geojson"), "--out", _farm.At("work"), .. words.Split(' ', StringSplitOptions.RemoveEmptyEntries)]);
        Assert.Equal(2, run.Exit);
        Assert.Contains(said, Assert.Single(run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("work")));
    }

    [Fact]
    public void Work_LinesWithoutAField_AreRefused()
    {
        _farm.Write("plan.geojson", TestFarm.Feature("LineString", TestFarm.Line([(60, 60), (200, 60)]), "{}"));
        CliResult run = Cli.Run("work", _farm.At("plan.geojson"), "--machine", "front-assist-90", "--out", _farm.At("work"));
        Assert.Equal(2, run.Exit);
        Assert.Contains("holds no outline of a field", run.Error, StringComparison.Ordinal);
    }

    private void Plan()
    {
        CliResult run = Cli.Run(_farm.Plan("--headland", "12 m", "--quiet"));
        Assert.True(run.Exit is 0 or 3, run.Error);
    }
}
