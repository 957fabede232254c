using Keyline.Field;
using Keyline.Planar;

namespace Keyline.Fieldwork;

/// <summary>Finds the quickest way between two lines that a machine can drive in a field.</summary>
/// <remarks>
/// <para>Units: metres, seconds. Shanks leave the one line at its end and enter the other at its start; the axle is that much ahead of them.</para>
/// <para>Promises: a way that fits keeps the whole outline on free ground (<see cref="DrivableGround"/>, <see cref="SweptOutline"/>) and turns no tighter
/// than the machine does; a trailed implement is never reversed and comes straight into the row. Where nothing fits, the shortest
/// way forward is given with the first place that is in its way.</para>
/// <para>Candidates: the six forward words; where the implement is mounted, the words with one stretch backward, backing up before a
/// forward turn, and backing into the row after one; then a way round over free ground. Cost: up to some fifty ways, most of them refused early;
/// those that could be no quicker than one that fits are not looked for.</para>
/// <para>Source: <see cref="ForwardTurns"/>, <see cref="ReversingTurns"/>; backing up along a row is common practice, no source.</para>
/// </remarks>
public sealed class RowChanges
{
    /// <summary>Time to change between forward and backward, seconds. Common practice, no source.</summary>
    public const double ShiftTime = 3.0;

    private static readonly double[] Backing = [3, 6, 10, 15, 22, 30];

    private readonly Machine _machine;
    private readonly SweptOutline _outline;
    private readonly LinkWays _links;
    private readonly double _radius;
    private readonly double _runIn;

    /// <summary>Gets ready to find ways.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="ground">Where it may drive.</param>
    public RowChanges(Machine machine, DrivableGround ground)
    {
        ArgumentNullException.ThrowIfNull(machine);
        ArgumentNullException.ThrowIfNull(ground);
        machine.Validate();
        (_machine, Ground) = (machine, ground);
        _outline = new SweptOutline(machine);
        _links = new LinkWays(machine, ground);
        _radius = machine.Implement.RadiusLifted;
        _runIn = machine.Implement.Hitch == HitchKind.Trailed ? 1.5 * machine.Implement.HitchToShank : 0;
    }

    /// <summary>Where it may drive.</summary>
    public DrivableGround Ground { get; }

    /// <summary>Least radius of a turn, metres.</summary>
    internal double Radius => _radius;

    /// <summary>The quickest way that fits, or the shortest forward one with what is in its way.</summary>
    /// <param name="exit">End of the line that is left, facing along travel.</param>
    /// <param name="entry">Start of the line that is entered, facing along travel.</param>
    /// <param name="withLinks">Whether to look for a way round where no turn fits.</param>
    public RowChange Between(Pose exit, Pose entry, bool withLinks = true)
    {
        Pose from = exit.Ahead(_machine.AxleToShank), to = entry.Ahead(_machine.AxleToShank);
        IReadOnlyList<TurnPath> forward = Forward(from, to);
        (double Seconds, TurnPath? Way) best = (double.PositiveInfinity, null);
        Try(forward, ref best);
        if (_machine.Implement.Hitch == HitchKind.Mounted && Math.Min(Apart(from, to) / _machine.ReversingSpeed, LeastSeconds(from, to) + ShiftTime) < best.Seconds)
        {
            Try(ReversingTurns.Between(from, to, _radius).Where(IsOneReverse).Take(8), ref best);
            foreach (double back in Backing)
            {
                // Backed up straight, the tractor has that much less or more to go.
                double least = (back / _machine.ReversingSpeed) + ShiftTime;
                TurnPath first = new(from, [new TurnPiece(-back, 0)]);
                if (least + (Apart(first.End, to) / _machine.TurningSpeed) < best.Seconds)
                {
                    Try(ForwardTurns.Between(first.End, to, _radius).Take(2).Select(w => first.Then(w)), ref best);
                }

                TurnPath last = new(to.Ahead(back), [new TurnPiece(-back, 0)]);
                if (least + (Apart(from, last.Start) / _machine.TurningSpeed) < best.Seconds)
                {
                    Try(ForwardTurns.Between(from, last.Start, _radius).Take(2).Select(w => w.Then(last)), ref best);
                }
            }
        }

        if (best.Way is { } found)
        {
            return new RowChange(found, found.IsForward ? RowChangeKind.Forward : RowChangeKind.Reversing, best.Seconds, null);
        }

        if (withLinks && Round(from, to) is { } round)
        {
            return new RowChange(round, RowChangeKind.Link, Seconds(round), null);
        }

        return new RowChange(forward[0], RowChangeKind.Forward, Seconds(forward[0]), _outline.FirstTaken(forward[0], Ground));
    }

