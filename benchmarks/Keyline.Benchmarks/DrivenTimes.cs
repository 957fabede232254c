using System.Diagnostics;
using Keyline.Driven;
using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Benchmarks;

/// <summary>Times the holding of a driven track against planned lines, at three sizes.</summary>
internal static class DrivenTimes
{
    private const double Spacing = 3.048;
    private const double Step = 1.5;

    public static int Print(int lines, int points, int rounds)
    {
        foreach (int count in new[] { lines / 4, lines / 2, lines })
        {
            PlannedPath[] planned = [.. Enumerable.Range(0, count).Select(k => new PlannedPath(FormattableString.Invariant($"R{k + 1:000}"), k + 1, Line(k, points, _ => 0)))];
            LineString track = GeometryFactory.Default.CreateLineString([.. Enumerable.Range(0, count).SelectMany(k =>
            {
                Coordinate[] way = Line(k, points, i => 0.1 * Math.Sin(i / 9.0)).Coordinates;
                return k % 2 == 0 ? way : Enumerable.Reverse(way);
            })]);
            DrivenOptions options = new() { Spacing = Spacing };
            double[] seconds = new double[rounds];
            DrivenResult? result = null;
            for (int r = 0; r < rounds; r++)
            {
                Stopwatch clock = Stopwatch.StartNew();
                result = DrivenComparison.Compare(planned, [track], options);
                seconds[r] = clock.Elapsed.TotalSeconds;
            }

            Array.Sort(seconds);
            double kilometres = track.Length / 1000;
            Console.WriteLine(FormattableString.Invariant(
                $"{count,6} lines, {kilometres,7:0} km driven: {seconds[rounds / 2],6:0.00} s, {1000 * seconds[rounds / 2] / kilometres,5:0.00} ms a km; {result!.Figures.LinesWhole} lines whole; peak of the process so far {Process.GetCurrentProcess().PeakWorkingSet64 / 1e6:0} MB"));
        }

        return 0;
    }

    private static LineString Line(int number, int points, Func<int, double> aside) => GeometryFactory.Default.CreateLineString([.. Enumerable.Range(0, points).Select(i =>
        new CoordinateZ(500_000 + (Step * i), 4_000_000 + (Spacing * number) + (4 * Math.Sin(i / 40.0)) + aside(i), 300 + (0.01 * i)))]);
}
