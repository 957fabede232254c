namespace Keyline.Layout.Parallels;

/// <summary>A strip of ground between two levels, filled with parallels of one guide.</summary>
/// <param name="Guide">Index of the guide's level.</param>
/// <param name="Low">Index of the lower bounding level.</param>
/// <param name="High">Index of the upper bounding level.</param>
/// <param name="MaximumOffset">Greatest distance in the band from the guide, metres.</param>
internal sealed record GuideBand(int Guide, int Low, int High, double MaximumOffset)
{
    public GuideSide Side => Guide == Low ? GuideSide.Upslope : GuideSide.Downslope;
}

/// <summary>The choice of guides and of the side to work from each, as a shortest path through candidate levels.</summary>
/// <remarks>
/// <para>A band from level i to level j can be filled upward from guide i or downward from guide j; where an upward band
/// meets a downward one there is no guide at the seam, and where a downward band meets an upward one they share a guide.</para>
/// <para>Promises: the cheapest chain of bands from the lowest to the highest level in which every level that must is a guide; ties go to the fewer, lower levels.</para>
/// <para>Cost: levels squared. Source: ours; shortest path on an ordered set by dynamic programming, Bellman 1957.</para>
/// </remarks>
internal static class GuideChain
{
    /// <summary>Finds the cheapest chain.</summary>
    /// <param name="cost">For each guide the cost of each bin of ground between a level and the next.</param>
    /// <param name="ends">For each guide the cost of its lines' ends at each level.</param>
    /// <param name="guide">Price of each level as a guide.</param>
    /// <param name="must">Levels that must be guides.</param>
    /// <returns>Steps from the lowest level up: the guide, and the bounding levels.</returns>
    public static IReadOnlyList<(int Guide, int Low, int High)> Shortest(double[][] cost, double[][] ends, double[] guide, bool[] must)
    {
        int n = cost.Length;

        // State 2 j: the chain ends at level j, no guide there yet. State 2 j + 1: level j is a guide already paid for.
        double[] best = new double[2 * n];
        int[] from = new int[2 * n];
        Array.Fill(best, double.PositiveInfinity);
        Array.Fill(from, -1);
        best[0] = 0;
        double[][] sums = [.. cost.Select(Sums)];
        for (int i = 0; i < n; i++)
        {
            for (int guided = 0; guided < 2; guided++)
            {
                double here = best[(2 * i) + guided];
                if (double.IsInfinity(here))
                {
                    continue;
                }

                // A band stops at the next level that must be a guide; from such a level, not a guide yet, the next band is its own.
                double up = here + (guided == 1 ? 0 : guide[i]);
                bool owed = must[i] && guided == 0;
                for (int j = i + 1; j < n; j++)
                {
                    Relax(up + Between(sums[i], i, j) + ends[i][j], 2 * j, (2 * i) + guided);
                    if (!owed)
                    {
                        Relax(here + guide[j] + ends[j][i] + Between(sums[j], i, j), (2 * j) + 1, (2 * i) + guided);
                    }

                    if (must[j])
                    {
                        break;
                    }
                }
            }
        }

        int state = best[2 * (n - 1)] <= best[(2 * (n - 1)) + 1] ? 2 * (n - 1) : (2 * (n - 1)) + 1;
        List<(int, int, int)> steps = [];
        while (from[state] >= 0)
        {
            int low = from[state] / 2;
            int high = state / 2;
            steps.Add((state % 2 == 1 ? high : low, low, high));
            state = from[state];
        }

        steps.Reverse();
        return steps;

        void Relax(double value, int to, int origin)
        {
            if (value < best[to])
            {
                best[to] = value;
                from[to] = origin;
            }
        }
    }

    private static double[] Sums(double[] cost)
    {
        double[] sums = new double[cost.Length + 1];
        for (int b = 0; b < cost.Length; b++)
        {
            sums[b + 1] = sums[b] + cost[b];
        }

        return sums;
    }

    // A level without lines costs infinitely much in every bin, and infinity less infinity is nothing.
    private static double Between(double[] sums, int low, int high) =>
        double.IsPositiveInfinity(sums[high]) ? double.PositiveInfinity : sums[high] - sums[low];
}
