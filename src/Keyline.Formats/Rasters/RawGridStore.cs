using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Keyline.Elevation;
using Microsoft.Win32.SafeHandles;

namespace Keyline.Formats;

/// <summary>A grid kept in a scratch file: plain values, row after row from the north, in the machine's own byte order.</summary>
/// <typeparam name="T">The type of a value.</typeparam>
/// <remarks>
/// <para>Units: those of what is stored. Missing: whatever is stored for it; cells never written read as zero.</para>
/// <para>Promises: windows read and write only the rows they touch; grids may pass 2^31 cells; the file is deleted when the
/// store is closed.</para>
/// <para>Cost: one read or write for each row of a window, or one in all where the window is as wide as the grid.</para>
/// </remarks>
public sealed class RawGridStore<T> : IGridStore<T>, IDisposable
    where T : unmanaged
{
    private readonly SafeFileHandle _file;

    /// <summary>Makes a scratch file.</summary>
    /// <param name="path">Where; there must be no such file.</param>
    /// <param name="frame">Where the grid lies.</param>
    /// <exception cref="IOException">The file exists, or there is no room for it.</exception>
    public RawGridStore(string path, GridFrame frame)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(frame);
        Frame = frame;
        long bytes = checked(frame.CellCount * Unsafe.SizeOf<T>());
        CheckRoom(path, bytes);
        _file = File.OpenHandle(path, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, FileOptions.DeleteOnClose);
        RandomAccess.SetLength(_file, bytes);
    }

    /// <inheritdoc/>
    public GridFrame Frame { get; }

    /// <inheritdoc/>
    public void Read(CellRange range, Span<T> values)
    {
        Check(range, values.Length);
        Span<byte> bytes = MemoryMarshal.AsBytes(values);
        foreach ((long offset, int start, int length) in Pieces(range))
        {
            Span<byte> piece = bytes.Slice(start, length);
            for (int got = 0; got < length;)
            {
                int read = RandomAccess.Read(_file, piece[got..], offset + got);
                if (read == 0)
                {
                    throw new EndOfStreamException("The scratch file ended early.");
                }

                got += read;
            }
        }
    }

    /// <inheritdoc/>
    public void Write(CellRange range, ReadOnlySpan<T> values)
    {
        Check(range, values.Length);
        ReadOnlySpan<byte> bytes = MemoryMarshal.AsBytes(values);
        foreach ((long offset, int start, int length) in Pieces(range))
        {
            RandomAccess.Write(_file, bytes.Slice(start, length), offset);
        }
    }

    /// <summary>Closes and deletes the file.</summary>
    public void Dispose() => _file.Dispose();

    private static void CheckRoom(string path, long bytes)
    {
        string? folder = Path.GetDirectoryName(Path.GetFullPath(path));
        DriveInfo? drive = DriveInfo.GetDrives()
            .Where(d => d.IsReady && folder is not null && folder.StartsWith(d.RootDirectory.FullName, StringComparison.Ordinal))
            .MaxBy(d => d.RootDirectory.FullName.Length);
        if (drive is not null && drive.AvailableFreeSpace < bytes)
        {
            throw new IOException(FormattableString.Invariant(
                $"{folder} has {drive.AvailableFreeSpace >> 20} MB free and {(bytes >> 20) + 1} MB are needed to work on this grid: make room there."));
        }
    }

    private IEnumerable<(long Offset, int Start, int Length)> Pieces(CellRange range)
    {
        int size = Unsafe.SizeOf<T>();
        bool whole = range.Columns == Frame.Columns;
        int pieces = whole ? 1 : range.Rows;
        int length = checked((whole ? range.Rows : 1) * range.Columns * size);
        for (int i = 0; i < pieces; i++)
        {
            yield return (((((long)range.Row + i) * Frame.Columns) + range.Column) * size, i * length, length);
        }
    }

    private void Check(CellRange range, int values)
    {
        if (range.Row < 0 || range.Column < 0 || range.Rows < 0 || range.Columns < 0
            || (long)range.Row + range.Rows > Frame.Rows || (long)range.Column + range.Columns > Frame.Columns)
        {
            throw new ArgumentOutOfRangeException(nameof(range), range, "The window does not lie in the grid.");
        }

        if (values != range.CellCount)
        {
            throw new ArgumentException($"The window has {range.CellCount} cells and there is room for {values}.", nameof(range));
        }
    }
}
