using System.Collections.Concurrent;

namespace Keyline.Tests;

public sealed class WorkThreadsTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Limit_LoopsWithinLoops_NeverRunOnMoreThreads(int limit)
    {
        int now = 0, most = 0;
        ConcurrentDictionary<int, int> done = [];
        using (WorkThreads.Limit(limit))
        {
            Parallel.For(0, 12, WorkThreads.Options(TestContext.Current.CancellationToken), i =>
                Parallel.For(0, 12, WorkThreads.Options(TestContext.Current.CancellationToken), j =>
                {
                    int here = Interlocked.Increment(ref now);
                    InterlockedMax(ref most, here);
                    Thread.Sleep(1);
                    Interlocked.Decrement(ref now);
                    done[(12 * i) + j] = 1;
                }));
        }

        Assert.Equal(144, done.Count);
        Assert.InRange(most, 1, limit);
    }

    [Fact]
    public void Limit_DisposedOf_GivesTheLimitOfBefore()
    {
        using (WorkThreads.Limit(5))
        {
            using (WorkThreads.Limit(2))
            {
                Assert.Equal(2, WorkThreads.Options(default).MaxDegreeOfParallelism);
            }

            Assert.Equal(5, WorkThreads.Options(default).MaxDegreeOfParallelism);
            Assert.Equal(3, WorkThreads.Options(default, 3).MaxDegreeOfParallelism);
        }

        Assert.Equal(-1, WorkThreads.Options(default).MaxDegreeOfParallelism);
        Assert.Equal(3, WorkThreads.Options(default, 3).MaxDegreeOfParallelism);
    }

    [Fact]
    public async Task Limit_OfAnotherFlow_IsNotSeen()
    {
        using SemaphoreSlim limited = new(0), seen = new(0);
        Task other = Task.Run(async () =>
        {
            using (WorkThreads.Limit(1))
            {
                limited.Release();
                await seen.WaitAsync(TestContext.Current.CancellationToken);
            }
        }, TestContext.Current.CancellationToken);
        await limited.WaitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(-1, WorkThreads.Options(default).MaxDegreeOfParallelism);
        seen.Release();
        await other;
    }

    [Fact]
    public void Limit_BelowOne_IsRefused() => Assert.Throws<ArgumentOutOfRangeException>(() => WorkThreads.Limit(0));

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(64)]
    public void Together_DoesEveryPieceOnce_OnNoMoreThreadsThanTheLimit(int limit)
    {
        int now = 0, most = 0;
        int[] done = new int[40];
        using (WorkThreads.Limit(limit))
        {
            WorkThreads.Together(TestContext.Current.CancellationToken, [.. Enumerable.Range(0, done.Length).Select(i => (Action)(() =>
            {
                InterlockedMax(ref most, Interlocked.Increment(ref now));
                Thread.Sleep(1);
                Interlocked.Decrement(ref now);
                Interlocked.Increment(ref done[i]);
            }))]);
        }

        Assert.All(done, times => Assert.Equal(1, times));
        Assert.InRange(most, 1, limit);
    }

    [Fact]
    public void Together_ThrowsWhatTheFirstFailureThrew_WhenAllAreDone()
    {
        int done = 0;
        InvalidOperationException thrown = Assert.Throws<InvalidOperationException>(() => WorkThreads.Together(
            TestContext.Current.CancellationToken,
            () => done++,
            () =>
            {
                Thread.Sleep(20);
                throw new InvalidOperationException("first");
            },
            () => throw new FormatException("second"),
            () => Interlocked.Add(ref done, 10)));
        Assert.Equal("first", thrown.Message);
        Assert.Equal(11, done);
    }

    [Fact]
    public void Together_OnceStopped_BeginsNothing()
    {
        using CancellationTokenSource stop = new();
        int begun = 0;
        Assert.ThrowsAny<OperationCanceledException>(() => WorkThreads.Together(stop.Token, [.. Enumerable.Repeat((Action)(() =>
        {
            Interlocked.Increment(ref begun);
            stop.Cancel();
        }), 100)]));
        Assert.InRange(begun, 1, 50);
        WorkThreads.Together(TestContext.Current.CancellationToken);
    }

    private static void InterlockedMax(ref int most, int value)
    {
        for (int seen = most; value > seen; seen = most)
        {
            Interlocked.CompareExchange(ref most, value, seen);
        }
    }
}
