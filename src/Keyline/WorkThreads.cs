using System.Runtime.ExceptionServices;

namespace Keyline;

/// <summary>How many threads work at once, where that is to be fewer than the machine has cores.</summary>
/// <remarks>
/// <para>Units: threads. Promises: results are the same bytes whatever the number. The limit counts for what is called in the flow of control that set it,
/// and what that starts; other callers in the process keep all cores.</para>
/// <para>Cost: time grows as threads are taken away; memory shrinks a little, since each thread holds scratch space of its own.</para>
/// <para>Source: computed here; loops share one scheduler, so that loops within loops stay within the limit too.</para>
/// </remarks>
public static class WorkThreads
{
    private static readonly AsyncLocal<ConcurrentExclusiveSchedulerPair?> Limited = new();

    /// <summary>Limits the threads of everything called from here, until the result is disposed of.</summary>
    /// <param name="count">Threads, at least 1. More than the machine has cores is as good as no limit.</param>
    /// <returns>Dispose of it to have the limit of before again.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The count is below 1.</exception>
    public static IDisposable Limit(int count)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 1);
        Before before = new(Limited.Value);
        Limited.Value = new ConcurrentExclusiveSchedulerPair(TaskScheduler.Default, count);
        return before;
    }

    /// <summary>What a parallel loop is to be run with, to stop when asked and keep to the limit.</summary>
    /// <param name="cancellationToken">Stops the loop.</param>
    /// <param name="most">Threads that the loop itself can use, at least 1; the limit may be lower.</param>
    public static ParallelOptions Options(CancellationToken cancellationToken, int most = int.MaxValue)
    {
        ParallelOptions options = new() { CancellationToken = cancellationToken, MaxDegreeOfParallelism = most == int.MaxValue ? -1 : most };
        if (Limited.Value is { } pair)
        {
            options.TaskScheduler = pair.ConcurrentScheduler;
            options.MaxDegreeOfParallelism = Math.Min(most, pair.ConcurrentScheduler.MaximumConcurrencyLevel);
        }

        return options;
    }

    /// <summary>Does independent pieces of work side by side, the first ones first, and comes back when all are done.</summary>
    /// <param name="cancellationToken">Stops those that have not begun; what runs looks at its own token.</param>
    /// <param name="works">The pieces; none may wait for another.</param>
    /// <exception cref="OperationCanceledException">It was stopped.</exception>
    /// <remarks>Throws what the first of the pieces that failed threw, in their order, so that what is said does not hang on the number of cores.</remarks>
    public static void Together(CancellationToken cancellationToken, params IReadOnlyList<Action> works)
    {
        ArgumentNullException.ThrowIfNull(works);
        ExceptionDispatchInfo?[] failed = new ExceptionDispatchInfo?[works.Count];
        int begun = 0;

        // Each thread takes the next piece that none has begun: a loop over the pieces would deal some of them out beforehand.
        ParallelOptions parallel = Options(cancellationToken);
        Parallel.For(0, works.Count, parallel, _ =>
        {
            for (int i = Interlocked.Increment(ref begun) - 1; i < works.Count; i = Interlocked.Increment(ref begun) - 1)
            {
                try
                {
                    cancellationToken.ThrowIfCancellationRequested();
                    works[i]();
                }
                catch (Exception e)
                {
                    failed[i] = ExceptionDispatchInfo.Capture(e);
                }
            }
        });
        Array.Find(failed, f => f is not null)?.Throw();
    }

    private sealed class Before(ConcurrentExclusiveSchedulerPair? limited) : IDisposable
    {
        public void Dispose() => Limited.Value = limited;
    }
}
