namespace Keyline.Water;

/// <summary>How hard a storm strikes the soil: its kinetic energy times its greatest rain of half an hour (EI30).</summary>
/// <remarks>
/// <para>Units: megajoules a hectare, millimetres an hour; EI30 in MJ mm / (ha h).</para>
/// <para>Cost: one pass over the steps. Source: Renard and others, Predicting Soil Erosion by Water, USDA Agriculture Handbook 703,
/// 1997, appendix B, unit energy 0.29 (1 - 0.72 exp(-0.05 i)).</para>
/// </remarks>
public static class RainEnergy
{
    private const double HalfHour = 1800;

    /// <summary>Energy of a storm.</summary>
    /// <param name="rain">The storm.</param>
    /// <returns>Energy, MJ/ha; greatest rain of half an hour as an intensity, mm/h; their product.</returns>
    public static (double Energy, double Intensity30, double EI30) Of(Hyetograph rain)
    {
        ArgumentNullException.ThrowIfNull(rain);
        double energy = 0;
        for (int i = 1; i < rain.Times.Count; i++)
        {
            double fell = 1000 * (rain.Depths[i] - rain.Depths[i - 1]);
            double intensity = fell * 3600 / (rain.Times[i] - rain.Times[i - 1]);
            energy += fell * 0.29 * (1 - (0.72 * Math.Exp(-0.05 * intensity)));
        }

        double hard = rain.MostIn(HalfHour) * 1000 * 2;
        return (energy, hard, energy * hard);
    }
}
