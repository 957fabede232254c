using Keyline.Field;
using Keyline.Planar;

namespace Keyline.Fieldwork;

/// <summary>The outline that a tractor with its lifted implement sweeps along a way.</summary>
/// <remarks>
/// <para>Units: metres, radians. The way is that of the rear axle's middle. A mounted implement swings with the tractor; a trailed one
/// follows its hitch: its heading turns by sin(difference) / length for each metre driven forward, and it is not driven backward.</para>
/// <para>Promises: the outline is sampled every <see cref="Step"/> along the way and no coarser along the edges, so that nothing of half a
/// metre or more is missed. Cost: some sixty points a pose.</para>
/// <para>Source: rigid bodies; the tractrix of a trailer whose hitch lies on or behind the axle, computed here.</para>
/// </remarks>
public sealed class SweptOutline
{
    /// <summary>Distance between poses, and greatest distance between points of an edge, metres.</summary>
    public const double Step = 0.5;

    private readonly (double Ahead, double Left)[] _tractor;
    private readonly (double Ahead, double Left)[] _implement;
    private readonly (double Ahead, double Left)[] _corners;
    private readonly (double Ahead, double Radius)[] _tractorDiscs;
    private readonly (double Ahead, double Radius)[] _implementDiscs;
    private readonly double _reach;
    private readonly bool _trailed;
    private readonly double _hitch;
    private readonly double _pole;

    /// <summary>Takes the outline of a machine.</summary>
    /// <param name="machine">The machine.</param>
    public SweptOutline(Machine machine)
    {
        ArgumentNullException.ThrowIfNull(machine);
        Tractor tractor = machine.Tractor;
        Implement tool = machine.Implement;
        _trailed = tool.Hitch == HitchKind.Trailed;
        _hitch = tractor.HitchLength;
        _pole = Math.Max(tool.HitchToShank, 0.1);
        _tractor = Edge(-_hitch, tractor.FrontLength, tractor.Width);

        // From the hitch: behind it, the mounted one as part of the tractor, the trailed one about its own heading.
        double from = _trailed ? 0 : -_hitch;
        double half = tractor.Width / 2, tail = -_hitch - tool.LengthOverAll, flank = tool.WidthOverAll / 2;
        _corners = [(tractor.FrontLength, half), (tractor.FrontLength, -half), (-_hitch, half), (-_hitch, -half), .. _trailed ? [] : new[] { (tail, flank), (tail, -flank) }];
        _implement = Edge(from - tool.LengthOverAll, from - (0.3 * tool.HitchToShank), tool.WidthOverAll);
        _tractorDiscs = Discs(-_hitch, tractor.FrontLength, tractor.Width);
        _implementDiscs = Discs(from - tool.LengthOverAll, from - (0.3 * tool.HitchToShank), tool.WidthOverAll);
        _reach = _tractor.Max(Far);
        _reach = Math.Max(_reach, _implement.Max(Far) + (_trailed ? _hitch : 0)) + 1e-6;

        static double Far((double Ahead, double Left) p) => Math.Sqrt((p.Ahead * p.Ahead) + (p.Left * p.Left));
    }

    /// <summary>The points of the outline at each pose of a way.</summary>
    /// <param name="way">The way of the rear axle's middle; one that is driven backward needs a mounted implement.</param>
    /// <returns>Places in metres, pose by pose.</returns>
    public IEnumerable<(double X, double Y)> Along(TurnPath way)
    {
        ArgumentNullException.ThrowIfNull(way);
        double trailer = way.Start.Heading;
        Pose before = way.Start;
        foreach (Pose pose in way.Sample(Step))
        {
            foreach ((double X, double Y) point in Placed(_tractor, pose))
            {
                yield return point;
            }

            Pose carrier = pose;
            if (_trailed)
            {
                trailer = Followed(trailer, pose, before);
                carrier = pose.Ahead(-_hitch) with { Heading = trailer };
                before = pose;
            }

            foreach ((double X, double Y) point in Placed(_implement, carrier))
            {
                yield return point;
            }
        }
    }

    /// <summary>Whether all of it stays on free ground, and else the first place where it does not.</summary>
    /// <param name="way">The way.</param>
    /// <param name="ground">The ground.</param>
    public (double X, double Y)? FirstTaken(TurnPath way, DrivableGround ground)
    {
        ArgumentNullException.ThrowIfNull(ground);
        foreach ((double x, double y) in Along(way))
        {
            if (!ground.IsFree(x, y))
            {
                return (x, y);
            }
        }

        return null;
    }

