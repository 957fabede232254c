using Keyline.Check;
using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Simplify;

namespace Keyline.Layout;

/// <summary>Lines along the fence in the headland, for those who rip it last, once nothing turns there any more.</summary>
/// <remarks>
/// <para>Units: metres. Rounds run along the outline a spacing apart, the innermost half a spacing outside where the other lines end, the outermost no nearer the fence than
/// asked. They follow the fence and not the ground, so that they may run straight down a slope and lead water.</para>
/// <para>Promises: no round turns tighter than the radius (its corners are rounded; what cannot be is cut there), comes nearer the fence than asked, or enters what is avoided
/// or too steep; pieces shorter than <see cref="LayoutRevision.LeastPiece"/> are left out. A headland too narrow for one round gives none. Same input, same lines.</para>
/// <para>Cost: near-linear in the outline's corners for each round. Source: ours; a circle of the radius rolled along the inside of the outline rounds its corners (erosion and
/// dilation, J. Serra 1982, Image Analysis and Mathematical Morphology, chapter II, from memory).</para>
/// </remarks>
public static class HeadlandLines
{
    private const double Step = 1;
    private const double ChordTolerance = 0.01;
    private const double Edge = 0.05;

    /// <summary>Lays the rounds, from the innermost out.</summary>
    /// <param name="field">The field.</param>
    /// <param name="headland">Width of the headland, metres, 0 or more.</param>
    /// <param name="spacing">Distance between rounds, metres, above 0.</param>
    /// <param name="fromFence">Least distance of a round from the fence, metres, above 0: half the machine's width and some room.</param>
    /// <param name="minimumRadius">Tightest turn, metres, 0 or more.</param>
    /// <param name="steep">Land that is not worked, or null.</param>
    public static IReadOnlyList<LineString> Of(FieldArea field, double headland, double spacing, double fromFence, double minimumRadius, Geometry? steep = null)
    {
        ArgumentNullException.ThrowIfNull(field);
        ArgumentOutOfRangeException.ThrowIfNegative(headland);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(spacing);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(fromFence);
        ArgumentOutOfRangeException.ThrowIfNegative(minimumRadius);
        List<LineString> lines = [];
        Geometry[] taken = [.. field.Avoided.Select(a => a.KeptClear), .. steep is { IsEmpty: false } land ? [land] : Array.Empty<Geometry>()];
        for (double off = headland - (spacing / 2); off >= fromFence - 1e-9; off -= spacing)
        {
            Geometry inside = field.Within(Math.Max(off - Edge, 0));
            inside = taken.Aggregate(inside, (g, t) => g.Difference(t));
            if (inside.IsEmpty)
            {
                continue;
            }

            AreaClip clip = new(inside);
            Geometry rounded = minimumRadius > 0 ? AreaInset.Of(AreaInset.Of(field.Boundary, -(off + minimumRadius)), minimumRadius) : field.Within(off);
            foreach (LineString ring in FieldRings(rounded))
            {
                lines.AddRange(PathFairing.Drivable(SampledLine.PathOf(ring).Resample(Step), 0.97 * minimumRadius)
                    .SelectMany(p => clip.Inside(p, LayoutRevision.LeastPiece))
                    .Select(p => (LineString)DouglasPeuckerSimplifier.Simplify(field.Boundary.Factory.CreateLineString(p.ToCoordinates()), ChordTolerance)));
            }
        }

        return lines;
    }

    private static IEnumerable<LineString> FieldRings(Geometry area) => area switch
    {
        Polygon { IsEmpty: false } polygon => polygon.InteriorRings.Prepend(polygon.ExteriorRing),
        GeometryCollection many => many.Geometries.SelectMany(FieldRings),
        _ => [],
    };
}
