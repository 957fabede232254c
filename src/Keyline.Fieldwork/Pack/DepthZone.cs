using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;

namespace Keyline.Fieldwork;

/// <summary>A piece of land that is worked at a depth of its own.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Shape">Its outline, projected metres.</param>
/// <param name="Least">Least depth of the tip, metres; NaN where it is not known.</param>
/// <param name="Most">Most depth, metres; NaN where it is not known.</param>
/// <param name="Verdict">What is to be minded there, as "test strip first"; may be empty.</param>
public sealed record DepthZone(string Name, Geometry Shape, double Least, double Most, string Verdict)
{
    /// <summary>The depth in words: "34.5 to 37 cm", or that it is not known.</summary>
    public string Depth => double.IsNaN(Least) || double.IsNaN(Most) ? "depth not known" : FormattableString.Invariant($"{100 * Least:0.#} to {100 * Most:0.#} cm");
}

/// <summary>A stretch of a line within one zone.</summary>
/// <param name="From">Metres along the line.</param>
/// <param name="To">Metres along the line.</param>
/// <param name="Zone">The zone; null where there is none.</param>
public sealed record DepthStretch(double From, double To, DepthZone? Zone);

/// <summary>Tells which depths a line is worked at, from its start on.</summary>
/// <remarks>
/// <para>Units: metres. Promises: stretches follow each other without a gap and cover the line; one shorter than <see cref="Shortest"/>, at which nobody
/// changes the depth, goes with the one before it. Where zones overlap the later one holds.</para>
/// <para>Cost: a look at every zone each metre of the line. Source: ours.</para>
/// </remarks>
public static class DepthStretches
{
    /// <summary>No stretch is shorter, metres.</summary>
    public const double Shortest = 8;

    private const double Step = 1;

    /// <summary>The stretches of a line.</summary>
    /// <param name="course">The line as it is driven.</param>
    /// <param name="zones">The zones.</param>
    public static IReadOnlyList<DepthStretch> Along(LineString course, IReadOnlyList<DepthZone> zones)
    {
        ArgumentNullException.ThrowIfNull(course);
        ArgumentNullException.ThrowIfNull(zones);
        IPreparedGeometry[] shapes = [.. zones.Select(z => PreparedGeometryFactory.Prepare(z.Shape))];
        int steps = Math.Max(1, (int)Math.Ceiling(course.Length / Step));
        double step = course.Length / steps;
        List<DepthStretch> found = [];
        Coordinate[] points = course.Coordinates;
        int leg = 1;
        double before = 0;
        for (int i = 0; i < steps; i++)
        {
            double at = (i + 0.5) * step;
            while (leg < points.Length - 1 && before + points[leg - 1].Distance(points[leg]) < at)
            {
                before += points[leg - 1].Distance(points[leg]);
                leg++;
            }

            double length = points[leg - 1].Distance(points[leg]), share = length > 0 ? (at - before) / length : 0;
            Point here = course.Factory.CreatePoint(new Coordinate(points[leg - 1].X + (share * (points[leg].X - points[leg - 1].X)), points[leg - 1].Y + (share * (points[leg].Y - points[leg - 1].Y))));
            int zone = Array.FindLastIndex(shapes, s => s.Covers(here));
            DepthZone? inside = zone < 0 ? null : zones[zone];
            if (found.Count > 0 && found[^1].Zone == inside)
            {
                found[^1] = found[^1] with { To = (i + 1) * step };
            }
            else
            {
                found.Add(new DepthStretch(i * step, (i + 1) * step, inside));
            }
        }

        return Joined(found);
    }

    private static List<DepthStretch> Joined(List<DepthStretch> found)
    {
        List<DepthStretch> joined = [];
        foreach (DepthStretch stretch in found)
        {
            if (joined.Count > 0 && (joined[^1].Zone == stretch.Zone || stretch.To - stretch.From < Shortest))
            {
                joined[^1] = joined[^1] with { To = stretch.To };
            }
            else if (joined.Count > 0 && joined[^1].To - joined[^1].From < Shortest)
            {
                joined[^1] = new DepthStretch(joined[^1].From, stretch.To, stretch.Zone);
            }
            else
            {
                joined.Add(stretch);
            }
        }

        return joined;
    }
}
