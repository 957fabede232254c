using System.Diagnostics;
using System.Globalization;
using System.Text;
using Keyline.Console.Cli;

namespace Keyline.Console.Batch;

/// <summary>Plans one field in a process of its own, so that one that runs out of memory or time takes no other with it.</summary>
internal static class FieldProcess
{
    private const int MillisecondsBetweenLooks = 100;
    private const int MostSaid = 4000;

    /// <summary>Plans a field.</summary>
    /// <param name="task">The field, prepared.</param>
    /// <param name="request">Its limits.</param>
    /// <param name="stop">Ends the process, and throws.</param>
    public static FieldOutcome Run(FieldTask task, BatchRequest request, CancellationToken stop)
    {
        Stopwatch clock = Stopwatch.StartNew();
        using Process process = new() { StartInfo = Start(task, request) };
        StringBuilder said = new();
        process.OutputDataReceived += (_, _) => { };
        process.ErrorDataReceived += (_, line) =>
        {
            lock (said)
            {
                said.Append(said.Length < MostSaid && line.Data is not null ? line.Data + " " : "");
            }
        };
        process.Start();
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        long peak = 0;
        bool late = false;
        while (!process.WaitForExit(MillisecondsBetweenLooks))
        {
            peak = Math.Max(peak, Held(process));
            late = clock.Elapsed > request.TimeLimit;
            if (late || stop.IsCancellationRequested)
            {
                End(process);
                stop.ThrowIfCancellationRequested();
                break;
            }
        }

        // Interrupted together with this program: the field is not done, and nothing is to be said of it.
        process.WaitForExit();
        stop.ThrowIfCancellationRequested();
        int exit = late ? -1 : process.ExitCode;
        string sentence;
        lock (said)
        {
            sentence = said.ToString().Trim();
        }

        if (exit == ExitCode.BadInput && sentence.Contains(OutputFolder.IsBusy, StringComparison.Ordinal))
        {
            // What a killed run left behind is still at it: no fault of the field, so the next run looks again.
            return new FieldOutcome(task.Field.Id, "", FieldOutcome.Waiting, exit, clock.Elapsed.TotalSeconds, peak / 1e6, sentence);
        }

        string state = late ? FieldOutcome.OutOfTime : FieldOutcome.StateOf(exit);
        sentence = state switch
        {
            FieldOutcome.Held or FieldOutcome.Look => "",
            FieldOutcome.OutOfTime => string.Create(CultureInfo.InvariantCulture, $"It took longer than {request.TimeLimit.TotalSeconds:0.#} s: give it more with {OptionSpec.TimeLimit.Flag}, or larger cells."),
            _ when sentence.Length == 0 => string.Create(CultureInfo.InvariantCulture, $"The program was ended by the system (exit code {exit}), most likely for want of memory: plan fewer fields at once, or give it more."),
            _ => sentence,
        };
        return new FieldOutcome(task.Field.Id, task.Key, state, exit, clock.Elapsed.TotalSeconds, peak / 1e6, sentence);
    }

    private static ProcessStartInfo Start(FieldTask task, BatchRequest request)
    {
        (string program, string[] first) = Program();
        List<string> words = [.. first, "plan", OptionSpec.Job.Flag, task.JobPath, OptionSpec.Overwrite.Flag, OptionSpec.Quiet.Flag, OptionSpec.Threads.Flag, request.Threads.ToString(CultureInfo.InvariantCulture)];
        ProcessStartInfo start = new(program) { RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = task.Folder };
        if (request.MemoryText is { } memory)
        {
            words.AddRange([OptionSpec.Memory.Flag, memory]);
        }

        words.ForEach(start.ArgumentList.Add);
        return start;
    }

    // This very program: by its own name where it has one, else through the host that runs it.
    private static (string Program, string[] First) Program()
    {
        string? self = Environment.ProcessPath;
        string name = Path.GetFileName(self ?? "");
        name = name.EndsWith(".exe", StringComparison.OrdinalIgnoreCase) ? name[..^4] : name;
        if (name is "keyline" or "Keyline.Console")
        {
            return (self!, []);
        }

        return (name == "dotnet" ? self! : "dotnet", [Path.Combine(AppContext.BaseDirectory, "Keyline.Console.dll")]);
    }

    private static long Held(Process process)
    {
        try
        {
            process.Refresh();
            return process.PeakWorkingSet64;
        }
        catch (InvalidOperationException)
        {
            return 0;
        }
    }

    private static void End(Process process)
    {
        try
        {
            process.Kill(entireProcessTree: true);
        }
        catch (InvalidOperationException)
        {
            // It ended by itself.
        }
    }
}
