using MathNet.Numerics;
using MathNet.Numerics.Distributions;
using MathNet.Numerics.Integration;

namespace Keyline.Fieldwork;

/// <summary>What a trial of some size can show, reckoned before the work is done.</summary>
/// <remarks>
/// <para>Units: those of the measure, or logarithms of a ratio. Promises: two-sided tests; the chance of a finding in the wrong direction is not counted as power.</para>
/// <para>Cost: about 0.1 ms a value. Source: Student's t away from the centre, as in Johnson, Kotz and Balakrishnan 1995, chapter 31; Cohen 1988.</para>
/// </remarks>
public static class TrialPower
{
    private const double MostUnits = 1e7;

    /// <summary>Standard deviation of the logarithm of a lognormal measure.</summary>
    /// <param name="variation">Coefficient of variation, as 1 for 100 %.</param>
    public static double LogSpread(double variation) => Math.Sqrt(Math.Log(1 + (variation * variation)));

    /// <summary>Power of a comparison of two groups of independent units.</summary>
    /// <param name="count">Units in each group, 2 or more; need not be whole.</param>
    /// <param name="difference">The true difference.</param>
    /// <param name="spread">Standard deviation within groups.</param>
    /// <param name="level">Chance of a false finding.</param>
    /// <param name="sides">2, or 1 for a test in one direction.</param>
    public static double TwoGroups(double count, double difference, double spread, double level = 0.05, int sides = 2) =>
        Of(2 * (count - 1), Math.Sqrt(count / 2) * Math.Abs(difference) / spread, level, sides);

    /// <summary>Power of a mean of differences, one a block.</summary>
    /// <param name="blocks">Blocks, above 1; need not be whole.</param>
    /// <param name="difference">The true difference.</param>
    /// <param name="spread">Standard deviation of the differences.</param>
    /// <param name="level">Chance of a false finding.</param>
    /// <param name="sides">2, or 1 for a test in one direction.</param>
    public static double Blocks(double blocks, double difference, double spread, double level = 0.05, int sides = 2) =>
        Of(blocks - 1, Math.Sqrt(blocks) * Math.Abs(difference) / spread, level, sides);

    /// <summary>Units a group that give a power; not rounded up.</summary>
    /// <param name="power">Power wanted, as 0.8.</param>
    /// <param name="difference">The true difference.</param>
    /// <param name="spread">Standard deviation within groups.</param>
    /// <param name="level">Chance of a false finding.</param>
    /// <param name="sides">2, or 1 for a test in one direction.</param>
    public static double TwoGroupsFor(double power, double difference, double spread, double level = 0.05, int sides = 2) =>
        Solve(n => TwoGroups(n, difference, spread, level, sides) - power, 2, MostUnits);

    /// <summary>Blocks that give a power; not rounded up, 2 at least.</summary>
    /// <param name="power">Power wanted, as 0.8.</param>
    /// <param name="difference">The true difference.</param>
    /// <param name="spread">Standard deviation of the differences.</param>
    /// <param name="level">Chance of a false finding.</param>
    /// <param name="sides">2, or 1 for a test in one direction.</param>
    public static double BlocksFor(double power, double difference, double spread, double level = 0.05, int sides = 2) =>
        Solve(n => Blocks(n, difference, spread, level, sides) - power, 2, MostUnits);

    /// <summary>Smallest difference that so many blocks show with a power.</summary>
    /// <param name="power">Power wanted, as 0.8.</param>
    /// <param name="blocks">Blocks, above 1.</param>
    /// <param name="spread">Standard deviation of the differences.</param>
    /// <param name="level">Chance of a false finding.</param>
    public static double DifferenceFor(double power, double blocks, double spread, double level = 0.05) =>
        Solve(d => Blocks(blocks, d, spread, level) - power, 1e-9 * spread, 1e6 * spread);

    /// <summary>Distribution of t where the truth lies off the centre.</summary>
    /// <param name="t">Where.</param>
    /// <param name="freedom">Degrees of freedom, above 0.</param>
    /// <param name="shift">How far the truth lies off, in standard errors.</param>
    /// <returns>Chance of a t at most that.</returns>
    public static double ShiftedT(double t, double freedom, double shift)
    {
        // The mean over the root of chi-squared over its freedom, whose density is known; beyond 12 standard deviations nothing is left.
        double width = 12 / Math.Sqrt(2 * freedom), low = Math.Max(0, 1 - width), high = 1 + width;
        double constant = Math.Log(2) + (freedom / 2 * Math.Log(freedom / 2)) - SpecialFunctions.GammaLn(freedom / 2);
        double Density(double s) => s <= 0 ? 0 : Math.Exp(constant + ((freedom - 1) * Math.Log(s)) - (freedom * s * s / 2)) * Normal.CDF(0, 1, (t * s) - shift);
        double sum = 0;
        const int Panels = 8;
        for (int i = 0; i < Panels; i++)
        {
            double from = low + ((high - low) * i / Panels), to = low + ((high - low) * (i + 1) / Panels);
            sum += GaussLegendreRule.Integrate(Density, from, to, 32);
        }

        return sum;
    }

    private static double Of(double freedom, double shift, double level, int sides)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(freedom);
        ArgumentOutOfRangeException.ThrowIfNotEqual(sides is 1 or 2, true, nameof(sides));
        return 1 - ShiftedT(Estimate.Quantile(1 - (level / sides), freedom), freedom, shift);
    }

    // By halving, on a logarithmic scale: the function rises.
    private static double Solve(Func<double, double> of, double low, double high)
    {
        if (of(low) >= 0)
        {
            return low;
        }

        for (int i = 0; i < 100 && high / low > 1 + 1e-13; i++)
        {
            double middle = Math.Sqrt(low * high);
            (low, high) = of(middle) < 0 ? (middle, high) : (low, middle);
        }

        return Math.Sqrt(low * high);
    }
}
