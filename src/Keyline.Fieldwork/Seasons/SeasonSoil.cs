using Keyline.Water;
using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork;

/// <summary>The soil that is to be ripped, of one kind or of one over another.</summary>
/// <remarks>Metres, shares of volume. Never changes. Source: <see cref="SaxtonRawls"/>; plastic limits: a judgement, see <see cref="PlasticLimit"/>.</remarks>
public sealed class SeasonSoil
{
    // Plastic limit over field capacity: near 1 in loams, below it in heavy clay (from memory).
    private const double OfClay = 0.9;

    // Density of mineral grains over that of water.
    private const double Grains = 2.65;

    private readonly double? _measured;

    private SeasonSoil(string name, TextureClass texture, SoilHydraulics hydraulics, double? measured) => (Name, Texture, Hydraulics, _measured) = (name, texture, hydraulics, measured);

    /// <summary>What it is called.</summary>
    public string Name { get; }

    /// <summary>Its class, or the nearest.</summary>
    public TextureClass Texture { get; }

    /// <summary>What it holds.</summary>
    public SoilHydraulics Hydraulics { get; }

    /// <summary>The soil beneath, or null.</summary>
    public SeasonSoil? Lower { get; private init; }

    /// <summary>Depth at which that begins, metres; infinite where there is none.</summary>
    public double Change { get; private init; } = double.PositiveInfinity;

    /// <summary>Share of the volume above which it smears: as measured, or its field capacity (a tenth less in clay); infinite in sand, which has none.</summary>
    public double PlasticLimit => _measured is { } byWeight ? byWeight * Grains * (1 - Hydraulics.Saturation)
        : Texture is TextureClass.Sand or TextureClass.LoamySand ? double.PositiveInfinity
        : Texture is TextureClass.Clay or TextureClass.SiltyClay or TextureClass.SandyClay ? OfClay * Hydraulics.FieldCapacity
        : Hydraulics.FieldCapacity;

    /// <summary>A soil of a class.</summary>
    /// <param name="texture">The class.</param>
    /// <param name="plasticLimit">Share of the dry weight, where it was measured.</param>
    public static SeasonSoil Of(TextureClass texture, double? plasticLimit = null) => new(TextureTable.Name(texture), texture, ClassHydraulics.Of(texture), Checked(plasticLimit));

    /// <summary>A soil of measured particles.</summary>
    /// <param name="sand">Share of the mineral weight.</param>
    /// <param name="clay">Share of the mineral weight.</param>
    /// <param name="organicMatter">Percent of the weight.</param>
    /// <param name="plasticLimit">Share of the dry weight, where it was measured.</param>
    public static SeasonSoil Of(double sand, double clay, double organicMatter, double? plasticLimit = null) => new(
        FormattableString.Invariant($"sand {100 * sand:0}, clay {100 * clay:0}, organic matter {organicMatter:0.#} %"), ClassHydraulics.Nearest(sand, clay), SaxtonRawls.Estimate(sand, clay, organicMatter), Checked(plasticLimit));

    /// <summary>This soil over another.</summary>
    /// <param name="lower">The other.</param>
    /// <param name="depth">Where it begins, metres, above 0.</param>
    public SeasonSoil Over(SeasonSoil lower, double depth)
    {
        ArgumentNullException.ThrowIfNull(lower);
        return depth is > 0 and <= 3 ? new SeasonSoil(FormattableString.Invariant($"{Name} over {lower.Name} at {depth:0.##} m"), Texture, Hydraulics, _measured) { Lower = lower, Change = depth }
            : throw new GroundDataException(FormattableString.Invariant($"The lower soil begins at {depth:0.###} m: it must lie between 0 and 3 m."));
    }

    /// <summary>The soil at a depth.</summary>
    /// <param name="depth">Metres.</param>
    public SeasonSoil At(double depth) => Lower is not null && depth > Change ? Lower : this;

    private static double? Checked(double? limit) => limit is null or (> 0 and < 1) ? limit
        : throw new GroundDataException(FormattableString.Invariant($"The plastic limit is {100 * limit:0.#} % of the dry weight: it must lie between 0 and 100 %."));
}
