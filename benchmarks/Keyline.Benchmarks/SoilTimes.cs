using System.Diagnostics;
using System.Globalization;
using Keyline.Elevation;
using Keyline.Fieldwork;

namespace Keyline.Benchmarks;

/// <summary>Times the way from points to a map.</summary>
internal static class SoilTimes
{
    public static int Print(int count, int side, int rounds)
    {
        SoilPoint[] points = Points(count);
        GridFrame frame = new(side, side, 1000.0 / side, 0, 1000);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{count} points onto {side} x {side} cells, seconds"));
        for (int round = 0; round < rounds; round++)
        {
            long start = Stopwatch.GetTimestamp();
            IReadOnlyList<VariogramLag> lags = SampleVariogram.Of(points);
            double variogram = Seconds(ref start);
            VariogramModel model = VariogramFit.All(lags, [VariogramKind.Exponential])[0].Model;
            double fit = Seconds(ref start);
            PointKriging kriging = PointKriging.Of(points, model);
            kriging.Map(frame);
            double map = Seconds(ref start);
            KrigingCheck.Of(points, model);
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"variogram {variogram:0.00}, fit {fit:0.00}, map with {kriging.Options.Neighbours} neighbours {map:0.00}, leaving out {Seconds(ref start):0.00}"));
        }

        return 0;
    }

    private static double Seconds(ref long start)
    {
        double seconds = Stopwatch.GetElapsedTime(start).TotalSeconds;
        start = Stopwatch.GetTimestamp();
        return seconds;
    }

    private static SoilPoint[] Points(int count)
    {
        Random random = new(1);
        return [.. Enumerable.Range(0, count).Select(_ =>
        {
            (double x, double y) = (1000 * random.NextDouble(), 1000 * random.NextDouble());
            return new SoilPoint(x, y, Math.Sin(x / 70) + Math.Cos(y / 50) + (0.3 * random.NextDouble()));
        })];
    }
}
