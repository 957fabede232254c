namespace Keyline.Fieldwork;

/// <summary>How the worth of a machine falls with its age and use.</summary>
/// <param name="First">C1.</param>
/// <param name="Age">C2, for the root of the years.</param>
/// <param name="Use">C3, for the root of the hours a year.</param>
public readonly record struct RemainingValueRow(double First, double Age, double Use);

/// <summary>How the cost of repairs grows with hours.</summary>
/// <param name="Factor">RF1.</param>
/// <param name="Power">RF2.</param>
public readonly record struct RepairRow(double Factor, double Power);

/// <summary>What a machine costs to own and to repair.</summary>
/// <remarks>
/// <para>Units: shares of the list price, years, hours, money. Promises: averages over many machines. Cost: constant.</para>
/// <para>Source: ASABE EP496 and D497, Agricultural Machinery Management: remaining value (C1 - C2 √n - C3 √h)², accumulated
/// repair and maintenance P RF1 (hours/1000)^RF2; coefficients from memory, confirmed by the tables of W. Edwards, "Estimating farm
/// machinery costs", Iowa State University Extension A3-29.</para>
/// </remarks>
public static class OwningCost
{
    /// <summary>Tractors of 30 to 79 horsepower (22 to 59 kW) at the power take-off.</summary>
    public static RemainingValueRow SmallTractor { get; } = new(0.9809, 0.0934, 0.0058);

    /// <summary>Tractors of 80 to 149 horsepower (60 to 111 kW).</summary>
    public static RemainingValueRow MediumTractor { get; } = new(0.9420, 0.0999, 0.0008);

    /// <summary>Tractors of 150 horsepower (112 kW) and more.</summary>
    public static RemainingValueRow LargeTractor { get; } = new(0.9756, 0.1187, 0.0019);

    /// <summary>Tillage tools.</summary>
    public static RemainingValueRow TillageTool { get; } = new(0.8906, 0.1095, 0);

    /// <summary>Repairs of tractors with two driven wheels.</summary>
    public static RepairRow TwoWheelTractor { get; } = new(0.007, 2.0);

    /// <summary>Repairs of tractors with four driven wheels or front assist.</summary>
    public static RepairRow FourWheelTractor { get; } = new(0.003, 2.0);

    /// <summary>Repairs of chisel ploughs, used for subsoilers, of which no row is known to us.</summary>
    public static RepairRow ChiselPlough { get; } = new(0.28, 1.4);

    /// <summary>The row of a tractor by its power.</summary>
    /// <param name="powerTakeOff">Power at the power take-off, kilowatts.</param>
    public static RemainingValueRow TractorOf(double powerTakeOff) => powerTakeOff < 80 * Horsepower ? SmallTractor : powerTakeOff < 150 * Horsepower ? MediumTractor : LargeTractor;

    /// <summary>What is left of the list price, share.</summary>
    /// <param name="row">The kind of machine.</param>
    /// <param name="years">Its age, years.</param>
    /// <param name="hoursAYear">Hours it works a year.</param>
    public static double RemainingValue(RemainingValueRow row, double years, double hoursAYear)
    {
        double root = row.First - (row.Age * Math.Sqrt(years)) - (row.Use * Math.Sqrt(hoursAYear));
        return root > 0 ? root * root : 0;
    }

    /// <summary>Repairs and maintenance up to an age, share of the list price.</summary>
    /// <param name="row">The kind of machine.</param>
    /// <param name="hours">Hours it has worked.</param>
    public static double Repairs(RepairRow row, double hours) => row.Factor * Math.Pow(hours / 1000, row.Power);

    /// <summary>The yearly payment for each unit of money owed.</summary>
    /// <param name="interest">Interest a year, share.</param>
    /// <param name="years">Years.</param>
    public static double CapitalRecovery(double interest, double years) => interest == 0 ? 1 / years : interest / (1 - Math.Pow(1 + interest, -years));

    /// <summary>Depreciation and interest a year, money.</summary>
    /// <param name="price">What was paid.</param>
    /// <param name="salvage">What is left at the end.</param>
    /// <param name="interest">Interest a year, share.</param>
    /// <param name="years">Years kept.</param>
    public static double CapitalCost(double price, double salvage, double interest, double years) => ((price - salvage) * CapitalRecovery(interest, years)) + (salvage * interest);

    // Mechanical horsepower, kilowatts: 550 ft lbf/s (NIST SP 811, 2008, appendix B.8).
    private const double Horsepower = 0.745699872;
}
