namespace Keyline.Water;

/// <summary>What a soil takes in: Green and Ampt's three numbers, of one layer or of one above a tighter one.</summary>
/// <remarks>Metres and seconds; shares of volume 0 to 1. Never changes.</remarks>
public sealed class SoilColumn
{
    private SoilColumn(string name, double conductivity, double suction, double deficit)
    {
        Name = name;
        Conductivity = conductivity;
        Suction = suction;
        Deficit = deficit;
        Panless = double.PositiveInfinity;
    }

    /// <summary>What it is called, for tables.</summary>
    public string Name { get; }

    /// <summary>Conductivity behind the wetting front, metres a second, 0 or more.</summary>
    public double Conductivity { get; }

    /// <summary>Suction at the wetting front, metres of water, 0 or more.</summary>
    public double Suction { get; }

    /// <summary>Share of the volume that is still to be filled, 0 to 1.</summary>
    public double Deficit { get; }

    /// <summary>The layer beneath, where there is one.</summary>
    public SoilColumn? Pan { get; private init; }

    /// <summary>Depth of that layer's top, metres; infinite where there is none.</summary>
    public double PanDepth => Panless;

    private double Panless { get; init; }

    /// <summary>Suction times deficit, metres.</summary>
    internal double Pull => Suction * Deficit;

    /// <summary>A soil of one layer.</summary>
    /// <param name="name">What it is called.</param>
    /// <param name="conductivity">Metres a second; 0 takes in nothing, infinite takes in all.</param>
    /// <param name="suction">Metres of water.</param>
    /// <param name="deficit">Share of the volume still to be filled, 0 to 1.</param>
    /// <exception cref="GroundDataException">Numbers that are no soil.</exception>
    public static SoilColumn Uniform(string name, double conductivity, double suction, double deficit)
    {
        ArgumentNullException.ThrowIfNull(name);
        if (!(conductivity >= 0) || !(suction >= 0) || double.IsInfinity(suction) || !(deficit is >= 0 and <= 1))
        {
            throw new GroundDataException(FormattableString.Invariant(
                $"Soil {name} does not add up: conductivity {conductivity * 3.6e6:0.###} mm/h, suction {suction * 1000:0.###} mm, room {deficit:0.###}: the first two must be zero or more, the last between 0 and 1."));
        }

        return new SoilColumn(name, conductivity, suction, deficit);
    }

    /// <summary>A soil above a layer of another.</summary>
    /// <param name="pan">The layer beneath, of one layer itself.</param>
    /// <param name="depth">Depth of its top, metres, above 0.</param>
    public SoilColumn Over(SoilColumn pan, double depth)
    {
        ArgumentNullException.ThrowIfNull(pan);
        if (!(depth > 0) || !double.IsFinite(depth) || pan.Pan is not null || !(pan.Conductivity > 0))
        {
            throw new GroundDataException(FormattableString.Invariant($"Soil {Name}: the layer beneath begins at {depth:0.###} m: it must be deeper than 0, of one layer, and let some water through."));
        }

        return new SoilColumn(Name, Conductivity, Suction, Deficit) { Pan = pan, Panless = depth };
    }

    /// <summary>The same soil with other conductivity, as loosened or sealed.</summary>
    /// <param name="factor">0 or more.</param>
    public SoilColumn TimesConductivity(double factor)
    {
        SoilColumn changed = Uniform(Name, Conductivity * factor, Suction, Deficit);
        return Pan is null ? changed : changed.Over(Pan, PanDepth);
    }
}
