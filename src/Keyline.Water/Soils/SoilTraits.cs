namespace Keyline.Water;

/// <summary>What a soil is beside its texture that decides whether a rip in it lasts.</summary>
/// <remarks>Percent. Never changes.</remarks>
public sealed record SoilTraits
{
    /// <value>Exchangeable sodium percentage; NaN, the default, where nobody tested.</value>
    public double ExchangeableSodium { get; init; } = double.NaN;

    /// <value>Whether it is a clay that cracks and swells by itself (a vertisol). Default false.</value>
    public bool IsCracking { get; init; }
}
