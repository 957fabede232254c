namespace Keyline.Water;

/// <summary>What a rip was at one place of it in a storm.</summary>
/// <param name="At">Metres from the line's start.</param>
/// <param name="Bed">Height of the furrow's bottom, metres; NaN where there is no ground.</param>
/// <param name="Flow">Greatest flow past it, cubic metres a second; above 0 toward the line's end, below 0 toward its start.</param>
/// <param name="Speed">Speed of that flow, metres a second.</param>
/// <param name="Shear">Mean shear of that flow, pascals.</param>
/// <param name="Spilled">Cubic metres given back there.</param>
public readonly record struct RipPlace(double At, double Bed, double Flow, double Speed, double Shear, double Spilled);

/// <summary>A stable outlet that rips may end at: a grassed waterway, a channel, a border.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Shape">Its shape, in the ground's coordinates.</param>
public sealed record WaterOutlet(string Name, NetTopologySuite.Geometries.Geometry Shape);

/// <summary>What a line's end let go at an outlet.</summary>
/// <param name="LineId">The line.</param>
/// <param name="IsStart">Whether it is the line's start.</param>
/// <param name="Outlet">The outlet's name.</param>
/// <param name="Volume">Cubic metres.</param>
public sealed record OutletDelivery(string LineId, bool IsStart, string Outlet, double Volume);

/// <summary>What a dam stored.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Area">Square metres.</param>
/// <param name="Stored">Cubic metres that ran into it or fell on it.</param>
public sealed record DamReading(string Name, double Area, double Stored);
