using NetTopologySuite.Geometries;

namespace Keyline.Planar;

/// <summary>Refuses lines that nothing can be measured along.</summary>
internal static class LineRules
{
    /// <summary>A line must have numbers for coordinates and two points that differ.</summary>
    /// <param name="line">The line.</param>
    /// <param name="name">What it is called, as "Line R3".</param>
    /// <exception cref="GroundDataException">It has not.</exception>
    public static void Check(LineString line, string name)
    {
        ArgumentNullException.ThrowIfNull(line);
        CoordinateSequence points = line.CoordinateSequence;
        bool hasLength = false;
        for (int i = 0; i < points.Count; i++)
        {
            (double x, double y) = (points.GetX(i), points.GetY(i));
            if (!double.IsFinite(x) || !double.IsFinite(y))
            {
                throw new GroundDataException(FormattableString.Invariant(
                    $"{name} has a coordinate that is no number, at point {i + 1} of {points.Count}: mend the line, or leave it out."));
            }

            hasLength |= x != points.GetX(0) || y != points.GetY(0);
        }

        if (!hasLength)
        {
            throw new GroundDataException(name + (points.Count == 0 ? " has no points" : " has no length, since all its points are one and the same") + ": draw it again, or leave it out.");
        }
    }
}
