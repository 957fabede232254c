using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>Finds the breaks of slope in a valley's floor: where a steep floor meets a flatter one below it.</summary>
/// <remarks>
/// <para>Units: metres; slopes in percent. Missing: places without height are left out of the profile.</para>
/// <para>Promises: a break only where the floor is steeper above than below by the ratio asked for and two slopes fit plainly
/// better than one; the one at which the floor hangs deepest first. On a valley of one slope with noise, at most one in twenty gets one.</para>
/// <para>Cost: O(n) for n profile points and 400 times that for each break's interval.</para>
/// <para>Source: the definition is K. B. Yeomans's (the floor's change of slope, not its inflection), after P. A. Yeomans, The
/// Keyline Plan, 1954, ch. 1. F statistic of two-phase regression, Hinkley 1969; points counted by the length over which
/// their errors are independent, because smoothed ground repeats itself from point to point. Further breaks by splitting the
/// profile at those found and looking again (binary segmentation, Scott and Knott 1974).</para>
/// </remarks>
internal static class KeypointFinder
{
    /// <summary>Heights along a floor closer than this repeat each other, metres. Ours, no source.</summary>
    private const double IndependentLength = 10;

    /// <summary>F below which there is no keypoint. With an unknown break about one single-slope valley in twenty exceeds 6.</summary>
    private const double WeakStatistic = 7;

    // Twice the statistic that is weak, and a floor twice as steep above as below, are clear: ours, no source.
    private const double ClearStatistic = 15;
    private const double ClearRatio = 2;

    /// <summary>The floor must hang below the straight way between the ends of its stretch by this much, metres. Ours, no source.</summary>
    private const double LeastSag = 0.3;

    /// <summary>A clear break's place is known within this, metres, or this share of its floor.</summary>
    private const double ClearPlace = 20;
    private const double ClearShare = 0.1;

    /// <summary>Heights are never known better than this, metres; it keeps a perfect fit's statistic finite.</summary>
    private const double LeastError = 0.002;

    private const double LargestStatistic = 1e6;
    private const double FlattestSlope = 1e-4;
    private const double ShortestFloor = 40;
    private const int MostSplits = 3;

    /// <summary>The breaks of a valley, the one with the deepest sag first; none where there is none.</summary>
    /// <param name="valley">The valley.</param>
    /// <param name="profile">Its long profile, as far down as it is the valley's own; null gives none.</param>
    /// <param name="groundCell">Side of a cell of the ground, metres; no place is known better.</param>
    /// <param name="workingCell">Side of a working cell, metres.</param>
    /// <param name="options">What counts.</param>
    public static List<Keypoint> Find(ValleyLine valley, ValleyProfile? profile, double groundCell, double workingCell, LandformOptions options)
    {
        List<Keypoint> found = [];
        if (profile is not null)
        {
            Search(valley, profile, BelowConvexHead(profile), profile.Distances.Length - 1, MostSplits, (groundCell, workingCell), options, found);
        }

        found.Sort((a, b) => a.Sag.CompareTo(b.Sag) is int order and not 0 ? -order : a.DistanceFromHead.CompareTo(b.DistanceFromHead));
        return [.. found.Select((k, i) => k with { Rank = i + 1 })];
    }

    /// <summary>Slopes above and below a place, percent, and how much better they fit than one slope; NaN where the place is
    /// too near an end of the floor.</summary>
    public static (double SlopeAbove, double SlopeBelow, double FStatistic, double Sag, double FittedHeight) EvidenceAt(ValleyProfile? profile, double at)
    {
        double[] s = profile?.Distances ?? [];
        int last = s.Length - 1;
        if (profile is null || at < s[0] + (3 * profile.Step) || at > s[last] - (3 * profile.Step)
            || TwoSlopeFit.Best(s, profile.Sampled, 0, last, at - s[0] - (profile.Step / 2), s[last] - at - (profile.Step / 2)) is not { } fit)
        {
            return (double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);
        }

        double length = s[last] - s[0];
        (double statistic, double _) = Statistic(s, profile.Sampled, 0, last, fit, IndependentLength);
        return (-100 * fit.SlopeBefore, -100 * fit.SlopeAfter, statistic, (fit.SlopeAfter - fit.SlopeBefore) * (at - s[0]) * (s[last] - at) / length, fit.HeightAtKnot);
    }

    private static (double Statistic, double TwoSlopeSquares) Statistic(double[] s, double[] z, int from, int to, TwoSlopes fit, double independentLength)
    {
        double floor = LeastError * LeastError * (to - from + 1);
        double independent = Math.Max(5, (s[to] - s[from]) / independentLength);
        double two = fit.Squares + floor, one = TwoSlopeFit.One(s, z, from, to).Squares + floor;
        return (Math.Min(LargestStatistic, (one - two) / 2 / (two / (independent - 4))), two);
    }

