using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Driven;

/// <summary>An unbroken part of a track with points a metre apart: where the implement was, how high, and which way it went.</summary>
/// <remarks>Units: metres.</remarks>
internal sealed class TrackSamples
{
    /// <summary>Distance between samples, metres.</summary>
    public const double Step = 1.0;

    // While a tractor stands, its fixes wander by less than this.
    private const double Standing = 0.25;

    // A direction is taken over two samples either side, about the length of a tractor.
    private const int Arm = 2;

    private TrackSamples(XY[] at, double[] height, XY[] direction) => (At, Height, Direction) = (at, height, direction);

    public XY[] At { get; }

    public double[] Height { get; }

    /// <summary>Unit vectors of travel.</summary>
    public XY[] Direction { get; }

    public int Count => At.Length;

    /// <summary>The parts of a track between breaks of its log.</summary>
    /// <param name="track">The track; Z its heights.</param>
    /// <param name="greatestGap">Fixes farther apart are a break, metres.</param>
    /// <param name="right">How far to the right of travel the implement is, metres.</param>
    public static IEnumerable<TrackSamples> Of(LineString track, double greatestGap, double right)
    {
        List<CoordinateZ> part = [];
        foreach (Coordinate c in track.Coordinates)
        {
            double way = part.Count > 0 ? part[^1].Distance(c) : double.PositiveInfinity;
            if (way < Standing)
            {
                continue;
            }

            if (way > greatestGap && part.Count > 0)
            {
                if (From(part, right) is { } done)
                {
                    yield return done;
                }

                part = [];
            }

            part.Add(new CoordinateZ(c.X, c.Y, c.Z));
        }

        if (From(part, right) is { } last)
        {
            yield return last;
        }
    }

    private static TrackSamples? From(List<CoordinateZ> fixes, double right)
    {
        List<XY> at = [];
        List<double> height = [];
        double into = 0;
        for (int i = 0; i + 1 < fixes.Count; i++)
        {
            double length = fixes[i].Distance(fixes[i + 1]);
            for (; into < length; into += Step)
            {
                double t = into / length;
                at.Add(new XY(fixes[i].X + (t * (fixes[i + 1].X - fixes[i].X)), fixes[i].Y + (t * (fixes[i + 1].Y - fixes[i].Y))));
                height.Add(fixes[i].Z + (t * (fixes[i + 1].Z - fixes[i].Z)));
            }

            into -= length;
        }

        if (at.Count < 2)
        {
            return null;
        }

        XY[] points = [.. at], way = new XY[at.Count];
        for (int i = 0; i < way.Length; i++)
        {
            way[i] = (points[Math.Min(i + Arm, points.Length - 1)] - points[Math.Max(i - Arm, 0)]).Unit();
        }

        for (int i = 0; i < points.Length && right != 0; i++)
        {
            points[i] -= way[i].Left * right;
        }

        return new TrackSamples(points, [.. height], way);
    }
}
