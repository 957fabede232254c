namespace Keyline.Water;

/// <summary>A layer of soil that holds water.</summary>
/// <param name="Thickness">Metres, above 0.</param>
/// <param name="WiltingPoint">Share of the volume, above 0.</param>
/// <param name="FieldCapacity">Share of the volume, above the wilting point.</param>
/// <param name="Saturation">Share of the volume, at least field capacity.</param>
/// <param name="Conductivity">When full, metres a second, above 0; infinite drains to field capacity within the day.</param>
public readonly record struct SoilLayer(double Thickness, double WiltingPoint, double FieldCapacity, double Saturation, double Conductivity);

/// <summary>Layers of soil from the surface down.</summary>
/// <remarks>Metres. Never changes.</remarks>
public sealed class LayeredSoil
{
    /// <summary>Usual thickness of a layer, metres: that from which the surface dries, 0.10 to 0.15 m in FAO-56.</summary>
    public const double UsualThickness = 0.1;

    private readonly SoilLayer[] _layers;

    private LayeredSoil(SoilLayer[] layers, double drainageLimit) => (_layers, DrainageLimit) = (layers, drainageLimit);

    /// <summary>The layers, the uppermost first.</summary>
    public IReadOnlyList<SoilLayer> Layers => _layers;

    /// <summary>Depth of the lowest layer's floor, metres.</summary>
    public double Depth => _layers.Sum(l => l.Thickness);

    /// <summary>The most that drains out of the lowest layer, metres a day; infinite where nothing holds it up.</summary>
    public double DrainageLimit { get; }

    /// <summary>Soil of layers.</summary>
    /// <param name="layers">The layers, the uppermost first.</param>
    /// <param name="drainageLimit">The most that drains out of the lowest, metres a day, 0 or more: what the rock or pan beneath lets through.</param>
    /// <exception cref="GroundDataException">A layer that does not add up.</exception>
    public static LayeredSoil Of(IReadOnlyList<SoilLayer> layers, double drainageLimit = double.PositiveInfinity)
    {
        ArgumentNullException.ThrowIfNull(layers);
        if (layers.Count is 0 or > 100)
        {
            throw new GroundDataException($"The soil has {layers.Count} layers: it must have from 1 to 100.");
        }

        for (int i = 0; i < layers.Count; i++)
        {
            SoilLayer l = layers[i];
            if (!(l.Thickness is > 0 and <= 10) || !(l.WiltingPoint > 0) || !(l.FieldCapacity > l.WiltingPoint) || !(l.Saturation >= l.FieldCapacity) || !(l.Saturation < 1) || !(l.Conductivity > 0))
            {
                throw new GroundDataException(FormattableString.Invariant(
                    $"Layer {i + 1} of the soil does not add up: {l.Thickness:0.###} m, wilting point {l.WiltingPoint:0.###}, field capacity {l.FieldCapacity:0.###}, full {l.Saturation:0.###}, {l.Conductivity * 3.6e6:0.###} mm/h: each share must lie above the one before, and the rest above zero."));
            }
        }

        return drainageLimit >= 0 ? new LayeredSoil([.. layers], drainageLimit)
            : throw new GroundDataException(FormattableString.Invariant($"What drains below the soil is limited to {1000 * drainageLimit:0.###} mm a day: it must be zero or more."));
    }

    /// <summary>Soil of even layers of some 0.1 m, of one kind or of one over another.</summary>
    /// <param name="upper">What it holds.</param>
    /// <param name="depth">Metres, above 0.</param>
    /// <param name="lower">What the soil beneath holds; null for the same.</param>
    /// <param name="change">Depth at which it begins, metres; a layer is of the kind its middle lies in.</param>
    public static LayeredSoil Even(SoilHydraulics upper, double depth, SoilHydraulics? lower = null, double change = double.PositiveInfinity)
    {
        if (!(depth is > 0 and <= 10))
        {
            throw new GroundDataException(FormattableString.Invariant($"The soil is {depth:0.###} m deep: it must be above 0 and up to 10 m."));
        }

        int n = Math.Max(1, (int)Math.Round(depth / UsualThickness));
        double each = depth / n;
        return Of([.. Enumerable.Range(0, n).Select(i =>
        {
            SoilHydraulics h = lower is { } below && (i + 0.5) * each > change ? below : upper;
            return new SoilLayer(each, h.WiltingPoint, h.FieldCapacity, h.Saturation, h.Conductivity);
        })]);
    }

    /// <summary>The layer that a depth lies in; a depth on the border of two lies in the upper one.</summary>
    /// <param name="depth">Metres.</param>
    public int At(double depth)
    {
        double floor = 0;
        for (int i = 0; i < _layers.Length; i++)
        {
            floor += _layers[i].Thickness;
            if (depth <= floor + 1e-9)
            {
                return i;
            }
        }

        return _layers.Length - 1;
    }
}

/// <summary>Plants on the soil, as they use its water.</summary>
/// <remarks>Defaults are those of extensively grazed pasture: FAO Irrigation and Drainage Paper 56, 1998, tables 17 and 22 (from memory).</remarks>
public sealed record PlantCover
{
    /// <value>Transpiration of plants that lack nothing over that of short grass, Kcb. Default 0.70.</value>
    public double Coefficient { get; init; } = 0.70;

    /// <value>The most that plants and bare soil use together over that of short grass, Kc max. Default 1.2.</value>
    public double Most { get; init; } = 1.2;

    /// <value>Share of the ground that plants cover. Default 0.6.</value>
    public double Cover { get; init; } = 0.6;

    /// <value>Depth of roots, metres. Default 1.0. The share of roots above a depth z is 1 - (1 - z / depth)²; after Prasad, Journal of Hydrology 99, 1988 (from memory).</value>
    public double RootDepth { get; init; } = 1.0;

    /// <value>Share of what is available that is drawn without stress, p. Default 0.6.</value>
    public double Ready { get; init; } = 0.6;

    /// <value>Water that bare soil gives off at the full rate before it dries, metres, REW. Default 0.008.</value>
    public double ReadyEvaporation { get; init; } = 0.008;

    /// <summary>Share of the roots above a depth.</summary>
    /// <param name="depth">Metres.</param>
    public double RootsAbove(double depth) => depth >= RootDepth ? 1 : 1 - ((1 - (depth / RootDepth)) * (1 - (depth / RootDepth)));

    /// <summary>Checks every value.</summary>
    /// <exception cref="GroundDataException">A value no plants have.</exception>
    public void Validate()
    {
        (string Name, double Value, double Least, double Most)[] values =
        [
            ("crop coefficient", Coefficient, 0, 1.5), ("greatest coefficient", Most, 0, 2), ("cover", Cover, 0, 1), ("depth of roots", RootDepth, 0.05, 10),
            ("share drawn without stress", Ready, 0, 0.95), ("water given off at the full rate", ReadyEvaporation, 0, 0.1),
        ];
        foreach ((string name, double value, double least, double most) in values)
        {
            if (!(value >= least && value <= most))
            {
                throw new GroundDataException(FormattableString.Invariant($"The plants' {name} is {value:0.###}: it must lie between {least:0.###} and {most:0.###} (metres, shares)."));
            }
        }
    }
}
