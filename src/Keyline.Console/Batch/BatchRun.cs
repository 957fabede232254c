using Keyline.Console.Cli;
using Keyline.Formats;

namespace Keyline.Console.Batch;

/// <summary>Makes the fields of a batch side by side.</summary>
internal static class BatchRun
{
    /// <summary>Makes every chosen field that is to be made; returns how many were.</summary>
    /// <param name="request">Which, from what.</param>
    /// <param name="progress">Told of each that is done.</param>
    /// <param name="context">What can stop it; what is done by then stays.</param>
    /// <param name="plan">Plans one field whose folder is prepared: <see cref="FieldProcess.Run"/>.</param>
    public static int Make(BatchRequest request, ProgressLine progress, RunContext context, Func<FieldTask, BatchRequest, CancellationToken, FieldOutcome> plan)
    {
        int done = 0, made = 0;
        Lock counting = new();
        ParallelOptions sideBySide = new() { MaxDegreeOfParallelism = request.AtOnce, CancellationToken = context.Stop };

        // One at a time from the head of the list, so that a long one does not hold back those dealt out with it.
        Parallel.ForEach(System.Collections.Concurrent.Partitioner.Create(request.Chosen, System.Collections.Concurrent.EnumerablePartitionerOptions.NoBuffering), sideBySide, field =>
        {
            bool isMade = MakeOne(field, request, context, plan);
            lock (counting)
            {
                done++;
                made += isMade ? 1 : 0;
                progress.Show($"field {done} of {request.Chosen.Count}", (double)done / request.Chosen.Count);
            }
        });
        return made;
    }

    private static bool MakeOne(LayerField field, BatchRequest request, RunContext context, Func<FieldTask, BatchRequest, CancellationToken, FieldOutcome> plan)
    {
        FieldTask task;
        try
        {
            task = FieldTask.Of(field, request);
        }
        catch (Exception e) when (e is UsageException or KeylineException)
        {
            string folder = FieldTask.FolderOf(field, request.OutPath);
            Directory.CreateDirectory(folder);
            new FieldOutcome(field.Id, "", FieldOutcome.Refused, ExitCode.BadInput, 0, 0, UserText.Shortened(e.Message)).Write(folder);
            context.State.HasWritten = true;
            return true;
        }

        if (!task.IsToBeMade(request))
        {
            return false;
        }

        task.Prepare();
        FieldOutcome outcome = plan(task, request, context.Stop);
        outcome.Write(task.Folder);
        context.State.HasWritten = true;
        return true;
    }
}
