using MathNet.Numerics;
using MathNet.Numerics.Distributions;

namespace Keyline.Fieldwork;

/// <summary>An estimate with its standard error and degrees of freedom, and what Student's t says of it.</summary>
/// <remarks>
/// <para>Units: those of what was measured; on the log scale none. Missing: NaN; a freedom that is infinite means the normal distribution.</para>
/// <para>Promises: no claim where there is no standard error: p-values are then 1 and intervals without end.</para>
/// <para>Cost: microseconds. Source: Student 1908, "The probable error of a mean"; two one-sided tests after Schuirmann 1987.</para>
/// </remarks>
/// <param name="Value">The estimate.</param>
/// <param name="StandardError">Its standard error, 0 or more; NaN where there is none.</param>
/// <param name="Freedom">Degrees of freedom, above 0.</param>
public sealed record Estimate(double Value, double StandardError, double Freedom)
{
    /// <summary>The estimate in standard errors.</summary>
    public double T => Value / StandardError;

    /// <summary>Two-sided p-value of no difference; 1 where nothing is known.</summary>
    public double P => TwoSided(Value);

    /// <summary>The interval that holds the truth with some confidence.</summary>
    /// <param name="level">Confidence, as 0.95.</param>
    /// <returns>Its two ends.</returns>
    public (double Low, double High) Between(double level)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(level);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(level, 1);
        if (!IsKnown)
        {
            return (double.NegativeInfinity, double.PositiveInfinity);
        }

        double half = StandardError * Quantile(0.5 + (level / 2), Freedom);
        return (Value - half, Value + half);
    }

    /// <summary>p-value of "the difference lies outside": the larger of two one-sided tests; small means equivalent.</summary>
    /// <param name="low">Least difference that is still nothing.</param>
    /// <param name="high">Greatest.</param>
    public double PEquivalent(double low, double high)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(low, high);
        return Math.Max(OneSided(Value - low), OneSided(high - Value));
    }

    /// <summary>Student's t at a probability.</summary>
    /// <param name="probability">Above 0 and below 1.</param>
    /// <param name="freedom">Degrees of freedom.</param>
    public static double Quantile(double probability, double freedom)
    {
        if (probability == 0.5)
        {
            return 0;
        }

        // The tail by its incomplete beta, bracketed by doubling: far tails of little freedom lie beyond any fixed bound.
        double tail = Math.Min(probability, 1 - probability), low = 0, high = 1;
        if (double.IsPositiveInfinity(freedom))
        {
            return Normal.InvCDF(0, 1, probability);
        }

        while (Tail(high, freedom) > tail && high < 1e150)
        {
            (low, high) = (high, 2 * high);
        }

        for (int i = 0; i < 200 && high - low > 1e-14 * high; i++)
        {
            double middle = 0.5 * (low + high);
            (low, high) = Tail(middle, freedom) > tail ? (middle, high) : (low, middle);
        }

        return probability < 0.5 ? -0.5 * (low + high) : 0.5 * (low + high);
    }

    private bool IsKnown => double.IsFinite(Value) && StandardError >= 0 && Freedom > 0;

    private double TwoSided(double distance) => !IsKnown ? 1
        : StandardError == 0 ? (distance == 0 ? 1 : 0)
        : 2 * Tail(Math.Abs(distance / StandardError), Freedom);

    // Chance of a distance as far to the right or farther.
    private double OneSided(double distance)
    {
        double two = TwoSided(distance);
        return !IsKnown ? 1 : distance > 0 ? two / 2 : 1 - (two / 2);
    }

    private static double Tail(double t, double freedom) => double.IsPositiveInfinity(freedom)
        ? 0.5 * SpecialFunctions.Erfc(t / Math.Sqrt(2))
        : 0.5 * SpecialFunctions.BetaRegularized(freedom / 2, 0.5, freedom / (freedom + (t * t)));
}
