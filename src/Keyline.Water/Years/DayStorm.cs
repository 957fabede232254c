namespace Keyline.Water;

/// <summary>The storm that a day's rain is taken to have come as.</summary>
/// <remarks>
/// <para>Units: metres, seconds. A day's rain is one storm of double exponential shape; what is given is the share of it that falls in its wettest half hour.</para>
/// <para>Cost: a few hundred steps. Source: Nicks, Lane and Gander, chapter 2 of the USDA Water Erosion Prediction Project documentation, 1995; that the wettest half hour has some 0.2 to 0.6 of a
/// day's rain, and one storm a wet day: common simplifications (from memory). A gauge that records nearby tells the share for a place and season.</para>
/// </remarks>
public static class DayStorm
{
    /// <summary>Usual share of a day's rain in its wettest half hour.</summary>
    public const double UsualShare = 0.4;

    // Peak over mean at which the two exponentials begin and end at a ten-thousandth of the peak.
    private const double Peak = 9.21;
    private const double PeakAt = 0.3;
    private const double Day = 86_400;

    /// <summary>The shape of a storm of 1 m, to be scaled.</summary>
    /// <param name="halfHourShare">Share of the rain in the wettest half hour, between 0.05 and 0.95.</param>
    /// <exception cref="GroundDataException">Another share.</exception>
    public static Hyetograph Shape(double halfHourShare)
    {
        if (!(halfHourShare is >= 0.05 and <= 0.95))
        {
            throw new GroundDataException(FormattableString.Invariant($"The wettest half hour is said to bring {100 * halfHourShare:0.#} % of a day's rain: it must lie between 5 and 95 %."));
        }

        // About the peak the rain ebbs as exp(-9.21 t / D) on both sides together, so that 1 - exp(-9.21 (0.5 h) / D) falls in the half hour.
        double duration = Math.Min(Peak * 1800 / -Math.Log(1 - halfHourShare), Day);
        return DesignStorms.DoubleExponential(1, duration, Peak, PeakAt);
    }
}
