using Keyline.Console.Cli;

namespace Keyline.Console.Commands;

/// <summary><c>keyline plan</c>.</summary>
internal static class PlanCommand
{
    public static IReadOnlyList<OptionSpec> Options { get; } =
        [.. OptionSpec.JobOptions, OptionSpec.Job, OptionSpec.Overwrite, OptionSpec.Quiet, OptionSpec.Json];

    public static int Run(IReadOnlyList<string> words, RunContext context)
    {
        Arguments arguments = Arguments.Parse("plan", Options, words);
        if (arguments[OptionSpec.Job] is { } job)
        {
            JobFile.AddTo(arguments, job.Text);
        }

        PlanRequest request = PlanRequest.From(arguments);
        using OutputFolder folder = OutputFolder.Begin(request.OutPath, arguments.Has(OptionSpec.Overwrite), PlanFiles.AllNames);
        return PlanRun.Execute(request, folder, arguments, context);
    }
}
