using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Terrain;

/// <summary>A line of equal height.</summary>
/// <param name="Line">Its course, metres, with the height as z; a closed line repeats its first point.</param>
/// <param name="Height">Its height, metres.</param>
/// <param name="IsClosed">Whether it closes on itself; otherwise it ends at the grid's edge or beside missing ground.</param>
public sealed record ContourLine(LineString Line, double Height, bool IsClosed);

/// <summary>Draws the lines of equal height of a grid.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: a square of four cell centres with one missing carries no line; lines end there.</para>
/// <para>Promises: high ground lies on the left of travel; lines do not cross; a height equal to the level counts as above
/// it; exact on a plane; no point is repeated in a row; loops too small to enclose ground are left out. Lines come level by
/// level as asked, open ones before closed ones.</para>
/// <para>Cost: linear in cells for each level; 8 bytes a cell.</para>
/// <para>Source: marching squares, Lorensen and Cline 1987 (doi:10.1145/37402.37422) in two dimensions, with linear
/// interpolation between cell centres.</para>
/// </remarks>
public static class ContourLines
{
    /// <summary>Draws the lines at given heights.</summary>
    /// <param name="ground">Heights.</param>
    /// <param name="levels">The heights wanted, metres.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">A level is not a finite number.</exception>
    public static IReadOnlyList<ContourLine> Trace(ElevationGrid ground, IReadOnlyList<double> levels, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(levels);
        foreach (double level in levels)
        {
            if (!double.IsFinite(level))
            {
                throw new ArgumentException("A level is not a finite number of metres.", nameof(levels));
            }
        }

        double[] heights = Array.ConvertAll(ground.Array, z => (double)z);
        List<ContourLine>[] found = new List<ContourLine>[levels.Count];
        Parallel.For(0, levels.Count, new ParallelOptions { CancellationToken = cancellationToken }, i =>
        {
            found[i] = [];
            foreach (ContourPath path in ContourTracer.Trace(heights, ground.Frame, levels[i]))
            {
                Coordinate[] points = WithoutRepeats(path.Points, levels[i]);
                if (points.Length >= (path.Closed ? 4 : 2))
                {
                    found[i].Add(new ContourLine(new LineString(points), levels[i], path.Closed));
                }
            }
        });
        return [.. found.SelectMany(lines => lines)];
    }

    // A level that meets a cell centre exactly puts the crossings of all sides that end there in one place.
    private static Coordinate[] WithoutRepeats(Coordinate[] points, double level)
    {
        List<Coordinate> kept = [];
        foreach (Coordinate point in points)
        {
            if (kept.Count == 0 || !kept[^1].Equals2D(point))
            {
                kept.Add(new CoordinateZ(point.X, point.Y, level));
            }
        }

        return [.. kept];
    }
}
