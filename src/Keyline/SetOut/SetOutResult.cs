using NetTopologySuite.Geometries;

namespace Keyline.SetOut;

/// <summary>Why a stake stands where it does.</summary>
[Flags]
public enum StakeReasons
{
    /// <summary>For nothing.</summary>
    None = 0,

    /// <summary>The line begins.</summary>
    Start = 1,

    /// <summary>The distance between stakes is full.</summary>
    Interval = 2,

    /// <summary>The grade changes.</summary>
    Grade = 4,

    /// <summary>The line bends.</summary>
    Bend = 8,

    /// <summary>The line ends.</summary>
    End = 16,
}

/// <summary>One stake of a line.</summary>
/// <param name="Name">Name on the stake: the line's id and its number ("G16-04").</param>
/// <param name="Station">Distance along the line from its start, metres.</param>
/// <param name="Place">Where, projected metres; Z the height to be found there, or NaN.</param>
/// <param name="Reasons">Why it stands there.</param>
/// <param name="GradeToNext">Fall to the next stake in percent, positive where the ground falls; NaN at the last and where heights are missing.</param>
/// <param name="SetUp">From which set-up of the level it is read, from 1.</param>
/// <param name="KeepClearOf">Name of the avoided area whose setback it stands in, where nothing is driven into the ground; else empty.</param>
public sealed record Stake(string Name, double Station, Coordinate Place, StakeReasons Reasons, double GradeToNext, int SetUp, string KeepClearOf = "");

/// <summary>One standing of the level, and the stakes read from it.</summary>
/// <param name="Number">From 1 along the line.</param>
/// <param name="Mark">Name of what the rod is read on first: the benchmark, or the stake that the set-up before ended with.</param>
/// <param name="MarkHeight">Its height, metres.</param>
/// <param name="Plane">Height of the laser's plane, metres; NaN where it is known only once the mark has been read.</param>
public sealed record LevelSetUp(int Number, string Mark, double MarkHeight, double Plane)
{
    /// <summary>The reading to be found on a stake, metres; NaN where the plane is not yet known or the height is missing.</summary>
    /// <param name="stake">The stake.</param>
    public double ReadingOn(Stake stake)
    {
        ArgumentNullException.ThrowIfNull(stake);
        return Plane - stake.Place.Z;
    }

    /// <summary>How much more the rod reads on a stake than on the mark, metres; NaN where a height is missing.</summary>
    /// <param name="stake">The stake.</param>
    public double MoreThanOnMark(Stake stake)
    {
        ArgumentNullException.ThrowIfNull(stake);
        return MarkHeight - stake.Place.Z;
    }
}

/// <summary>A line with its stakes and the standings of the level.</summary>
/// <param name="Id">Id of the line.</param>
/// <param name="Line">The line, projected metres.</param>
/// <param name="Stakes">The stakes, from the line's start.</param>
/// <param name="SetUps">The set-ups, in order.</param>
/// <param name="Stations">Stations at which the profile was taken, metres.</param>
/// <param name="Heights">Heights there, metres, or NaN.</param>
public sealed record StakedLine(string Id, LineString Line, IReadOnlyList<Stake> Stakes, IReadOnlyList<LevelSetUp> SetUps, IReadOnlyList<double> Stations, IReadOnlyList<double> Heights)
{
    /// <summary>The set-up a stake is read from.</summary>
    /// <param name="stake">The stake.</param>
    public LevelSetUp SetUpOf(Stake stake)
    {
        ArgumentNullException.ThrowIfNull(stake);
        return SetUps[stake.SetUp - 1];
    }
}
