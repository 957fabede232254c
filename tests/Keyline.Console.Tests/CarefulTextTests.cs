using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>What is said, where it cannot be, and text that a terminal would obey.</summary>
public sealed class CarefulTextTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void WorkThatWasWritten_IsDone_WhateverBecameOfTheText()
    {
        using StringWriter error = new();
        int exit = App.Run(_farm.Plan(), new RunContext(new Full(), error, ShowProgress: false, CancellationToken.None));
        Assert.Contains(exit, (int[])[0, 3]);
        Assert.True(File.Exists(Path.Combine(_farm.Out, "plan.geojson")));
        exit = App.Run(_farm.PlanWith("--out", _farm.At("second")), new RunContext(new Full(), new Full(), ShowProgress: false, CancellationToken.None));
        Assert.Contains(exit, (int[])[0, 3]);
        Assert.True(File.Exists(_farm.At("second/plan.geojson")));
    }

    [Fact]
    public void TextThatWasAllThereIs_AndCannotBeWritten_IsNotDone()
    {
        using StringWriter error = new();
        Assert.Equal(1, App.Run(["schema"], new RunContext(new Full(), error, ShowProgress: false, CancellationToken.None)));
        Assert.Contains("could not be written (No room", error.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void ControlCharacters_AreWrittenOut()
    {
        using StringWriter to = new();
        using CarefulText text = new(to, returns: false);
        text.Write("a\u001b[2Jb\u009bc\rd\r\ne\tf\u202eg\0");
        Assert.Equal("a\\u001b[2Jb\\u009bc\\u000dd\r\ne\tf\\u202eg\\u0000", to.ToString());
    }

    [Fact]
    public void AControlCharacterOfTheUsers_NeverReachesTheTerminal()
    {
        CliResult run = Cli.Run("plan\u001b[31m");
        Assert.Equal(2, run.Exit);
        Assert.DoesNotContain('\u001b', run.Error);
        Assert.Contains("\\u001b", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Messages_QuoteNoMoreThanIsNeeded()
    {
        CliResult run = Cli.Run(new string('x', 5000));
        Assert.Equal(2, run.Exit);
        Assert.Contains("\"" + new string('x', 79) + "…\"", run.Error, StringComparison.Ordinal);
        Assert.InRange(run.Error.Length, 80, 250);
    }

    private sealed class Full : StringWriter
    {
        public override void Write(char value) => throw new IOException("No room.");

        public override void Write(string? value) => throw new IOException("No room.");

        public override void Write(ReadOnlySpan<char> buffer) => throw new IOException("No room.");
    }
}
