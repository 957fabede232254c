using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork;

/// <summary>How fast a soil sheds water, by the seven classes of soil surveys.</summary>
/// <remarks>Source: United States Department of Agriculture, Soil Survey Manual, Handbook 18, chapter 3, natural drainage classes.</remarks>
public enum SoilDrainage
{
    /// <summary>Water stands at or near the surface most of the time.</summary>
    VeryPoor,

    /// <summary>Wet at shallow depth for much of the growing season.</summary>
    Poor,

    /// <summary>Wet at shallow depth for part of it; "imperfect" in some surveys.</summary>
    SomewhatPoor,

    /// <summary>Wet in the root zone for short times.</summary>
    ModeratelyWell,

    /// <summary>Water leaves readily, not fast.</summary>
    Well,

    /// <summary>Water leaves fast.</summary>
    SomewhatExcessive,

    /// <summary>Water leaves very fast.</summary>
    Excessive,
}

/// <summary>What is known of the soil and the site of one piece of land; what is not known is NaN or null.</summary>
/// <remarks>Units: metres, pascals, metres a second, shares, percent, decisiemens a metre, as each says. Never changes.</remarks>
public sealed record SiteFacts
{
    /// <value>Texture class of what is ripped.</value>
    public TextureClass? Texture { get; init; }

    /// <value>Sand, share of the mineral weight.</value>
    public double Sand { get; init; } = double.NaN;

    /// <value>Clay, share of the mineral weight.</value>
    public double Clay { get; init; } = double.NaN;

    /// <value>Organic matter, percent of the weight.</value>
    public double OrganicMatter { get; init; } = double.NaN;

    /// <value>Whether a pan was found; null where nobody looked.</value>
    public bool? HasPan { get; init; }

    /// <value>Depth of the pan's upper edge, metres.</value>
    public double PanTop { get; init; } = double.NaN;

    /// <value>Depth of its lower edge, metres.</value>
    public double PanBottom { get; init; } = double.NaN;

    /// <value>The greatest strength a penetrometer met at field capacity, pascals.</value>
    public double Strength { get; init; } = double.NaN;

    /// <value>Depth of rock, metres.</value>
    public double RockDepth { get; init; } = double.NaN;

    /// <value>Drainage class.</value>
    public SoilDrainage? Drainage { get; init; }

    /// <value>Exchangeable sodium, percent of what the clay holds.</value>
    public double ExchangeableSodium { get; init; } = double.NaN;

    /// <value>Emerson's class, 1 (slakes and disperses at once) to 8.</value>
    public int? EmersonClass { get; init; }

    /// <value>Electrical conductivity of the saturated paste, decisiemens a metre.</value>
    public double Salinity { get; init; } = double.NaN;

    /// <value>Ground covered by living plants and litter, share.</value>
    public double Cover { get; init; } = double.NaN;

    /// <value>Slope of the land, metres of rise a metre.</value>
    public double Slope { get; init; } = double.NaN;

    /// <value>Whether it cracks and swells by itself (vertisols).</value>
    public bool? IsCracking { get; init; }

    /// <value>Whether it sets hard as it dries.</value>
    public bool? IsHardSetting { get; init; }

    /// <value>Whether water taken in here feeds a saline seep lower down.</value>
    public bool? FeedsSeep { get; init; }

    /// <value>Whether plants that must not spread grow here.</value>
    public bool? HasWeeds { get; init; }

    /// <value>What the soil lets through when wet, metres a second, as rings or a survey have it.</value>
    public double Conductivity { get; init; } = double.NaN;

    /// <summary>These facts, with those of another where they are known there.</summary>
    /// <param name="other">What is known better.</param>
    public SiteFacts With(SiteFacts other)
    {
        ArgumentNullException.ThrowIfNull(other);
        return new SiteFacts
        {
            Texture = other.Texture ?? Texture,
            Sand = Known(other.Sand, Sand),
            Clay = Known(other.Clay, Clay),
            OrganicMatter = Known(other.OrganicMatter, OrganicMatter),
            HasPan = other.HasPan ?? HasPan,

            // A pan's edges belong together: one from each of two sources may lie the wrong way round.
            PanTop = other.HasPan is null ? PanTop : other.PanTop,
            PanBottom = other.HasPan is null ? PanBottom : other.PanBottom,
            Strength = Known(other.Strength, Strength),
            RockDepth = Known(other.RockDepth, RockDepth),
            Drainage = other.Drainage ?? Drainage,
            ExchangeableSodium = Known(other.ExchangeableSodium, ExchangeableSodium),
            EmersonClass = other.EmersonClass ?? EmersonClass,
            Salinity = Known(other.Salinity, Salinity),
            Cover = Known(other.Cover, Cover),
            Slope = Known(other.Slope, Slope),
            IsCracking = other.IsCracking ?? IsCracking,
            IsHardSetting = other.IsHardSetting ?? IsHardSetting,
            FeedsSeep = other.FeedsSeep ?? FeedsSeep,
            HasWeeds = other.HasWeeds ?? HasWeeds,
            Conductivity = Known(other.Conductivity, Conductivity),
        };
    }

    private static double Known(double first, double second) => double.IsNaN(first) ? second : first;
}
