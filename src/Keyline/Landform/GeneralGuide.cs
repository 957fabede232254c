using Keyline.Elevation;
using Keyline.Planar;
using Keyline.Terrain;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Prepared;

namespace Keyline.Landform;

/// <summary>The contour to start from on land that has no keypoint.</summary>
/// <remarks>
/// <para>Rule: as high as the area allows. Of forty levels evenly spaced through the area's heights, the highest whose longest
/// contour in the area is at least six tenths as long as the longest of any level; work is parallel to it down the slope.</para>
/// <para>Units: metres. Missing: contours end where heights do.</para>
/// <para>Cost: forty contours on cells of at least a four-hundredth of the ground's width, and one on all cells.</para>
/// <para>Source: that land without a keypoint is worked down from a guide line as high as suits is P. A. Yeomans's, The Keyline
/// Plan, 1954, ch. 10; the six tenths are common practice, no source.</para>
/// </remarks>
public static class GeneralGuide
{
    private const int Levels = 40;
    private const double LeastShare = 0.6;
    private const int CellsAcross = 400;

    /// <summary>Places the guide.</summary>
    /// <param name="smoothed">Heights smoothed at the implement's scale.</param>
    /// <param name="area">The area it shall lie in, in the ground's coordinates; null for all of the ground.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The contour with its height as Z and higher ground on its left; null on level ground.</returns>
    public static LineString? Place(ElevationGrid smoothed, Geometry? area = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(smoothed);
        ElevationGrid coarse = WorkingGround.Thin(smoothed, Math.Max(smoothed.Frame.Rows, smoothed.Frame.Columns) / CellsAcross * smoothed.Frame.CellSize);
        (double low, double high) = Range(coarse, area, cancellationToken);
        if (!(high - low > 1e-3))
        {
            return null;
        }

        double[] levels = [.. Enumerable.Range(0, Levels).Select(i => high - ((i + 0.5) * (high - low) / Levels))];
        double[] lengths = new double[Levels];
        AreaClip? clip = area is null ? null : new AreaClip(area);
        foreach (ContourLine line in ContourLines.Trace(coarse, levels, cancellationToken))
        {
            cancellationToken.ThrowIfCancellationRequested();
            int i = Array.IndexOf(levels, line.Height);
            lengths[i] = Math.Max(lengths[i], LongestLength(line.Line, clip));
        }

        int best = Array.FindIndex(lengths, l => l > 0 && l >= LeastShare * lengths.Max());
        return best < 0 ? null : ContourLines.Trace(smoothed, [levels[best]], cancellationToken)
            .Select(c => Longest(c.Line, area)).OfType<LineString>().MaxBy(l => l.Length);
    }

    private static (double Low, double High) Range(ElevationGrid ground, Geometry? area, CancellationToken cancellationToken)
    {
        GridFrame f = ground.Frame;
        IPreparedGeometry? inside = area is null ? null : PreparedGeometryFactory.Prepare(area);
        double low = double.PositiveInfinity, high = double.NegativeInfinity;
        for (int r = 0; r < f.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            for (int c = 0; c < f.Columns; c++)
            {
                double z = ground[r, c];
                if (!double.IsNaN(z) && (inside is null || inside.Contains(new Point(f.CentreX(c), f.CentreY(r)))))
                {
                    (low, high) = (Math.Min(low, z), Math.Max(high, z));
                }
            }
        }

        return (low, high);
    }

    // To the millimetre, which is enough to choose a level by: cutting exactly takes in the whole outline of the area for every contour.
    private static double LongestLength(LineString line, AreaClip? area) => area is null
        ? line.Length
        : area.Inside(new LinePath([.. line.Coordinates.Select(c => new XY(c.X, c.Y))], false), 0).Max(p => (double?)p.Length()) ?? 0;

    private static LineString? Longest(LineString line, Geometry? area)
    {
        if (area is null)
        {
            return line;
        }

        if (!line.EnvelopeInternal.Intersects(area.EnvelopeInternal))
        {
            return null;
        }

        Geometry inside = line.Intersection(area);
        return Enumerable.Range(0, inside.NumGeometries).Select(inside.GetGeometryN).OfType<LineString>().MaxBy(l => l.Length);
    }
}
