namespace Keyline.Fieldwork;

/// <summary>Diesel fuel for a load.</summary>
/// <remarks>
/// <para>Units: litres, kilowatts at the power take-off; a load is the share of the rated power that is asked, 0 to 1. Promises:
/// typical engines; the older form carries some 15 % for the field, from memory, and so gives more. Cost: constant.</para>
/// <para>Source: newer form: R. D. Grisso, M. F. Kocher and D. H. Vaughan, "Predicting tractor fuel consumption", Applied Engineering in
/// Agriculture 20 (2004) 553-561, taken into ASABE D497.7; older form: ASAE D497.4; average: ASABE EP496.</para>
/// </remarks>
public static class FuelUse
{
    /// <summary>Average over a year's work, litres an hour for each rated kilowatt (EP496: 0.223).</summary>
    public const double AveragePerKilowatt = 0.223;

    /// <summary>Litres an hour, by the newer form.</summary>
    /// <param name="load">Power asked over rated power.</param>
    /// <param name="ratedPower">Rated power at the power take-off, kilowatts.</param>
    /// <param name="engineSpeed">Engine speed over its rated one; 1 at full throttle.</param>
    public static double LitresAnHour(double load, double ratedPower, double engineSpeed = 1)
    {
        double x = Math.Clamp(load, 0, 1);
        return ((0.22 * x) + 0.096) * (1 - ((engineSpeed - 1) * ((0.45 * x) - 0.877))) * ratedPower;
    }

    /// <summary>Litres for a kilowatt-hour asked, by the older form.</summary>
    /// <param name="load">Power asked over rated power, above 0.</param>
    public static double OlderLitresAKilowattHour(double load) => (2.64 * load) + 3.91 - (0.203 * Math.Sqrt((738 * load) + 173));

    /// <summary>Litres an hour, by the older form.</summary>
    /// <param name="load">Power asked over rated power.</param>
    /// <param name="ratedPower">Rated power at the power take-off, kilowatts.</param>
    public static double OlderLitresAnHour(double load, double ratedPower)
    {
        double x = Math.Clamp(load, 0, 1);
        return OlderLitresAKilowattHour(x) * x * ratedPower;
    }

    /// <summary>Average litres an hour over a year's work.</summary>
    /// <param name="ratedPower">Rated power at the power take-off, kilowatts.</param>
    public static double AverageLitresAnHour(double ratedPower) => AveragePerKilowatt * ratedPower;
}
