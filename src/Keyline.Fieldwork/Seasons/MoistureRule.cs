using Keyline.Water;

namespace Keyline.Fieldwork;

/// <summary>How soil is for ripping on a day.</summary>
public enum SoilState
{
    /// <summary>Powder or hard blocks.</summary>
    TooDry,

    /// <summary>It crumbles.</summary>
    Right,

    /// <summary>It smears.</summary>
    TooWet,
}

/// <summary>Between which moistures soil is ripped.</summary>
/// <remarks>Shares of what is between wilting point and field capacity, at the depth of the tip. The published rules disagree; so several are shown.</remarks>
/// <param name="Key">Its name.</param>
/// <param name="Words">What it says.</param>
/// <param name="Source">Where it is from.</param>
/// <param name="Driest">The driest.</param>
/// <param name="Wettest">The wettest; NaN for that at which the soil is still friable.</param>
/// <param name="MindsPlasticLimit">Whether every layer down to the tip must also be at nine tenths of its plastic limit or below.</param>
public sealed record MoistureRule(string Key, string Words, string Source, double Driest, double Wettest, bool MindsPlasticLimit)
{
    /// <summary>Share of the plastic limit up to which soil crumbles; Müller and Dexter, from memory.</summary>
    public const double PlasticShare = 0.9;

    // Plants draw soil down to its wilting point ever more slowly and never reach it.
    private const double Wilted = 0.05;

    /// <summary>The usual rule: the drier half, and no layer above that would smear.</summary>
    public static MoistureRule DrierHalf { get; } = new(
        "drier-half", "tip in the drier half of what plants can use, every layer above at or below 0.9 of its plastic limit", "judgement between the guides below", Wilted, 0.5, true);

    /// <summary>The dry guide.</summary>
    public static MoistureRule Dry { get; } = new(
        "dry", "tip below 30 % of what plants can use", "NRCS practice 324, Deep Tillage, Arizona 2008 (below 30 % of field capacity at the greatest depth)", 0, 0.3, false);

    /// <summary>The moister guide.</summary>
    public static MoistureRule Moist { get; } = new(
        "moist", "tip between 30 and 50 % of what plants can use", "NRCS practice 324, Deep Tillage, Maine 2014 (30 to 50 % of field capacity, not too dry)", 0.3, 0.5, false);

    /// <summary>The seedbed rule.</summary>
    public static MoistureRule Friable { get; } = new(
        "friable", "tip from half of what plants can use up to the wettest at which a seedbed is worked", "Dexter and Bird 2001 (upper end); for seedbeds, wetter than ripping wants", 0.5, double.NaN, false);

    /// <summary>All of them, the usual first.</summary>
    public static IReadOnlyList<MoistureRule> All { get; } = [DrierHalf, Dry, Moist, Friable];

    /// <summary>A rule of the user's own.</summary>
    /// <param name="driest">Share of what plants can use.</param>
    /// <param name="wettest">Share of what plants can use; above 1 is wetter than field capacity.</param>
    /// <exception cref="GroundDataException">The wettest is not above the driest.</exception>
    public static MoistureRule Between(double driest, double wettest) => driest >= 0 && wettest > driest && wettest <= 2
        ? new("own", FormattableString.Invariant($"tip between {100 * driest:0.#} and {100 * wettest:0.#} % of what plants can use, every layer above at or below 0.9 of its plastic limit"), "the user's own", driest, wettest, true)
        : throw new GroundDataException(FormattableString.Invariant($"The soil is to be ripped between {100 * driest:0.#} and {100 * wettest:0.#} % of what plants can use: the first must be 0 or more, the second above it and 200 at most."));

    /// <summary>The two ends for a soil, shares of the volume.</summary>
    /// <param name="soil">The soil at the tip.</param>
    public (double Driest, double Wettest) Ends(SeasonSoil soil)
    {
        ArgumentNullException.ThrowIfNull(soil);
        SoilHydraulics h = soil.Hydraulics;
        return (At(Driest), double.IsNaN(Wettest) ? FriableWater.Wettest(soil.Texture) * h.Saturation : At(Wettest));

        double At(double share) => h.WiltingPoint + (share * (h.FieldCapacity - h.WiltingPoint));
    }

    /// <summary>What the rule says of a day.</summary>
    /// <param name="soil">The soil at the tip.</param>
    /// <param name="tip">Its moisture, share of the volume.</param>
    /// <param name="ofPlasticLimit">The greatest moisture over plastic limit of any layer down to the tip.</param>
    public SoilState Of(SeasonSoil soil, double tip, double ofPlasticLimit)
    {
        (double driest, double wettest) = Ends(soil);
        return tip > wettest || (MindsPlasticLimit && ofPlasticLimit > PlasticShare) ? SoilState.TooWet : tip < driest ? SoilState.TooDry : SoilState.Right;
    }
}
