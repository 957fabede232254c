namespace Keyline.Water;

/// <summary>Water that the soil of a texture class holds and lets through.</summary>
/// <remarks>
/// <para>Units: shares, metres a second. Real soils of a class lie a third either side and more in conductivity: measure.</para>
/// <para>Cost: none. Source: the textures that stand for their classes in Saxton and Rawls, Soil Science Society of America Journal 70, 2006, table 3.</para>
/// </remarks>
public static class ClassHydraulics
{
    /// <summary>Organic matter that table 3 takes, percent of the weight.</summary>
    public const double UsualOrganicMatter = 2.5;

    private static readonly (double Sand, double Clay)[] Middles =
        [(0.88, 0.05), (0.80, 0.05), (0.65, 0.10), (0.40, 0.20), (0.20, 0.15), (0.60, 0.25), (0.30, 0.35), (0.10, 0.35), (0.50, 0.40), (0.10, 0.45), (0.25, 0.50)];

    /// <summary>Hydraulics of a class.</summary>
    /// <param name="texture">The class.</param>
    /// <param name="organicMatter">Percent of the weight, 0 to 8.</param>
    public static SoilHydraulics Of(SoilTexture texture, double organicMatter = UsualOrganicMatter) =>
        SaxtonRawls.Estimate(Middles[(int)texture].Sand, Middles[(int)texture].Clay, organicMatter);

    /// <summary>The class whose middle lies nearest to a texture. For what is known of classes alone; no triangle is drawn.</summary>
    /// <param name="sand">Share of the mineral weight.</param>
    /// <param name="clay">Share of the mineral weight.</param>
    public static SoilTexture Nearest(double sand, double clay)
    {
        int best = 0;
        for (int i = 1; i < Middles.Length; i++)
        {
            best = Far(i) < Far(best) ? i : best;
        }

        return (SoilTexture)best;

        double Far(int i) => Math.Pow(Middles[i].Sand - sand, 2) + Math.Pow(Middles[i].Clay - clay, 2);
    }
}
