using Keyline.Elevation;

namespace Keyline.SetOut;

/// <summary>A stake as it was levelled.</summary>
/// <param name="Name">The stake's name.</param>
/// <param name="LineId">Id of the line it belongs to.</param>
/// <param name="Station">Distance along the line, metres.</param>
/// <param name="Planned">The height that was to be found, metres.</param>
/// <param name="Measured">The height that was found, metres.</param>
/// <param name="MovedLeft">How far the stake was moved to the left of the line, looking along it, metres; below 0 to the right.</param>
public sealed record LevelledStake(string Name, string LineId, double Station, double Planned, double Measured, double MovedLeft = 0);

/// <summary>A levelled stake held against the plan.</summary>
/// <param name="Stake">The stake.</param>
/// <param name="Difference">How much higher than planned the ground is, once what all stakes of the line have in common is taken off, metres.</param>
/// <param name="GradeToNext">Fall to the next levelled stake as measured, percent; NaN at a line's last.</param>
/// <param name="PlannedGradeToNext">The same as planned.</param>
/// <param name="IsWithin">Whether the difference is within the tolerance.</param>
/// <param name="IsReversed">Whether water would run the other way to the next stake than planned.</param>
public sealed record CheckedStake(LevelledStake Stake, double Difference, double GradeToNext, double PlannedGradeToNext, bool IsWithin, bool IsReversed);

/// <summary>What all levelled stakes of one line have in common.</summary>
/// <param name="Id">Id of the line.</param>
/// <param name="Common">The median of measured less planned heights, metres, as between a benchmark's datum and that of the elevation data.</param>
public sealed record LevelledLine(string Id, double Common);

/// <summary>Levelled stakes held against the plan.</summary>
/// <param name="Stakes">The stakes, by line and along each.</param>
/// <param name="Lines">The lines, in the order of their stakes.</param>
/// <param name="RootMeanSquare">Root mean square of the differences, metres.</param>
/// <param name="Tolerance">The tolerance, metres.</param>
public sealed record LevelCheckResult(IReadOnlyList<CheckedStake> Stakes, IReadOnlyList<LevelledLine> Lines, double RootMeanSquare, double Tolerance)
{
    /// <summary>Whether every stake is within the tolerance and no fall is reversed.</summary>
    public bool Holds => Stakes.All(s => s.IsWithin && !s.IsReversed);
}

/// <summary>Holds levelled stakes against the heights that were planned.</summary>
/// <remarks>
/// <para>Units: metres, percent; falls are positive toward the next stake.</para>
/// <para>Promises: a difference that all stakes of a line have in common is told and taken off, since its fall does not depend on
/// it. A fall counts as reversed where both it and the planned one are steeper than <see cref="LevelFall"/>.</para>
/// <para>Cost: n log n. Source: differential levelling, common practice, no source.</para>
/// </remarks>
public static class LevelCheck
{
    /// <summary>Tolerance when none is given, metres: about the vertical error of good airborne elevation data; common practice, no source.</summary>
    public const double DefaultTolerance = 0.1;

    /// <summary>Falls gentler than this count as level, percent.</summary>
    public const double LevelFall = 0.1;

    /// <summary>Holds stakes against the plan.</summary>
    /// <param name="stakes">The stakes.</param>
    /// <param name="tolerance">Greatest difference allowed, metres, above 0.</param>
    /// <exception cref="GroundDataException">There is no stake.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The tolerance is not above 0.</exception>
    public static LevelCheckResult Run(IReadOnlyList<LevelledStake> stakes, double tolerance = DefaultTolerance)
    {
        ArgumentNullException.ThrowIfNull(stakes);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(tolerance);
        if (stakes.Count == 0)
        {
            throw new GroundDataException("There is no levelled stake to hold against the plan.");
        }

        List<CheckedStake> found = [];
        List<LevelledLine> lines = [];
        foreach (IGrouping<string, LevelledStake> line in stakes.GroupBy(s => s.LineId))
        {
            LevelledStake[] along = [.. line.OrderBy(s => s.Station)];
            double[] sorted = [.. along.Select(s => s.Measured - s.Planned).Order()];
            double common = (sorted[sorted.Length / 2] + sorted[(sorted.Length - 1) / 2]) / 2;
            lines.Add(new LevelledLine(line.Key, common));
            for (int i = 0; i < along.Length; i++)
            {
                LevelledStake s = along[i];
                double way = i + 1 < along.Length ? along[i + 1].Station - s.Station : double.NaN;
                double measured = way > 0 ? 100 * (s.Measured - along[i + 1].Measured) / way : double.NaN, planned = way > 0 ? 100 * (s.Planned - along[i + 1].Planned) / way : double.NaN;
                double difference = s.Measured - s.Planned - common;
                bool reversed = Math.Abs(measured) > LevelFall && Math.Abs(planned) > LevelFall && measured * planned < 0;
                found.Add(new CheckedStake(s, difference, measured, planned, Math.Abs(difference) <= tolerance, reversed));
            }
        }

        return new LevelCheckResult(found, lines, Math.Sqrt(found.Sum(f => f.Difference * f.Difference) / found.Count), tolerance);
    }
}
