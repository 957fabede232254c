namespace Keyline.Water;

/// <summary>Infiltration with a sharp wetting front.</summary>
/// <remarks>
/// <para>Units: metres, seconds. Promises: the depth taken in solves the equation F - M ln(1 + F / M) = K t to 1e-12 of its scale.</para>
/// <para>Cost: a few rounds of Newton's method. Source: Green and Ampt, Journal of Agricultural Science 4, 1911; ponding time of steady
/// rain, Mein and Larson, Water Resources Research 9, 1973; as in Chow, Maidment and Mays, Applied Hydrology, 1988, sections 4.3 and 4.4.
/// Two layers: Childs and Bybordi, Water Resources Research 5, 1969.</para>
/// </remarks>
public static class GreenAmpt
{
    /// <summary>Depth taken in by soil under water from the beginning.</summary>
    /// <param name="conductivity">K, metres a second.</param>
    /// <param name="pull">M, suction times deficit, metres.</param>
    /// <param name="time">Seconds.</param>
    /// <returns>Metres.</returns>
    public static double Depth(double conductivity, double pull, double time) => DepthFrom(conductivity, pull, 0, time);

    /// <summary>Depth taken in by the end of a stretch under water.</summary>
    /// <param name="conductivity">K, metres a second.</param>
    /// <param name="pull">M, suction times deficit, metres.</param>
    /// <param name="before">Depth taken in by its beginning, metres.</param>
    /// <param name="time">How long it lasts, seconds.</param>
    public static double DepthFrom(double conductivity, double pull, double before, double time)
    {
        double water = conductivity * time;
        if (!(water > 0))
        {
            return before;
        }

        if (!(pull > 0) || double.IsInfinity(water))
        {
            return before + water;
        }

        // With x the depth gained, x - M ln(1 + x / (F0 + M)) = K t grows and bends one way, so Newton from above comes down to it.
        double first = before + pull;
        double x = water + Math.Sqrt((water * water) + (2 * water * first));
        for (int i = 0; i < 60; i++)
        {
            double miss = x - (pull * Math.Log(1 + (x / first))) - water;
            double next = x - (miss / (1 - (pull / (first + x))));
            if (!(next > 0))
            {
                next = x / 2;
            }

            if (Math.Abs(next - x) <= 1e-15 * (x + first))
            {
                x = next;
                break;
            }

            x = next;
        }

        return before + x;
    }

    /// <summary>How fast soil under water takes it in, metres a second.</summary>
    /// <param name="conductivity">K, metres a second.</param>
    /// <param name="pull">M, metres.</param>
    /// <param name="taken">Depth taken in so far, metres, above 0.</param>
    public static double Rate(double conductivity, double pull, double taken) => conductivity * (1 + (pull / taken));

    /// <summary>Depth taken in when steady rain begins to stand, metres; infinite where it never does.</summary>
    /// <param name="conductivity">K, metres a second.</param>
    /// <param name="pull">M, metres.</param>
    /// <param name="rain">Intensity, metres a second.</param>
    public static double PondingDepth(double conductivity, double pull, double rain) => rain > conductivity ? conductivity * pull / (rain - conductivity) : double.PositiveInfinity;

    /// <summary>Seconds until steady rain begins to stand; infinite where it never does.</summary>
    /// <param name="conductivity">K, metres a second.</param>
    /// <param name="pull">M, metres.</param>
    /// <param name="rain">Intensity, metres a second.</param>
    public static double PondingTime(double conductivity, double pull, double rain) => PondingDepth(conductivity, pull, rain) / rain;

    /// <summary>How fast a layered soil takes in water with the front in its second layer, metres a second.</summary>
    /// <param name="soil">Soil with a layer beneath.</param>
    /// <param name="front">Depth of the front, metres, below the first layer.</param>
    /// <param name="head">Depth of the water above, metres.</param>
    public static double LayeredRate(SoilColumn soil, double front, double head)
    {
        ArgumentNullException.ThrowIfNull(soil);
        return soil.Pan is null || front <= soil.PanDepth
            ? soil.Conductivity * (head + soil.Suction + front) / front
            : (head + soil.Pan.Suction + front) / ((soil.PanDepth / soil.Conductivity) + ((front - soil.PanDepth) / soil.Pan.Conductivity));
    }
}
