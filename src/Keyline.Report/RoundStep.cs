namespace Keyline.Report;

/// <summary>Steps of 1, 2 or 5 times a power of ten, for scale bars and for the figures along an axis.</summary>
internal static class RoundStep
{
    /// <summary>The largest step not above a length.</summary>
    /// <param name="most">Above 0.</param>
    public static double AtMost(double most)
    {
        double power = Power(most), share = most / power;
        return power * (share >= 5 ? 5 : share >= 2 ? 2 : 1);
    }

    /// <summary>The step nearest to a length.</summary>
    /// <param name="length">Above 0.</param>
    /// <param name="upToNext">Whether a length close under the next power of ten is taken up to it, or stays at 5.</param>
    public static double Near(double length, bool upToNext = true)
    {
        double power = Power(length), share = length / power;
        return power * (share < 1.5 ? 1 : share < 3.5 ? 2 : share < 7.5 || !upToNext ? 5 : 10);
    }

    private static double Power(double length) => Math.Pow(10, Math.Floor(Math.Log10(length)));
}
