using BitMiracle.LibTiff.Classic;

namespace Keyline.Formats;

/// <summary>A stream of ours in the hands of LibTiff.NET, and what it had to say of it.</summary>
internal sealed class TiffSource(Stream stream)
{
    public Stream Stream { get; } = stream;

    public string? Complaint { get; set; }
}

/// <summary>Lets LibTiff.NET read and write a stream of ours, and leave it open.</summary>
internal sealed class TiffSourceStream : TiffStream
{
    public override int Read(object clientData, byte[] buffer, int offset, int count) => ((TiffSource)clientData).Stream is { CanRead: true } stream ? stream.Read(buffer, offset, count) : 0;

    public override void Write(object clientData, byte[] buffer, int offset, int count) => ((TiffSource)clientData).Stream.Write(buffer, offset, count);

    public override long Seek(object clientData, long offset, SeekOrigin origin) =>
        origin == SeekOrigin.Begin && offset < 0 ? -1 : ((TiffSource)clientData).Stream.Seek(offset, origin);

    public override void Close(object clientData)
    {
    }

    public override long Size(object clientData) => ((TiffSource)clientData).Stream.Length;
}

/// <summary>Keeps LibTiff.NET off the console for our own files; other users of it in the process keep their handler.</summary>
internal sealed class QuietTiff : TiffErrorHandler
{
    private static readonly Lock Gate = new();
    private static QuietTiff? _installed;
    private TiffErrorHandler? _before;

    public static void Install()
    {
        lock (Gate)
        {
            if (_installed is null)
            {
                _installed = new QuietTiff();
                _installed._before = Tiff.SetErrorHandler(_installed);
            }
        }
    }

    public override void ErrorHandler(Tiff tif, string method, string format, params object[] args)
    {
        if (tif?.Clientdata() is TiffSource source)
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
        if (clientData is not TiffSource && tif is not null)
        {
            _before?.ErrorHandlerExt(tif, clientData, method, format, args);
        }
    }

    public override void WarningHandler(Tiff tif, string method, string format, params object[] args)
    {
        if (tif is not null && tif.Clientdata() is not TiffSource)
        {
            _before?.WarningHandler(tif, method, format, args);
        }
    }

    public override void WarningHandlerExt(Tiff tif, object clientData, string method, string format, params object[] args)
    {
        if (clientData is not TiffSource && tif is not null)
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
