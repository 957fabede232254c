namespace Keyline.Formats;

/// <summary>Whether a file that is read whole fits the memory that there is, or that the program was given.</summary>
internal static class MemoryLimit
{
    /// <summary>Refuses a file before its memory is asked for.</summary>
    /// <param name="bytes">Its size.</param>
    /// <param name="times">How many times that it takes in memory.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="GroundDataException">It does not fit.</exception>
    public static void Check(long bytes, double times, string name)
    {
        long most = GC.GetGCMemoryInfo().TotalAvailableMemoryBytes;
        if (bytes * times > most)
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"{name}: its {bytes / 1e6:0} MB take about {bytes * times / 1e6:0} MB to read, and {most / 1e6:0} MB may be used; divide it, or cut it to the farm."));
        }
    }
}
