namespace Keyline.Water;

/// <summary>Runoff by curve number, for those who have no more than that.</summary>
/// <remarks>
/// <para>Units: metres. Cost: none.</para>
/// <para>Source: Soil Conservation Service, Technical Release 55, 1986, chapter 2, S = 1000 / CN - 10 inches, initial abstraction 0.2 S;
/// dry and wet curve numbers, Chow, Maidment and Mays, Applied Hydrology, 1988, section 5.5.</para>
/// </remarks>
public static class CurveNumber
{
    private const double Inch = 0.0254;

    /// <summary>Runoff of a storm, metres.</summary>
    /// <param name="rain">Metres, 0 or more.</param>
    /// <param name="number">Curve number, above 0, at most 100.</param>
    public static double Runoff(double rain, double number)
    {
        Check(number);
        double s = Retention(number);
        double excess = rain - (0.2 * s);
        return excess > 0 ? excess * excess / (rain + (0.8 * s)) : 0;
    }

    /// <summary>The greatest retention S, metres.</summary>
    /// <param name="number">Curve number.</param>
    public static double Retention(double number) => ((1000 / number) - 10) * Inch;

    /// <summary>The curve number of dry ground.</summary>
    /// <param name="number">That of middling ground.</param>
    public static double Dry(double number) => 4.2 * number / (10 - (0.058 * number));

    /// <summary>The curve number of wet ground.</summary>
    /// <param name="number">That of middling ground.</param>
    public static double Wet(double number) => 23 * number / (10 + (0.13 * number));

    /// <summary>The soil that lets as much run off in a storm, at a point, as a curve number says. Ours: a curve number holds no rate,
    /// so suction and room are taken (0.2 m, 0.2) and the conductivity is found.</summary>
    /// <param name="number">Curve number.</param>
    /// <param name="storm">The storm.</param>
    public static SoilColumn Soil(double number, Hyetograph storm)
    {
        ArgumentNullException.ThrowIfNull(storm);
        double wanted = Runoff(storm.Depth, number);
        double low = 1e-10;
        double high = 1e-3;
        for (int i = 0; i < 60; i++)
        {
            double k = Math.Sqrt(low * high);
            (low, high) = PointInfiltration.Run(storm, SoilColumn.Uniform("curve number", k, 0.2, 0.2), 0, storm.Duration).Runoff > wanted ? (k, high) : (low, k);
        }

        return SoilColumn.Uniform(FormattableString.Invariant($"curve number {number:0.#}"), Math.Sqrt(low * high), 0.2, 0.2);
    }

    private static void Check(double number)
    {
        if (!(number is > 0 and <= 100))
        {
            throw new GroundDataException(FormattableString.Invariant($"The curve number is {number:0.###}: it must be above 0 and at most 100."));
        }
    }
}
