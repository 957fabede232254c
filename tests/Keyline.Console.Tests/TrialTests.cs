using System.Text.Json;
using Keyline.Elevation;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Tests;

public sealed class TrialTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Trial_OfAPlan_LeavesStripsThatThePlanKeepsClearOf()
    {
        Assert.InRange(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "3 m", "--out", _farm.Out).Exit, 0, 3);
        CliResult run = Cli.Run("trial", _farm.Out, "--dem", _farm.Dem, "--blocks", "2", "--passes", "3", "--plot-length", "50 m", "--seed", "4", "--out", _farm.At("trial"), "--json");
        Assert.True(run.Exit == 0, run.Error + run.Output);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        Assert.Equal("randomised", said.GetProperty("kind").GetString());
        Assert.Equal(4, said.GetProperty("plots").GetArrayLength());
        Assert.All(said.GetProperty("files").EnumerateArray(), f => Assert.True(File.Exists(Path.Combine(_farm.At("trial"), f.GetString()!)), f.GetString()));
        Assert.StartsWith("date,plot,point,radius_cm", File.ReadAllText(Path.Combine(_farm.At("trial"), "readings", "rings.csv")), StringComparison.Ordinal);
        Assert.Contains("<wpt ", File.ReadAllText(Path.Combine(_farm.At("trial"), "points.gpx")), StringComparison.Ordinal);

        // The plan made again with the strips avoided has no line in them.
        Assert.InRange(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "3 m", "--avoid", Path.Combine(_farm.At("trial"), "avoid.geojson"), "--out", _farm.At("again")).Exit, 0, 3);
        WrittenPlan again = PlanReader.Read(Path.Combine(_farm.At("again"), "plan.geojson"));
        Geometry[] strips = [.. again.Field!.Avoided.Select(a => a.Shape)];
        Assert.Equal(2, strips.Length);
        Assert.All(strips, s => Assert.InRange(s.Area, 3 * 3 * 50 * 0.8, 3 * 3 * 50 * 1.3));
        Assert.All(again.Lines, l => Assert.True(strips.All(s => s.Buffer(-0.1).Intersection(l.Line).Length < 0.1), l.Id));
        Assert.Contains(PlanReader.Read(Path.Combine(_farm.Out, "plan.geojson")).Lines, l => strips.Any(s => s.Intersection(l.Line).Length > 40));
    }

    [Theory]
    [InlineData("--treatments", "ripped,deep", "exactly one control")]
    [InlineData("--treatments", "unripped", "2 to 6")]
    [InlineData("--points", "rings 5", "kind and a number")]
    [InlineData("--effect", "0.5", "ratio above 1")]
    [InlineData("--plot-length", "10 m", "20 to 2000 m")]
    public void Trial_OfNoSense_IsRefusedInASentence(string option, string value, string because)
    {
        _farm.WriteField("plan.geojson", [(30, 30), (250, 30), (250, 190), (30, 190)]);
        CliResult run = Cli.Run("trial", _farm.At("plan.geojson"), "--dem", _farm.Dem, option, value, "--out", _farm.At("trial"));
        Assert.Equal(2, run.Exit);
        Assert.Contains(because, run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("trial")));
    }

    [Fact]
    public void Monitor_OfFilledInTables_SaysWhatCameOfIt_AndSetsAsideWhatItCannotUse()
    {
        Assert.InRange(Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "3 m", "--out", _farm.Out).Exit, 0, 3);
        string trial = _farm.At("trial"), rings = Path.Combine(trial, "readings", "rings.csv");
        Assert.Equal(0, Cli.Run("trial", _farm.Out, "--dem", _farm.Dem, "--blocks", "3", "--passes", "2", "--plot-length", "40 m", "--points", "ring 2,clip 1", "--out", trial).Exit);
        CliResult empty = Cli.Run("monitor", trial, "--out", _farm.At("none"));
        Assert.Equal(0, empty.Exit);
        Assert.Contains("wait to be filled in", empty.Output, StringComparison.Ordinal);

        using JsonDocument design = JsonDocument.Parse(File.ReadAllText(Path.Combine(trial, "trial.json")));
        Dictionary<string, string> treatment = design.RootElement.GetProperty("plots").EnumerateArray().ToDictionary(p => p.GetProperty("id").GetString()!, p => p.GetProperty("treatment").GetString()!);
        List<string> rows = ["date,plot,point,radius_cm,depth_cm,head_cm,soil,time_min,infiltrated_mm,note"];
        foreach (JsonElement point in design.RootElement.GetProperty("points").EnumerateArray().Where(p => p.GetProperty("kind").GetString() == "ring"))
        {
            string id = point.GetProperty("id").GetString()!, plot = point.GetProperty("plot").GetString()!;
            foreach ((string date, double factor) in ((string, double)[])[("2027-03-01", 1), ("2027-08-01", treatment[plot] == "ripped" ? 3 : 1)])
            {
                double rate = 2 * factor * (1 + (0.05 * (id[^1] - '0')) + (0.02 * (plot[1] - '0') * (plot[3] - '0')));
                rows.AddRange(Enumerable.Range(1, 5).Select(i => FormattableString.Invariant($"{date},{plot},{id},7.5,5,5,loam,{5 * i},{5 * i * rate:0.00},")));
            }
        }

        File.WriteAllLines(rings, [.. rows, "2027-08-02,B7P1,B7P1-R1,7.5,5,5,loam,5,5,"]);
        byte[] before = File.ReadAllBytes(rings);
        CliResult run = Cli.Run("monitor", trial, "--ripped", "2027-04-10", "--out", _farm.At("results"), "--json");
        Assert.True(run.Exit == 3, run.Error + run.Output);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        Assert.Equal("more", said.GetProperty("measures")[0].GetProperty("answer").GetString());
        Assert.Contains("no plot B7P1 in the design", said.GetProperty("set_aside")[0].GetString(), StringComparison.Ordinal);
        Assert.All(said.GetProperty("files").EnumerateArray(), f => Assert.True(File.Exists(Path.Combine(_farm.At("results"), f.GetString()!)), f.GetString()));
        using JsonDocument results = JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.At("results"), "results.json")));
        Assert.Equal(3, results.RootElement.GetProperty("measures")[0].GetProperty("effect").GetDouble(), 0.01);
        Assert.True(File.Exists(Path.Combine(_farm.At("results"), "year-2027.html")));
        Assert.Equal(before, File.ReadAllBytes(rings));

        // Laid out again over itself, tables filled in since stay as they are.
        Assert.Equal(0, Cli.Run("trial", _farm.Out, "--dem", _farm.Dem, "--blocks", "3", "--passes", "2", "--plot-length", "40 m", "--points", "ring 2,clip 1", "--out", trial, "--overwrite").Exit);
        Assert.Equal(before, File.ReadAllBytes(rings));

        // Two surveys, the second with a cut of 20 cm along the longest line: found where it is, written as shapes, a raster and words.
        WrittenPlan plan = PlanReader.Read(Path.Combine(_farm.Out, "plan.geojson"));
        var longest = plan.Lines.MaxBy(l => l.Line.Length)!;
        Geometry middle = new NetTopologySuite.LinearReferencing.LengthIndexedLine(longest.Line).ExtractLine(20, 60);
        ElevationSource first = ElevationReader.Read([_farm.Dem]);
        GridFrame frame = first.Grid.Frame;
        float[] lower = [.. first.Grid.Heights.ToArray().Select((h, i) => middle.Distance(new Point(frame.CentreX(i % frame.Columns), frame.CentreY(i / frame.Columns))) < 1.2 * frame.CellSize ? h - 0.2f : h)];
        using (FileStream tif = File.Create(_farm.At("after.tif")))
        {
            GeoTiffWriter.Write(tif, ElevationGrid.Copy(frame, lower), first.Crs);
        }

        CliResult compared = Cli.Run("monitor", trial, "--ripped", "2027-04-10", "--before", _farm.Dem, "--after", _farm.At("after.tif"), "--plan", _farm.Out, "--height-error", "3 cm", "--out", _farm.At("ground"), "--json");
        Assert.True(compared.Exit == 3, compared.Error + compared.Output);
        Assert.Contains(JsonDocument.Parse(compared.Output).RootElement.GetProperty("ground").EnumerateArray(), g => g.GetString()!.Contains($"deepest {longest.Id} from", StringComparison.Ordinal) || g.GetString()!.Contains("stretches of lines", StringComparison.Ordinal));
        using JsonDocument ground = JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.At("ground"), "results.json")));
        JsonElement cut = ground.RootElement.GetProperty("ground").GetProperty("cut").EnumerateArray().First(c => c.GetProperty("line").GetString() == longest.Id);
        Assert.InRange(cut.GetProperty("depth_max_m").GetDouble(), 0.18, 0.22);
        Assert.InRange(cut.GetProperty("from_m").GetDouble(), 10, 25);
        Assert.InRange(cut.GetProperty("to_m").GetDouble(), 55, 70);
        Assert.Equal(frame, ElevationReader.Read([Path.Combine(_farm.At("ground"), "change.tif")]).Grid.Frame);
        Assert.Contains("The ground between two surveys", File.ReadAllText(Path.Combine(_farm.At("ground"), "results.html")), StringComparison.Ordinal);
        Assert.NotEmpty(JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.At("ground"), "incision.geojson"))).RootElement.GetProperty("features").EnumerateArray());
        CliResult half = Cli.Run("monitor", trial, "--before", _farm.Dem, "--out", _farm.At("wrong"));
        Assert.Equal((2, true), (half.Exit, half.Error.Contains("--before needs --after as well", StringComparison.Ordinal)));
        TrialSchemaTests.Hold(trial, _farm.At("ground"));

        Assert.Equal(2, Cli.Run("monitor", _farm.Out, "--out", _farm.At("wrong")).Exit);
        Assert.Equal(2, Cli.Run("monitor", trial, "--ripped", "10.4.2027", "--out", _farm.At("wrong")).Exit);
    }
}
