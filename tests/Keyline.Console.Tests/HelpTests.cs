using Keyline.Console.Commands;

namespace Keyline.Console.Tests;

/// <summary>A newcomer can start from the help.</summary>
public sealed class HelpTests
{
    public static TheoryData<string> Commands => ["plan", "check", "demo", "inspect", "terrain", "drainage", "formats", "schema"];

    [Theory]
    [InlineData()]
    [InlineData("--help")]
    [InlineData("help")]
    [InlineData("-h")]
    public void Overview_NamesEveryCommandAndTheFirstStep(params string[] args)
    {
        CliResult result = Cli.Run(args);
        Assert.Equal(0, result.Exit);
        Assert.Equal("", result.Error);
        Assert.All(Commands, command => Assert.Contains("keyline " + command.Data, result.Output, StringComparison.Ordinal));
        Assert.Contains("Start here", result.Output, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Commands))]
    public void Command_HasItsOwnHelpWithAnExample(string command)
    {
        CliResult result = Cli.Run(command, "--help");
        Assert.Equal(0, result.Exit);
        Assert.Contains("Example", result.Output, StringComparison.Ordinal);
        Assert.Contains("  keyline " + command, result.Output, StringComparison.Ordinal);
        Assert.Contains("Exit codes", result.Output, StringComparison.Ordinal);
        Assert.Equal(result.Output, Cli.Run("help", command).Output);
        Assert.All(result.Output.Split('\n'), line => Assert.True(line.Length <= 100, line));
    }

    [Fact]
    public void PlanHelp_NamesEveryOptionWithTheLibrarysDefaults()
    {
        string help = Cli.Run("plan", "--help").Output;
        Assert.All(PlanCommand.Command.Options, option => Assert.Contains(option.Flag, help, StringComparison.Ordinal));
        Assert.Contains(FormattableString.Invariant($"(default {Check.LineLimits.DefaultMaximumGrade})"), help, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"(default {Layout.LayoutOptions.DefaultDesignFall};"), help, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"(default {Check.LineLimits.DefaultMinimumRadius} m; {Layout.ShankSet.UsualRadius} m"), help, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"(default {Check.LineLimits.DefaultHeadland} m)"), help, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"(default {Check.LineLimits.DefaultMinimumLength} m)"), help, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"(default {Check.LineLimits.DefaultMaximumSlope})"), help, StringComparison.Ordinal);
    }

    [Fact]
    public void Version_IsThePackagesVersion()
    {
        CliResult result = Cli.Run("--version");
        Assert.Equal(0, result.Exit);
        Assert.Matches(@"^keyline \d+\.\d+\.\d+\s*$", result.Output);
    }
}
