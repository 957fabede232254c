using System.Globalization;

namespace Keyline.Console.Cli;

/// <summary>Whether the program was started with its standard streams.</summary>
/// <remarks>The number of a stream that was closed at the start is given to whatever is opened next, by now a pipe or file inside the
/// runtime, which must not be written into. It is known by what it is: read only, of no name, or a pipe whose other end is here too.</remarks>
internal static class StandardStreams
{
    private const string Of = "/proc/self/fd";

    /// <summary>Whether a stream goes anywhere. Elsewhere than on Linux it counts as open.</summary>
    /// <param name="number">1 for standard output, 2 for standard error.</param>
    public static bool IsOpen(int number)
    {
        if (!OperatingSystem.IsLinux() || !Directory.Exists(Of))
        {
            return true;
        }

        try
        {
            string name = number.ToString(CultureInfo.InvariantCulture);
            return Target(name) is { } target
                && !target.StartsWith("anon_inode:", StringComparison.Ordinal)
                && !IsReadOnly(name)
                && !(target.StartsWith("pipe:", StringComparison.Ordinal) && Directory.EnumerateFileSystemEntries(Of)
                    .Select(e => Path.GetFileName(e)!)
                    .Any(other => other != name && Target(other) == target && IsReadOnly(other)));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return true;
        }
    }

    private static string? Target(string name)
    {
        try
        {
            return new FileInfo(Path.Combine(Of, name)).LinkTarget;
        }
        catch (IOException)
        {
            return null;
        }
    }

    // The flags are octal, and their last two bits the way it is open: 0 for reading.
    private static bool IsReadOnly(string name)
    {
        try
        {
            string flags = File.ReadLines("/proc/self/fdinfo/" + name).First(l => l.StartsWith("flags:", StringComparison.Ordinal));
            return (Convert.ToInt32(flags[6..].Trim(), 8) & 3) == 0;
        }
        catch (IOException)
        {
            return false;
        }
    }
}
