using System.Diagnostics;
using System.Globalization;

namespace Keyline.Benchmarks;

/// <summary>Takes the processor time of <c>keyline batch</c>, its processes and theirs included, where the system keeps count of children.</summary>
internal static class BatchTimes
{
    private const int Planned = 5;

    // Of Linux since long ago: sysconf(_SC_CLK_TCK).
    private const double TicksPerSecond = 100;

    /// <summary>Whether the processor time of children can be read here.</summary>
    public static bool CanMeasure => File.Exists("/proc/self/stat") && File.Exists(Program);

    /// <summary>The program, built beside this one.</summary>
    public static string Program { get; } = Path.GetFullPath(Path.Combine(
        AppContext.BaseDirectory, "../../../../../src/Keyline.Console/bin", Path.GetFileName(Path.GetDirectoryName(Path.GetDirectoryName(AppContext.BaseDirectory))!), "net10.0/Keyline.Console.dll"));

    /// <summary>Seconds of processor time for each of a few fields planned of a layer of some size, and for the tables of the whole layer.</summary>
    public static (double Field, double Tables) Of(int fields)
    {
        string folder = Directory.CreateTempSubdirectory("batch-times").FullName;
        try
        {
            MadeFields.Write(fields, folder);
            string[] asked = ["batch", "--fields", Path.Combine(folder, "fields.geojson"), "--dem", Path.Combine(folder, "dem.tif"), "--spacing", "3 m", "--out", Path.Combine(folder, "out"), "--quiet"];
            string few = string.Join(',', Enumerable.Range(1, Planned).Select(i => string.Create(CultureInfo.InvariantCulture, $"f{i * fields / (Planned + 1) / 100 * 100:D5}")).Distinct());
            double planned = Run([.. asked, "--only", few]);
            double gathered = Run([.. asked, "--gather"]);
            return (planned / few.Split(',').Length, gathered);
        }
        finally
        {
            Directory.Delete(folder, true);
        }
    }

    private static double Run(string[] arguments)
    {
        double before = OfChildren();
        using Process process = Process.Start(new ProcessStartInfo("dotnet", [Program, .. arguments]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        _ = process.StandardOutput.ReadToEndAsync();
        string said = process.StandardError.ReadToEnd();
        process.WaitForExit();

        // 3: some field has something to look at, or is not there yet.
        return process.ExitCode is 0 or 3 ? OfChildren() - before : throw new InvalidOperationException($"keyline batch ended with {process.ExitCode}: {said}");
    }

    // Fields 16 and 17 after the name in brackets: user and system time of children that were waited for, theirs included.
    private static double OfChildren()
    {
        string stat = File.ReadAllText("/proc/self/stat");
        string[] fields = stat[(stat.LastIndexOf(')') + 2)..].Split(' ');
        return (long.Parse(fields[13], CultureInfo.InvariantCulture) + long.Parse(fields[14], CultureInfo.InvariantCulture)) / TicksPerSecond;
    }
}
