using Keyline.Console.Cli;
using Keyline.Console.Views;

namespace Keyline.Console.Batch;

/// <summary><c>keyline batch</c>.</summary>
internal static class BatchCommand
{
    public static Command Command { get; } = new("batch", "plan every field of a layer, each by itself", Run)
    {
        About =
        [
            "Plans every field of a layer, each in a process of its own, into fields/ID/plan below the",
            "output folder, and makes results.csv, results.gpkg and index.html of all of them. A field",
            "that fails is told of and stops no other. Run again, it makes only what is missing or what",
            "was made from other inputs or options; so a run that was stopped goes on where it was.",
        ],
        Examples =
        [
            "keyline batch --fields county.geojson --dem tiles --spacing \"10 ft\" --out county",
            "keyline batch --fields county.gpkg --items dem.json --spacing \"3 m\" --out county --shard 3/8",
            "keyline batch --fields county.gpkg --items dem.json --spacing \"3 m\" --out county --gather",
        ],
        Options =
        [
            OptionSpec.Fields, OptionSpec.Id, OptionSpec.Dem, OptionSpec.Items, OptionSpec.Out with { Help = "folder to write; one that an earlier run of batch began is gone on with" }, OptionSpec.AtOnce, OptionSpec.TimeLimit,
            OptionSpec.Shard, OptionSpec.Only, OptionSpec.Again, OptionSpec.Gather, OptionSpec.Tasks,
            .. OptionSpec.JobOptions.Where(o => o != OptionSpec.Dem && o != OptionSpec.Field && o != OptionSpec.Out && o != OptionSpec.LanguageOfMap),
            OptionSpec.Job, OptionSpec.Threads with { Help = "threads of each field (default: the cores shared among the fields at once); the result is the same" },
            OptionSpec.Memory with { Help = "most memory each field may take, as \"2 GB\" (default: what the machine has)" }, OptionSpec.Language with { Help = "language of the index page, the maps and the sheets: en (default) or es; reports have both" }, OptionSpec.Quiet, OptionSpec.Json,
        ],
        Note = "Exit code 3: some field failed, or a limit could not be kept in it; the tables say which.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        BatchRequest request = BatchRequest.From(arguments);
        BatchFolder.Open(request);
        if (request.TasksPath is { } tasks)
        {
            int written = BatchFolder.WriteTasks(tasks, request);
            context.State.HasWritten = true;
            if (!arguments.Has(OptionSpec.Quiet))
            {
                context.Output.WriteLine($"{Words.Count(written, "command")} written to {tasks}: one for each field that is still to be made. When all have run, make the tables with {OptionSpec.Gather.Flag}.");
            }

            return ExitCode.Done;
        }

        PageVoice voice = PageVoice.From(arguments);
        int made = 0;
        try
        {
            if (!request.OnlyGathers)
            {
                using ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet));
                made = BatchRun.Make(request, progress, context, FieldProcess.Run);
            }
        }
        catch (OperationCanceledException) when (context.Stop.IsCancellationRequested)
        {
            context.State.SayStopped(context.Error, "Stopped; fields that were done stay, and the same command goes on from there.");
            return ExitCode.StoppedBy(context.Signal());
        }

        IReadOnlyList<FieldResult> results = [.. (request.IsPart && !request.OnlyGathers ? request.Chosen : request.Fields).Select(f => FieldResult.Read(f, request))];
        OutputFolder? output = null;
        if (!request.IsPart || request.OnlyGathers)
        {
            output = OutputFolder.Begin(request.OutPath, overwrite: true, BatchTables.Names);
            using (output)
            {
                BatchTables.Write(output, results, voice, context.Stop);
                output.Commit(context);
            }
        }

        BatchView view = new(results, made, request.OutPath, output is null ? null : new OutputFiles(output, BatchTables.Names));
        Screen.Show(view, arguments, context);
        return view.ExitCode;
    }
}
