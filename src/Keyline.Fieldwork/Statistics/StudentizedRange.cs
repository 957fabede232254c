using MathNet.Numerics;
using MathNet.Numerics.Integration;

namespace Keyline.Fieldwork;

/// <summary>How far apart the farthest of several means lie when nothing is there: for looking at every pair of treatments at once.</summary>
/// <remarks>
/// <para>Units: standard errors of one mean. Promises: 0 to 1, falling with the range; an infinite freedom means a spread that is known.</para>
/// <para>Cost: a probability 16,000 looks at the normal curve, a quantile some fifty of them. Source: Tukey's honest difference, J. W. Tukey 1949,
/// Biometrics 5, 99-114; the double integral as in M. D. Copenhaver and B. Holland 1988, Journal of Statistical Computation and Simulation 30, 1-15.</para>
/// </remarks>
public static class StudentizedRange
{
    private const int Panels = 8;
    private const int Points = 16;
    private const double Far = 8;

    /// <summary>Chance of a range as wide or wider.</summary>
    /// <param name="range">Largest mean less smallest, over the standard error of a mean; 0 or more.</param>
    /// <param name="means">How many means; 2 or more.</param>
    /// <param name="freedom">Degrees of freedom of the standard error.</param>
    public static double Tail(double range, int means, double freedom)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(range);
        ArgumentOutOfRangeException.ThrowIfLessThan(means, 2);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(freedom);
        if (double.IsPositiveInfinity(freedom))
        {
            return Wider(range, means);
        }

        // Over the spread s that was found where the true one is 1: chi over the root of its freedom.
        double width = Math.Min(0.999, Far / Math.Sqrt(2 * freedom)), low = Math.Max(0, 1 - width), high = 1 + (1.5 * Far / Math.Sqrt(2 * freedom));
        double constant = (freedom / 2 * Math.Log(freedom)) - SpecialFunctions.GammaLn(freedom / 2) - (((freedom / 2) - 1) * Math.Log(2));
        return Math.Clamp(Sum(freedom < 40 ? 0 : low, high, s => s <= 0 ? 0 : Math.Exp(constant + ((freedom - 1) * Math.Log(s)) - (freedom * s * s / 2)) * Wider(range * s, means)), 0, 1);
    }

    /// <summary>The range that is passed with some chance.</summary>
    /// <param name="tail">That chance, as 0.05.</param>
    /// <param name="means">How many means.</param>
    /// <param name="freedom">Degrees of freedom.</param>
    public static double Quantile(double tail, int means, double freedom)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(tail);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(tail, 1);
        double low = 0, high = 1;
        while (Tail(high, means, freedom) > tail && high < 1e6)
        {
            (low, high) = (high, 2 * high);
        }

        for (int i = 0; i < 60 && high - low > 1e-11 * high; i++)
        {
            double middle = 0.5 * (low + high);
            (low, high) = Tail(middle, means, freedom) > tail ? (middle, high) : (low, middle);
        }

        return 0.5 * (low + high);
    }

    /// <summary>p-value of a difference that was looked at with all others among so many means.</summary>
    /// <param name="difference">The difference of two means with as many observations each.</param>
    /// <param name="means">How many means.</param>
    public static double P(Estimate difference, int means)
    {
        ArgumentNullException.ThrowIfNull(difference);
        return difference.StandardError > 0 && double.IsFinite(difference.T) ? Tail(Math.Abs(difference.T) * Math.Sqrt(2), means, difference.Freedom) : 1;
    }

    /// <summary>The interval of a difference such that all of them together hold with some confidence.</summary>
    /// <param name="difference">The difference of two means with as many observations each.</param>
    /// <param name="means">How many means.</param>
    /// <param name="level">Confidence, as 0.95.</param>
    public static (double Low, double High) Between(Estimate difference, int means, double level)
    {
        ArgumentNullException.ThrowIfNull(difference);
        if (!(difference.StandardError >= 0) || !double.IsFinite(difference.Value))
        {
            return (double.NegativeInfinity, double.PositiveInfinity);
        }

        double half = difference.StandardError * Quantile(1 - level, means, difference.Freedom) / Math.Sqrt(2);
        return (difference.Value - half, difference.Value + half);
    }

    // Chance that the range of so many normal values is wider.
    private static double Wider(double range, int means) =>
        1 - (means * Sum(-Far, Far, z => Math.Exp(-z * z / 2) / Math.Sqrt(2 * Math.PI) * Math.Pow(Below(z) - Below(z - range), means - 1)));

    private static double Below(double z) => 0.5 * SpecialFunctions.Erfc(-z / Math.Sqrt(2));

    private static double Sum(double from, double to, Func<double, double> of)
    {
        double sum = 0, step = (to - from) / Panels;
        for (int panel = 0; panel < Panels; panel++)
        {
            sum += GaussLegendreRule.Integrate(of, from + (panel * step), from + ((panel + 1) * step), Points);
        }

        return sum;
    }
}
