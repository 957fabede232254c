using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using Keyline.Water;

namespace Keyline.Console.Tests;

/// <summary>What the commands print for a reader of feet and acres, held against their JSON, which is metric always.</summary>
public sealed partial class UnitsTests(PlannedFarm planned) : IClassFixture<PlannedFarm>
{
    private const double Acre = 4046.8564224, Mile = 1609.344, Foot = 0.3048;

    [Fact]
    public void Units_OfThePlan_AreConvertedFromTheNumbers()
    {
        using TestFarm farm = new();
        CliResult run = Cli.Run("plan", "--dem", farm.Dem, "--field", farm.Field, "--spacing", "10 m", "--units", "us", "--out", farm.Out);
        Assert.InRange(run.Exit, 0, 3);
        JsonElement plan = JsonDocument.Parse(File.ReadAllText(Path.Combine(farm.Out, "plan.json"))).RootElement;
        double area = plan.GetProperty("field").GetProperty("area_m2").GetDouble();
        Match first = Regex.Match(run.Output, @"([\d.]+) mi, 10 m apart, on ([\d.]+) of ([\d.]+) ac\.");
        Assert.True(first.Success, run.Output);
        Assert.Equal(plan.GetProperty("lines").GetProperty("total_length_m").GetDouble() / Mile, Number(first, 1), 0.0501);
        Assert.Equal(area / Acre, Number(first, 3), 0.0501);
        Assert.DoesNotMatch(Metric(), WithoutAsked(run.Output));
    }

    [Fact]
    public void Units_OfOtherCommands_AreThoseAskedFor_AndJsonStaysMetric()
    {
        using TestFarm farm = new();
        string plan = planned.Farm.Out, dem = planned.Farm.Dem, daily = farm.At("daily.csv");
        using (StreamWriter text = new(daily))
        {
            InventedWeather.Write(text, 3, new DateOnly(2010, 1, 1), 2 * 365);
        }

        CliResult check = Us("check", "--dem", dem, "--lines", Path.Combine(plan, "plan.geojson"), "--spacing", "10 m");
        JsonElement figures = JsonDocument.Parse(Cli.Run("check", "--dem", dem, "--lines", Path.Combine(plan, "plan.geojson"), "--spacing", "10 m", "--units", "us", "--json").Output).RootElement.GetProperty("figures");
        Assert.Contains(FormattableString.Invariant($" {figures.GetProperty("total_length_m").GetDouble() / Mile:0.00} mi;"), check.Output, StringComparison.Ordinal);
        Assert.Contains("spacing of 32.81 ft", check.Output, StringComparison.Ordinal);
        Assert.Contains("length ft", check.Output, StringComparison.Ordinal);

        CliResult driven = Us("driven", plan, "--track", Path.Combine(plan, "guidance", "lines.gpx"));
        JsonElement way = JsonDocument.Parse(Cli.Run("driven", plan, "--track", Path.Combine(plan, "guidance", "lines.gpx"), "--json").Output).RootElement.GetProperty("figures");
        Assert.Contains(FormattableString.Invariant($"of {way.GetProperty("planned_m").GetDouble() / Mile:0.00} mi was driven"), driven.Output, StringComparison.Ordinal);

        Assert.Contains("mi", Us("work", plan, "--machine", "front-assist-90", "--out", farm.At("work")).Output, StringComparison.Ordinal);
        Assert.Contains("fuel L", File.ReadAllText(Path.Combine(farm.At("work"), "work.txt")), StringComparison.Ordinal);
        Assert.Contains("tip at 1.3 ft", Us("season", "--weather", daily, "--latitude", "-33.5", "--soil", "loam", "--depth", "40 cm", "--out", farm.At("season")).Output, StringComparison.Ordinal);
        Assert.Contains("tip at 0.40 m", File.ReadAllText(Path.Combine(farm.At("season"), "season.txt")), StringComparison.Ordinal);
        Assert.Contains(" ft", Us("setout", plan, "--out", farm.At("setout")).Output, StringComparison.Ordinal);
        CliResult inspected = Us("inspect", dem);
        JsonElement heights = JsonDocument.Parse(Cli.Run("inspect", dem, "--json").Output).RootElement[0].GetProperty("heights");
        Assert.Contains(FormattableString.Invariant($"{heights.GetProperty("lowest_m").GetDouble() / Foot:0.0} to {heights.GetProperty("highest_m").GetDouble() / Foot:0.0} ft"), inspected.Output, StringComparison.Ordinal);

        CliResult water = Us("water", plan, "--dem", dem, "--storm", "40 mm in 1 h", "--soil", "clay-loam", "--out", farm.At("water"));
        using JsonDocument storm = JsonDocument.Parse(File.ReadAllText(Path.Combine(farm.At("water"), "water.json")));
        double taken = storm.RootElement.GetProperty("settings").GetProperty("cases")[1].GetProperty("taken_in_mm").GetDouble();
        Assert.Matches($@"with the plan +[\d.]+ +{(taken / 25.4).ToString("0.00", CultureInfo.InvariantCulture).Replace(".", "\\.", StringComparison.Ordinal)} ", water.Output);

        static CliResult Us(params string[] words)
        {
            CliResult run = Cli.Run([.. words, "--units", "us"]);
            Assert.True(run.Exit is 0 or 3, run.Error);
            Assert.DoesNotMatch(Metric(), WithoutAsked(run.Output));
            return run;
        }
    }

    [Fact]
    public void Units_OfNoSuchSystem_AreRefused() => Assert.Equal(2, Cli.Run("inspect", planned.Farm.Dem, "--units", "imperial").Exit);

    private static double Number(Match match, int group) => double.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture);

    // What the user typed, and the standard's own figures, are shown as they were given; a name in quotation marks is a name.
    private static string WithoutAsked(string text) => Regex.Replace(text, @"10 m\b|Storm: [^.]*\.|""[^""]*""|2 MPa", "");

    [GeneratedRegex(@"\d (?:km|m|cm|mm|ha|m2|m3|km/h|kN|kW|litres|L|L/s|m/s)(?![\w/])")]
    private static partial Regex Metric();
}
