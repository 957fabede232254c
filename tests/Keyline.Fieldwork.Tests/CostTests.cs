using Keyline.Field;

namespace Keyline.Fieldwork.Tests;

/// <summary>Fuel, cost and rates of work against published figures.</summary>
public sealed class CostTests
{
    // ASAE D497.4: Q = (2.64 X + 3.91 - 0.203 sqrt(738 X + 173)) L/kWh, evaluated here.
    [Theory]
    [InlineData(0.25, 0.73174)]
    [InlineData(0.5, 0.50398)]
    [InlineData(0.75, 0.41841)]
    [InlineData(0.85, 0.41122)]
    [InlineData(1, 0.42290)]
    public void OlderFuel(double load, double litres) => Assert.Equal(litres, FuelUse.OlderLitresAKilowattHour(load), 5e-6);

    // The same form as printed in English units (from memory): 0.52 X + 0.77 - 0.04 sqrt(738 X + 173) gallons for each horsepower-hour, 0.0818 at X = 0.75. Its coefficients are
    // rounded: 0.4155 L/kWh there, 0.4184 in metric units, so they are held against each other to one in a hundred.
    [Theory, InlineData(0.5), InlineData(0.75), InlineData(1)]
    public void OlderFuel_InEnglishUnits(double load)
    {
        double gallons = (0.52 * load) + 0.77 - (0.04 * Math.Sqrt((738 * load) + 173)), litres = gallons * 3.785411784 / 0.745699872;
        Assert.Equal(litres, FuelUse.OlderLitresAKilowattHour(load), 0.012 * litres);
        Assert.True(load != 0.75 || gallons is > 0.0818 and < 0.0819);
    }

    // Contour work with a ridging plough of 134 hp on 165 ha in Jordan (abstract of a field study): 1.2 ha/h at up to 4 km/h and a machine efficiency of 51 %, 5.15 L/ha. By C = S w E / 10 it worked 5.9 m
    // wide; at 80 %, as the standard's tables have for tillage, it would have done 1.9 ha/h. And its fuel is less an hour than either of our forms burns at a light load, so it pulled little.
    [Fact]
    public void ContourWork_IsSlowerThanTheTablesSay()
    {
        double width = 1.2 / FieldCapacity.HectaresAnHour(4 / 3.6, 1, 0.51);
        Assert.Equal(5.88, width, 0.01);
        Assert.Equal(1.88, FieldCapacity.HectaresAnHour(4 / 3.6, width, 0.80), 0.01);
        Assert.True(5.15 * 1.2 < FuelUse.LitresAnHour(0.25, 134 * 0.745699872 * 0.9));
    }

    // Iowa State University Extension, Iowa farm custom rate survey 2019, V-ripper (deep tillage): 23.45 $/acre, tractor, fuel and driver in. Prices of the time by common practice, no source: a tractor of 300 hp at
    // 250 000 $, a ripper of seven shanks at 0.76 m at 45 000 $, fuel at 0.65 $/L, 20 $/h; 9 km/h at 80 %. A custom rate has a profit in it and a market under it: within a half either way.
    [Fact]
    public void DeepTillage_CostsAboutWhatTheTradeAsks()
    {
        Machine machine = new() { Tractor = new Tractor { Power = 300 * 0.745699872, Drive = DriveClass.FourWheel }, Implement = new Implement { Shanks = 7, ShankSpacing = 0.76, Depth = 0.35 } };
        MachinePrices prices = new() { TractorPrice = 250_000, ImplementPrice = 45_000, FuelPrice = 0.65, Wage = 20 };
        double litres = FuelUse.LitresAnHour(0.85, TractivePower.AtPowerTakeOff(machine.Tractor, SoilSurface.Firm));
        double acre = HourlyCost.Of(machine, prices, litres).Total / (FieldCapacity.HectaresAnHour(9 / 3.6, 7 * 0.76, 0.80) * 2.4710538);
        Assert.InRange(acre, 23.45 / 1.5, 23.45 * 1.5);
    }

    // Grisso, Kocher and Vaughan 2004; ASABE D497.7: (0.22 X + 0.096) L/h for each rated kilowatt.
    [Theory]
    [InlineData(0.5, 1, 0.206)]
    [InlineData(0.75, 1, 0.261)]
    [InlineData(1, 1, 0.316)]
    [InlineData(0.75, 80, 20.880)]
    public void NewerFuel(double load, double rated, double litres) => Assert.Equal(litres, FuelUse.LitresAnHour(load, rated), 1e-9);

    // The same source: 80 kW at X = 0.75 and 0.8 of the rated engine speed burn 0.8921 as much.
    [Fact]
    public void NewerFuel_AtPartThrottle()
    {
        Assert.Equal(18.62705, FuelUse.LitresAnHour(0.75, 80, 0.8), 1e-5);
        double reduction = 20;
        Assert.Equal(FuelUse.LitresAnHour(0.75, 80) * (1 - ((0.00877 - (0.0045 * 0.75)) * reduction)), FuelUse.LitresAnHour(0.75, 80, 0.8), 1e-9);
    }

    // ASABE EP496: 0.223 L/h for each rated kilowatt; the two forms differ by a fifth at X = 0.75 (25.10 and 20.88 L/h).
    [Fact]
    public void AverageFuel_AndTheTwoForms()
    {
        Assert.Equal(17.84, FuelUse.AverageLitresAnHour(80), 1e-9);
        Assert.Equal(25.10, FuelUse.OlderLitresAnHour(0.75, 80), 0.005);
        Assert.Equal(1.20, FuelUse.OlderLitresAnHour(0.75, 80) / FuelUse.LitresAnHour(0.75, 80), 0.005);
    }

