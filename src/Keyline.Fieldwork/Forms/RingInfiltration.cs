namespace Keyline.Fieldwork;

/// <summary>What one ring showed.</summary>
/// <param name="SteadyRate">Rate over the last readings, m/s.</param>
/// <param name="LastChange">How far the last rate lies from the one before it, as a share; NaN where there are too few.</param>
/// <param name="Sorptivity">S of the two-term fit, m/s^0.5.</param>
/// <param name="TwoTermRate">A of the two-term fit, m/s: should lie near the steady rate or below it.</param>
/// <param name="GreenAmpt">What Green and Ampt's curve makes of it: its conductivity should lie near the steady rate or below it, too.</param>
public sealed record RingReading(double SteadyRate, double LastChange, double Sorptivity, double TwoTermRate, GreenAmptReading GreenAmpt);

/// <summary>A single ring under a constant head: from readings to the conductivity of the soil.</summary>
/// <remarks>
/// <para>Units: SI; alpha in 1/m. Promises: the steady rate is the slope through the last four readings at most.</para>
/// <para>Cost: linear. Source: W. D. Reynolds and D. E. Elrick 1990, "Ponded infiltration from a single ring: I", Soil Science Society of America Journal 54,
/// 1233-1241 (shape factor C1 d + C2 a with C1 = 0.316 pi and C2 = 0.184 pi; alpha by class 36, 12, 4, 1 per metre after Elrick, Reynolds and Tan 1989, from memory);
/// two terms after Philip 1957.</para>
/// </remarks>
public static class RingInfiltration
{
    private const double C1 = 0.316 * Math.PI;
    private const double C2 = 0.184 * Math.PI;
    private const int SteadyReadings = 4;

    /// <summary>Field-saturated conductivity over the steady rate of infiltration.</summary>
    /// <param name="radius">Inside radius of the ring, metres.</param>
    /// <param name="depth">How deep it stands in the ground, metres.</param>
    /// <param name="head">Water above the ground, metres.</param>
    /// <param name="alpha">Share of capillarity, 1/m.</param>
    public static double ConductivityShare(double radius, double depth, double head, double alpha)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(radius);
        ArgumentOutOfRangeException.ThrowIfNegative(depth);
        ArgumentOutOfRangeException.ThrowIfNegative(head);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(alpha);
        double shape = (C1 * depth) + (C2 * radius);
        return 1 / ((head / shape) + (1 / (alpha * shape)) + 1);
    }

    /// <summary>Alpha of a class of soil, 1/m.</summary>
    /// <param name="soil">"coarse" (sands), "loam" (most structured soils), "clay" (unstructured fine), or "tight" (compacted clay).</param>
    public static double Alpha(string soil) => soil switch { "coarse" => 36, "clay" => 4, "tight" => 1, _ => 12 };

    /// <summary>Class of a conductivity.</summary>
    /// <param name="conductivity">m/s.</param>
    /// <returns>As the Soil Survey Manual (USDA 2017, chapter 3) has it: decades of micrometres a second.</returns>
    public static string ClassOf(double conductivity) => conductivity switch
    {
        >= 1e-4 => "very high", >= 1e-5 => "high", >= 1e-6 => "moderately high", >= 1e-7 => "moderately low", >= 1e-8 => "low", _ => "very low",
    };

    /// <summary>Reads a ring.</summary>
    /// <param name="seconds">Times since the start, rising; three at least.</param>
    /// <param name="metres">Depth gone in by then.</param>
    public static RingReading Read(IReadOnlyList<double> seconds, IReadOnlyList<double> metres)
    {
        ArgumentNullException.ThrowIfNull(seconds);
        ArgumentNullException.ThrowIfNull(metres);
        ArgumentOutOfRangeException.ThrowIfLessThan(seconds.Count, 3, nameof(seconds));
        int n = seconds.Count, from = Math.Max(0, n - SteadyReadings);
        double meanT = seconds.Skip(from).Average(), meanI = metres.Skip(from).Average(), product = 0, square = 0;
        for (int i = from; i < n; i++)
        {
            product += (seconds[i] - meanT) * (metres[i] - meanI);
            square += (seconds[i] - meanT) * (seconds[i] - meanT);
        }

        double last = (metres[n - 1] - metres[n - 2]) / (seconds[n - 1] - seconds[n - 2]), before = (metres[n - 2] - metres[n - 3]) / (seconds[n - 2] - seconds[n - 3]);

        // Least squares of I = S root t + A t.
        double ss = 0, st = 0, tt = 0, si = 0, ti = 0;
        for (int i = 0; i < n; i++)
        {
            double t = seconds[i], root = Math.Sqrt(t);
            (ss, st, tt, si, ti) = (ss + t, st + (root * t), tt + (t * t), si + (root * metres[i]), ti + (t * metres[i]));
        }

        double determinant = (ss * tt) - (st * st);
        return new RingReading(
            product / square, before > 0 ? Math.Abs(last - before) / before : double.NaN,
            determinant > 0 ? ((si * tt) - (ti * st)) / determinant : double.NaN, determinant > 0 ? ((ss * ti) - (st * si)) / determinant : double.NaN,
            GreenAmptRing.Read(seconds, metres));
    }
}
