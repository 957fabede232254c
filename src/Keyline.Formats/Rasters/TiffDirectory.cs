using System.Buffers.Binary;
using System.Text;

namespace Keyline.Formats;

/// <summary>The tags of one image in a TIFF file, read and checked before any decoder sees the file.</summary>
/// <remarks>
/// <para>Promises: nothing larger than the file is ever allocated, whatever the header claims.</para>
/// <para>Source: TIFF revision 6.0 (Aldus, 1992), section 2; BigTIFF (the libtiff design of 2007).</para>
/// </remarks>
internal sealed class TiffDirectory
{
    private const int MostDirectories = 512;
    private const int MostEntries = 4096;
    private readonly Stream _stream;
    private readonly bool _little;
    private readonly bool _big;
    private readonly Dictionary<int, Entry> _entries = [];

    private TiffDirectory(Stream stream, bool little, bool big, int index)
    {
        _stream = stream;
        _little = little;
        _big = big;
        Index = index;
    }

    /// <summary>Place in the file's chain of images, from 0.</summary>
    public int Index { get; }

    /// <summary>Whether the file's numbers begin with their least byte.</summary>
    public bool IsLittleEndian => _little;

    /// <summary>Whether it is a BigTIFF, whose offsets have 64 bits.</summary>
    public bool IsBig => _big;

    /// <summary>Whether four bytes begin a TIFF file.</summary>
    public static bool IsTiff(ReadOnlySpan<byte> head) =>
        head.Length >= 4 && ((head[0] == 'I' && head[1] == 'I' && head[2] is 42 or 43 && head[3] == 0)
            || (head[0] == 'M' && head[1] == 'M' && head[2] == 0 && head[3] is 42 or 43));

    /// <summary>Reads the chain of images.</summary>
    /// <exception cref="InvalidDataException">The chain is broken; the message says how.</exception>
    public static IReadOnlyList<TiffDirectory> ReadAll(Stream stream)
    {
        Span<byte> head = stackalloc byte[16];
        stream.Position = 0;
        int got = stream.ReadAtLeast(head, 16, throwOnEndOfStream: false);
        if (!IsTiff(head[..got]) || got < 8)
        {
            throw new InvalidDataException("it is not a TIFF");
        }

        bool little = head[0] == 'I';
        bool big = (little ? head[2] : head[3]) == 43;
        TiffDirectory probe = new(stream, little, big, 0);
        long offset = big ? (long)probe.U64(head[8..]) : probe.U32(head[4..]);
        List<TiffDirectory> all = [];
        HashSet<long> seen = [];
        while (offset != 0 && all.Count < MostDirectories)
        {
            if (!seen.Add(offset))
            {
                throw new InvalidDataException("its list of images runs in a circle");
            }

            TiffDirectory directory = new(stream, little, big, all.Count);
            offset = directory.ReadEntries(offset);
            all.Add(directory);
        }

        return all.Count > 0 ? all : throw new InvalidDataException("it holds no image");
    }

    /// <summary>Whether a tag is there.</summary>
    public bool Has(int tag) => _entries.ContainsKey(tag);

    /// <summary>Number of values of a tag; 0 where it is absent.</summary>
    public long Count(int tag) => _entries.TryGetValue(tag, out Entry e) ? e.Count : 0;

    /// <summary>First value of a whole-number tag.</summary>
    public long Integer(int tag, long otherwise) => Has(tag) && Integers(tag) is { Length: > 0 } v ? v[0] : otherwise;

    /// <summary>All values of a whole-number tag; empty where it is absent.</summary>
    public long[] Integers(int tag)
    {
        if (!_entries.TryGetValue(tag, out Entry entry))
        {
            return [];
        }

        ReadOnlySpan<byte> raw = Raw(entry);
        long[] values = new long[entry.Count];
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = entry.Type switch
            {
                1 or 7 => raw[i],
                6 => (sbyte)raw[i],
                3 => U16(raw[(2 * i)..]),
                8 => (short)U16(raw[(2 * i)..]),
                4 or 13 => U32(raw[(4 * i)..]),
                9 => (int)U32(raw[(4 * i)..]),
                16 or 17 or 18 => checked((long)U64(raw[(8 * i)..])),
                _ => throw new InvalidDataException(FormattableString.Invariant($"its tag {tag} is not a whole number")),
            };
        }