    /// <summary>Driving time of a way, seconds.</summary>
    /// <param name="way">The way.</param>
    public double Seconds(TurnPath way)
    {
        ArgumentNullException.ThrowIfNull(way);
        return ((way.Length - way.ReverseLength) / _machine.TurningSpeed) + (way.ReverseLength / _machine.ReversingSpeed) + (way.Changes * ShiftTime);
    }

    /// <summary>Driving time that no way between two poses is below, seconds.</summary>
    internal double LeastSeconds(Pose from, Pose to) => Apart(from, to) / Math.Max(_machine.TurningSpeed, _machine.ReversingSpeed);

    /// <summary>The same between the shanks' places: where a line is left and where another is entered.</summary>
    internal double LeastBetween(Pose exit, Pose entry) => LeastSeconds(exit.Ahead(_machine.AxleToShank), entry.Ahead(_machine.AxleToShank));

    private static double Apart(Pose a, Pose b) => Math.Sqrt(((a.X - b.X) * (a.X - b.X)) + ((a.Y - b.Y) * (a.Y - b.Y)));

    // Of ways that are as quick the one before stands.
    private void Try(IEnumerable<TurnPath> ways, ref (double Seconds, TurnPath? Way) best)
    {
        foreach ((double seconds, TurnPath way) in ways.Select(w => (Seconds: Seconds(w), w)).OrderBy(w => w.Seconds))
        {
            if (!(seconds < best.Seconds))
            {
                return;
            }

            if (_outline.Keeps(way, Ground))
            {
                best = (seconds, way);
                return;
            }
        }
    }

    // A way round what lies between; a mounted implement may back off first to get its nose past.
    private TurnPath? Round(Pose from, Pose to)
    {
        double straight = _runIn > 0 ? _machine.AxleToShank + _runIn : 0;
        foreach (double back in _runIn > 0 || _machine.Implement.Hitch == HitchKind.Trailed ? [0.0] : new[] { 0, 8, 16.0, 30 })
        {
            TurnPath first = new(from, [new TurnPiece(-back, 0)]);
            if (_links.Find(first.End, to.Ahead(-straight)) is { } round)
            {
                TurnPath whole = first.Then(round).Then(new TurnPath(round.End, [new TurnPiece(straight, 0)]));
                if (_outline.Keeps(whole, Ground))
                {
                    return whole;
                }
            }
        }

        return null;
    }

    private IReadOnlyList<TurnPath> Forward(Pose from, Pose to)
    {
        if (_runIn <= 0)
        {
            return ForwardTurns.Between(from, to, _radius);
        }

        double straight = _machine.AxleToShank + _runIn;
        Pose before = to.Ahead(-straight);
        return [.. ForwardTurns.Between(from, before, _radius).Select(w => w.Then(new TurnPath(before, [new TurnPiece(straight, 0)])))];
    }

    internal static bool IsOneReverse(TurnPath way)
    {
        int stretches = 0;
        bool back = false;
        foreach (TurnPiece piece in way.Pieces)
        {
            stretches += piece.Length < 0 && !back ? 1 : 0;
            back = piece.Length < 0;
        }

        return stretches == 1;
    }
}
