using System.Security.Cryptography;

namespace Keyline.Formats;

/// <summary>Reads elevation from a GeoTIFF, an ESRI ASCII grid, or a list of x, y, z on a regular grid.</summary>
/// <remarks>
/// <para>Units: whatever the file holds comes out in metres, on square cells of a projected system.</para>
/// <para>Missing: nodata, masked and infinite heights are NaN.</para>
/// <para>Promises: the kind of file is told from its content, not its name. The size a header claims is checked against the
/// file and against <see cref="ElevationReadOptions.MaximumCells"/> before memory is taken. What cannot be read as heights
/// on known ground is refused with one sentence naming the file and the remedy; what had to be assumed or changed is in
/// <see cref="ElevationSource.Notes"/>.</para>
/// <para>Cost: proportional to the file; about 30 ms for a million cells.</para>
/// <para>Source: TIFF 6.0, BigTIFF, OGC GeoTIFF 1.1, the ESRI ASCII grid format; blocks are decoded by LibTiff.NET.</para>
/// </remarks>
public static class ElevationReader
{
    private const int HeadLength = 512;

    /// <summary>Reads a file, and the .prj or world file beside it where it needs one.</summary>
    /// <param name="path">The file.</param>
    /// <param name="options">What to take for granted; null for nothing.</param>
    /// <param name="cancellation">Stops the reading.</param>
    /// <exception cref="GroundDataException">The file is absent or cannot be used; the message is for whoever supplied it.</exception>
    public static ElevationSource Read(string path, ElevationReadOptions? options = null, CancellationToken cancellation = default)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        string name = Path.GetFileName(path);
        FileStream stream;
        try
        {
            stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw new GroundDataException(
                e is FileNotFoundException or DirectoryNotFoundException
                    ? $"{path}: there is no such elevation file; check the path."
                    : $"{path}: the elevation file cannot be opened ({e.Message.TrimEnd('.')}).", e);
        }

        using (stream)
        {
            return Read(stream, name, new Sidecars(path), options, cancellation);
        }
    }

    /// <summary>Reads a stream, which has no files beside it.</summary>
    /// <param name="stream">A stream that can seek; read from its beginning and left open.</param>
    /// <param name="name">Name for messages.</param>
    /// <param name="options">What to take for granted; null for nothing.</param>
    /// <param name="cancellation">Stops the reading.</param>
    /// <exception cref="GroundDataException">The content cannot be used.</exception>
    /// <exception cref="ArgumentException">The stream cannot seek.</exception>
    public static ElevationSource Read(Stream stream, string name, ElevationReadOptions? options = null, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(name);
        if (!stream.CanSeek)
        {
            throw new ArgumentException("The stream must be able to seek.", nameof(stream));
        }

        return Read(stream, name, Sidecars.None, options, cancellation);
    }

    private static ElevationSource Read(Stream stream, string name, Sidecars beside, ElevationReadOptions? options, CancellationToken cancellation)
    {
        options ??= new ElevationReadOptions();
        options.Validate();
        try
        {
            string sha256 = Hash(stream, cancellation);
            byte[] head = new byte[(int)Math.Min(stream.Length, HeadLength)];
            stream.Position = 0;
            stream.ReadExactly(head);
            RawGround raw;
            if (TiffDirectory.IsTiff(head))
            {
                raw = GeoTiffReader.Read(stream, name, beside, options, cancellation);
            }
            else if (AsciiGridReader.IsAsciiGrid(head))
            {
                raw = AsciiGridReader.Read(ReadAll(stream), name, beside, options, cancellation);
            }
            else if (XyzGridReader.IsXyz(head))
            {
                raw = XyzGridReader.Read(ReadAll(stream), name, beside, options, cancellation);
            }
            else
            {
                throw new InvalidDataException(head.Length == 0 ? "it is empty; fetch the file again" : "it is neither a GeoTIFF nor an ESRI ASCII grid, nor a list of x, y, z; export the elevation as one of these");
            }

            return GroundAssembler.Finish(raw, name, sha256, options, cancellation);
        }
        catch (Exception e) when (e is InvalidDataException or EndOfStreamException or OverflowException)
        {
            throw new GroundDataException(e is InvalidDataException ? $"{name}: {e.Message}." : $"{name}: its header is damaged; fetch the file again.", e);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new GroundDataException($"{name}: the elevation file cannot be read ({e.Message.TrimEnd('.')}).", e);
        }
    }

    private static string Hash(Stream stream, CancellationToken cancellation)
    {
        using IncrementalHash hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        byte[] buffer = new byte[1 << 20];
        stream.Position = 0;
        for (int got = stream.Read(buffer); got > 0; got = stream.Read(buffer))
        {
            cancellation.ThrowIfCancellationRequested();
            hash.AppendData(buffer, 0, got);
        }

        return Convert.ToHexStringLower(hash.GetHashAndReset());
    }

    private static byte[] ReadAll(Stream stream)
    {
        byte[] all = stream.Length <= Array.MaxLength ? new byte[stream.Length] : throw new InvalidDataException("it is larger than is read at once; cut it to the farm");
        stream.Position = 0;
        stream.ReadExactly(all);
        return all;
    }
}