        return values;
    }

    /// <summary>All values of a floating-point tag; empty where it is absent.</summary>
    public double[] Doubles(int tag)
    {
        if (!_entries.TryGetValue(tag, out Entry entry))
        {
            return [];
        }

        ReadOnlySpan<byte> raw = Raw(entry);
        double[] values = new double[entry.Count];
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = entry.Type switch
            {
                12 => BitConverter.UInt64BitsToDouble(U64(raw[(8 * i)..])),
                11 => BitConverter.UInt32BitsToSingle(U32(raw[(4 * i)..])),
                _ => throw new InvalidDataException(FormattableString.Invariant($"its tag {tag} is not a real number")),
            };
        }

        return values;
    }

    /// <summary>A text tag without its closing zero; empty where it is absent.</summary>
    public string Text(int tag)
    {
        if (!_entries.TryGetValue(tag, out Entry entry) || entry.Type is not (2 or 1 or 7))
        {
            return "";
        }

        return Encoding.UTF8.GetString(Raw(entry)).TrimEnd('\0');
    }

    private long ReadEntries(long offset)
    {
        int countSize = _big ? 8 : 2, entrySize = _big ? 20 : 12, linkSize = _big ? 8 : 4;
        ReadOnlySpan<byte> countBytes = At(offset, countSize, "its list of tags lies beyond the end of the file");
        ulong count = _big ? U64(countBytes) : U16(countBytes);
        if (count is 0 or > MostEntries)
        {
            throw new InvalidDataException("its list of tags is damaged");
        }

        ReadOnlySpan<byte> table = At(offset + countSize, checked(((int)count * entrySize) + linkSize), "its list of tags lies beyond the end of the file");
        for (int i = 0; i < (int)count; i++)
        {
            ReadOnlySpan<byte> raw = table.Slice(i * entrySize, entrySize);
            int type = U16(raw[2..]);
            int size = type switch { 1 or 2 or 6 or 7 => 1, 3 or 8 => 2, 4 or 9 or 11 or 13 => 4, 5 or 10 or 12 or 16 or 17 or 18 => 8, _ => 0 };
            ulong values = _big ? U64(raw[4..]) : U32(raw[4..]);
            if (size == 0 || values == 0)
            {
                continue;
            }

            int room = _big ? 8 : 4;
            bool inline = values <= (ulong)(room / size);
            long at = inline ? offset + countSize + ((long)i * entrySize) + (_big ? 12 : 8) : _big ? (long)U64(raw[12..]) : U32(raw[8..]);
            if (values > (ulong)_stream.Length || at < 0 || at > _stream.Length - ((long)values * size))
            {
                throw new InvalidDataException(FormattableString.Invariant($"its tag {U16(raw)} lies beyond the end of the file"));
            }

            _entries.TryAdd(U16(raw), new Entry(type, size, (long)values, at));
        }

        ReadOnlySpan<byte> link = table[^linkSize..];
        return _big ? checked((long)U64(link)) : U32(link);
    }

    private ReadOnlySpan<byte> Raw(Entry entry) => At(entry.At, checked((int)(entry.Count * entry.Size)), "a tag lies beyond the end of the file");

    private ReadOnlySpan<byte> At(long offset, int length, string otherwise)
    {
        if (offset < 0 || offset > _stream.Length - length)
        {
            throw new InvalidDataException(otherwise);
        }

        byte[] bytes = new byte[length];
        _stream.Position = offset;
        _stream.ReadExactly(bytes);
        return bytes;
    }

    private ushort U16(ReadOnlySpan<byte> b) => _little ? BinaryPrimitives.ReadUInt16LittleEndian(b) : BinaryPrimitives.ReadUInt16BigEndian(b);

    private uint U32(ReadOnlySpan<byte> b) => _little ? BinaryPrimitives.ReadUInt32LittleEndian(b) : BinaryPrimitives.ReadUInt32BigEndian(b);

    private ulong U64(ReadOnlySpan<byte> b) => _little ? BinaryPrimitives.ReadUInt64LittleEndian(b) : BinaryPrimitives.ReadUInt64BigEndian(b);

    private readonly record struct Entry(int Type, int Size, long Count, long At);
}
