namespace Keyline.Formats;

/// <summary>Reads a file that a person named: what goes wrong on the way is one sentence.</summary>
internal static class NamedFile
{
    /// <summary>Opens a file and reads it.</summary>
    /// <param name="path">The file.</param>
    /// <param name="read">Reads its stream, which can seek; given the file's name for messages.</param>
    /// <exception cref="GroundDataException">It is absent or cannot be read.</exception>
    public static T Read<T>(string path, Func<Stream, string, T> read)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16);
            return read(stream, Path.GetFileName(path));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw new GroundDataException(e is FileNotFoundException or DirectoryNotFoundException ? $"{path}: there is no such file; check the path." : $"{path}: it cannot be read ({e.Message.TrimEnd('.')}).", e);
        }
    }
}
