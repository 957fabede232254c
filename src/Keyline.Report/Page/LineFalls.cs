using Keyline.Check;
using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>The grade along a line, stretch by stretch, as a page shows it.</summary>
/// <remarks>
/// <para>Units: percent over a level base of <see cref="LineMeasures.GradeBase"/> metres, about the middle of each of equal stretches of some five
/// metres; positive where the ground rises in driving direction; NaN over missing ground.</para>
/// </remarks>
internal static class LineFalls
{
    /// <summary>About how long a stretch is, metres.</summary>
    public const double Stretch = 5;

    /// <summary>Grades of a line, one a stretch, at least one.</summary>
    public static double[] Of(LineString line, ElevationGrid ground)
    {
        Coordinate[] points = line.Coordinates;
        double[] at = new double[points.Length];
        for (int i = 1; i < points.Length; i++)
        {
            at[i] = at[i - 1] + points[i].Distance(points[i - 1]);
        }

        double length = at[^1];
        int count = Math.Max(1, (int)Math.Round(length / Stretch));
        double half = Math.Min(LineMeasures.GradeBase, length) / 2;
        double[] grades = new double[count];
        for (int i = 0; i < count; i++)
        {
            double middle = Math.Clamp(length * (i + 0.5) / count, half, length - half);
            grades[i] = half > 0 ? 100 * (Height(middle + half) - Height(middle - half)) / (2 * half) : double.NaN;
        }

        return grades;

        double Height(double distance)
        {
            int i = Array.BinarySearch(at, distance);
            i = Math.Clamp(i < 0 ? ~i : i, 1, points.Length - 1);
            double step = at[i] - at[i - 1], t = step > 0 ? Math.Clamp((distance - at[i - 1]) / step, 0, 1) : 0;
            return ground.HeightAt(points[i - 1].X + (t * (points[i].X - points[i - 1].X)), points[i - 1].Y + (t * (points[i].Y - points[i - 1].Y)));
        }
    }
}
