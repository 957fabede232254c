using System.Buffers.Text;
using System.Text;

namespace Keyline.Formats;

/// <summary>The words of a text parted by blanks, read a piece at a time so that the text may be larger than memory.</summary>
internal sealed class AsciiNumbers
{
    // No number is written longer; a longer word ends the reading.
    private const int LongestWord = 4096;
    private const int BufferBytes = 1 << 16;
    private readonly Stream _stream;
    private readonly string _name;
    private readonly byte[] _buffer = new byte[BufferBytes];
    private long _bufferStart;
    private int _at;
    private int _length;
    private bool _afterReturn;

    /// <summary>Begins reading.</summary>
    /// <param name="stream">A stream that can seek.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="start">Where to begin, bytes.</param>
    /// <param name="line">Line that is on, from 1.</param>
    public AsciiNumbers(Stream stream, string name, long start, int line)
    {
        (_stream, _name, _bufferStart, Line) = (stream, name, start, line);
        stream.Position = start;
        if (start == 0 && Fill() && _buffer.AsSpan(0, _length).StartsWith(Encoding.UTF8.Preamble))
        {
            _at = Encoding.UTF8.Preamble.Length;
        }
    }

    /// <summary>Line of the last word, from 1.</summary>
    public int Line { get; private set; }

    /// <summary>Bytes of the text passed over so far.</summary>
    public long Position => _bufferStart + _at;

    /// <summary>The next word without passing over it; empty at the end. Good until the next call.</summary>
    public ReadOnlySpan<byte> Peek()
    {
        while (true)
        {
            while (_at < _length && _buffer[_at] <= ' ')
            {
                byte blank = _buffer[_at++];
                Line += blank == '\r' || (blank == '\n' && !_afterReturn) ? 1 : 0;
                _afterReturn = blank == '\r';
            }

            if (_at < _length)
            {
                break;
            }

            if (!Fill())
            {
                return [];
            }
        }

        int end = _at;
        while (true)
        {
            while (end < _length && _buffer[end] > ' ')
            {
                end++;
            }

            if (end < _length)
            {
                break;
            }

            end -= _at;
            if (end >= LongestWord)
            {
                throw Bad(FormattableString.Invariant($"line {Line} holds a word of more than {LongestWord} letters where a number should stand"));
            }

            bool more = Fill();
            end += _at;
            if (!more)
            {
                break;
            }
        }

        return _buffer.AsSpan(_at, end - _at);
    }

    /// <summary>The next word; empty at the end. Good until the next call.</summary>
    public ReadOnlySpan<byte> Next()
    {
        ReadOnlySpan<byte> word = Peek();
        _at += word.Length;
        _afterReturn &= word.IsEmpty;
        return word;
    }

    /// <summary>The number a word stands for.</summary>
    /// <exception cref="GroundDataException">It stands for none.</exception>
    public double Value(ReadOnlySpan<byte> word)
    {
        ReadOnlySpan<byte> plain = word.Length > 1 && word[0] == '+' ? word[1..] : word;
        if (Utf8Parser.TryParse(plain, out double value, out int used) && used == plain.Length)
        {
            return value;
        }

        if (IsNan(word))
        {
            return double.NaN;
        }

        string text = Encoding.Latin1.GetString(word[..Math.Min(word.Length, 30)]);
        throw Bad(word.Contains((byte)',')
            ? FormattableString.Invariant($"line {Line} holds \"{text}\"; write numbers with a decimal point, not a comma")
            : FormattableString.Invariant($"line {Line} holds \"{text}\" where a number should stand"));
    }

    /// <summary>Whether a word means that there is no number.</summary>
    public static bool IsNan(ReadOnlySpan<byte> word) =>
        word.Length is >= 2 and <= 9 && Encoding.Latin1.GetString(word).TrimStart('-', '+').ToUpperInvariant() is "NAN" or "1.#QNAN" or "1.#IND" or "NA";

    /// <summary>The error for whoever supplied the text.</summary>
    public GroundDataException Bad(string what) => new($"{_name}: {what}.");

    // Moves what is left to the front and reads on behind it; false at the end of the text.
    private bool Fill()
    {
        int left = _length - _at;
        _buffer.AsSpan(_at, left).CopyTo(_buffer);
        _bufferStart += _at;
        (_at, _length) = (0, left);
        int got = _stream.Read(_buffer, left, _buffer.Length - left);
        _length += got;
        return got > 0;
    }
}
