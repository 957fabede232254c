namespace Keyline.Report;

/// <summary>A kind of quantity as people speak of it: the same foot measures a field's side and a contour, but nobody gives a day's driving in feet.</summary>
public enum UnitKind
{
    /// <summary>Lengths and heights: metres or feet. SI: metres.</summary>
    Length,

    /// <summary>Ways driven: kilometres or miles. SI: metres.</summary>
    Way,

    /// <summary>Small lengths: centimetres or inches. SI: metres.</summary>
    SmallLength,

    /// <summary>Depths of water: millimetres or inches. SI: metres.</summary>
    WaterDepth,

    /// <summary>Fields: hectares or acres. SI: square metres.</summary>
    Area,

    /// <summary>Patches of ground: square metres or square feet. SI: square metres.</summary>
    SmallArea,

    /// <summary>Water on the land: cubic metres or US gallons. SI: cubic metres.</summary>
    WaterVolume,

    /// <summary>Water along a line: litres a metre or US gallons a foot. SI: cubic metres a metre.</summary>
    WaterForLength,

    /// <summary>Running water: litres or cubic feet a second. SI: cubic metres a second.</summary>
    WaterFlow,

    /// <summary>How fast water enters the ground: millimetres or inches an hour. SI: metres a second.</summary>
    WaterRate,

    /// <summary>How fast water runs: metres or feet a second. SI: metres a second.</summary>
    WaterSpeed,

    /// <summary>Fuel: litres or US gallons. SI: cubic metres.</summary>
    Fuel,

    /// <summary>Fuel for an area: litres a hectare or US gallons an acre. SI: cubic metres a square metre.</summary>
    FuelForArea,

    /// <summary>Speeds of machines: kilometres or miles an hour. SI: metres a second.</summary>
    Speed,

    /// <summary>Pulls: kilonewtons or pounds of force. SI: newtons.</summary>
    Force,

    /// <summary>Power: kilowatts or horsepower. SI: watts.</summary>
    Power,

    /// <summary>Counts for each kilometre or mile. SI: for each metre.</summary>
    ForEachWay,

    /// <summary>Counts or money for each hectare or acre. SI: for each square metre.</summary>
    ForEachArea,

    /// <summary>Yields: kilograms a hectare or pounds an acre. SI: kilograms a square metre.</summary>
    MassForArea,
}
