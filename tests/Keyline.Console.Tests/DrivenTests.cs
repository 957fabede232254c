using System.Globalization;
using System.Text;
using System.Text.Json;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Tests;

public sealed class DrivenTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Driven_ThePlansOwnGuidanceLines_AreDrivenAsPlannedInEveryForm()
    {
        Plan();
        Assert.Equal(0, Cli.Run("guidance", _farm.Out, "--to", "kml,csv,geojson,taskdata-zip,gpx-routes", "--out", _farm.At("cab"), "--quiet").Exit);
        string[] tracks = [Path.Combine(_farm.Out, "guidance/lines.gpx"), .. new[] { "lines.kml", "waypoints.csv", "lines.geojson", "taskdata.zip", "routes.gpx" }.Select(n => Path.Combine(_farm.At("cab"), n))];
        foreach (string track in tracks)
        {
            CliResult run = Cli.Run("driven", _farm.Out, "--track", track, "--json");
            Assert.True(run.Exit == 0, track + run.Error);
            JsonElement f = JsonDocument.Parse(run.Output).RootElement.GetProperty("figures");
            Assert.Equal(0, f.GetProperty("lines_left").GetInt32() + f.GetProperty("lines_in_part").GetInt32());
            Assert.InRange(f.GetProperty("error_max_m").GetDouble(), 0, 0.03);
        }
    }

    [Fact]
    public void Driven_ALogWithASkippedLineAndSideDraft_IsToldOfAndWritten()
    {
        Plan();
        string log = Log(skip: 3, right: 0.2, up: 0);
        CliResult run = Cli.Run("driven", _farm.Out, "--track", log, "--cross-track", "40 cm", "--out", _farm.At("driven"));
        Assert.Equal(3, run.Exit);
        Assert.Contains("Line R004 was not driven.", run.Output, StringComparison.Ordinal);
        Assert.Contains("0.20 m to the right of travel", run.Output, StringComparison.Ordinal);
        Assert.Contains("track's own heights", run.Output, StringComparison.Ordinal);
        CliResult rest = Cli.Run("driven", _farm.Out, "--track", log, "--cross-track", "40 cm", "--without-shift");
        Assert.Contains("once a displacement of the whole track was taken off: it lay 0.20 m to the right", rest.Output, StringComparison.Ordinal);
        Assert.Contains("Not as planned (1 stretch)", rest.Output, StringComparison.Ordinal);
        JsonElement shapes = JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.At("driven"), "driven.geojson"))).RootElement;
        JsonElement[] features = [.. shapes.GetProperty("features").EnumerateArray().Select(f => f.GetProperty("properties"))];
        Assert.Equal("R004", Assert.Single(features, f => f.GetProperty("kind").GetString() == "skipped").GetProperty("line").GetString());
        Assert.All(features.Where(f => f.GetProperty("kind").GetString() == "driven-pass"), f => Assert.Equal(0.2, f.GetProperty("error_mean_m").GetDouble(), 0.02));
        Assert.Equal(["plan", "track"], shapes.GetProperty("keyline").GetProperty("inputs").EnumerateArray().Select(i => i.GetProperty("role").GetString()));
        Assert.Contains("R004", File.ReadAllText(Path.Combine(_farm.At("driven"), "driven.txt")), StringComparison.Ordinal);
    }

    [Fact]
    public void Driven_TheFirstDay_LeavesTheRestToCome()
    {
        Plan();
        string log = Log(skip: 1, right: 0, up: 0, lines: 4);
        CliResult run = Cli.Run("driven", _farm.Out, "--track", log);
        Assert.Equal(3, run.Exit);
        Assert.StartsWith("Not as planned (1 stretch):", run.Output, StringComparison.Ordinal);
        Assert.Contains("1 not at all, ", run.Output, StringComparison.Ordinal);
        JsonElement f = Figures("driven", _farm.Out, "--track", log, "--json");
        Assert.Equal((1, PlanReader.Read(Path.Combine(_farm.Out, "plan.geojson")).Lines.Count - 4), (f.GetProperty("lines_left").GetInt32(), f.GetProperty("lines_not_reached").GetInt32()));
        CliResult whole = Cli.Run("driven", _farm.Out, "--track", Log(skip: -1, right: 0, up: 0, lines: 4));
        Assert.Equal(0, whole.Exit);
        Assert.Contains("Everything up to here was driven as planned.", whole.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Driven_WithElevation_JudgesGradesByTheGround()
    {
        Plan();
        string log = Log(skip: -1, right: 0, up: 0.02);
        JsonElement own = Figures("driven", _farm.Out, "--track", log, "--json"), ground = Figures("driven", _farm.Out, "--track", log, "--dem", _farm.Dem, "--json");
        Assert.True(own.GetProperty("grade_median_pct").GetDouble() > ground.GetProperty("grade_median_pct").GetDouble() + 0.5);

        // By the ground nothing is steeper than it was planned; by the track's own heights it all is.
        CliResult planned = Cli.Run("driven", _farm.Out, "--track", log, "--dem", _farm.Dem, "--max-grade", "0.1"), steep = Cli.Run("driven", _farm.Out, "--track", log, "--max-grade", "1.5");
        Assert.Equal((0, 3), (planned.Exit, steep.Exit));
        Assert.StartsWith("Steep as planned (", planned.Output, StringComparison.Ordinal);
        Assert.StartsWith("Not as planned (", steep.Output, StringComparison.Ordinal);
        Assert.Equal(0, Cli.Run("driven", _farm.Out, "--track", log, "--dem", _farm.Dem, "--max-grade", "8").Exit);
    }

    [Theory]
    [InlineData("", "The track is missing")]
    [InlineData("--track none.gpx", "There is no track none.gpx")]
    [InlineData("--track FIELD --cross-track 0m", "above zero")]
    [InlineData("--track FIELD", "no track of two positions")]
    [InlineData("--track FAR", "more than 100 km from the plan")]
    [InlineData("--track SPARSE", "allow a greater gap")]
    public void Driven_WhatCannotBeFollowed_IsRefused(string options, string sentence)
    {
        Plan();
        string point = _farm.Write("point.geojson", """{"type":"Point","coordinates":[-121.5,37.1]}""");
        string far = _farm.Write("far.geojson", """{"type":"LineString","coordinates":[[10.5,37.1],[10.5002,37.1],[10.5004,37.1]]}""");
        string sparse = _farm.Write("sparse.geojson", TestFarm.Feature("LineString", TestFarm.Line([(50, 50), (150, 50), (240, 60)]), "{}"));
        string words = options.Replace("FIELD", point, StringComparison.Ordinal).Replace("FAR", far, StringComparison.Ordinal).Replace("SPARSE", sparse, StringComparison.Ordinal);
        CliResult run = Cli.Run(["driven", _farm.Out, .. words.Split(' ', StringSplitOptions.RemoveEmptyEntries)]);
        Assert.Equal(2, run.Exit);
        Assert.Contains(sentence, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Driven_ATrackOfTheNextField_IsOnNoLine()
    {
        Plan();
        string track = _farm.Write("next.geojson", TestFarm.Feature("LineString", TestFarm.Line([(500, 50), (540, 50), (580, 60)]), "{}"));
        CliResult run = Cli.Run("driven", _farm.Out, "--track", track);
        Assert.Equal(3, run.Exit);
        Assert.Contains("No part of the track", run.Output, StringComparison.Ordinal);
    }

    private static JsonElement Figures(params string[] words) => JsonDocument.Parse(Cli.Run(words).Output).RootElement.GetProperty("figures");

    private void Plan() => Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "6 m", "--out", _farm.Out, "--quiet");

    // A receiver's log of the plan driven line by line at 1.5 m between fixes, to one side, on ground that rises as it goes.
    private string Log(int skip, double right, double up, int lines = int.MaxValue)
    {
        WrittenPlan plan = PlanReader.Read(Path.Combine(_farm.Out, "plan.geojson"));
        StringBuilder text = new();
        int second = 0;
        for (int k = 0; k < Math.Min(lines, plan.Lines.Count); k++, second += 100)
        {
            if (k == skip)
            {
                continue;
            }

            NetTopologySuite.LinearReferencing.LengthIndexedLine line = new(plan.Lines[k].Line);
            for (double s = 0; s <= line.EndIndex; s += 1.5, second++)
            {
                Coordinate at = line.ExtractPoint(s, -right);
                (double lon, double lat) = plan.Crs.ToLonLat(at.X, at.Y);
                string body = string.Create(CultureInfo.InvariantCulture, $"GNGGA,{second / 3600 % 24:00}{second / 60 % 60:00}{second % 60:00}.00,{Minutes(lat, 2)},N,{Minutes(-lon, 3)},W,4,12,0.8,{100 + (up * s):F3},M,30.0,M,,");
                text.Append(CultureInfo.InvariantCulture, $"${body}*{body.Aggregate(0, (sum, c) => sum ^ c):X2}\r\n");
            }
        }

        return _farm.Write("log.nmea", text.ToString());
    }

    private static string Minutes(double degrees, int digits) =>
        ((int)degrees).ToString("D" + digits, CultureInfo.InvariantCulture) + ((degrees - (int)degrees) * 60).ToString("00.0000000", CultureInfo.InvariantCulture);
}
