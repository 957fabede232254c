using NetTopologySuite.Geometries;

namespace Keyline.Planar;

/// <summary>A place and a heading.</summary>
/// <param name="X">Metres east.</param>
/// <param name="Y">Metres north.</param>
/// <param name="Heading">Radians, 0 east, a quarter turn north; of any turn.</param>
public readonly record struct Pose(double X, double Y, double Heading)
{
    /// <summary>The place a distance straight ahead, or behind where it is below 0.</summary>
    /// <param name="distance">Metres.</param>
    public Pose Ahead(double distance) => new(X + (distance * Math.Cos(Heading)), Y + (distance * Math.Sin(Heading)), Heading);

    /// <summary>The same place, facing the other way.</summary>
    public Pose Reversed => this with { Heading = Heading + Math.PI };

    /// <summary>Place and heading: what a record prints by itself would go round through <see cref="Reversed"/>.</summary>
    public override string ToString() => FormattableString.Invariant($"({X}, {Y}) heading {Heading}");
}

/// <summary>One piece of a way: an arc or a straight.</summary>
/// <param name="Length">Metres; below 0 driven backward.</param>
/// <param name="Bend">1/metres: above 0 to the left of travel forward, 0 straight.</param>
public readonly record struct TurnPiece(double Length, double Bend);

/// <summary>A way of arcs and straights, forward and backward.</summary>
/// <remarks>Units: metres, radians.</remarks>
public sealed class TurnPath
{
    private readonly TurnPiece[] _pieces;

    /// <summary>Puts a way together.</summary>
    /// <param name="start">Where it starts.</param>
    /// <param name="pieces">Its pieces in order; those of no length are left out.</param>
    public TurnPath(Pose start, IEnumerable<TurnPiece> pieces)
    {
        ArgumentNullException.ThrowIfNull(pieces);
        Start = start;
        _pieces = [.. pieces.Where(p => Math.Abs(p.Length) > 1e-9)];
        Pose at = start;
        for (int i = 0; i < _pieces.Length; i++)
        {
            Length += Math.Abs(_pieces[i].Length);
            ReverseLength += Math.Max(0, -_pieces[i].Length);
            Changes += i > 0 && _pieces[i].Length > 0 != _pieces[i - 1].Length > 0 ? 1 : 0;
            at = Along(at, _pieces[i].Bend, _pieces[i].Length);
        }

        End = at;
    }

    /// <summary>Where it starts.</summary>
    public Pose Start { get; }

    /// <summary>Where it ends.</summary>
    public Pose End { get; }

    /// <summary>Its pieces.</summary>
    public IReadOnlyList<TurnPiece> Pieces => _pieces;

    /// <summary>Whole length, forward and backward, metres.</summary>
    public double Length { get; }

    /// <summary>Length driven backward, metres.</summary>
    public double ReverseLength { get; }

    /// <summary>How often the direction of travel changes.</summary>
    public int Changes { get; }

    /// <summary>Whether it is driven forward throughout.</summary>
    public bool IsForward => ReverseLength == 0;

    /// <summary>This way and another that starts where it ends.</summary>
    /// <param name="next">The other.</param>
    public TurnPath Then(TurnPath next)
    {
        ArgumentNullException.ThrowIfNull(next);
        return new TurnPath(Start, _pieces.Concat(next._pieces));
    }

    /// <summary>Poses along it, each piece's ends among them.</summary>
    /// <param name="step">Greatest distance between neighbours, metres, above 0.</param>
    public IReadOnlyList<Pose> Sample(double step)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(step);
        List<Pose> poses = [Start];
        Pose at = Start;
        foreach (TurnPiece piece in _pieces)
        {
            int parts = Math.Max(1, (int)Math.Ceiling(Math.Abs(piece.Length) / step));
            for (int k = 1; k <= parts; k++)
            {
                poses.Add(Along(at, piece.Bend, piece.Length * k / parts));
            }

            at = poses[^1];
        }

        return poses;
    }

    /// <summary>Its course as a line.</summary>
    /// <param name="step">Greatest distance between neighbouring points, metres.</param>
    public LineString ToLine(double step = 0.5)
    {
        Coordinate[] points = [.. Sample(step).Select(p => new Coordinate(p.X, p.Y))];
        return GeometryFactory.Default.CreateLineString(points.Length > 1 ? points : [points[0], points[0]]);
    }

    private static Pose Along(Pose from, double curvature, double length)
    {
        if (curvature == 0)
        {
            return from.Ahead(length);
        }

        double turned = length * curvature;
        return new Pose(
            from.X + ((Math.Sin(from.Heading + turned) - Math.Sin(from.Heading)) / curvature),
            from.Y - ((Math.Cos(from.Heading + turned) - Math.Cos(from.Heading)) / curvature),
            from.Heading + turned);
    }
}
