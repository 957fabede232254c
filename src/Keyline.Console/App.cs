using Keyline.Console.Batch;
using Keyline.Console.Cli;
using Keyline.Console.Commands;

namespace Keyline.Console;

/// <summary>The program: finds the command, runs it, and turns errors into one sentence and an exit code.</summary>
internal static class App
{
    private const int DiskFullUnix = 28;
    private const int QuotaUnix = 122;
    private const int DiskFullWindows = unchecked((int)0x80070070);

    private static readonly string[] HelpWords = ["--help", "-h"];

    /// <summary>Every command, in the order of the help.</summary>
    public static IReadOnlyList<Command> Commands => field ??=
    [
        PlanCommand.Command, ReviseCommand.Command, GuidanceCommand.Command, WorkCommand.Command, SetOutCommand.Command, DrivenCommand.Command, WaterCommand.Command, SoilCommand.Command, SeasonCommand.Command, TrialCommand.Command, MonitorCommand.Command, ReportCommand.Command, CheckCommand.Command, DemoCommand.Command,
        BatchCommand.Command,
        InspectCommand.Command, TerrainCommand.Command, DrainageCommand.Command, LandformCommand.Command, FormatsCommand.Command, SchemaCommand.Command,
    ];

    /// <summary>Runs the program.</summary>
    /// <param name="args">The words after the program's name.</param>
    /// <param name="context">Where to write, and what can stop it.</param>
    /// <returns>One of <see cref="ExitCode"/>.</returns>
    public static int Run(string[] args, RunContext context)
    {
        using CarefulText output = new(context.Output, returns: false), error = new(context.Error, returns: true);
        RunContext careful = context with { Output = output, Error = error };
        int exit = Guarded(args, careful);
        output.Flush();
        if (output.Failure is { } failure && !careful.State.HasWritten && exit is ExitCode.Done or ExitCode.LimitNotKept)
        {
            error.WriteLine($"What was to be said could not be written ({failure.TrimEnd('.')}): make room where standard output goes.");
            return ExitCode.Fault;
        }

        return exit;
    }

    private static int Guarded(string[] args, RunContext context)
    {
        try
        {
            return Dispatch(args, context);
        }
        catch (OperationCanceledException) when (context.Stop.IsCancellationRequested)
        {
            context.State.SayStopped(context.Error, "Stopped; nothing was written.");
            return ExitCode.StoppedBy(context.Signal());
        }
        catch (Exception error) when (MemoryBudget.RanOut(error))
        {
            context.Error.WriteLine("There is not enough memory for this: take a smaller part of the ground, larger cells, fewer threads (--threads 1), or more with --memory.");
            return ExitCode.Fault;
        }
        catch (Exception error) when (Plain(error) is { } plain)
        {
            context.Error.WriteLine(plain);
            return ExitCode.BadInput;
        }
        catch (Exception error)
        {
            context.Error.WriteLine($"A fault in keyline itself, please report it with the command that led to it: {error}");
            return ExitCode.Fault;
        }
    }

    // The sentence of an error that the user can mend; null for any other.
    private static string? Plain(Exception error) => error switch
    {
        AggregateException many when many.Flatten().InnerExceptions is { Count: > 0 } all && all.All(e => Plain(e) is not null) => Plain(all[0]),
        IOException { HResult: DiskFullUnix or QuotaUnix or DiskFullWindows } => "The disk is full, so nothing was written: make room, or choose another folder with --out.",
        UsageException or KeylineException or IOException or UnauthorizedAccessException => UserText.Shortened(error.Message.ReplaceLineEndings(" ")),
        _ => null,
    };

    private static int Dispatch(string[] args, RunContext context)
    {
        string first = args.Length == 0 ? "help" : args[0];
        string[] rest = args.Length == 0 ? [] : args[1..];
        if (first == "help" || HelpWords.Contains(first))
        {
            return Say(context, rest.Length == 0 ? HelpPage.Overview(Commands) : HelpPage.Of(Named(rest[0])));
        }

        if (first is "--version" or "version")
        {
            return Say(context, "keyline " + Product.Version + Environment.NewLine);
        }

        Command command = Named(first);
        if (rest.TakeWhile(word => word != "--").Any(HelpWords.Contains))
        {
            return Say(context, HelpPage.Of(command));
        }

        Arguments arguments = CommandLine.Parse(command, rest);
        if (command.Options.Any(o => ReferenceEquals(o, OptionSpec.MemoryLimit)))
        {
            MemoryBudget.Set(arguments[OptionSpec.Memory]);
        }

        if (arguments.Whole(OptionSpec.Threads, 1, 1024) is not { } threads)
        {
            return command.Run(arguments, context);
        }

        using IDisposable limit = WorkThreads.Limit(threads);
        return command.Run(arguments, context);
    }

    private static Command Named(string name) => Commands.FirstOrDefault(c => c.Name == name)
        ?? throw new UsageException(CommandLine.Nearest(name, Commands.Select(c => c.Name)) is { } near
            ? $"There is no command \"{name}\": perhaps keyline {near} is meant (keyline --help lists all)."
            : $"There is no command \"{name}\": keyline --help lists them.");

    private static int Say(RunContext context, string text)
    {
        context.Output.Write(text);
        return ExitCode.Done;
    }
}
