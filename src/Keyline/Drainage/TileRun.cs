using System.Runtime.ExceptionServices;
using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Runs over the tiles of a grid that is kept in stores: several tiles at a time, the stores by one thread at a time.</summary>
internal sealed class TileRun(TileCut cut, int workers, int phases, IProgress<double>? progress, CancellationToken cancellationToken)
{
    private readonly Lock _stores = new();
    private readonly Lock _telling = new();
    private int _phase;

    public TileCut Cut { get; } = cut;

    public CancellationToken CancellationToken { get; } = cancellationToken;

    /// <summary>Does something for some tiles, each with a worker of its thread. This is one of the phases of the run.</summary>
    public void ForEach<TWorker>(IReadOnlyList<int> tiles, Func<TWorker> make, Action<int, TWorker> work)
    {
        int done = 0;
        ForEachAgain(tiles, make, (tile, worker) =>
        {
            work(tile, worker);
            Tell(Interlocked.Increment(ref done) / (double)tiles.Count);
        });
        _phase++;
        Tell(0);
    }

    /// <summary>Does something for some tiles without getting on with the run, as often as it takes.</summary>
    public void ForEachAgain<TWorker>(IReadOnlyList<int> tiles, Func<TWorker> make, Action<int, TWorker> work)
    {
        try
        {
            Parallel.For(0, tiles.Count, WorkThreads.Options(CancellationToken, workers), make, (i, _, worker) =>
            {
                work(tiles[i], worker);
                return worker;
            }, static _ => { });
        }
        catch (AggregateException several)
        {
            // What a store or a tile has to say reaches the caller as it was said.
            ExceptionDispatchInfo.Throw(several.Flatten().InnerExceptions[0]);
        }
    }

    /// <summary>All tiles.</summary>
    public int[] All() => [.. Enumerable.Range(0, Cut.Count)];

    public void Read<T>(IGridSource<T> store, CellRange range, Span<T> values)
        where T : unmanaged
    {
        lock (_stores)
        {
            store.Read(range, values);
        }
    }

    public void Write<T>(IGridStore<T> store, CellRange range, ReadOnlySpan<T> values)
        where T : unmanaged
    {
        lock (_stores)
        {
            store.Write(range, values);
        }
    }

    /// <summary>A tile's cells with a margin around them, as far as the grid goes.</summary>
    public CellRange Around(int tile, int margin) => Around(Cut.RangeOf(tile), margin, Cut.Frame);

    /// <summary>Cells with a margin around them, as far as the grid goes.</summary>
    public static CellRange Around(CellRange range, int margin, GridFrame frame)
    {
        int top = Math.Max(range.Row - margin, 0);
        int left = Math.Max(range.Column - margin, 0);
        int bottom = Math.Min(range.Row + range.Rows + margin, frame.Rows);
        int right = Math.Min(range.Column + range.Columns + margin, frame.Columns);
        return new CellRange(top, left, bottom - top, right - left);
    }

    /// <summary>Places, in a window around a tile, of the cells within a margin of the tile but not in it.</summary>
    public static IEnumerable<int> Ring(CellRange tile, CellRange window, int margin)
    {
        int left = Math.Max(tile.Column - margin, window.Column);
        int right = Math.Min(tile.Column + tile.Columns + margin, window.Column + window.Columns);
        for (int row = Math.Max(tile.Row - margin, window.Row); row < Math.Min(tile.Row + tile.Rows + margin, window.Row + window.Rows); row++)
        {
            bool beside = row >= tile.Row && row < tile.Row + tile.Rows;
            for (int column = left; column < right; column++)
            {
                if (beside && column == tile.Column)
                {
                    column += tile.Columns;
                    if (column >= right)
                    {
                        break;
                    }
                }

                yield return ((row - window.Row) * window.Columns) + column - window.Column;
            }
        }
    }

    private void Tell(double share)
    {
        if (progress is not null)
        {
            lock (_telling)
            {
                progress.Report(Math.Min((_phase + share) / phases, 1));
            }
        }
    }
}

/// <summary>A working array that grows to what is asked for.</summary>
internal sealed class Room<T>
{
    private T[] _values = [];

    public T[] For(long count)
    {
        if (_values.Length < count)
        {
            _values = new T[checked((int)count)];
        }

        return _values;
    }
}
