using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Terrain;

/// <summary>Draws the lines of equal height of a grid.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>Missing: a square of four cell centres with one missing carries no line; lines end there.</para>
/// <para>Promises: high ground lies on the left of travel; lines neither cross nor touch each other or themselves; a height
/// equal to the level counts as above it; where the four corners of a square alternate, their mean decides which pair is
/// joined; exact on a plane, but that a line is moved a millionth of a cell off a centre it would touch a second time; no
/// point is repeated in a row; loops too small to enclose ground are left out. Lines come level by level as asked, open ones
/// before closed ones.</para>
/// <para>Cost: linear in cells and in points, however many levels; about 40 bytes a point.</para>
/// <para>Source: marching squares, Lorensen and Cline 1987 (doi:10.1145/37402.37422) in two dimensions, with linear
/// interpolation between cell centres; the mean-value rule at saddles, Wyvill, McPheeters and Wyvill 1986, The Visual
/// Computer 2, 227-234.</para>
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

        double[] ascending = [.. levels.Distinct().Order()];
        List<ContourLine>[] found = ContourSweep.Trace(ground, ascending, cancellationToken).Lines(cancellationToken);
        return [.. levels.SelectMany(level => found[Array.BinarySearch(ascending, level)])];
    }
}
