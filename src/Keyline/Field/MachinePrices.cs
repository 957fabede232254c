namespace Keyline.Field;

/// <summary>What a machine costs, in money of one kind.</summary>
/// <remarks>Units: money, years, hours, shares. The defaults of rates are common practice, no source; prices have none, since
/// they differ from place to place and year to year.</remarks>
public sealed record MachinePrices
{
    /// <value>Name of the money, as "USD". Default "money".</value>
    public string Currency { get; init; } = "money";

    /// <value>List price of a tractor like this one when new today.</value>
    public required double TractorPrice { get; init; }

    /// <value>Hours the tractor works a year, at whatever work. Default 400.</value>
    public double TractorHours { get; init; } = 400;

    /// <value>Years the tractor is kept. Default 10.</value>
    public double TractorYears { get; init; } = 10;

    /// <value>List price of an implement like this one when new today.</value>
    public required double ImplementPrice { get; init; }

    /// <value>Hours the implement works a year. Default 100.</value>
    public double ImplementHours { get; init; } = 100;

    /// <value>Years the implement is kept. Default 10.</value>
    public double ImplementYears { get; init; } = 10;

    /// <value>Interest a year, share (0.07 is 7 %). Default 0.07.</value>
    public double Interest { get; init; } = 0.07;

    /// <value>Taxes, insurance and housing a year, share of the price. Default 0.01.</value>
    public double TaxesInsuranceHousing { get; init; } = 0.01;

    /// <value>Price of a litre of fuel.</value>
    public required double FuelPrice { get; init; }

    /// <value>Oil, as a share of the fuel's cost. Default 0.15.</value>
    public double OilShare { get; init; } = 0.15;

    /// <value>Wage of an hour.</value>
    public required double Wage { get; init; }

    /// <value>Paid hours for each hour of the machine. Default 1.1.</value>
    public double LabourFactor { get; init; } = 1.1;

    /// <value>What a contractor asks for a hectare, or NaN. Default NaN.</value>
    public double CustomRate { get; init; } = double.NaN;

    internal string? Fault() =>
        Wrong(TractorPrice, 0, 1e9) ? Said("The tractor's price", TractorPrice, "0 or more")
        : Wrong(ImplementPrice, 0, 1e9) ? Said("The implement's price", ImplementPrice, "0 or more")
        : Wrong(FuelPrice, 0, 1e6) ? Said("The fuel's price", FuelPrice, "0 or more")
        : Wrong(Wage, 0, 1e7) ? Said("The wage", Wage, "0 or more")
        : Wrong(TractorHours, 1, 8760) || Wrong(ImplementHours, 1, 8760) ? "The hours of a year must be from 1 to 8760."
        : Wrong(TractorYears, 1, 60) || Wrong(ImplementYears, 1, 60) ? "The years a machine is kept must be from 1 to 60."
        : Wrong(Interest, 0, 1) || Wrong(TaxesInsuranceHousing, 0, 1) || Wrong(OilShare, 0, 1) ? "Interest, taxes and oil are shares from 0 to 1 (7 % is 0.07)."
        : Wrong(LabourFactor, 1, 5) ? Said("The labour factor", LabourFactor, "paid hours for an hour of the machine, 1 to 5")
        : !double.IsNaN(CustomRate) && Wrong(CustomRate, 0, 1e7) ? Said("The custom rate", CustomRate, "money for a hectare, 0 or more")
        : null;

    private static bool Wrong(double value, double least, double most) => !(value >= least && value <= most);

    private static string Said(string what, double value, string wanted) => FormattableString.Invariant($"{what} is {value:0.##}: give {wanted}.");
}
