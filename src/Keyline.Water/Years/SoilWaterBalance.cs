namespace Keyline.Water;

/// <summary>The soil that roots draw on.</summary>
/// <param name="FieldCapacity">Share of the volume.</param>
/// <param name="WiltingPoint">Share of the volume.</param>
/// <param name="RootDepth">Metres.</param>
/// <param name="Ready">Share of what is available that is drawn without stress, p; 0.6 for grazed pasture.</param>
public sealed record RootZone(double FieldCapacity, double WiltingPoint, double RootDepth, double Ready = 0.6)
{
    /// <summary>Water available to plants when at field capacity, metres.</summary>
    public double Available => (FieldCapacity - WiltingPoint) * RootDepth;
}

/// <summary>A day of the soil's water.</summary>
/// <param name="Used">Evapotranspiration, metres.</param>
/// <param name="Drained">What went deeper than roots, metres.</param>
/// <param name="Depletion">What the soil lacks of field capacity at the end, metres.</param>
/// <param name="Stress">Share of full evapotranspiration that the soil allowed.</param>
public readonly record struct SoilDay(double Used, double Drained, double Depletion, double Stress);

/// <summary>The daily balance of water in the root zone.</summary>
/// <remarks>
/// <para>Units: metres a day. Promises: water in = used + drained + change of what is held, to rounding.</para>
/// <para>Cost: linear in days. Source: Allen and others, FAO Irrigation and Drainage Paper 56, 1998, equations 82 to 85; stress from the depletion at the day's beginning.</para>
/// </remarks>
public static class SoilWaterBalance
{
    /// <summary>Runs days.</summary>
    /// <param name="zone">The root zone.</param>
    /// <param name="intake">Rain less runoff of each day, metres.</param>
    /// <param name="demand">Evapotranspiration of plants that lack nothing, of each day, metres.</param>
    /// <param name="depletion">What the soil lacks of field capacity as they begin, metres.</param>
    /// <exception cref="GroundDataException">A root zone that holds nothing.</exception>
    public static SoilDay[] Run(RootZone zone, IReadOnlyList<double> intake, IReadOnlyList<double> demand, double depletion)
    {
        ArgumentNullException.ThrowIfNull(zone);
        ArgumentNullException.ThrowIfNull(intake);
        ArgumentNullException.ThrowIfNull(demand);
        double available = zone.Available;
        double ready = zone.Ready * available;
        if (!(available > 0) || !(zone.Ready is >= 0 and < 1))
        {
            throw new GroundDataException(FormattableString.Invariant($"The root zone holds {1000 * available:0.#} mm and {zone.Ready:0.##} of it readily: it must hold some, and less than all readily."));
        }

        SoilDay[] days = new SoilDay[intake.Count];
        double lacks = depletion;
        for (int i = 0; i < days.Length; i++)
        {
            double stress = lacks > ready ? Math.Max((available - lacks) / (available - ready), 0) : 1;
            double used = demand[i] * stress;
            double after = lacks - intake[i] + used;
            double drained = Math.Max(-after, 0);
            double over = Math.Max(after - available, 0);
            used -= over;
            lacks = Math.Clamp(after, 0, available);
            days[i] = new SoilDay(used, drained, lacks, stress);
        }

        return days;
    }
}
