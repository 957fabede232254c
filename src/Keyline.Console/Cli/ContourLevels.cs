using Keyline.Elevation;

namespace Keyline.Console.Cli;

/// <summary>At which heights contours are drawn.</summary>
internal static class ContourLevels
{
    private const int MostLevels = 5000;

    /// <summary>Whole multiples of an interval between the lowest and the highest ground.</summary>
    /// <param name="ground">The ground.</param>
    /// <param name="interval">Metres, or null for the smallest of 1, 2 and 5 times a power of ten that gives no more than are wanted.</param>
    /// <param name="wanted">How many.</param>
    /// <exception cref="UsageException">The interval is so small that nobody could read the contours.</exception>
    public static IReadOnlyList<double> Of(ElevationGrid ground, double? interval, int wanted)
    {
        (float low, float high) = (float.PositiveInfinity, float.NegativeInfinity);
        foreach (float z in ground.Heights)
        {
            low = z < low ? z : low;
            high = z > high ? z : high;
        }

        if (!(low < high))
        {
            return [];
        }

        double step = interval ?? Round((high - (double)low) / wanted);
        double first = Math.Ceiling(low / step);
        double count = Math.Floor(high / step) - first + 1;
        if (count > MostLevels)
        {
            throw new UsageException(FormattableString.Invariant(
                $"--interval gives {count:0} contours on ground between {low:0.#} and {high:0.#} m: ask for at most {MostLevels}, or leave it out."));
        }

        return [.. Enumerable.Range(0, Math.Max((int)count, 0)).Select(i => (first + i) * step)];
    }

    private static double Round(double atLeast)
    {
        double power = Math.Pow(10, Math.Floor(Math.Log10(atLeast)));
        double[] steps = [power, 2 * power, 5 * power, 10 * power];
        return Array.Find(steps, step => step >= atLeast * (1 - 1e-9));
    }
}