    private static void Search(
        ValleyLine valley, ValleyProfile profile, int from, int to, int splits, (double Ground, double Working) cell, LandformOptions options, List<Keypoint> found)
    {
        double[] s = profile.Distances, z = profile.Sampled;
        double length = s[to] - s[from], shortest = Math.Max(20, 2 * cell.Working);
        if (to - from < 7 || length < ShortestFloor)
        {
            return;
        }

        double shortestAbove = Math.Max(shortest, 0.1 * length), shortestBelow = Math.Max(shortest, 0.15 * length);
        if (TwoSlopeFit.Best(s, z, from, to, shortestAbove, shortestBelow) is not { } fit)
        {
            return;
        }

        (double statistic, double two) = Statistic(s, z, from, to, fit, Math.Max(IndependentLength, cell.Working));
        if (!(statistic >= WeakStatistic))
        {
            return;
        }

        double above = -fit.SlopeBefore, below = Math.Max(-fit.SlopeAfter, FlattestSlope), reach = fit.Knot - s[from];
        double sag = (above - below) * reach * (length - reach) / length;
        double parabola = TwoSlopeFit.Parabola(s, z, from, to) + (LeastError * LeastError * (to - from + 1));

        // A stretch that bends evenly all along has one break at most, the first: every part of it bends evenly too.
        if (above >= options.MinimumSlopeRatio * below && sag >= LeastSag && (splits == MostSplits || two < parabola))
        {
            (double first, double last) = PlaceInterval.Of(s, z, from, to, fit, shortestAbove, shortestBelow);
            (first, last) = (Math.Min(first, fit.Knot - cell.Ground), Math.Max(last, fit.Knot + cell.Ground));
            double concavity = s[GreatestConcavity(profile, from, to)];
            bool clear = statistic >= ClearStatistic && above >= ClearRatio * below
                && two < parabola && last - first <= 2 * Math.Max(ClearPlace, ClearShare * length);
            found.Add(new Keypoint
            {
                ValleyNumber = valley.Number,
                Location = new Point(At(valley.Line.Coordinates, fit.Knot)),
                Class = clear ? KeypointClass.Clear : KeypointClass.Weak,
                DistanceFromHead = fit.Knot,
                SlopeAbove = 100 * above,
                SlopeBelow = 100 * below,
                FStatistic = statistic,
                Sag = sag,
                FittedHeight = fit.HeightAtKnot,
                PlaceFrom = first,
                PlaceTo = last,
                ConcavityDistance = concavity,
                InflectionDistance = Inflection(profile, fit.Knot),
            });
        }

        if (splits > 0)
        {
            int at = Math.Clamp((int)Math.Round((fit.Knot - s[0]) / profile.Step), from, to);
            Search(valley, profile, from, at, splits - 1, cell, options, found);
            Search(valley, profile, at, to, splits - 1, cell, options, found);
        }
    }

    /// <summary>First point to fit: below the convex brow, where the floor of the head is still steepening.</summary>
    private static int BelowConvexHead(ValleyProfile profile)
    {
        double[] z = profile.Smoothed;
        int third = z.Length / 3;
        int steepest = 0;
        double fall = double.NegativeInfinity;
        for (int i = 0; i < third; i++)
        {
            double here = z[i] - z[i + 1];
            if (here > fall)
            {
                fall = here;
                steepest = i;
            }
        }

        return steepest > 0 && fall > 1.3 * (z[0] - z[steepest]) / steepest ? steepest : 0;
    }

    private static int GreatestConcavity(ValleyProfile profile, int from, int to)
    {
        int margin = (to - from) / 20;
        int best = from + margin;
        for (int i = from + margin; i <= to - margin; i++)
        {
            best = profile.Bend[i] > profile.Bend[best] ? i : best;
        }

        return best;
    }

    /// <summary>The last change from convex to concave above a place.</summary>
    private static double Inflection(ValleyProfile profile, double above)
    {
        double[] bend = profile.Bend;
        for (int i = Math.Min(bend.Length - 1, (int)((above - profile.Distances[0]) / profile.Step)); i > 0; i--)
        {
            if (bend[i - 1] < 0 && bend[i] >= 0)
            {
                double t = bend[i - 1] / (bend[i - 1] - bend[i]);
                return profile.Distances[i - 1] + (t * profile.Step);
            }
        }

        return double.NaN;
    }

    /// <summary>The point of a line at a distance from its start.</summary>
    private static CoordinateZ At(Coordinate[] line, double distance)
    {
        double walked = 0;
        for (int i = 1; i < line.Length; i++)
        {
            double step = line[i].Distance(line[i - 1]);
            if (walked + step >= distance && step > 0)
            {
                double t = (distance - walked) / step;
                return new CoordinateZ(
                    line[i - 1].X + (t * (line[i].X - line[i - 1].X)),
                    line[i - 1].Y + (t * (line[i].Y - line[i - 1].Y)),
                    line[i - 1].Z + (t * (line[i].Z - line[i - 1].Z)));
            }

            walked += step;
        }

        return new CoordinateZ(line[^1].X, line[^1].Y, line[^1].Z);
    }
}
