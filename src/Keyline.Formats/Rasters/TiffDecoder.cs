using BitMiracle.LibTiff.Classic;

namespace Keyline.Formats;

/// <summary>Decodes the blocks of a TIFF image through LibTiff.NET, and turns its complaints into ours.</summary>
/// <remarks>Not safe for several threads: a handle of LibTiff.NET serves one thread at a time.</remarks>
internal sealed class TiffDecoder : IDisposable
{
    private readonly Tiff _tiff;
    private readonly TiffSource _source;

    private TiffDecoder(Tiff tiff, TiffSource source)
    {
        _tiff = tiff;
        _source = source;
    }

    /// <summary>Opens a file whose directories were checked already.</summary>
    /// <exception cref="InvalidDataException">LibTiff.NET will not open it.</exception>
    public static TiffDecoder Open(Stream stream, int directory)
    {
        QuietTiff.Install();
        TiffSource source = new(stream);
        stream.Position = 0;

        // "c": leave single strips whole, so that block numbers are the file's own.
        Tiff? tiff = Guard(source, () => Tiff.ClientOpen("elevation", "rc", source, new TiffSourceStream()));
        if (tiff is null || (directory > 0 && !Guard(source, () => tiff.SetDirectory(checked((short)directory)))))
        {
            tiff?.Dispose();
            throw new InvalidDataException($"it cannot be decoded ({source.Complaint ?? "no reason given"})");
        }

        return new TiffDecoder(tiff, source);
    }

    /// <summary>Decodes one block.</summary>
    /// <param name="tiled">Whether blocks are tiles or strips.</param>
    /// <param name="block">Number of the block.</param>
    /// <param name="target">Where its bytes go, in this machine's byte order.</param>
    /// <param name="length">Bytes the block must have.</param>
    /// <exception cref="InvalidDataException">The block is damaged.</exception>
    public void Read(bool tiled, int block, byte[] target, int length)
    {
        _source.Complaint = null;
        int got = Guard(_source, () => tiled ? _tiff.ReadEncodedTile(block, target, 0, length) : _tiff.ReadEncodedStrip(block, target, 0, length));
        if (got < length || _source.Complaint is not null)
        {
            throw new InvalidDataException(FormattableString.Invariant(
                $"its {(tiled ? "tile" : "strip")} {block} is damaged ({_source.Complaint ?? "it ends too soon"}); fetch the file again"));
        }
    }

    public void Dispose() => _tiff.Dispose();

    private static T Guard<T>(TiffSource source, Func<T> action)
    {
        try
        {
            return action();
        }
        catch (Exception e) when (e is not (OutOfMemoryException or OperationCanceledException or InvalidDataException))
        {
            // Damaged data makes the decoder fail in many ways; all mean the same to the reader of the file.
            throw new InvalidDataException($"it cannot be decoded ({source.Complaint ?? e.Message.TrimEnd('.')})", e);
        }
    }
}
