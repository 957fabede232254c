namespace Keyline.Fieldwork;

/// <summary>What Green and Ampt's equation makes of one ring.</summary>
/// <param name="Conductivity">Of the wetted soil, m/s, as if all went straight down: sideways flow below a narrow ring makes it high.</param>
/// <param name="Pull">Suction at the front and water above ground, times what the soil takes up by volume: metres.</param>
/// <param name="Misfit">Root mean square of what the curve misses the readings by, metres.</param>
public sealed record GreenAmptReading(double Conductivity, double Pull, double Misfit);

/// <summary>Lays Green and Ampt's curve through the readings of a ring: a check beside the steady rate, and for rings that were stopped before they were steady.</summary>
/// <remarks>
/// <para>Units: SI. Promises: readings that lie on such a curve are met to a millionth; readings that rise evenly or ever faster have no pull. Both numbers 0 or more.</para>
/// <para>Cost: some thousand looks at each reading. Source: W. H. Green and G. A. Ampt 1911, "Studies on soil physics", Journal of Agricultural Science 4, 1-24:
/// I - B ln(1 + I / B) = K t with B the pull; the least squares over it are ours.</para>
/// </remarks>
public static class GreenAmptRing
{
    private const double LeastPull = 1e-5;
    private const double MostPull = 100;
    private const int Tries = 71;

    /// <summary>Reads a ring.</summary>
    /// <param name="seconds">Times since the start, rising; three at least.</param>
    /// <param name="metres">Depth gone in by then, 0 or more.</param>
    public static GreenAmptReading Read(IReadOnlyList<double> seconds, IReadOnlyList<double> metres)
    {
        ArgumentNullException.ThrowIfNull(seconds);
        ArgumentNullException.ThrowIfNull(metres);
        ArgumentOutOfRangeException.ThrowIfLessThan(seconds.Count, 3, nameof(seconds));
        if (!(metres[^1] > 0))
        {
            return new GreenAmptReading(0, 0, 0);
        }

        // Over the logarithm of the pull: the best of many, then between its neighbours by thirds.
        double step = Math.Log(MostPull / LeastPull) / (Tries - 1);
        int best = Enumerable.Range(0, Tries).MinBy(k => Of(k).Square);
        double low = Math.Max(0, best - 1), high = Math.Min(Tries - 1, best + 1);
        for (int i = 0; i < 80; i++)
        {
            double a = low + ((high - low) / 3), b = high - ((high - low) / 3);
            (low, high) = Of(a).Square <= Of(b).Square ? (low, b) : (a, high);
        }

        (double square, double conductivity, double pull) = Of((low + high) / 2);
        (double none, double straight) = Straight(seconds, metres);
        return none <= square * (1 + 1e-9) ? new GreenAmptReading(straight, 0, Math.Sqrt(none / seconds.Count)) : new GreenAmptReading(conductivity, pull, Math.Sqrt(square / seconds.Count));

        (double Square, double Conductivity, double Pull) Of(double k)
        {
            double b = LeastPull * Math.Exp(k * step), product = 0, squares = 0;
            for (int i = 0; i < seconds.Count; i++)
            {
                double held = Told(metres[i], b);
                product += held * seconds[i];
                squares += held * held;
            }

            double conductivity = squares / product, missed = 0;
            for (int i = 0; i < seconds.Count; i++)
            {
                // By how much depth the reading lies off: time off, times the rate there.
                double rate = conductivity * (1 + (b / Math.Max(metres[i], 1e-9))), late = seconds[i] - (Told(metres[i], b) / conductivity);
                missed += rate * late * rate * late;
            }

            return (missed, conductivity, b);
        }
    }

    // I - B ln(1 + I / B), without the loss of digits where I is far below B.
    private static double Told(double depth, double pull)
    {
        double u = depth / pull;
        return u < 1e-3 ? pull * u * u * (0.5 - (u / 3) + (u * u / 4)) : depth - (pull * Math.Log(1 + u));
    }

    private static (double Square, double Rate) Straight(IReadOnlyList<double> seconds, IReadOnlyList<double> metres)
    {
        double rate = seconds.Zip(metres, (t, i) => t * i).Sum() / seconds.Sum(t => t * t);
        return (seconds.Zip(metres, (t, i) => (i - (rate * t)) * (i - (rate * t))).Sum(), rate);
    }
}
