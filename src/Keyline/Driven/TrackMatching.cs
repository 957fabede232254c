using Keyline.Guidance;

namespace Keyline.Driven;

/// <summary>Decides which planned line a track is on, metre by metre.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Of all ways to assign lines to the samples in order, the cheapest is taken: a metre off every line costs 1, a metre
/// on a line the square of its distance over half the reach (at most 1), and coming onto a line or leaving it has a price of some metres, a
/// small one where the line begins or ends. So a short swerve toward a neighbour stays an error of the line, and a long one
/// becomes a pass along the neighbour.</para>
/// <para>Cost: linear in samples times lines within reach. Source: dynamic programming over a chain (Viterbi 1967, IEEE
/// Transactions on Information Theory 13, 260-269), used as for matching positions to roads (Newson and Krumm 2009, ACM GIS).</para>
/// </remarks>
internal static class TrackMatching
{
    // Metres off every line that coming onto a line or leaving it is worth: in its midst, and at its ends.
    private const double InMidst = 4;
    private const double AtEnd = 1;
    private const double EndReach = 5;

    // With a reach of one spacing, half way to the neighbour a place is as dear as none.
    private const double HalfWay = 0.5;

    // Places of a line that follow each other lie this close along it, beside the way driven.
    private const double Skid = 3;

    /// <summary>The place of each sample; null where it is on no line.</summary>
    /// <param name="candidates">The places each sample may be at, by line.</param>
    /// <param name="lengths">Length of each line, metres.</param>
    /// <param name="reach">Distance within which places are candidates, metres.</param>
    public static PlannedPlace?[] Cheapest(IReadOnlyList<IReadOnlyList<PlannedPlace>> candidates, IReadOnlyList<double> lengths, double reach)
    {
        int n = candidates.Count;

        // The state before each: an index among the candidates of the sample before, or -1 for none.
        int[][] came = new int[n][];
        double[] cost = [];
        double off = 0;
        for (int i = 0; i < n; i++)
        {
            IReadOnlyList<PlannedPlace> here = candidates[i];
            IReadOnlyList<PlannedPlace> before = i > 0 ? candidates[i - 1] : [];
            int cheapest = -1;
            double left = double.PositiveInfinity;
            for (int b = 0; b < before.Count; b++)
            {
                if (cost[b] + Leaving(before[b]) is double leaves && leaves < left)
                {
                    (left, cheapest) = (leaves, b);
                }
            }

            double[] next = new double[here.Count];
            came[i] = new int[here.Count + 1];
            for (int c = 0; c < here.Count; c++)
            {
                // The first sample may begin anywhere.
                double coming = i > 0 ? Coming(here[c]) : 0;
                (double least, int from) = left < off ? (left + coming, cheapest) : (off + coming, -1);
                for (int b = 0; b < before.Count; b++)
                {
                    if (Follows(before[b], here[c]) && cost[b] < least)
                    {
                        (least, from) = (cost[b], b);
                    }
                }

                double share = here[c].Right / (HalfWay * reach);
                next[c] = least + (Math.Min(1, share * share) * TrackSamples.Step);
                came[i][c] = from;
            }

            came[i][^1] = left < off ? cheapest : -1;
            off = Math.Min(left, off) + TrackSamples.Step;
            cost = next;
        }

        PlannedPlace?[] chosen = new PlannedPlace?[n];
        int state = cost.Length > 0 && cost.Min() < off ? Array.IndexOf(cost, cost.Min()) : -1;
        for (int i = n - 1; i >= 0; i--)
        {
            chosen[i] = state >= 0 ? candidates[i][state] : null;
            state = came[i][state >= 0 ? state : candidates[i].Count];
        }

        return chosen;

        double Coming(PlannedPlace p) => (p.Sense > 0 ? p.Station : lengths[p.Line] - p.Station) < EndReach ? AtEnd : InMidst;

        double Leaving(PlannedPlace p) => (p.Sense < 0 ? p.Station : lengths[p.Line] - p.Station) < EndReach ? AtEnd : InMidst;
    }

    private static bool Follows(PlannedPlace before, PlannedPlace here) =>
        before.Line == here.Line && before.Sense == here.Sense && Math.Abs(here.Station - before.Station - (here.Sense * TrackSamples.Step)) <= Skid;
}
