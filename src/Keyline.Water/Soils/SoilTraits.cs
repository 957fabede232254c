namespace Keyline.Water;

/// <summary>What a soil is beside its texture that decides whether a rip in it lasts.</summary>
/// <remarks>Percent, metres, shares of the field from 0 to 1. Never changes.</remarks>
public sealed record SoilTraits
{
    /// <value>Exchangeable sodium percentage, the greatest where it differs; NaN, the default, where nobody tested.</value>
    public double ExchangeableSodium { get; init; } = double.NaN;

    /// <value>Share of the field that is sodic (<see cref="WhenNot.SodicFrom"/>). Default 1: all of it.</value>
    public double SodicShare { get; init; } = 1;

    /// <value>Whether it is, or is in part, a clay that cracks and swells by itself (a vertisol). Default false.</value>
    public bool IsCracking { get; init; }

    /// <value>Share of the field that is cracking clay. Default 1.</value>
    public double CrackingShare { get; init; } = 1;

    /// <value>Depth of rock, metres, the least where it differs; NaN, the default, where nobody knows of any.</value>
    public double RockDepth { get; init; } = double.NaN;

    /// <value>Share of the field where rock is in the way (<see cref="WhenNot.RockInTheWay"/>). Default 1.</value>
    public double RockShare { get; init; } = 1;
}
