namespace Keyline.Fieldwork.Tests;

/// <summary>Invented points.</summary>
internal static class MadePoints
{
    /// <summary>Points scattered by a fixed sequence, with values of a smooth surface and some noise.</summary>
    /// <param name="count">How many.</param>
    /// <param name="seed">Another number, other points.</param>
    /// <param name="side">Metres of the square they lie in.</param>
    public static SoilPoint[] Scattered(int count, uint seed = 1, double side = 1000)
    {
        uint state = seed;
        double Next()
        {
            state = (state * 1_664_525) + 1_013_904_223;
            return (state >> 8) / 16_777_216.0;
        }

        return [.. Enumerable.Range(0, count).Select(_ =>
        {
            double x = side * Next(), y = side * Next();
            return new SoilPoint(x, y, 10 + Math.Sin(x / side * 7) + Math.Cos((x + (2 * y)) / side * 4) + (0.3 * (Next() - 0.5)));
        })];
    }
}
