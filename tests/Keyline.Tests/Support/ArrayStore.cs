using Keyline.Elevation;

namespace Keyline.Tests.Support;

/// <summary>A store kept in memory, which fails when two threads use it at a time.</summary>
internal sealed class ArrayStore<T>(GridFrame frame, T[] values) : IGridStore<T>
    where T : unmanaged
{
    private int _users;

    public GridFrame Frame { get; } = frame;

    public T[] Values { get; } = values;

    public long CellsRead { get; private set; }

    public static ArrayStore<T> Empty(GridFrame frame) => new(frame, new T[frame.CellCount]);

    public void Read(CellRange range, Span<T> values)
    {
        Enter(range, values.Length);
        for (int r = 0; r < range.Rows; r++)
        {
            Values.AsSpan(((range.Row + r) * Frame.Columns) + range.Column, range.Columns).CopyTo(values[(r * range.Columns)..]);
        }

        CellsRead += range.CellCount;
        Interlocked.Decrement(ref _users);
    }

    public void Write(CellRange range, ReadOnlySpan<T> values)
    {
        Enter(range, values.Length);
        for (int r = 0; r < range.Rows; r++)
        {
            values.Slice(r * range.Columns, range.Columns).CopyTo(Values.AsSpan(((range.Row + r) * Frame.Columns) + range.Column));
        }

        Interlocked.Decrement(ref _users);
    }

    private void Enter(CellRange range, int length)
    {
        Assert.Equal(1, Interlocked.Increment(ref _users));
        Assert.Equal(range.CellCount, length);
        Assert.True(range.Row >= 0 && range.Column >= 0 && range.Row + range.Rows <= Frame.Rows && range.Column + range.Columns <= Frame.Columns);
    }
}
