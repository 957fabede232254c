using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>How words become options, and what is said where they do not.</summary>
public sealed class CommandLineTests
{
    private static readonly OptionSpec Long = new("--long", ValueKind.Length, "LENGTH", "a length");
    private static readonly OptionSpec Least = new("--least", ValueKind.Number, "NUMBER", "a number");
    private static readonly OptionSpec On = new("--on", ValueKind.Switch, "", "a switch");
    private static readonly OptionSpec Each = new("--each", ValueKind.Path, "FILE", "a file") { Many = true };
    private static readonly Command Plain = new("plain", "", (_, _) => 0) { About = [], Examples = [], Options = [Long, Least, On, Each] };
    private static readonly Command Reader = Plain with { Name = "reader", Operand = "FILE" };

    [Fact]
    public void Parse_ValuesAfterASpaceOrAnEqualsSign_AreTheSame()
    {
        Arguments apart = CommandLine.Parse(Plain, ["--long", "10 ft", "--on"]), joined = CommandLine.Parse(Plain, ["--on", "--long=10 ft"]);
        Assert.Equal("10 ft", apart[Long]!.Text);
        Assert.Equal(apart[Long]!.Text, joined[Long]!.Text);
        Assert.True(apart.Has(On) && joined.Has(On));
        Assert.False(apart.Has(Least));
    }

    [Fact]
    public void Parse_AValueBelowZero_IsAValue() => Assert.Equal(-9999, CommandLine.Parse(Plain, ["--least", "-9999"]) is var a ? Quantity.Number(a[Least]!.Text, "--least", "15") : 0);

    [Fact]
    public void Parse_SeveralValuesAndFiles_KeepTheirOrder()
    {
        Arguments arguments = CommandLine.Parse(Reader, ["one", "--each", "a", "two", "--each=b", "-", "--", "--three"]);
        Assert.Equal(["a", "b"], arguments[Each]!.Texts);
        Assert.Equal(["one", "two", "-", "--three"], arguments.Files);
    }

    [Theory]
    [InlineData("--long needs a value", "--long")]
    [InlineData("--long needs a value", "--long", "--on")]
    [InlineData("--long needs a value", "--long=")]
    [InlineData("--long needs a value", "--long", "  ")]
    [InlineData("--on takes no value", "--on=yes")]
    [InlineData("--on is given more than once", "--on", "--on")]
    [InlineData("--long is given more than once", "--long", "1 m", "--long=2 m")]
    [InlineData("perhaps --long is meant", "--logn", "1 m")]
    [InlineData("perhaps --least is meant", "--leats=1")]
    [InlineData("has no option --o:", "--o")]
    [InlineData("has no option -l:", "-l")]
    [InlineData("\"ft\" belongs to no option", "--long", "10", "ft")]
    public void Parse_WhatCannotBeFollowed_IsToldOfInOneSentence(string sentence, params string[] words) =>
        Assert.Contains(sentence, Assert.Throws<UsageException>(() => CommandLine.Parse(Plain, words)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("paln", "plan")]
    [InlineData("chekc", "check")]
    [InlineData("drainige", "drainage")]
    [InlineData("set-out", "setout")]
    [InlineData("inspct", "inspect")]
    public void Command_Mistyped_IsGuessed(string typed, string meant)
    {
        CliResult run = Cli.Run(typed);
        Assert.Equal(2, run.Exit);
        Assert.Contains($"perhaps keyline {meant} is meant", run.Error, StringComparison.Ordinal);
        Assert.Contains($"perhaps keyline {meant} is meant", Cli.Run("help", typed).Error, StringComparison.Ordinal);
    }

    [Fact]
    public void EveryCommand_HasHelpThatFitsAndExamplesThatParse()
    {
        Assert.All(App.Commands, command =>
        {
            Assert.NotEmpty(command.About);
            Assert.NotEmpty(command.Examples);
            Assert.Equal(command.Options.Count, command.Options.Select(o => o.Flag).Distinct().Count());
            Assert.All(Cli.Run(command.Name, "--help").Output.Split('\n'), line => Assert.True(line.Length <= 104, line));
            Assert.All(command.Examples, example =>
            {
                string[] words = [.. example.Split('>')[0].Split('"').SelectMany((part, i) => i % 2 == 1 ? [part] : part.Split(' ', StringSplitOptions.RemoveEmptyEntries))];
                Assert.Equal(["keyline", command.Name], words[..2]);
                CommandLine.Parse(command, words[2..]);
            });
        });
    }

    [Fact]
    public void EveryCommandThatWorks_TakesThreads() =>
        Assert.Equal(["report", "formats", "schema"], App.Commands.Where(c => !c.Options.Contains(OptionSpec.Threads)).Select(c => c.Name));

    [Theory]
    [InlineData("0")]
    [InlineData("-1")]
    [InlineData("two")]
    public void Threads_ThatAreNone_AreRefused(string count)
    {
        CliResult run = Cli.Run("demo", "--threads", count);
        Assert.Equal(2, run.Exit);
        Assert.Contains("--threads is " + count + ": write a whole number from 1 to 1024", run.Error, StringComparison.Ordinal);
    }
}
