using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>The share of the time that is told while only some files are written.</summary>
public sealed class FileChoiceTests
{
    [Fact]
    public void WhatIsNotWritten_TakesNoShareOfTheCourse()
    {
        Command command = new("probe", "", (_, _) => 0) { About = [], Examples = [], Options = [FileChoice.Option("a,b")] };
        FileChoice some = FileChoice.From(CommandLine.Parse(command, ["--only", "b"]), ["a.tif", "b.tif"], new Dictionary<string, OptionSpec>());
        FileChoice all = FileChoice.From(CommandLine.Parse(command, []), ["a.tif", "b.tif"], new Dictionary<string, OptionSpec>());
        (string, double)[] course = [("reading", 3), ("writing a.tif", 5), ("writing b.tif", 7)];
        Assert.Equal([("reading", 3.0), ("writing a.tif", 0), ("writing b.tif", 7)], some.Course(course));
        Assert.Equal(course, all.Course(course));
        Assert.Equal((true, false, true), (some.Wants("b.tif"), some.Wants("a.tif"), some.WantsAny("a.tif", "b.tif")));
    }
}
