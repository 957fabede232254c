namespace Keyline.Water;

/// <summary>Water a soil holds and lets through, from sand, clay and organic matter.</summary>
/// <param name="WiltingPoint">Share of the volume at 1500 kPa.</param>
/// <param name="FieldCapacity">Share of the volume at 33 kPa.</param>
/// <param name="Saturation">Share of the volume when full.</param>
/// <param name="Conductivity">When full, metres a second.</param>
/// <param name="Slope">Slope of the logarithmic tension-moisture curve, lambda.</param>
public readonly record struct SoilHydraulics(double WiltingPoint, double FieldCapacity, double Saturation, double Conductivity, double Slope);

/// <summary>Estimates a soil's hydraulics from its particles and organic matter.</summary>
/// <remarks>
/// <para>Units: shares in, shares and metres a second out; organic matter in percent of weight. Normal density, no gravel, no salt.</para>
/// <para>Cost: none. Source: Saxton and Rawls, Soil water characteristic estimates by texture and organic matter for hydrologic
/// solutions, Soil Science Society of America Journal 70, 2006, equations 1 to 5 and 15 to 18 of table 1. The suction at the wetting
/// front is Brooks and Corey's: (2 + 3 lambda) / (1 + 3 lambda) times half the air-entry tension of equation 4, after Rawls and others 1983.</para>
/// </remarks>
public static class SaxtonRawls
{
    private const double MetresPerKilopascal = 1 / 9.80665;

    /// <summary>Estimates.</summary>
    /// <param name="sand">Share of the mineral weight, 0 to 1.</param>
    /// <param name="clay">Share of the mineral weight, 0 to 1.</param>
    /// <param name="organicMatter">Percent of the weight, 0 to 8.</param>
    /// <exception cref="GroundDataException">Shares that do not add up.</exception>
    public static SoilHydraulics Estimate(double sand, double clay, double organicMatter)
    {
        if (!(sand is >= 0 and <= 1) || !(clay is >= 0 and <= 1) || sand + clay > 1 || !(organicMatter is >= 0 and <= 100))
        {
            throw new GroundDataException(FormattableString.Invariant($"The soil does not add up: sand {100 * sand:0.#} %, clay {100 * clay:0.#} %, organic matter {organicMatter:0.#} %: sand and clay are shares of the mineral part, together 100 % at most."));
        }

        if (clay > 0.6 || organicMatter > 8)
        {
            throw new GroundDataException(FormattableString.Invariant($"Clay of {100 * clay:0.#} % and organic matter of {organicMatter:0.#} % lie outside what the estimate was fitted to (60 % and 8 %): measure the soil and give its numbers."));
        }

        double s = sand;
        double c = clay;
        double om = organicMatter;
        double wiltFirst = (-0.024 * s) + (0.487 * c) + (0.006 * om) + (0.005 * s * om) - (0.013 * c * om) + (0.068 * s * c) + 0.031;
        double wilt = wiltFirst + (0.14 * wiltFirst) - 0.02;
        double capacityFirst = (-0.251 * s) + (0.195 * c) + (0.011 * om) + (0.006 * s * om) - (0.027 * c * om) + (0.452 * s * c) + 0.299;
        double capacity = capacityFirst + (1.283 * capacityFirst * capacityFirst) - (0.374 * capacityFirst) - 0.015;
        double openFirst = (0.278 * s) + (0.034 * c) + (0.022 * om) - (0.018 * s * om) - (0.027 * c * om) - (0.584 * s * c) + 0.078;
        double open = openFirst + (0.636 * openFirst) - 0.107;
        double full = capacity + open - (0.097 * s) + 0.043;
        double slope = (Math.Log(capacity) - Math.Log(wilt)) / (Math.Log(1500) - Math.Log(33));
        double conductivity = 1930 * Math.Pow(full - capacity, 3 - slope) / 1000 / 3600;
        return new SoilHydraulics(wilt, capacity, full, conductivity, slope);
    }

    /// <summary>A soil for Green and Ampt.</summary>
    /// <param name="sand">Share of the mineral weight.</param>
    /// <param name="clay">Share of the mineral weight.</param>
    /// <param name="organicMatter">Percent of the weight.</param>
    /// <param name="moisture">Share of the way from the wilting point to full that the soil has as the storm begins, 0 to 1.</param>
    public static SoilColumn Soil(double sand, double clay, double organicMatter, double moisture)
    {
        if (!(moisture is >= 0 and <= 1))
        {
            throw new GroundDataException(FormattableString.Invariant($"The soil's starting moisture is {moisture:0.###} of what it can hold: it must lie between 0 and 1."));
        }

        SoilHydraulics h = Estimate(sand, clay, organicMatter);
        double room = h.Saturation - h.FieldCapacity;
        double entryFirst = (-21.67 * sand) - (27.93 * clay) - (81.97 * room) + (71.12 * sand * room) + (8.29 * clay * room) + (14.05 * sand * clay) + 27.16;
        double entry = Math.Max(entryFirst + (0.02 * entryFirst * entryFirst) - (0.113 * entryFirst) - 0.70, 0.5);
        double suction = (2 + (3 * h.Slope)) / (1 + (3 * h.Slope)) * entry / 2 * MetresPerKilopascal;
        double deficit = (h.Saturation - h.WiltingPoint) * (1 - moisture);

        // Entrapped air halves the conductivity behind a front: Bouwer, Water Resources Research 2, 1966.
        return SoilColumn.Uniform(FormattableString.Invariant($"sand {100 * sand:0}, clay {100 * clay:0}, organic matter {organicMatter:0.#} %"), h.Conductivity / 2, suction, deficit);
    }
}
