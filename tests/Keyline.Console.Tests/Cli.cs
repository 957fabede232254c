using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>What one call of the program gave.</summary>
internal sealed record CliResult(int Exit, string Output, string Error);

/// <summary>Runs the program in this process.</summary>
internal static class Cli
{
    public static CliResult Run(params string[] args) => Run(CancellationToken.None, args);

    public static CliResult Run(CancellationToken stop, params string[] args)
    {
        using StringWriter output = new();
        using StringWriter error = new();
        int exit = App.Run(args, new RunContext(output, error, ShowProgress: false, stop));
        return new CliResult(exit, output.ToString(), error.ToString());
    }
}
