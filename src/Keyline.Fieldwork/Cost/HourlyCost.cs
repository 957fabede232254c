using Keyline.Field;

namespace Keyline.Fieldwork;

/// <summary>What an hour of a machine costs, by its parts.</summary>
/// <remarks>Units: money an hour. Source: <see cref="OwningCost"/>.</remarks>
/// <param name="TractorCapital">Depreciation and interest of the tractor.</param>
/// <param name="TractorDues">Its taxes, insurance and housing.</param>
/// <param name="TractorRepairs">Its repairs and maintenance.</param>
/// <param name="Fuel">Fuel and oil.</param>
/// <param name="Labour">The driver.</param>
/// <param name="ImplementCapital">Depreciation and interest of the implement.</param>
/// <param name="ImplementDues">Its taxes, insurance and housing.</param>
/// <param name="ImplementRepairs">Its repairs and maintenance.</param>
public sealed record HourlyCost(double TractorCapital, double TractorDues, double TractorRepairs, double Fuel, double Labour, double ImplementCapital, double ImplementDues, double ImplementRepairs)
{
    /// <summary>The tractor with fuel and driver.</summary>
    public double Tractor => TractorCapital + TractorDues + TractorRepairs + Fuel + Labour;

    /// <summary>The implement.</summary>
    public double Implement => ImplementCapital + ImplementDues + ImplementRepairs;

    /// <summary>All of it.</summary>
    public double Total => Tractor + Implement;

    /// <summary>The cost of an hour of a machine.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="prices">What it costs.</param>
    /// <param name="litresAnHour">Fuel it burns.</param>
    public static HourlyCost Of(Machine machine, MachinePrices prices, double litresAnHour)
    {
        ArgumentNullException.ThrowIfNull(machine);
        ArgumentNullException.ThrowIfNull(prices);
        double power = TractivePower.AtPowerTakeOff(machine.Tractor, SoilSurface.Firm);
        double worth = prices.TractorPrice * OwningCost.RemainingValue(OwningCost.TractorOf(power), prices.TractorYears, prices.TractorHours);
        RepairRow repairs = machine.Tractor.Drive == DriveClass.TwoWheel ? OwningCost.TwoWheelTractor : OwningCost.FourWheelTractor;
        double tool = prices.ImplementPrice * OwningCost.RemainingValue(OwningCost.TillageTool, prices.ImplementYears, prices.ImplementHours);
        double tractorLife = prices.TractorHours * prices.TractorYears, toolLife = prices.ImplementHours * prices.ImplementYears;
        return new HourlyCost(
            OwningCost.CapitalCost(prices.TractorPrice, worth, prices.Interest, prices.TractorYears) / prices.TractorHours,
            prices.TractorPrice * prices.TaxesInsuranceHousing / prices.TractorHours,
            prices.TractorPrice * OwningCost.Repairs(repairs, tractorLife) / tractorLife,
            litresAnHour * prices.FuelPrice * (1 + prices.OilShare),
            prices.Wage * prices.LabourFactor,
            OwningCost.CapitalCost(prices.ImplementPrice, tool, prices.Interest, prices.ImplementYears) / prices.ImplementHours,
            prices.ImplementPrice * prices.TaxesInsuranceHousing / prices.ImplementHours,
            prices.ImplementPrice * OwningCost.Repairs(OwningCost.ChiselPlough, toolLife) / toolLife);
    }
}
