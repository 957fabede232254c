using System.Globalization;
using Keyline.Elevation;

namespace Keyline.Benchmarks;

/// <summary>Fails when a stage takes more than linear time: a cell of a large grid may cost at most twice one of a small grid.
/// Says nothing about how fast a stage is.</summary>
internal static class GrowthCheck
{
    private const int Small = 500;
    private const int Large = 2000;
    private const int Rounds = 7;

    // What fits a core's cache and what does not differ by more than the work itself in stages that hardly compute, so a floor
    // is added to both: the time a cell of a copy takes from memory, generously.
    private const double Floor = 2;
    private const double MostGrowth = 2;

    public static int Run()
    {
        int failed = 0;
        foreach (string kind in new[] { "valleys", "basins" })
        {
            IReadOnlyList<Stage> small = StageTimes.Of(Make(Small, kind));
            IReadOnlyList<Stage> large = StageTimes.Of(Make(Large, kind));
            double[][] few = StageTimes.Measure(small, (double)Small * Small, Rounds);
            double[][] many = StageTimes.Measure(large, (double)Large * Large, Rounds);
            for (int s = 0; s < small.Count; s++)
            {
                // The least of several runs is what the machine can do; the rest is what else it did.
                double growth = (many[s][0] + Floor) / (few[s][0] + Floor);
                bool holds = growth <= MostGrowth;
                failed += holds ? 0 : 1;
                Console.WriteLine(string.Create(
                    CultureInfo.InvariantCulture,
                    $"{(holds ? "ok    " : "FAILED")} {kind,-8} {small[s].Name,-32} {few[s][0],8:F2} -> {many[s][0],8:F2} ns a cell, x {growth:F2}"));
            }
        }

        return failed == 0 ? 0 : 1;
    }

    private static ElevationGrid Make(int side, string kind) => kind == "basins" ? MadeGround.Basins(side) : MadeGround.Valleys(side);
}
