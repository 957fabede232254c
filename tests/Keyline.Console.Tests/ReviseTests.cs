using System.Text.Json;

namespace Keyline.Console.Tests;

public sealed class ReviseTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Revise_ChangesOnlyWhatMeetsTheNotes_AndTheOthersKeepTheirBytes()
    {
        string pond = _farm.Write("pond.geojson", TestFarm.Feature("Point", TestFarm.Place(60, 60), """{"setback_m": 5, "name": "pond"}"""));
        CliResult made = Cli.Run(_farm.Plan("--quiet", "--avoid", pond));
        Assert.True(made.Exit is 0 or 3, made.Error);
        string notes = _farm.Write("notes.geojson", TestFarm.Feature("Point", TestFarm.Place(140, 110), """{"setback_m": 10, "name": "rock"}"""));
        CliResult run = Cli.Run("revise", _farm.Out, "--notes", notes, "--out", _farm.At("plan-2"), "--json");
        Assert.True(run.Exit == 0, run.Error);
        JsonElement said = JsonDocument.Parse(run.Output).RootElement;
        JsonElement[] changes = [.. said.GetProperty("changes").EnumerateArray()];
        Assert.InRange(changes.Length, 1, 10);
        Assert.All(said.GetProperty("files").EnumerateArray(), f => Assert.True(File.Exists(_farm.At("plan-2/" + f.GetString()))));

        // Feature by feature: each that is not among the changes stands in the new file with the same bytes, in the same order.
        HashSet<string> changed = [.. changes.Select(c => c.GetProperty("line").GetString()!)];
        string[] before = Features(Path.Combine(_farm.Out, "plan.geojson")), after = Features(_farm.At("plan-2/plan.geojson"));
        string[] kept = [.. before.Where(f => !changed.Contains(Id(f)))];
        Assert.Equal(kept, after.Where(f => kept.Contains(f)));
        Assert.Equal(before.Length - changed.Count, kept.Length);
        string[] pieces = [.. changes.SelectMany(c => c.GetProperty("pieces").EnumerateArray().Select(p => p.GetString()!))];
        Assert.Equal(pieces, after.Where(f => f.Contains("\"was\":", StringComparison.Ordinal)).Select(Id));
        Assert.All(after.Where(f => f.Contains("\"was\":", StringComparison.Ordinal)).Select(Properties), now =>
        {
            // What a line is stays; what was measured along its old course goes, but for its length, which is the new one.
            JsonElement was = before.Select(Properties).Single(p => p.TryGetProperty("id", out JsonElement id) && p.GetProperty("kind").GetString() == "rip-line" && id.GetString() == now.GetProperty("was").GetString());
            Assert.All((string[])["kind", "sequence", "guide", "side", "offset_m"], name => Assert.Equal(was.GetProperty(name).GetRawText(), now.GetProperty(name).GetRawText()));
            Assert.NotEqual(was.GetProperty("length_m").GetDouble(), now.GetProperty("length_m").GetDouble());
            Assert.All(now.EnumerateObject().Where(p => p.Name.EndsWith("_pct", StringComparison.Ordinal) || p.Name.EndsWith("_share", StringComparison.Ordinal)), p => Assert.Equal(JsonValueKind.Null, p.Value.ValueKind));
        });
        string found = Assert.Single(after, f => f.Contains("\"found\":true", StringComparison.Ordinal));
        Assert.Contains("rock", found, StringComparison.Ordinal);
        Assert.Equal(1 + before.Count(IsAvoided), after.Count(IsAvoided));
        Assert.True(before.Count(IsAvoided) > 1);

        // The summary keeps what still holds, names the notes by their hash, and leaves out figures of the old lines.
        JsonElement summary = JsonDocument.Parse(File.ReadAllText(_farm.At("plan-2/plan.json"))).RootElement;
        string hash = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(File.ReadAllBytes(notes)));
        Assert.Contains(summary.GetProperty("inputs").EnumerateArray(), i => i.GetProperty("sha256").GetString() == hash);
        Assert.All((string[])["field", "options", "crs", "landform", "revision"], name => Assert.True(summary.TryGetProperty(name, out _), name));
        Assert.All((string[])["lines", "grade", "drift", "spacing", "coverage", "radius", "certainty", "driving"], name => Assert.False(summary.TryGetProperty(name, out _), name));
        Assert.DoesNotContain(JsonDocument.Parse(File.ReadAllText(_farm.At("plan-2/plan.json"))).RootElement.GetProperty("findings").EnumerateArray(), f => changed.Contains(f.GetProperty("line").GetString()!));

        // What comes after goes on from it, and a second revision with the same notes finds nothing left to change.
        Assert.Equal(0, Cli.Run("guidance", _farm.At("plan-2"), "--to", "gpx", "--out", _farm.At("cab"), "--quiet").Exit);
        CliResult again = Cli.Run("revise", _farm.At("plan-2"), "--notes", notes, "--out", _farm.At("plan-3"), "--json");
        Assert.Equal(0, again.Exit);
        Assert.True(JsonDocument.Parse(again.Output).RootElement.GetProperty("changes").EnumerateArray().All(c => c.GetProperty("lost_m").GetDouble() < 0.1), again.Output);
        string page = File.ReadAllText(_farm.At("plan-2/changes.html"));
        Assert.Contains("What changed", page, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", page, StringComparison.Ordinal);
    }

    [Fact]
    public void GroundSetFree_IsLaidOut_TheThingGoes_AndEveryOtherFeatureKeepsItsBytes()
    {
        string rock = _farm.Write("rock.geojson", TestFarm.Feature("Point", TestFarm.Place(140, 110), """{"setback_m": 10, "name": "rock"}"""));
        string pond = _farm.Write("pond.geojson", TestFarm.Feature("Point", TestFarm.Place(60, 60), """{"setback_m": 5, "name": "pond"}"""));
        Assert.True(Cli.Run(_farm.Plan("--quiet", "--avoid", pond)).Exit is 0 or 3);
        Assert.Equal(0, Cli.Run("revise", _farm.Out, "--notes", rock, "--out", _farm.At("plan-2"), "--quiet").Exit);
        string gone = _farm.Write("gone.geojson", TestFarm.Feature("Point", TestFarm.Place(141, 109), """{"free": true, "name": "rock taken out"}"""));
        CliResult run = Cli.Run("revise", _farm.At("plan-2"), "--notes", gone, "--dem", _farm.Dem, "--out", _farm.At("plan-3"), "--json");
        Assert.True(run.Exit == 0, run.Error);
        JsonElement[] changes = [.. JsonDocument.Parse(run.Output).RootElement.GetProperty("changes").EnumerateArray()];
        Assert.NotEmpty(changes);
        Assert.All(changes, c => Assert.Equal("joined", c.GetProperty("change").GetString()));
        Assert.True(changes.Sum(c => c.GetProperty("gained_m").GetDouble()) > 20);

        // The rock is gone, the pond stays, and the lines are called and numbered as in the first plan.
        string[] first = Features(Path.Combine(_farm.Out, "plan.geojson")), cut = Features(_farm.At("plan-2/plan.geojson")), now = Features(_farm.At("plan-3/plan.geojson"));
        Assert.Equal(first.Select(Id), now.Select(Id));
        HashSet<string> changed = [.. changes.SelectMany(c => c.GetProperty("pieces").EnumerateArray().Append(c.GetProperty("line")).Select(p => p.GetString()!)), .. cut.Where(f => f.Contains("\"found\":true", StringComparison.Ordinal)).Select(Id)];
        string[] kept = [.. cut.Where(f => !changed.Contains(Id(f)) && !IsPieceOf(changed, f))];
        Assert.True(kept.Length > 20);
        Assert.All(kept, f => Assert.Contains(f, now));
        string page = File.ReadAllText(_farm.At("plan-3/changes.html"));
        Assert.Contains("rock taken out: ground set free", page, StringComparison.Ordinal);
        Assert.Contains("m of line more", page, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", page, StringComparison.Ordinal);
        JsonElement summary = JsonDocument.Parse(File.ReadAllText(_farm.At("plan-3/plan.json"))).RootElement;
        Assert.False(summary.TryGetProperty("field", out _));

        // Without heights no line is added, the work takes only notes of what was found, and a plan none that is free.
        Refused("give the heights with --dem", "revise", _farm.At("plan-2"), "--notes", gone, "--out", _farm.At("plan-4"));
        Refused("make the plan again there with keyline revise", "work", _farm.At("plan-2"), "--machine", "front-assist-90", "--notes", gone, "--out", _farm.At("work"));
        Refused("only keyline revise takes", _farm.Plan("--avoid", gone, "--overwrite"));
        Refused("sets nothing free", "revise", _farm.Out, "--notes", gone, "--dem", _farm.Dem, "--out", _farm.At("plan-4"));
    }

    [Fact]
    public void AFenceMovedOutward_MovesTheOutline_AndNewLinesAreNumberedBehindTheLast()
    {
        Assert.True(Cli.Run(_farm.Plan("--quiet")).Exit is 0 or 3);
        string[] before = Features(Path.Combine(_farm.Out, "plan.geojson"));
        JsonElement box = JsonDocument.Parse(before[0]).RootElement.GetProperty("geometry").GetProperty("coordinates")[0];
        (double west, double east) = (box.EnumerateArray().Min(c => c[0].GetDouble()), box.EnumerateArray().Max(c => c[0].GetDouble()));
        double top = box.EnumerateArray().Max(c => c[1].GetDouble());
        string ring = FormattableString.Invariant($"[[[{west},{top}],[{east},{top}],[{east},{top + 0.00018}],[{west},{top + 0.00018}],[{west},{top}]]]");
        string moved = _farm.Write("moved.geojson", TestFarm.Feature("Polygon", ring, """{"free": true, "name": "fence moved north"}"""));
        CliResult run = Cli.Run("revise", _farm.Out, "--notes", moved, "--dem", _farm.Dem, "--out", _farm.At("plan-2"), "--json");
        Assert.True(run.Exit == 0, run.Error);
        string[] after = Features(_farm.At("plan-2/plan.geojson"));
        Assert.True(Properties(after[0]).GetProperty("area_m2").GetDouble() > Properties(before[0]).GetProperty("area_m2").GetDouble() + 1000);
        string[] fresh = [.. after.Where(f => f.Contains("\"new\":true", StringComparison.Ordinal))];
        Assert.NotEmpty(fresh);
        int most = before.Select(Properties).Where(p => p.GetProperty("kind").GetString() == "rip-line").Max(p => p.GetProperty("sequence").GetInt32());
        Assert.Equal(Enumerable.Range(most + 1, fresh.Length), fresh.Select(f => Properties(f).GetProperty("sequence").GetInt32()));
        Assert.Equal(Enumerable.Range(most + 1, fresh.Length).Select(n => FormattableString.Invariant($"R{n:000}")), fresh.Select(Id));
        Assert.All(fresh, f => Assert.Equal(JsonValueKind.Null, Properties(f).GetProperty("grade_max_pct").ValueKind));
        int parts = JsonDocument.Parse(run.Output).RootElement.GetProperty("changes").EnumerateArray().Count(c => c.GetProperty("sentence").GetString()!.Contains(" is part of ", StringComparison.Ordinal));
        Assert.Equal(before.Length + fresh.Length - parts, after.Length);
        Assert.Equal(0, Cli.Run("guidance", _farm.At("plan-2"), "--to", "gpx", "--out", _farm.At("cab"), "--quiet").Exit);
    }

    private static bool IsPieceOf(HashSet<string> changed, string feature) => changed.Contains(Id(feature).TrimEnd('a', 'b', 'c')) && Id(feature).StartsWith('R');

    private static void Refused(string said, params string[] words)
    {
        CliResult run = Cli.Run(words);
        Assert.Equal(2, run.Exit);
        Assert.Contains(said, Assert.Single(run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("", "The file of notes is missing")]
    [InlineData("--notes nosetback.geojson", "has no setback")]
    [InlineData("--notes everything.geojson", "leaves no line of the plan")]
    public void Revise_WrongCall_IsRefusedWithOneSentence(string words, string said)
    {
        Assert.True(Cli.Run(_farm.Plan("--quiet")).Exit is 0 or 3);
        _farm.Write("nosetback.geojson", TestFarm.Feature("Point", TestFarm.Place(140, 110), "{}"));
        _farm.Write("everything.geojson", TestFarm.Feature("Point", TestFarm.Place(140, 110), """{"setback_m": 3000}"""));
        CliResult run = Cli.Run(["revise", _farm.Out, "--out", _farm.At("plan-2"), .. words.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(w => w.EndsWith("geojson", StringComparison.Ordinal) ? _farm.At(w) : w)]);
        Assert.Equal(2, run.Exit);
        Assert.Contains(said, Assert.Single(run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
        Assert.False(Directory.Exists(_farm.At("plan-2")));
    }

    [Fact]
    public void Revise_OfLinesThatAreNoPlan_IsRefused()
    {
        _farm.Write("plan.geojson", TestFarm.Feature("LineString", TestFarm.Line([(60, 60), (200, 60)]), "{}"));
        string notes = _farm.Write("notes.geojson", TestFarm.Feature("Point", TestFarm.Place(140, 110), """{"setback_m": 10}"""));
        CliResult run = Cli.Run("revise", _farm.At("plan.geojson"), "--notes", notes, "--out", _farm.At("plan-2"));
        Assert.Equal(2, run.Exit);
        Assert.Contains("holds no outline of a field", run.Error, StringComparison.Ordinal);
    }

    private static string[] Features(string path) => [.. JsonDocument.Parse(File.ReadAllText(path)).RootElement.GetProperty("features").EnumerateArray().Select(f => f.GetRawText())];

    private static bool IsAvoided(string feature) => Properties(feature).GetProperty("kind").GetString() == "avoid";

    private static JsonElement Properties(string feature) => JsonDocument.Parse(feature).RootElement.GetProperty("properties");

    private static string Id(string feature) => JsonDocument.Parse(feature).RootElement.GetProperty("id").GetString()!;
}
