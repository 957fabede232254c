using System.Reflection;
using Keyline.Console.Cli;
using Keyline.Console.Commands;

namespace Keyline.Console;

/// <summary>The program: finds the command, runs it, and turns errors into one sentence and an exit code.</summary>
internal static class App
{
    /// <summary>Version of the program, without the build's mark.</summary>
    public static string Version { get; } =
        typeof(App).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion.Split('+')[0] ?? "0";

    /// <summary>Runs the program.</summary>
    /// <param name="args">The words after the program's name.</param>
    /// <param name="context">Where to write, and what can stop it.</param>
    /// <returns>One of <see cref="ExitCode"/>.</returns>
    public static int Run(string[] args, RunContext context)
    {
        try
        {
            return Dispatch(args, context);
        }
        catch (OperationCanceledException) when (context.Stop.IsCancellationRequested)
        {
            context.Error.WriteLine("Stopped; nothing was written.");
            return ExitCode.Stopped;
        }
        catch (Exception error) when (error is UsageException or KeylineException or IOException or UnauthorizedAccessException)
        {
            context.Error.WriteLine(error.Message.ReplaceLineEndings(" "));
            return ExitCode.BadInput;
        }
        catch (Exception error) when (error is not OutOfMemoryException)
        {
            context.Error.WriteLine($"A fault in keyline itself, please report it with the command that led to it: {error}");
            return ExitCode.Fault;
        }
    }

    private static int Dispatch(string[] args, RunContext context)
    {
        string command = args.Length == 0 ? "help" : args[0];
        string[] rest = args.Length == 0 ? [] : args[1..];
        switch (command)
        {
            case "plan" or "demo" or "guidance" or "driven" or "setout" or "check" or "terrain" or "drainage" or "landform" or "inspect" or "formats" or "schema" when rest.Contains("--help") || rest.Contains("-h"):
                return Say(context, HelpText.Of(command));
            case "plan":
                return PlanCommand.Run(rest, context);
            case "guidance":
                return GuidanceCommand.Run(rest, context);
            case "driven":
                return DrivenCommand.Run(rest, context);
            case "setout":
                return SetOutCommand.Run(rest, context);
            case "demo":
                return DemoCommand.Run(rest, context);
            case "check":
                return CheckCommand.Run(rest, context);
            case "terrain":
                return TerrainCommand.Run(rest, context);
            case "drainage":
                return DrainageCommand.Run(rest, context);
            case "landform":
                return LandformCommand.Run(rest, context);
            case "inspect":
                return InspectCommand.Run(rest, context);
            case "formats":
                return FormatsCommand.Run(rest, context);
            case "schema":
                Arguments.Parse("schema", [], rest);
                return Say(context, Resources.Text("keyline-job.schema.json"));
            case "help" or "--help" or "-h":
                return Say(context, rest.Length == 0 ? HelpText.Overview : HelpText.Of(rest[0]));
            case "--version" or "version":
                return Say(context, "keyline " + Version + Environment.NewLine);
            default:
                throw new UsageException($"There is no command \"{command}\": keyline --help lists them.");
        }
    }

    private static int Say(RunContext context, string text)
    {
        context.Output.Write(text);
        return ExitCode.Done;
    }
}
