namespace Keyline.Water;

/// <summary>What water is worth as forage.</summary>
/// <param name="Kilograms">Dry matter, kilograms a hectare and year.</param>
/// <param name="UnitMonths">Animal unit months a hectare and year.</param>
/// <param name="Money">Money a hectare and year.</param>
public readonly record struct Forage(double Kilograms, double UnitMonths, double Money);

/// <summary>From water that plants use to forage, stock and money.</summary>
/// <remarks>
/// <para>Units: metres of water over the field, kilograms of dry matter and money a hectare. Cost: none.</para>
/// <para>Source: rain use efficiency in kg of dry matter a hectare and mm: 1.3 within a place over years (slope after Lauenroth and Sala, Ecological Applications 2, 1992, from memory), 3 to 6 on arid range in good
/// condition (Le Houérou 1984, as given by Western Australian extension pages), 6 between places (Sala and others, Ecology 69, 1988, from memory). An animal unit month: 780 lb of dry matter (extension pages of Alberta,
/// Manitoba and Nebraska; others use 750 to 915). Efficiencies are of rain; here they go with water that plants use, since what drains or evaporates grows nothing.</para>
/// </remarks>
public sealed record ForageWorth
{
    /// <summary>Dry matter of an animal unit month, kilograms: 780 lb.</summary>
    public const double UnitMonth = 780 * 0.45359237;

    /// <summary>Rain use efficiencies, kilograms a hectare and mm: low, middling and high.</summary>
    public static (double Low, double Middling, double High) Efficiencies { get; } = (1.3, 3, 6);

    /// <value>Share of the forage that stock eat. Default 0.25.</value>
    public double Harvest { get; init; } = 0.25;

    /// <value>Money for an animal unit month. Default 20; grazing fees in the United States lie at 15 to 45 dollars (from memory).</value>
    public double Price { get; init; } = 20;

    /// <summary>What water is worth.</summary>
    /// <param name="water">Metres that plants use more in a year.</param>
    /// <param name="efficiency">Kilograms a hectare and mm.</param>
    public Forage Of(double water, double efficiency)
    {
        double kilograms = 1000 * water * efficiency;
        double months = kilograms * Harvest / UnitMonth;
        return new Forage(kilograms, months, months * Price);
    }

    /// <summary>Years until a cost is paid back by what comes in year by year, undiscounted; null where it never is.</summary>
    /// <param name="cost">Money, above 0.</param>
    /// <param name="income">Money of the first year, the second and so on.</param>
    public static double? YearsToRepay(double cost, IEnumerable<double> income)
    {
        ArgumentNullException.ThrowIfNull(income);
        double left = cost;
        int year = 0;
        foreach (double money in income)
        {
            if (money >= left)
            {
                return year + (left / money);
            }

            left -= money;
            year++;
        }

        return null;
    }
}
