using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>Finds the keypoint of a valley: where its steep upper floor meets the flatter lower floor.</summary>
/// <remarks>
/// <para>Units: metres; slopes in percent. Missing: places without height are left out of the profile.</para>
/// <para>Promises: at most one keypoint a valley, and only where the floor is steeper above than below by the ratio asked for
/// and two slopes fit plainly better than one. On a valley of one slope with noise, at most one in twenty gets one.</para>
/// <para>Cost: O(n^2) for at most 240 profile points.</para>
/// <para>Source: the definition is K. B. Yeomans's (the floor's change of slope, not its inflection), after P. A. Yeomans, The
/// Keyline Plan, 1954, ch. 1. F statistic of two-phase regression, Hinkley 1969; points counted by the length over which
/// their errors are independent, because smoothed ground repeats itself from point to point.</para>
/// </remarks>
internal static class KeypointFinder
{
    /// <summary>Heights along a floor closer than this repeat each other, metres.</summary>
    private const double IndependentLength = 10;

    /// <summary>F below which there is no keypoint. With an unknown break about one single-slope valley in twenty exceeds 6.</summary>
    private const double WeakStatistic = 7;

    private const double ClearStatistic = 15;
    private const double ClearRatio = 2;

    /// <summary>The floor must leave the one best straight slope by this much somewhere, metres.</summary>
    private const double LeastDeparture = 0.15;

    /// <summary>Increase of F that marks the ends of the interval for the place: the 5 % point of F with 1 and many degrees.</summary>
    private const double IntervalStatistic = 3.84;

    private const double LargestStatistic = 1e6;
    private const double FlattestSlope = 1e-4;

    /// <summary>The keypoint of a valley, or null.</summary>
    /// <param name="valley">The valley.</param>
    /// <param name="cellSize">Side of a working cell, metres.</param>
    /// <param name="upTo">Distance from the head up to which the floor belongs to the upper valley, metres.</param>
    /// <param name="options">What counts.</param>
    public static Keypoint? Find(ValleyLine valley, double cellSize, double upTo, LandformOptions options)
    {
        Coordinate[] line = valley.Line.Coordinates;
        ValleyProfile? profile = ValleyProfile.Sample(line, cellSize, upTo);
        if (profile is null)
        {
            return null;
        }

        double[] s = profile.Distance;
        int last = s.Length - 1;
        int from = BelowConvexHead(profile);
        double length = s[last] - s[from];
        double shortest = Math.Max(20, 2 * cellSize);
        TwoSlopeFit? fit = TwoSlopeFit.Fit(s, profile.Height, from, last, Math.Max(shortest, 0.1 * length), Math.Max(shortest, 0.15 * length));
        if (fit is null)
        {
            return null;
        }

        double independent = Math.Max(5, length / Math.Max(IndependentLength, cellSize));
        double spread = fit.TwoSlopeSquares / (independent - 4);
        double statistic = Math.Min(LargestStatistic, (fit.OneSlopeSquares - fit.TwoSlopeSquares) / 2 / spread);
        double above = -fit.SlopeBefore;
        double below = Math.Max(-fit.SlopeAfter, FlattestSlope);
        double reach = s[fit.Break] - s[from];
        double departure = (above - below) * reach * (length - reach) / length / 2;
        if (!(statistic >= WeakStatistic) || !(above >= options.MinimumSlopeRatio * below) || !(departure >= LeastDeparture))
        {
            return null;
        }

        double tolerance = Tolerance(s, fit, spread);
        bool clear = statistic >= ClearStatistic && above >= ClearRatio * below
            && fit.TwoSlopeSquares < fit.ParabolaSquares && tolerance <= Math.Max(25, 0.12 * length);
        return new Keypoint
        {
            ValleyNumber = valley.Number,
            Location = new Point(At(line, s[fit.Break])),
            Class = clear ? KeypointClass.Clear : KeypointClass.Weak,
            DistanceFromHead = s[fit.Break],
            SlopeAbove = 100 * above,
            SlopeBelow = 100 * below,
            FStatistic = statistic,
            PositionTolerance = tolerance,
            ConcavityDistance = s[GreatestConcavity(profile, from, last)],
            InflectionDistance = Inflection(profile, fit.Break),
        };
    }

    /// <summary>First point to fit: below the convex brow, where the floor of the head is still steepening.</summary>
    private static int BelowConvexHead(ValleyProfile profile)
    {
        double[] z = profile.Curve;
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

    private static double Tolerance(double[] s, TwoSlopeFit fit, double spread)
    {
        double limit = fit.TwoSlopeSquares + (IntervalStatistic * spread);
        int first = fit.Break;
        int last = fit.Break;
        for (int i = 0; i < s.Length; i++)
        {
            if (fit.Squares[i] <= limit)
            {
                first = Math.Min(first, i);
                last = Math.Max(last, i);
            }
        }

        double step = s[1] - s[0];
        return Math.Max(step / 2, Math.Max(s[fit.Break] - s[first], s[last] - s[fit.Break]));
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
    private static double Inflection(ValleyProfile profile, int above)
    {
        double[] bend = profile.Bend;
        for (int i = above; i > 0; i--)
        {
            if (bend[i - 1] < 0 && bend[i] >= 0)
            {
                double t = bend[i - 1] / (bend[i - 1] - bend[i]);
                return profile.Distance[i - 1] + (t * profile.Step);
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
