using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>Where a line is entered and left, with the heading there taken over the last metres, so that a small kink at the end turns no machine.</summary>
/// <remarks>Units: metres, radians.</remarks>
internal static class RowEnds
{
    private const double Over = 2.0;

    public static Pose Start(LineString line) => Of(line.Coordinates);

    public static Pose End(LineString line) => Of([.. line.Coordinates.Reverse()]).Reversed;

    private static Pose Of(Coordinate[] points)
    {
        Coordinate first = points[0], ahead = points[^1];
        foreach (Coordinate p in points)
        {
            if (p.Distance(first) >= Over)
            {
                ahead = p;
                break;
            }
        }

        return new Pose(first.X, first.Y, Math.Atan2(ahead.Y - first.Y, ahead.X - first.X));
    }
}
