using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Guidance;

/// <summary>A line moved to one side of the way it is driven, as for an implement mounted off the tractor's centre.</summary>
/// <remarks>Units: metres. Source: the parallels of the layout, see <see cref="ParallelLines"/>.</remarks>
internal static class SideShift
{
    // Points of a parallel lie on curves through the line's own, so the line is first given even points this far apart.
    private const double Step = 1.0;
    private const double Bin = 20.0;

    /// <summary>The pieces of a line's parallel, in driving order.</summary>
    /// <param name="line">The line.</param>
    /// <param name="right">How far to the right of travel, metres; 0 gives the line itself.</param>
    /// <param name="leastPiece">Shorter pieces are left out, metres.</param>
    public static List<Coordinate[]> Right(LineString line, double right, double leastPiece)
    {
        Coordinate[] given = line.Coordinates;
        if (right == 0)
        {
            return [given];
        }

        LinePath path = new LinePath(Array.ConvertAll(given, c => new XY(c.X, c.Y)), false).Resample(Step);
        Envelope around = line.EnvelopeInternal.Copy();
        around.ExpandBy(Math.Abs(right) + Bin);
        SegmentBins own = new(around, Bin);
        own.Add(path, 0);
        own.Freeze();
        return [.. ParallelLines.Offset(path, -right, own)
            .Where(p => p.Length() >= leastPiece)
            .Select(p => Array.ConvertAll(p.Points, c => (Coordinate)new CoordinateZ(c.X, c.Y, double.NaN)))];
    }
}
