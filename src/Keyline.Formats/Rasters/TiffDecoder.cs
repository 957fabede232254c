using BitMiracle.LibTiff.Classic;

namespace Keyline.Formats;

/// <summary>Decodes the blocks of a TIFF image through LibTiff.NET, and turns its complaints into ours.</summary>
/// <remarks>Not safe for several threads: a handle of LibTiff.NET serves one thread at a time.</remarks>
internal sealed class TiffDecoder : IDisposable
{
    private readonly Tiff _tiff;
    private readonly Source _source;

    private TiffDecoder(Tiff tiff, Source source)
    {
        _tiff = tiff;
        _source = source;
    }

    /// <summary>Opens a file whose directories were checked already.</summary>
    /// <exception cref="InvalidDataException">LibTiff.NET will not open it.</exception>
    public static TiffDecoder Open(Stream stream, int directory)
    {
        QuietHandler.Install();
        Source source = new(stream);
        stream.Position = 0;

        // "c": leave single strips whole, so that block numbers are the file's own.
        Tiff? tiff = Guard(source, () => Tiff.ClientOpen("elevation", "rc", source, new SourceStream()));
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

    private static T Guard<T>(Source source, Func<T> action)
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

    private sealed class Source(Stream stream)
    {
        public Stream Stream { get; } = stream;

        public string? Complaint { get; set; }
    }

    private sealed class SourceStream : TiffStream
    {
        public override int Read(object clientData, byte[] buffer, int offset, int count) => ((Source)clientData).Stream.Read(buffer, offset, count);

        public override void Write(object clientData, byte[] buffer, int offset, int count) => throw new NotSupportedException();

        public override long Seek(object clientData, long offset, SeekOrigin origin) =>
            origin == SeekOrigin.Begin && offset < 0 ? -1 : ((Source)clientData).Stream.Seek(offset, origin);

        public override void Close(object clientData)
        {
        }

        public override long Size(object clientData) => ((Source)clientData).Stream.Length;
    }

    /// <summary>Keeps LibTiff.NET off the console for our own files; other users of it in the process keep their handler.</summary>
    private sealed class QuietHandler : TiffErrorHandler
    {
        private static readonly Lock Gate = new();
        private static QuietHandler? _installed;
        private TiffErrorHandler? _before;

        public static void Install()
        {
            lock (Gate)
            {
                if (_installed is null)
                {
                    _installed = new QuietHandler();
                    _installed._before = Tiff.SetErrorHandler(_installed);
                }
            }
        }

        public override void ErrorHandler(Tiff tif, string method, string format, params object[] args)
        {
            if (tif?.Clientdata() is Source source)
            {
                source.Complaint ??= Say(format, args);
            }
            else if (tif is not null)
            {
                _before?.ErrorHandler(tif, method, format, args);
            }
        }

        public override void ErrorHandlerExt(Tiff tif, object clientData, string method, string format, params object[] args)
        {
            if (clientData is not Source && tif is not null)
            {
                _before?.ErrorHandlerExt(tif, clientData, method, format, args);
            }
        }

        public override void WarningHandler(Tiff tif, string method, string format, params object[] args)
        {
            if (tif is not null && tif.Clientdata() is not Source)
            {
                _before?.WarningHandler(tif, method, format, args);
            }
        }

        public override void WarningHandlerExt(Tiff tif, object clientData, string method, string format, params object[] args)
        {
            if (clientData is not Source && tif is not null)
            {
                _before?.WarningHandlerExt(tif, clientData, method, format, args);
            }
        }

        private static string Say(string format, object[] args)
        {
            try
            {
                return string.Format(System.Globalization.CultureInfo.InvariantCulture, format, args).TrimEnd('.');
            }
            catch (FormatException)
            {
                return format;
            }
        }
    }
}
