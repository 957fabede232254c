using System.Globalization;
using Keyline.Elevation;
using Keyline.Layout;

namespace Keyline.Benchmarks;

/// <summary>Times the reading of a landform stage by stage, from heights in memory to keylines.</summary>
internal static class LandformTimes
{
    private const double Spacing = 3.048;

    public static int Print(int largest, int rounds, int cell)
    {
        int[] sides = [largest / 4, largest / 2, largest];
        foreach (int side in sides)
        {
            ElevationGrid ground = MadeGround.Valleys(side, holes: false, cell);
            List<(string Stage, double Seconds)[]> runs = [];
            string found = "";
            for (int round = 0; round <= rounds; round++)
            {
                StageClock clock = new();
                Landform.LandformReading landform = GroundReading.Of(ground, Spacing, null, clock).Landform;
                (string, double)[] stages = clock.End();
                if (round > 0)
                {
                    runs.Add(stages);
                }

                found = string.Create(CultureInfo.InvariantCulture, $"{landform.Valleys.Count} valleys, {landform.Ridges.Count} ridges, {landform.Keypoints.Count} keypoints");
            }

            double total = Median([.. runs.Select(r => r.Sum(s => s.Seconds))]);
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{side} x {side} cells of {cell} m: {total:F2} s, {total * 1e9 / side / side:F0} ns a cell, {found}; medians of {rounds}"));
            for (int i = 0; i < runs[0].Length; i++)
            {
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {runs[0][i].Stage,-22} {Median([.. runs.Select(r => r[i].Seconds)]),6:F3} s"));
            }
        }

        return 0;
    }

    public static double Median(double[] values)
    {
        Array.Sort(values);
        return values[values.Length / 2];
    }
}
