using System.Buffers;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Puts values one after another into the bytes of a part, in the machine's own byte order.</summary>
internal sealed class PartWriter
{
    private readonly ArrayBufferWriter<byte> _bytes = new();

    public ReadOnlySpan<byte> Bytes => _bytes.WrittenSpan;

    public void Add<T>(ReadOnlySpan<T> values)
        where T : unmanaged => _bytes.Write(MemoryMarshal.AsBytes(values));

    /// <summary>Values with their number before them.</summary>
    public void AddMany<T>(ReadOnlySpan<T> values)
        where T : unmanaged
    {
        Add([values.Length]);
        Add(values);
    }
}

/// <summary>Takes the values of a part in the order in which they were put there.</summary>
internal sealed class PartReader(byte[] bytes)
{
    private int _at;

    /// <exception cref="GroundDataException">The part is shorter than that.</exception>
    public void Take<T>(Span<T> values)
        where T : unmanaged
    {
        Span<byte> wanted = MemoryMarshal.AsBytes(values);
        if (wanted.Length > bytes.Length - _at)
        {
            throw Damaged();
        }

        bytes.AsSpan(_at, wanted.Length).CopyTo(wanted);
        _at += wanted.Length;
    }

    public T[] Take<T>(int count)
        where T : unmanaged
    {
        T[] values = new T[count];
        Take<T>(values);
        return values;
    }

    public T[] TakeMany<T>()
        where T : unmanaged
    {
        int count = Take<int>(1)[0];
        return count >= 0 && (long)count * Unsafe.SizeOf<T>() <= bytes.Length - _at ? Take<T>(count) : throw Damaged();
    }

    private static GroundDataException Damaged() => new("A part of a tile is shorter than it says: delete the folder of parts, and run the first stage again.");
}
