using System.Diagnostics;
using Keyline.Formats;
using Keyline.Guidance;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Implementation;

namespace Keyline.Benchmarks;

/// <summary>Times the writing of lines for guidance, form by form.</summary>
internal static class GuidanceTimes
{
    public static int Print(int lines, int points, string folder)
    {
        GuidanceSet set = new([.. Enumerable.Range(0, lines).Select(i => Line(i, points))], 3, "Benchmark");
        GroundCrs crs = GroundCrs.FromEpsg(32610);
        Console.WriteLine($"{lines} lines of {points} points, {Environment.ProcessorCount} cores");
        foreach (GuidanceFormat format in Enum.GetValues<GuidanceFormat>())
        {
            string target = Directory.CreateDirectory(Path.Combine(folder, "keyline-guidance-times")).FullName;
            try
            {
                Stopwatch clock = Stopwatch.StartNew();
                GuidanceFiles.Write(target, format, set, crs);
                double seconds = clock.Elapsed.TotalSeconds;
                long bytes = Directory.GetFiles(target, "*", SearchOption.AllDirectories).Sum(f => new FileInfo(f).Length);
                Console.WriteLine(FormattableString.Invariant($"{format,-13} {seconds,6:0.0} s {bytes / 1e6,7:0} MB; peak of the process so far {Process.GetCurrentProcess().PeakWorkingSet64 / 1e6:0} MB"));
            }
            finally
            {
                Directory.Delete(target, recursive: true);
            }
        }

        return 0;
    }

    private static GuidanceLine Line(int number, int points)
    {
        double[] at = new double[3 * points];
        for (int i = 0; i < points; i++)
        {
            (at[3 * i], at[(3 * i) + 1], at[(3 * i) + 2]) = (500_000 + (1.7 * i), 4_000_000 + (3.048 * (number % 5000)) + (4 * Math.Sin(i / 20.0)), 300 + (0.01 * i));
        }

        string name = FormattableString.Invariant($"R{number + 1:000}");
        return new GuidanceLine { Name = name, SourceId = name, Sequence = number + 1, Path = GeometryFactory.Default.CreateLineString(new PackedDoubleCoordinateSequence(at, 3, 0)) };
    }
}
