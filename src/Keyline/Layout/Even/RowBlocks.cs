namespace Keyline.Layout.Even;

/// <summary>Runs work over fixed blocks of rows, so that what a block does never depends on the number of cores.</summary>
internal static class RowBlocks
{
    private const int Most = 4;
    private const int LeastNodes = 4096;

    /// <summary>Calls the work with the first row of each block and the row after its last.</summary>
    public static void Run(int rows, int columns, Action<int, int> work)
    {
        int blocks = (int)Math.Clamp((long)rows * columns / LeastNodes, 1, Math.Min(Most, rows));
        if (blocks == 1)
        {
            work(0, rows);
            return;
        }

        // One pass takes hundredths of a second; the loops around it look at the token between passes.
        Parallel.For(0, blocks, WorkThreads.Options(CancellationToken.None), b => work(rows * b / blocks, rows * (b + 1) / blocks));
    }
}
