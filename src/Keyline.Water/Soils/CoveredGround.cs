using NetTopologySuite.Geometries;

namespace Keyline.Water;

/// <summary>How ground behaves in a storm that is no field's soil.</summary>
public enum GroundCover
{
    /// <summary>Takes nothing in: rock, a road, a yard, a roof, a wetland that is full.</summary>
    TakesNothing,

    /// <summary>Stores what comes in, and gives nothing back. What it can hold is not asked.</summary>
    Dam,

    /// <summary>Takes in a share of what the soil there would: a headland that is driven on.</summary>
    Trafficked,
}

/// <summary>Ground that behaves unlike the soil around it.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Shape">Where, in the ground's coordinates. A point or line counts as the cells around it.</param>
/// <param name="Cover">How it behaves.</param>
public sealed record CoveredGround(string Name, Geometry Shape, GroundCover Cover)
{
    /// <value>Share of the soil's conductivity where it is driven on, 0 to 1. Default 1.</value>
    public double Intake { get; init; } = 1;
}
