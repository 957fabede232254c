using System.Security.Cryptography;

namespace Keyline.Formats;

/// <summary>Fingerprints of input files, so that a plan says exactly what it was made from.</summary>
public static class InputHash
{
    /// <summary>SHA-256 of a file's bytes, lower-case hexadecimal.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="GroundDataException">The file cannot be read.</exception>
    public static string OfFile(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            return Convert.ToHexStringLower(SHA256.HashData(stream));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            throw new GroundDataException($"{path}: the file cannot be read ({e.Message.TrimEnd('.')}).", e);
        }
    }
}