    /// <summary>Whether all of it stays on free ground: corners at wide steps first, which tells most ways that do not.</summary>
    /// <param name="way">The way.</param>
    /// <param name="ground">The ground.</param>
    internal bool Keeps(TurnPath way, DrivableGround ground)
    {
        foreach (Pose pose in way.Sample(4 * Step))
        {
            (double sin, double cos) = Math.SinCos(pose.Heading);
            foreach ((double ahead, double left) in _corners)
            {
                if (!ground.IsFree(pose.X + (ahead * cos) - (left * sin), pose.Y + (ahead * sin) + (left * cos)))
                {
                    return false;
                }
            }
        }

        double trailer = way.Start.Heading;
        IReadOnlyList<Pose> poses = way.Sample(Step);
        for (int i = 0; i < poses.Count; i++)
        {
            Pose pose = poses[i], carrier = pose;
            if (_trailed)
            {
                trailer = Followed(trailer, pose, poses[Math.Max(0, i - 1)]);
                carrier = pose.Ahead(-_hitch) with { Heading = trailer };
            }

            // Where everything within reach is free there is nothing to ask, nor over the poses that lie nearer than the room left.
            double spare = ground.RoomAt(pose.X, pose.Y) - _reach;
            if (spare >= 0)
            {
                i += _trailed ? 0 : (int)(spare / Step);
            }
            else if (!Keeps(_tractor, _tractorDiscs, pose, ground) || !Keeps(_implement, _implementDiscs, carrier, ground))
            {
                return false;
            }
        }

        return true;
    }

    // The discs cover the outline: its points are asked for only where one of them has no room.
    private static bool Keeps((double Ahead, double Left)[] outline, (double Ahead, double Radius)[] discs, Pose pose, DrivableGround ground)
    {
        (double sin, double cos) = Math.SinCos(pose.Heading);
        bool clear = true;
        foreach ((double ahead, double radius) in discs)
        {
            clear &= ground.RoomAt(pose.X + (ahead * cos), pose.Y + (ahead * sin)) >= radius;
        }

        if (clear)
        {
            return true;
        }

        foreach ((double ahead, double left) in outline)
        {
            if (!ground.IsFree(pose.X + (ahead * cos) - (left * sin), pose.Y + (ahead * sin) + (left * cos)))
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>How far it reaches beyond the start of a way, in the direction faced there, metres.</summary>
    /// <param name="way">The way.</param>
    public double ReachAhead(TurnPath way)
    {
        ArgumentNullException.ThrowIfNull(way);
        (double sin, double cos) = Math.SinCos(way.Start.Heading);
        return Along(way).Max(p => ((p.X - way.Start.X) * cos) + ((p.Y - way.Start.Y) * sin));
    }

    private double Followed(double trailer, Pose pose, Pose before) =>
        trailer + Follow(pose.Heading, trailer, pose.Heading - before.Heading, Math.Sqrt(Math.Pow(pose.X - before.X, 2) + Math.Pow(pose.Y - before.Y, 2)));

    // Discs along the middle that cover a rectangle, about as many as squares fit into it.
    private static (double, double)[] Discs(double rear, double front, double width)
    {
        int count = Math.Max(1, (int)Math.Ceiling((front - rear) / width));
        double half = (front - rear) / (2 * count), radius = Math.Sqrt((half * half) + (width * width / 4)) + 1e-6;
        return [.. Enumerable.Range(0, count).Select(i => (rear + (((2 * i) + 1) * half), radius))];
    }

    // The trailer turns toward its hitch; the hitch itself swings out as the tractor turns, lying behind the axle.
    private double Follow(double heading, double trailer, double turned, double driven)
    {
        double difference = heading - trailer;
        return ((driven * Math.Sin(difference)) - (_hitch * turned * Math.Cos(difference))) / _pole;
    }

    private static IEnumerable<(double X, double Y)> Placed((double Ahead, double Left)[] outline, Pose pose)
    {
        (double sin, double cos) = Math.SinCos(pose.Heading);
        foreach ((double ahead, double left) in outline)
        {
            yield return (pose.X + (ahead * cos) - (left * sin), pose.Y + (ahead * sin) + (left * cos));
        }
    }

    private static (double, double)[] Edge(double rear, double front, double width)
    {
        List<(double, double)> points = [];
        double half = width / 2;
        int along = Math.Max(1, (int)Math.Ceiling((front - rear) / Step)), across = Math.Max(1, (int)Math.Ceiling(width / Step));
        for (int i = 0; i <= along; i++)
        {
            double at = rear + ((front - rear) * i / along);
            points.Add((at, half));
            points.Add((at, -half));
        }

        for (int i = 1; i < across; i++)
        {
            double at = -half + (width * i / across);
            points.Add((rear, at));
            points.Add((front, at));
        }

        return [.. points];
    }
}
