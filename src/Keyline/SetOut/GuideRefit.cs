using Keyline.Elevation;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.SetOut;

/// <summary>A guide moved to where the levelled ground has the heights that were planned.</summary>
/// <param name="Line">The guide, projected metres; Z the heights of the corrected ground.</param>
/// <param name="GreatestMove">How far it was moved at most, metres.</param>
/// <param name="Remaining">How far the corrected ground under it still is from the planned heights, root mean square, metres.</param>
/// <param name="Held">Length along which no place within reach has the planned height, metres: there it was moved as its neighbourhood was.</param>
public sealed record RefittedGuide(LineString Line, double GreatestMove, double Remaining, double Held);

/// <summary>Fits a guide to heights that were levelled along it.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>The elevation data is taken to be wrong by what the level found, in between stakes by the straight line between them,
/// and equally so to both sides. Each place of the guide is then moved square to it, to the nearest place where the corrected
/// ground has the planned height; moves are smoothed along the guide.</para>
/// <para>Promises: without differences the guide stays; the result has points <see cref="Step"/> apart and can be pinned in a
/// new layout.</para>
/// <para>Cost: the length times the reach. Source: geometry; ours.</para>
/// </remarks>
public static class GuideRefit
{
    /// <summary>Distance between points of the guide, metres.</summary>
    public const double Step = 2.0;

    /// <summary>Farthest a guide is moved, metres.</summary>
    public const double Reach = 25.0;

    private const double Probe = 0.5;

    // Moves are smoothed over this many points, so that the guide stays as smooth as it was.
    private const double Smoothing = 4;

    /// <summary>Fits a guide.</summary>
    /// <param name="guide">The guide, projected metres.</param>
    /// <param name="stakes">Its stakes, held against the plan.</param>
    /// <param name="common">What all its stakes have in common, metres, as the check found.</param>
    /// <param name="ground">The elevation data.</param>
    /// <exception cref="GroundDataException">The guide has no length, or a coordinate that is no number; or there are fewer than two stakes on ground with heights.</exception>
    public static RefittedGuide Fit(LineString guide, IReadOnlyList<LevelledStake> stakes, double common, ElevationGrid ground)
    {
        ArgumentNullException.ThrowIfNull(guide);
        ArgumentNullException.ThrowIfNull(stakes);
        ArgumentNullException.ThrowIfNull(ground);
        LineRules.Check(guide, "The guide");
        LinePath path = new LinePath(Array.ConvertAll(guide.Coordinates, c => new XY(c.X, c.Y)), false).Resample(Step);
        double step = path.Length() / (path.Count - 1);
        double[] wrong = Along(path.Count, step, Wrong(path, step, stakes, common, ground));
        double[] planned = Planned(path, step, stakes, ground);
        double[] moves = new double[path.Count];
        for (int i = 0; i < moves.Length; i++)
        {
            moves[i] = Move(path, i, planned[i] - wrong[i], ground);
        }

        double held = step * moves.Count(double.IsNaN);
        XY[] moved = Moved(path, Smoothed(Filled(moves)));
        double[] heights = [.. moved.Select((p, i) => HeightAt(p, ground) + wrong[i])];
        double[] left = [.. heights.Select((h, i) => h - planned[i]).Where(double.IsFinite)];
        return new RefittedGuide(
            guide.Factory.CreateLineString([.. moved.Select((p, i) => new CoordinateZ(p.X, p.Y, heights[i]))]),
            moved.Select((p, i) => (p - path.Points[i]).Norm).Max(),
            left.Length > 0 ? Math.Sqrt(left.Sum(d => d * d) / left.Length) : double.NaN,
            held);
    }

