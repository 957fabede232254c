using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>The bar moves, says how long it takes, and leaves nothing behind.</summary>
public sealed class ProgressTests : IDisposable
{
    private readonly StringWriter _terminal = new();
    private readonly Clock _clock = new();

    public void Dispose() => _terminal.Dispose();

    [Fact]
    public void Show_ACourse_IsTheShareOfTheWholeAndNeverGoesBack()
    {
        using ProgressLine progress = Line([("first", 1), ("second", 3)]);
        progress.Show("first");
        Assert.Equal("first                      [........................]   0 %", Last());
        _clock.Pass(10);
        progress.Report(new PlanProgress("second", 0));
        Assert.Equal("second                     [######..................]  25 %, about 30 s left", Last());
        _clock.Pass(10);
        progress.Report(new PlanProgress("second", 1.0 / 3));
        Assert.Equal("second                     [############............]  50 %, about 20 s left", Last());
        _clock.Pass(200);
        progress.Report(new PlanProgress("first", 0.5));
        Assert.Contains("[############............]  50 %, about 4 min left", Last(), StringComparison.Ordinal);
        _clock.Pass(1);
        progress.Report(new PlanProgress("unheard of", 0.1));
        Assert.Contains(" 50 %", Last(), StringComparison.Ordinal);
    }

    [Fact]
    public void Show_WithoutACourse_IsTheShareOfTheStage()
    {
        using ProgressLine progress = Line(null);
        progress.Show("reading the ground");
        Assert.Equal("reading the ground", Last());
        _clock.Pass(5);
        progress.Show("routing water", 0);
        _clock.Pass(4);
        progress.Show("routing water", 0.8);
        Assert.Equal("routing water              [###################.....]  80 %, about 1 s left", Last());
    }

    [Fact]
    public void Dispose_WipesTheLineAndNothingIsDrawnAfterIt()
    {
        ProgressLine progress = Line(null);
        progress.Show("a stage of some length", 0.5);
        int shown = Last().Length;
        progress.Dispose();
        Assert.EndsWith("\r" + new string(' ', shown) + "\r", _terminal.ToString(), StringComparison.Ordinal);
        int before = _terminal.ToString().Length;
        progress.Report(new PlanProgress("late", 1));
        progress.Dispose();
        Assert.Equal(before, _terminal.ToString().Length);
    }

    [Theory]
    [InlineData(true, true)]
    [InlineData(false, false)]
    public void Show_QuietOrNoTerminal_DrawsNothing(bool terminal, bool quiet)
    {
        using (ProgressLine progress = new(new RunContext(TextWriter.Null, _terminal, terminal, CancellationToken.None), quiet))
        {
            progress.Show("stage", 0.5);
        }

        Assert.Equal("", _terminal.ToString());
    }

    [Fact]
    public void Show_Often_IsDrawnTenTimesASecond()
    {
        using ProgressLine progress = Line(null);
        for (int i = 0; i <= 1000; i++)
        {
            _clock.Pass(0.001);
            progress.Show("stage", i / 1000.0);
        }

        Assert.InRange(_terminal.ToString().Split('\r').Length, 9, 12);
    }

    // Each stage of a command is in its course: the bar grows with every one, and little is left when the last begins.
    [Theory]
    [InlineData("terrain", "--calm 6m", 90)]
    [InlineData("drainage", "--cut-depth 0.5m --shared", 80)]
    [InlineData("landform", "", 60)]
    [InlineData("check", "", 60)]
    public void ACommandsCourse_HoldsEveryStage(string command, string more, int least)
    {
        using TestFarm farm = new();
        string lines = farm.Write("lines.geojson", TestFarm.Feature("MultiLineString", $"[{TestFarm.Line([(50, 60), (210, 60)])},{TestFarm.Line([(50, 63), (210, 63)])}]", "{}"));
        string[] given = command == "check" ? ["--lines", lines, "--spacing", "3m"] : ["--out", farm.Out];
        using StringWriter output = new();
        int exit = App.Run([command, "--dem", farm.Dem, .. given, .. more.Split(' ', StringSplitOptions.RemoveEmptyEntries)], new RunContext(output, _terminal, true, CancellationToken.None));
        Assert.Equal(command == "check" ? 3 : 0, exit);
        (string Stage, int Share)[] drawn =
        [
            .. _terminal.ToString().Split('\r').Where(l => l.Contains('[', StringComparison.Ordinal))
                .Select(l => (l[..26].TrimEnd(), int.Parse(l.Split(']')[1].Split('%')[0], System.Globalization.CultureInfo.InvariantCulture))),
        ];
        string[] stages = [.. drawn.Select(d => d.Stage).Distinct()];

        // Terrain has the fewest: its rasters are measured and written side by side, in one stage.
        Assert.InRange(stages.Length, 7, 30);
        Assert.Equal(0, drawn[0].Share);
        Assert.All(drawn.Zip(drawn.Skip(1)), p => Assert.True(p.Second.Share >= p.First.Share, $"{p.First} then {p.Second}"));
        Assert.All(stages.Zip(stages.Skip(1)), p => Assert.True(drawn.First(d => d.Stage == p.Second).Share > drawn.First(d => d.Stage == p.First).Share, $"{p.First} and {p.Second} begin alike: {_terminal}"));
        Assert.InRange(drawn[^1].Share, least, 100);
    }

    private ProgressLine Line(IReadOnlyList<(string, double)>? course) => new(new RunContext(TextWriter.Null, _terminal, true, CancellationToken.None), false, course, _clock);

    private string Last() => _terminal.ToString().Split('\r')[^1].TrimEnd();

    private sealed class Clock : TimeProvider
    {
        private long _ticks;

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public void Pass(double seconds) => _ticks += (long)(seconds * TimeSpan.TicksPerSecond);

        public override long GetTimestamp() => _ticks;
    }
}
