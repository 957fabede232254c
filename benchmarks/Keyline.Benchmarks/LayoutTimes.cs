using System.Diagnostics;
using System.Globalization;
using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Benchmarks;

/// <summary>Times a whole plan stage by stage, from heights in memory to checked lines, on square fields of growing area.</summary>
internal static class LayoutTimes
{
    private const double Spacing = 3.048;
    private const int Surroundings = 300;

    public static int Print(int largest, int rounds)
    {
        foreach (int side in (int[])[largest / 8, largest / 4, largest / 2, largest])
        {
            ElevationGrid ground = MadeGround.Valleys(side + (2 * Surroundings), holes: false);
            FieldArea field = new(new GeometryFactory().ToGeometry(new Envelope(Surroundings, Surroundings + side, Surroundings, Surroundings + side)));
            List<(string Stage, double Seconds)[]> runs = [];
            string found = "";
            for (int round = 0; round <= rounds; round++)
            {
                StageClock clock = new();
                KeylinePlan plan = KeylinePlanner.Design(ground, field, new LayoutOptions { Spacing = Spacing }, progress: clock);
                (string, double)[] stages = clock.End();
                if (round > 0 || rounds == 0)
                {
                    runs.Add(stages);
                }

                LayoutFigures f = plan.Layout.Figures;
                found = string.Create(CultureInfo.InvariantCulture, $"{f.LineCount} lines, {f.TotalLength / 1000:F0} km, grade {f.WithinGradeShare:P1}, drift {f.ToRidgeShare:P1}");
            }

            double total = LandformTimes.Median([.. runs.Select(r => r.Sum(s => s.Seconds))]);
            double hectares = side * (double)side / 1e4;
            using Process self = Process.GetCurrentProcess();
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{hectares:F1} ha, cells of 1 m: {total:F2} s, {1000 * total / hectares:F0} ms/ha, {found}; peak {self.PeakWorkingSet64 / 1e6:F0} MB; medians of {runs.Count}"));
            for (int i = 0; i < runs[0].Length; i++)
            {
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {runs[0][i].Stage,-22} {LandformTimes.Median([.. runs.Select(r => r[i].Seconds)]),6:F3} s"));
            }
        }

        return 0;
    }
}