    // By how much the elevation data is too low at each stake.
    private static (double Station, double Value)[] Wrong(LinePath path, double step, IReadOnlyList<LevelledStake> stakes, double common, ElevationGrid ground)
    {
        List<(double, double)> found = [];
        foreach (LevelledStake stake in stakes.OrderBy(s => s.Station))
        {
            XY at = PointAt(path, stake.Station / step) + (path.Tangent((int)Math.Clamp(Math.Round(stake.Station / step), 0, path.Count - 1)).Left * stake.MovedLeft);
            double data = HeightAt(at, ground);
            if (double.IsFinite(data))
            {
                found.Add((stake.Station, stake.Measured - common - data));
            }
        }

        return found.Count >= 2 ? [.. found] : throw new GroundDataException("A guide is fitted to two levelled stakes or more on ground with heights: level more of its stakes.");
    }

    // The heights to be found: those of the data under the guide, brought to what was planned at the stakes.
    private static double[] Planned(LinePath path, double step, IReadOnlyList<LevelledStake> stakes, ElevationGrid ground)
    {
        (double, double)[] more =
        [
            .. stakes.OrderBy(s => s.Station).Select(s => (s.Station, s.Planned - HeightAt(PointAt(path, s.Station / step), ground))).Where(m => double.IsFinite(m.Item2)),
        ];
        if (more.Length == 0)
        {
            throw new GroundDataException("The elevation has no height under any stake of the guide: give elevation that covers it.");
        }

        double[] brought = Along(path.Count, step, more);
        return [.. path.Points.Select((p, i) => HeightAt(p, ground) + brought[i])];
    }

    private static double HeightAt(XY at, ElevationGrid ground) => ground.HeightAt(at.X, at.Y);

    private static XY PointAt(LinePath path, double index)
    {
        int i = (int)Math.Clamp(index, 0, path.Count - 2);
        return path.Points[i] + ((path.Points[i + 1] - path.Points[i]) * Math.Clamp(index - i, 0, 1));
    }

    // Values between stations by straight lines, beyond the first and last as there.
    private static double[] Along(int count, double step, (double Station, double Value)[] known)
    {
        double[] all = new double[count];
        int next = 0;
        for (int i = 0; i < count; i++)
        {
            double s = i * step;
            while (next < known.Length && known[next].Station < s)
            {
                next++;
            }

            all[i] = next == 0 ? known[0].Value
                : next == known.Length ? known[^1].Value
                : known[next - 1].Value + ((known[next].Value - known[next - 1].Value) * (s - known[next - 1].Station) / Math.Max(known[next].Station - known[next - 1].Station, 1e-9));
        }

        return all;
    }

    // How far to the left the nearest place with a height lies; NaN where there is none within reach.
    private static double Move(LinePath path, int i, double height, ElevationGrid ground)
    {
        XY at = path.Points[i], left = path.Tangent(i).Left;
        double here = Above(0);
        double before = here, after = here;
        for (double d = Probe; d <= Reach && !double.IsNaN(here); d += Probe)
        {
            double forward = Above(d), back = Above(-d);
            if (!double.IsNaN(forward) && Math.Sign(forward) != Math.Sign(after))
            {
                return d - Probe + (Probe * after / (after - forward));
            }

            if (!double.IsNaN(back) && Math.Sign(back) != Math.Sign(before))
            {
                return -(d - Probe) - (Probe * before / (before - back));
            }

            (after, before) = (double.IsNaN(forward) ? after : forward, double.IsNaN(back) ? before : back);
        }

        return here == 0 ? 0 : double.NaN;

        double Above(double d) => HeightAt(at + (left * d), ground) - height;
    }

    private static double[] Filled(double[] moves)
    {
        (double, double)[] known = [.. moves.Select((m, i) => ((double)i, m)).Where(m => !double.IsNaN(m.m))];
        return known.Length == 0 ? new double[moves.Length] : Along(moves.Length, 1, known);
    }

    private static double[] Smoothed(double[] moves)
    {
        LinePath smooth = new LinePath([.. moves.Select((m, i) => new XY(i, m))], false).Smooth(Smoothing);
        return [.. smooth.Points.Select(p => p.Y)];
    }

    private static XY[] Moved(LinePath path, double[] moves) => [.. path.Points.Select((p, i) => p + (path.Tangent(i).Left * moves[i]))];
}
