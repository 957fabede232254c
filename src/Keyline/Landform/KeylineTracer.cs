using Keyline.Elevation;
using Keyline.Terrain;
using NetTopologySuite.Geometries;

namespace Keyline.Landform;

/// <summary>The keyline of a keypoint: its contour, out to where it turns from valley shape to ridge shape on either side.</summary>
/// <remarks>
/// <para>Units: metres. Missing: the contour ends where heights do.</para>
/// <para>Promises: passes the keypoint within a cell; level; higher ground on the left.</para>
/// <para>Cost: linear in the contour's points.</para>
/// <para>Source: P. A. Yeomans, The Keyline Plan, 1954, ch. 1; its ends after K. B. Yeomans: the keyline stops where the
/// contour turns from valley to ridge shape.</para>
/// </remarks>
internal static class KeylineTracer
{
    /// <summary>The contour is followed this far each way, metres.</summary>
    public const double Furthest = 2000;

    /// <summary>A contour bent outward more than this is round a ridge, 1/m (a radius of 500 m). Ours, no source, as are the three bounds below.</summary>
    private const double RidgeCurvature = 0.002;

    /// <summary>The outward bend must last this long, metres.</summary>
    private const double Lasting = 15;

    /// <summary>Landform position at which a contour is on the ridge whatever its shape.</summary>
    private const double OnRidge = 0.85;

    /// <summary>A contour that has come this far back from the ridge is in the next valley.</summary>
    private const double ComingBack = 0.1;

    public static ContourKeyline? Trace(ElevationGrid ground, Keypoint keypoint, GroundShape shape, Grid<float> position)
    {
        Coordinate key = keypoint.Location.Coordinate;
        double level = ground.HeightAt(key.X, key.Y);
        if (double.IsNaN(level) || ContourWalk.Through(ground, key, level, Furthest) is not { } contour)
        {
            return null;
        }

        List<Coordinate> back = Walk(contour, contour.Start, -1, shape, position);
        List<Coordinate> ahead = Walk(contour, contour.Start, 1, shape, position);
        back.Reverse();
        List<Coordinate> line = [.. back, .. ahead.Skip(1)];
        return line.Count < 2 ? null : new ContourKeyline(keypoint.ValleyNumber, Level(line, level), level);
    }

    /// <summary>Points as a line of one height.</summary>
    public static LineString Level(IEnumerable<Coordinate> points, double level) => new([.. points.Select(p => new CoordinateZ(p.X, p.Y, level))]);

    /// <summary>Points of the contour from the keypoint outward, up to its turn.</summary>
    public static List<Coordinate> Walk(ContourWalk walk, int start, int step, GroundShape shape, Grid<float> position)
    {
        (Coordinate[] contour, bool closed) = (walk.Points, walk.Closed);
        List<Coordinate> points = [contour[start]];
        int keep = 1;
        int highestAt = 1;
        double highest = 0;
        double outward = 0;
        int n = contour.Length;
        for (int k = 1; k < (closed ? (n + 1) / 2 : n); k++)
        {
            int i = start + (k * step);
            if (closed)
            {
                i = ((i % n) + n) % n;
            }
            else if (i < 0 || i >= n)
            {
                break;
            }

            Coordinate p = contour[i];
            points.Add(p);
            double bend = Value(shape.ContourCurvature, p);
            double here = Value(position, p);
            if (here >= highest)
            {
                highest = here;
                highestAt = points.Count;
            }

            if (here >= OnRidge)
            {
                keep = points.Count;
                break;
            }

            if (here < highest - ComingBack)
            {
                keep = Math.Min(keep, highestAt);
                break;
            }

            outward = bend < -RidgeCurvature ? outward + p.Distance(points[^2]) : 0;
            if (outward == 0)
            {
                keep = points.Count;
            }
            else if (outward > Lasting)
            {
                break;
            }
        }

        return points.GetRange(0, keep);
    }

    /// <summary>Value of the cell a point lies in; 0 outside.</summary>
    private static double Value(Grid<float> grid, Coordinate p)
    {
        int cell = grid.Frame.IndexAt(p.X, p.Y);
        return cell >= 0 ? grid.Array[cell] : 0;
    }
}
