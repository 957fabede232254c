using System.Globalization;
using System.Text.Json;
using Keyline.Formats;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Tests;

public sealed class SetOutTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void SetOut_EverySoManyLines_KeepsThemApart()
    {
        Plan();
        CliResult run = Cli.Run("setout", _farm.Out, "--every", "5", "--out", _farm.At("setout"), "--json");
        Assert.True(run.Exit == 0, run.Error);
        using JsonDocument said = JsonDocument.Parse(run.Output);
        string[] ids = [.. said.RootElement.GetProperty("lines").EnumerateArray().Select(l => l.GetProperty("id").GetString()!)];
        WrittenPlan plan = PlanReader.Read(Path.Combine(_farm.Out, "plan.geojson"), null);
        LineString[] staked = [.. plan.Lines.Where(l => ids.Contains(l.Id)).Select(l => l.Line)];
        Assert.InRange(staked.Length, 2, plan.Lines.Count / 3);
        for (int i = 0; i < staked.Length; i++)
        {
            Point middle = (Point)staked[i].Factory.CreatePoint(new NetTopologySuite.LinearReferencing.LengthIndexedLine(staked[i]).ExtractPoint(staked[i].Length / 2));
            Assert.All(staked.Take(i), other => Assert.True(other.Distance(middle) > 2 * plan.Spacing, $"{other.Distance(middle)} m"));
        }
    }

    [Fact]
    public void SetOut_OfAPlan_WritesSheetTableShapesAndWaypoints()
    {
        string guide = Plan();
        CliResult run = Cli.Run("setout", _farm.Out, "--guide", guide, "--benchmark", "115.00 m", "--bench-reading", "1.20 m", "--rod", "30 m", "--sight", "2 km", "--out", _farm.At("setout"), "--json");
        Assert.True(run.Exit == 0, run.Error);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        Assert.All(said.GetProperty("files").EnumerateArray(), f => Assert.True(File.Exists(Path.Combine(_farm.At("setout"), f.GetString()!))));
        int stakes = said.GetProperty("lines")[0].GetProperty("stakes").GetInt32();

        // Every reading is the laser's plane (115.00 + 1.20 m) less the ground, in the table and on the sheet.
        string[][] rows = Rows(Path.Combine(_farm.At("setout"), "stakes.csv"));
        Assert.Equal(StakeFiles.Header.Split(','), rows[0]);
        string[][] read = [.. rows[1..].Where(r => r[3] != "benchmark")];
        Assert.Equal(stakes, read.Length);
        string sheet = File.ReadAllText(Path.Combine(_farm.At("setout"), "setout.html"));
        double[] onSheet = [.. sheet.Replace("−", "-", StringComparison.Ordinal).Split("<td class=\"rod\">").Skip(1).Select(cell => cell.Split('<')[0]).Where(text => text.Length > 0).Select(Number)];
        foreach (string[] row in read)
        {
            double ground = Number(row[9]), rod = Number(row[12]);
            Assert.Equal(116.20 - ground, rod, 0.0011);

            // To the centimetre there and to the millimetre here, each rounded from the same reading.
            Assert.Contains(onSheet, r => Math.Abs(r - rod) < 0.0056);
            Assert.InRange(ground, TestFarm.Height(Number(row[7]) - TestFarm.West, Number(row[8]) - TestFarm.South) - 0.25, TestFarm.Height(Number(row[7]) - TestFarm.West, Number(row[8]) - TestFarm.South) + 0.25);
        }

        Assert.Contains("<svg", sheet, StringComparison.Ordinal);
        Assert.DoesNotContain("http", sheet, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", sheet, StringComparison.Ordinal);
        JsonElement shapes = JsonDocument.Parse(File.ReadAllText(Path.Combine(_farm.At("setout"), "stakes.geojson"))).RootElement;
        Assert.Equal(stakes, shapes.GetProperty("features").EnumerateArray().Count(f => f.GetProperty("properties").GetProperty("kind").GetString() == "stake"));
        Assert.Equal(stakes, File.ReadAllText(Path.Combine(_farm.At("setout"), "stakes.gpx")).Split("<wpt").Length - 1);
    }

    [Fact]
    public void SetOut_SamePlan_GivesTheSameBytesAndASheetInFeet()
    {
        string guide = Plan();
        foreach (string folder in new[] { "one", "two" })
        {
            Assert.Equal(0, Cli.Run("setout", _farm.Out, "--guide", guide, "--sheet-unit", "ft", "--out", _farm.At(folder), "--quiet").Exit);
        }

        Assert.All(Directory.GetFiles(_farm.At("one")), f => Assert.Equal(File.ReadAllBytes(f), File.ReadAllBytes(Path.Combine(_farm.At("two"), Path.GetFileName(f)))));
        Assert.Contains("rod ft", File.ReadAllText(Path.Combine(_farm.At("one"), "setout.html")), StringComparison.Ordinal);
    }

    [Fact]
    public void SetOut_Uncalmed_KeepsTheGroundsOwnHeights()
    {
        string guide = Plan();
        Cli.Run("setout", _farm.Out, "--guide", guide, "--calm", "0 m", "--dem", _farm.Dem, "--out", _farm.At("setout"), "--quiet");
        ElevationSource ground = ElevationReader.Read([_farm.Dem], new ElevationReadOptions(), TestContext.Current.CancellationToken);
        string[][] rows = Rows(Path.Combine(_farm.At("setout"), "stakes.csv"));
        Assert.True(rows.Length > 8);
        Assert.All(rows[1..].Where(r => r[3] != "read again"), r => Assert.Equal(ground.Grid.HeightAt(Number(r[7]), Number(r[8])), Number(r[9]), 0.01));
    }

    // The ground is as planned but 2 m higher in the benchmark's datum: everything holds. Then one stake is 30 cm off.
    [Fact]
    public void Readings_OfTheFilledInTable_AreComparedWithThePlan()
    {
        string guide = Plan();
        Cli.Run("setout", _farm.Out, "--guide", guide, "--out", _farm.At("setout"), "--quiet");
        string good = Fill("good.csv", (row, _) => Number(row[9]) + 2), bad = Fill("bad.csv", (row, i) => Number(row[9]) + 2 + (i == 4 ? 0.3 : 0));
        CliResult holds = Cli.Run("setout", _farm.Out, "--readings", good, "--json"), off = Cli.Run("setout", _farm.Out, "--readings", bad, "--tolerance", "20 cm");
        Assert.True(holds.Exit == 0, holds.Error + holds.Output);
        JsonElement said = JsonDocument.Parse(holds.Output).RootElement;
        Assert.InRange(said.GetProperty("rms_m").GetDouble(), 0, 0.001);
        Assert.Equal(0, said.GetProperty("unread").GetInt32());
        Assert.Equal(3, off.Exit);
        Assert.Contains("1 of ", off.Output, StringComparison.Ordinal);
        Assert.Contains($"{guide}-05", off.Output.Split('\n').Single(l => l.Contains("  off", StringComparison.Ordinal)), StringComparison.Ordinal);
    }

    [Fact]
    public void Refit_ToATiltedGround_CanBePinnedInANewPlan()
    {
        string guide = Plan();
        Cli.Run("setout", _farm.Out, "--guide", guide, "--out", _farm.At("setout"), "--quiet");
        string tilted = Fill("tilted.csv", (row, _) => Number(row[9]) + (0.002 * (Number(row[7]) - TestFarm.West)));
        CliResult run = Cli.Run("setout", _farm.Out, "--readings", tilted, "--refit", "--dem", _farm.Dem, "--out", _farm.At("levelled"), "--json");
        Assert.True(run.Exit is 0 or 3, run.Error);
        JsonElement fit = JsonDocument.Parse(run.Output).RootElement.GetProperty("refitted")[0];
        Assert.InRange(fit.GetProperty("moved_max_m").GetDouble(), 0.5, 20);
        Assert.InRange(fit.GetProperty("height_rms_m").GetDouble(), 0, 0.05);
        CliResult again = Cli.Run(_farm.PlanWith("--pinned", Path.Combine(_farm.At("levelled"), "guides-refit.geojson")).Append("--overwrite").ToArray());
        Assert.True(again.Exit is 0 or 3, again.Error);
        Assert.Contains(PlanReader.Read(Path.Combine(_farm.Out, "plan.geojson")).Guides, g => g.IsPinned);
    }

    [Theory]
    [InlineData("--guide G99 --out OUT", "is not in plan.geojson")]
    [InlineData("--refit --out OUT", "needs what was read")]
    [InlineData("--benchmark 100m --out OUT", "needs the rod's reading")]
    [InlineData("--bench-reading 1m --out OUT", "needs the benchmark's height")]
    [InlineData("--sheet-unit yd --out OUT", "write m or ft")]
    [InlineData("--interval 0m --out OUT", "above zero")]
    [InlineData("--interval 1mm --out OUT", "from 1 m on")]
    [InlineData("--rod 30cm --out OUT", "The rod must be longer")]
    [InlineData("", "The folder to write")]
    [InlineData("--readings EMPTY", "column of rod readings is empty")]
    [InlineData("--readings OTHER", "has no column")]
    [InlineData("--readings FAR", "give the plan that the stakes were made from")]
    [InlineData("--readings FULL --refit --out OUT", "the elevation model")]
    public void SetOut_WhatCannotBeFollowed_IsRefusedAndNothingIsWritten(string options, string sentence)
    {
        string guide = Plan();
        Cli.Run("setout", _farm.Out, "--guide", guide, "--out", _farm.At("setout"), "--quiet");
        string full = Fill("full.csv", (row, _) => Number(row[9]));
        string far = _farm.Write("far.csv", File.ReadAllText(full).Replace("," + guide + ",", ",G98,", StringComparison.Ordinal));
        string other = _farm.Write("other.csv", "name,easting,northing,height\na,1,2,3\n");
        string words = options.Replace("EMPTY", Path.Combine(_farm.At("setout"), "stakes.csv"), StringComparison.Ordinal).Replace("OTHER", other, StringComparison.Ordinal)
            .Replace("FAR", far, StringComparison.Ordinal).Replace("FULL", full, StringComparison.Ordinal).Replace("OUT", _farm.At("never"), StringComparison.Ordinal);
        CliResult run = Cli.Run(["setout", _farm.Out, .. words.Split(' ', StringSplitOptions.RemoveEmptyEntries)]);
        Assert.Equal(2, run.Exit);
        Assert.Contains(sentence, run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("never")));
    }

    // The same readings in feet and in metres come to the same heights.
    [Fact]
    public void SetOut_InFeet_WritesFeetAndTakesThemBack()
    {
        string guide = Plan();
        foreach (string unit in new[] { "m", "ft" })
        {
            Assert.Equal(0, Cli.Run("setout", _farm.Out, "--guide", guide, "--sheet-unit", unit, "--out", _farm.At("setout"), "--overwrite", "--quiet").Exit);
            Fill(unit + ".csv", (row, _) => Number(row[9]));
        }

        string[][] metres = Rows(_farm.At("m.csv")), feet = Rows(_farm.At("ft.csv"));
        Assert.Equal(StakeFiles.Header.Split(',').Select(c => c is "easting_m" or "northing_m" ? c : c.EndsWith("_m", StringComparison.Ordinal) ? c[..^1] + "ft" : c), feet[0]);
        Assert.All(Enumerable.Range(1, metres.Length - 1), i =>
        {
            Assert.Equal(metres[i][7], feet[i][7]);
            Assert.All(new[] { 2, 9, 12 }.Where(c => metres[i][c].Length > 0), c => Assert.Equal(Number(metres[i][c]), 0.3048 * Number(feet[i][c]), 0.007));
        });
        JsonElement said = JsonDocument.Parse(Cli.Run("setout", _farm.Out, "--readings", _farm.At("ft.csv"), "--json").Output).RootElement;
        Assert.InRange(said.GetProperty("rms_m").GetDouble(), 0, 0.001);
        Assert.Equal(Number(metres[1][9]), said.GetProperty("stakes")[0].GetProperty("planned_height_m").GetDouble(), 0.001);
    }

    [Fact]
    public void SetOut_ManyLinesAndNoKeypoint_ProposesTheFewThatMatter()
    {
        string features = string.Join(',', Enumerable.Range(1, 9).Select(k => $$$"""{"type":"Feature","properties":{"id":"L{{{k}}}"},"geometry":{"type":"LineString","coordinates":{{{TestFarm.Line([(50, 40 + (6 * k)), (100 + (10 * k), 40 + (6 * k))])}}}}}"""));
        string lines = _farm.Write("nine.geojson", $$"""{"type":"FeatureCollection","features":[{{features}}]}""");
        CliResult run = Cli.Run("setout", lines, "--dem", _farm.Dem, "--out", _farm.At("setout"));
        Assert.Equal(2, run.Exit);
        Assert.Contains("9 lines and no guides: name the few to set out, as in --guide L9,L8,L7 (the longest), or give --guide all.", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("setout")));
        Assert.Equal(0, Cli.Run("setout", lines, "--dem", _farm.Dem, "--guide", "L9,L8", "--out", _farm.At("setout"), "--quiet").Exit);
    }

    [Fact]
    public void SetOut_LinesOfOneName_AreToldApart()
    {
        string line = TestFarm.Line([(50, 50), (150, 60)]), feature = $$$"""{"type":"Feature","properties":{"name":"contour"},"geometry":{"type":"LineString","coordinates":{{{line}}}}}""";
        string lines = _farm.Write("lines.geojson", $$"""{"type":"FeatureCollection","features":[{{feature}},{{feature}}]}""");
        CliResult run = Cli.Run("setout", lines, "--dem", _farm.Dem, "--out", _farm.At("setout"));
        Assert.Equal(0, run.Exit);
        Assert.Contains("Line contour.2: ", run.Output, StringComparison.Ordinal);
    }

    // The longest guide of a small plan.
    private string Plan()
    {
        Cli.Run(_farm.Plan("--quiet"));
        return PlanReader.Read(Path.Combine(_farm.Out, "plan.geojson")).Guides.MaxBy(g => g.Line.Length)!.Id;
    }

    // The table with rod readings of a level that stands 1.5 m above what is read first in each set-up.
    private string Fill(string name, Func<string[], int, double> height)
    {
        string[][] rows = Rows(Path.Combine(_farm.At("setout"), "stakes.csv"));
        Dictionary<string, double> planes = [];
        for (int i = 1; i < rows.Length; i++)
        {
            double ground = height(rows[i], i - 1);
            planes.TryAdd(rows[i][11], ground + 1.5);
            rows[i][16] = (planes[rows[i][11]] - ground).ToString("0.000", CultureInfo.InvariantCulture);
        }

        return _farm.Write(name, string.Join("\r\n", rows.Select(r => string.Join(',', r))) + "\r\n");
    }

    private static string[][] Rows(string path) => [.. File.ReadAllLines(path).Select(l => l.Split(','))];

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
