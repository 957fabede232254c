using System.Buffers;

namespace Keyline.Formats;

/// <summary>A stream of text that is refused as soon as one line, or word, of it is longer than any that is meant.</summary>
/// <remarks>Readers of text hold a line at once; without this a line of a gigabyte, or a device that never ends one, fills the memory.</remarks>
/// <param name="inner">The text; left open.</param>
/// <param name="name">Name for messages.</param>
/// <param name="what">What is too long: "line", "word".</param>
/// <param name="ends">Bytes that end it.</param>
internal sealed class LineGuard(Stream inner, string name, string what, SearchValues<byte> ends) : Stream
{
    /// <summary>Most bytes of a line.</summary>
    public const int Most = 1 << 20;

    private long _run;
    private long _line = 1;

    /// <summary>Bytes that end a line.</summary>
    public static SearchValues<byte> LineEnds { get; } = SearchValues.Create("\r\n"u8);

    /// <summary>Bytes that end a word of XML.</summary>
    public static SearchValues<byte> WordEnds { get; } = SearchValues.Create("\r\n\t <>"u8);

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => inner.Length;

    public override long Position
    {
        get => inner.Position;
        set => throw new NotSupportedException();
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override int Read(Span<byte> buffer)
    {
        int got = inner.Read(buffer);
        ReadOnlySpan<byte> left = buffer[..got];
        _line += left.Count((byte)'\n');
        for (int at = left.IndexOfAny(ends); at >= 0; at = left.IndexOfAny(ends))
        {
            Check(_run + at);
            _run = 0;
            left = left[(at + 1)..];
        }

        Check(_run += left.Length);
        return got;
    }

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    private void Check(long run)
    {
        if (run > Most)
        {
            throw new GroundDataException(FormattableString.Invariant($"{name}: near line {_line} a {what} is longer than {Most >> 20} MB, as in no file of its kind; give the right file, or export it again."));
        }
    }
}