    // W. Edwards, Iowa State University Extension A3-29 prints 23, 29 and 25 % after 15 years of 400 hours, and 37 and 32 % after ten.
    [Theory]
    [InlineData(150, 15, 0.228366)]
    [InlineData(100, 15, 0.290617)]
    [InlineData(50, 15, 0.253173)]
    [InlineData(150, 10, 0.316111)]
    [InlineData(100, 10, 0.372208)]
    [InlineData(50, 10, 0.324380)]
    public void RemainingValue_OfTractors(double horsepower, double years, double share) =>
        Assert.Equal(share, OwningCost.RemainingValue(OwningCost.TractorOf(horsepower * 0.745699872), years, 400), 1e-6);

    // A state's published calculator: a tool of 40 000 after ten years is worth 11 852.
    [Fact]
    public void RemainingValue_OfATool() => Assert.Equal(11_851.83, 40_000 * OwningCost.RemainingValue(OwningCost.TillageTool, 10, 100), 0.01);

    // The table of accumulated repairs as state guides print it: 25 % at 6000 h (two wheels), 3, 8, 14 … 54 % for chisel ploughs.
    [Fact]
    public void Repairs()
    {
        Assert.Equal(0.70, OwningCost.Repairs(OwningCost.TwoWheelTractor, 10_000), 1e-12);
        Assert.Equal(0.252, OwningCost.Repairs(OwningCost.TwoWheelTractor, 6000), 1e-12);
        Assert.Equal(0.30, OwningCost.Repairs(OwningCost.FourWheelTractor, 10_000), 1e-12);
        double[] printed = [0.03, 0.08, 0.14, 0.20, 0.28, 0.36, 0.45, 0.54];
        Assert.All(printed.Select((share, i) => (share, 200.0 * (i + 1))), p => Assert.Equal(p.share, OwningCost.Repairs(OwningCost.ChiselPlough, p.Item2), 0.006));
    }

    // A3-29's example: paid 130 000, worth 34 500 after 15 years, 8 %; factor 0.11682954, a year 13 917.22.
    [Fact]
    public void CapitalCost_OfTheGuidesExample()
    {
        Assert.Equal(0.11682954, OwningCost.CapitalRecovery(0.08, 15), 1e-8);
        Assert.Equal(13_917.22, OwningCost.CapitalCost(130_000, 34_500, 0.08, 15), 0.01);
        Assert.Equal(0.1, OwningCost.CapitalRecovery(0, 10), 1e-12);
    }

    // Put together by hand from the same formulas: 80 kW at the power take-off, 95 000, 400 h for ten years, 7 %; tool 9000, 100 h a year.
    [Fact]
    public void HourOfAMachine()
    {
        Machine machine = new() { Tractor = new Tractor { Power = 80, PowerMeasure = PowerMeasure.PowerTakeOff }, Implement = new Implement { Shanks = 2, ShankSpacing = 0.7, Depth = 0.5 } };
        MachinePrices prices = new() { TractorPrice = 95_000, ImplementPrice = 9000, FuelPrice = 1, Wage = 25 };
        HourlyCost cost = HourlyCost.Of(machine, prices, FuelUse.AverageLitresAnHour(80));
        Assert.Equal(27.4165, cost.TractorCapital, 1e-4);
        Assert.Equal(2.375, cost.TractorDues, 1e-9);
        Assert.Equal(1.14, cost.TractorRepairs, 1e-9);
        Assert.Equal(20.516, cost.Fuel, 1e-9);
        Assert.Equal(27.5, cost.Labour, 1e-9);
        Assert.Equal(78.9475, cost.Tractor, 1e-4);
        Assert.Equal(14.3039, cost.Implement, 1e-4);
        Assert.Equal(93.2514, cost.Total, 1e-4);
        Assert.Equal(86.344, cost.Total / FieldCapacity.HectaresAnHour(4.5 / 3.6, 3, 0.80), 1e-3);
    }

    // ASABE EP496, C = S w E / 10, and its English form S w E / 8.25 (from memory): 2.8 mph, 5 ft, 0.85 give 1.442424 acres an hour.
    [Fact]
    public void FieldCapacity_InHectaresAndAcres()
    {
        Assert.Equal(0.57375, FieldCapacity.HectaresAnHour(4.5 / 3.6, 1.5, 0.85), 1e-9);
        Assert.Equal(1.08, FieldCapacity.HectaresAnHour(4.5 / 3.6, 3, 0.80), 1e-9);
        Assert.Equal(2.25, FieldCapacity.HectaresAnHour(5 / 3.6, 6, 0.75), 1e-9);
        Assert.Equal(1.442424, FieldCapacity.HectaresAnHour(2.8 * 0.44704, 5 * 0.3048, 0.85) / 0.40468564224, 2e-4);
        Assert.Equal(0.75, FieldCapacity.Efficiency(3, 4), 1e-12);
    }

    // Iowa State University Extension A3-26: 24 ft at 6 mph and 200 lbf/ft, half as much again for the field, is 115 hp at the power take-off.
    [Fact]
    public void PowerOfADraft_AsTheGuideReckons()
    {
        const double pound = 4.4482216152605, horsepower = 745.699872;
        DraftRow row = new(200 * pound / 0.3048, 0, 0, 1, 1, 1, 0.5);
        double watts = SubsoilerDraft.Newtons(row, SoilTexture.Fine, 24 * 0.3048, 0.01, 6 * 0.44704) * 6 * 0.44704;
        Assert.Equal(115.2, 1.5 * watts / horsepower, 0.01);
    }
}
