using System.Text;
using NetTopologySuite.Geometries;
using NetTopologySuite.Simplify;

namespace Keyline.Report;

/// <summary>Whole numbers as letters, and courses as differences from point to point, small enough for a page.</summary>
/// <remarks>
/// <para>Units: <see cref="Step"/> metres from an origin. A number goes up by twos, negative ones odd, five bits a letter, the lowest first,
/// the sixth bit set where more follow.</para>
/// <para>Promises: a coded point lies within <see cref="MostError"/> of where it was, a point left out within that of the course.</para>
/// </remarks>
internal static class CoordinateCoding
{
    /// <summary>Metres of one step.</summary>
    public const double Step = 0.05;

    /// <summary>Metres by which a course may miss a point of its original that is left out.</summary>
    public const double Thinning = 0.03;

    /// <summary>Metres between a place and its coded place, at most: half a step's diagonal, and what thinning leaves.</summary>
    public const double MostError = (Step * 0.70710678118654757) + Thinning;

    private const string Letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

    /// <summary>A course, thinned.</summary>
    public static string Course(Geometry line, Coordinate origin, double thinning = Thinning)
    {
        Coordinate[] points = (thinning > 0 && line.NumPoints > 2 ? DouglasPeuckerSimplifier.Simplify(line, thinning) : line).Coordinates;
        points = points.Length < 2 ? line.Coordinates : points;
        List<long> numbers = [];
        long x = 0, y = 0;
        foreach (Coordinate c in points)
        {
            long toX = (long)Math.Round((c.X - origin.X) / Step), toY = (long)Math.Round((c.Y - origin.Y) / Step);
            numbers.Add(toX - x);
            numbers.Add(toY - y);
            (x, y) = (toX, toY);
        }

        return Numbers(numbers);
    }

    /// <summary>Numbers one after the other.</summary>
    public static string Numbers(IEnumerable<long> numbers)
    {
        StringBuilder text = new();
        foreach (long number in numbers)
        {
            ulong left = number < 0 ? ((ulong)(-(number + 1)) * 2) + 1 : (ulong)number * 2;
            do
            {
                int bits = (int)(left & 31);
                left >>= 5;
                text.Append(Letters[bits + (left > 0 ? 32 : 0)]);
            }
            while (left > 0);
        }

        return text.ToString();
    }

    /// <summary>The differences of numbers from one to the next, coded.</summary>
    public static string Steps(IReadOnlyList<long> numbers) => Numbers(numbers.Select((n, i) => i == 0 ? n : n - numbers[i - 1]));
}
