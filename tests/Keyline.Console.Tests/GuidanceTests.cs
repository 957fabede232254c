using System.Text.Json;
using Keyline.Console.Commands;

namespace Keyline.Console.Tests;

public sealed class GuidanceTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Guidance_OfAPlan_WritesWhatWasAskedForAndReadsItBack()
    {
        Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "3 m", "--out", _farm.Out, "--quiet");
        string cab = _farm.At("cab");
        CliResult run = Cli.Run("guidance", _farm.Out, "--to", "taskdata,gpx", "--to", "geopackage", "--lead-in", "4 m", "--out", cab, "--verify", "--json");
        Assert.Equal(0, run.Exit);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        Assert.Equal(["guidance.txt", "TASKDATA/TASKDATA.XML", "lines.gpx", "lines.gpkg"], said.GetProperty("files").EnumerateArray().Select(f => f.GetString()));
        Assert.All(said.GetProperty("files").EnumerateArray(), f => Assert.True(File.Exists(Path.Combine(cab, f.GetString()!))));
        Assert.All(said.GetProperty("read_back").EnumerateArray(), b => Assert.InRange(b.GetProperty("from_planned_m").GetDouble(), 0.001, 0.0205));
        string notes = File.ReadAllText(Path.Combine(cab, "guidance.txt"));
        Assert.Contains("WGS 84", notes, StringComparison.Ordinal);
        Assert.Contains("811", notes, StringComparison.Ordinal);
    }

    [Fact]
    public void Guidance_SamePlan_GivesTheSameBytes()
    {
        Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "3 m", "--out", _farm.Out, "--quiet");
        foreach (string cab in new[] { "one", "two" })
        {
            Assert.Equal(0, Cli.Run("guidance", _farm.Out, "--to", string.Join(',', GuidanceCommand.Words.Keys), "--out", _farm.At(cab), "--quiet").Exit);
        }

        string[] files = Directory.GetFiles(_farm.At("one"), "*", SearchOption.AllDirectories);
        Assert.True(files.Length >= 14);
        Assert.All(files, f => Assert.Equal(File.ReadAllBytes(f), File.ReadAllBytes(f.Replace(_farm.At("one"), _farm.At("two"), StringComparison.Ordinal))));
    }

    [Fact]
    public void Guidance_OfGuides_SaysThatTheyAreNotForDriving()
    {
        Cli.Run("plan", "--dem", _farm.Dem, "--field", _farm.Field, "--spacing", "3 m", "--out", _farm.Out, "--quiet");
        CliResult run = Cli.Run("guidance", _farm.Out, "--to", "shapefile", "--of", "guides", "--plane", "--out", _farm.At("cab"), "--verify");
        Assert.Equal(0, run.Exit);
        Assert.Contains("not rounded", run.Output, StringComparison.Ordinal);
        Assert.Contains("UTM zone 10N", File.ReadAllText(Path.Combine(_farm.At("cab"), "lines.prj")), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--to dxf", "is no format")]
    [InlineData("--to gpx --most-points 2", "from 3 on")]
    [InlineData("--to gpx --follow shanks", "needs the shanks")]
    [InlineData("--to gpx --of guides", "holds no guides")]
    [InlineData("--to gpx --name Top", "holds no outline")]
    [InlineData("", "The format is missing")]
    public void Guidance_WhatCannotBeFollowed_IsRefusedAndNothingIsWritten(string options, string sentence)
    {
        string lines = _farm.Write("lines.geojson", """{"type":"LineString","coordinates":[[-121.5,37.1],[-121.499,37.101]]}""");
        CliResult run = Cli.Run(["guidance", lines, .. options.Split(' ', StringSplitOptions.RemoveEmptyEntries), "--out", _farm.At("cab")]);
        Assert.Equal(2, run.Exit);
        Assert.Contains(sentence, run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("cab")));
    }
}
