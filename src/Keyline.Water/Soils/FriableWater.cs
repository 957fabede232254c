namespace Keyline.Water;

/// <summary>The moisture at which soil crumbles best, from the shape of its retention curve.</summary>
/// <remarks>
/// <para>Units: shares of what the soil holds when full. Cost: none.</para>
/// <para>Source: Dexter and Bird, Methods for predicting the optimum and the range of soil water contents for tillage, Soil and Tillage Research 57, 2001 (from memory):
/// best at the inflection of van Genuchten's curve, (1 + 1/m)^(-m) of the way from residual to full, workable up to 0.4 of the way from there to full. Curves of classes: Carsel and
/// Parrish, Water Resources Research 24, 1988, table 6 (from memory). Meant for seedbeds: wetter than what is advised for ripping.</para>
/// </remarks>
public static class FriableWater
{
    // Residual and full, shares of the volume, and n.
    private static readonly (double Residual, double Full, double N)[] Curves =
    [
        (0.045, 0.43, 2.68), (0.057, 0.41, 2.28), (0.065, 0.41, 1.89), (0.078, 0.43, 1.56), (0.067, 0.45, 1.41), (0.100, 0.39, 1.48),
        (0.095, 0.41, 1.31), (0.089, 0.43, 1.23), (0.100, 0.38, 1.23), (0.070, 0.36, 1.09), (0.068, 0.38, 1.09),
    ];

    /// <summary>Where it crumbles best.</summary>
    /// <param name="texture">The class.</param>
    public static double Best(SoilTexture texture) => Volume(texture) / Curves[(int)texture].Full;

    /// <summary>The wettest at which it is workable.</summary>
    /// <param name="texture">The class.</param>
    public static double Wettest(SoilTexture texture) => Best(texture) + (0.4 * (1 - Best(texture)));

    /// <summary>The best moisture as a share of the volume of the soil the curve was fitted to.</summary>
    /// <param name="texture">The class.</param>
    internal static double Volume(SoilTexture texture)
    {
        (double residual, double full, double n) = Curves[(int)texture];
        double m = 1 - (1 / n);
        return residual + ((full - residual) * Math.Pow(1 + (1 / m), -m));
    }
}
