using System.Globalization;

namespace Keyline.Water;

/// <summary>Storms made from a depth and a rule for how it falls.</summary>
/// <remarks>
/// <para>Units: metres, seconds. Promises: the storm's depth is the depth asked for; same input, same bits.</para>
/// <para>Types II and III are the curves of older design practice; where a service publishes depths by duration, alternating
/// blocks of those are the better storm.</para>
/// <para>Cost: a few hundred steps. Source: types II and III, Soil Conservation Service, Technical Release 55, 1986, appendix B;
/// alternating blocks, Chow, Maidment and Mays, Applied Hydrology, 1988, section 14.4; double exponential, Nicks, Lane and Gander,
/// chapter 2 of the USDA Water Erosion Prediction Project documentation, 1995.</para>
/// </remarks>
public static class DesignStorms
{
    private const double Day = 86_400;
    private const double TableStep = 360;
    private const double MostPeak = 60;
    private const int ExponentialSteps = 100;

    private static readonly Lazy<(double[] II, double[] III)> Table = new(ReadTable);

    /// <summary>Rain of one intensity.</summary>
    /// <param name="depth">Metres, above 0.</param>
    /// <param name="duration">Seconds, above 0.</param>
    public static Hyetograph Steady(double depth, double duration)
    {
        Check(depth, duration);
        return Hyetograph.Of(Named(depth, duration, "steady"), [0, duration], [0, depth]);
    }

    /// <summary>A storm of type II or III.</summary>
    /// <param name="type">The type.</param>
    /// <param name="depth">Metres in the duration, above 0.</param>
    /// <param name="duration">Seconds, at most a day. Of a shorter storm the busiest stretch of the day's curve is taken, drawn up to the depth.</param>
    public static Hyetograph Nrcs(StormType type, double depth, double duration = Day)
    {
        Check(depth, duration);
        if (duration > Day)
        {
            throw new GroundDataException(FormattableString.Invariant($"A storm of type II or III lasts a day at most, and {duration / 3600:0.##} h were asked for: give the depth of 24 h."));
        }

        double[] curve = type == StormType.TypeII ? Table.Value.II : Table.Value.III;
        Hyetograph day = Hyetograph.Of("day", [.. curve.Select((_, i) => i * TableStep)], curve);
        string name = Named(depth, duration, type == StormType.TypeII ? "type II" : "type III");
        if (duration >= Day)
        {
            return day.ScaledTo(name, depth);
        }

        double from = day.BusiestFrom(duration);
        double[] inner = [.. day.Times.Where(t => t > from && t < from + duration)];
        double[] times = [0, .. inner.Select(t => t - from), duration];
        return Hyetograph.Of(name, times, [.. times.Select(t => day.By(from + t) - day.By(from))]).ScaledTo(name, depth);
    }

    /// <summary>Alternating blocks: the busiest stretch of every length, counted in steps, holds the depth of that length.</summary>
    /// <param name="name">What the storm is called.</param>
    /// <param name="step">Length of a block, seconds.</param>
    /// <param name="depths">Metres in one block, in two, and so on: growing by less and less.</param>
    /// <exception cref="GroundDataException">Depths that fall, or grow by more in a later step.</exception>
    public static Hyetograph AlternatingBlocks(string name, double step, IReadOnlyList<double> depths)
    {
        ArgumentNullException.ThrowIfNull(depths);
        Check(depths.Count > 0 ? depths[0] : 0, step);
        double[] gains = [.. depths.Select((d, i) => d - (i > 0 ? depths[i - 1] : 0))];
        for (int i = 0; i < gains.Length; i++)
        {
            if (!(gains[i] >= 0) || (i > 0 && gains[i] > gains[i - 1] + 1e-12))
            {
                throw new GroundDataException(FormattableString.Invariant(
                    $"Storm {name}: from {i * step / 60:0.##} to {(i + 1) * step / 60:0.##} min its depth grows by {gains[i] * 1000:0.###} mm, {(gains[i] >= 0 ? "more than in the step before" : "which is below zero")}: depths by duration must grow by less and less."));
            }
        }

        // The largest block stands in the middle; the others go by turns to its right and its left.
        int n = gains.Length;
        double[] placed = new double[n];
        int middle = (n - 1) / 2;
        for (int k = 0; k < n; k++)
        {
            placed[middle + (k % 2 == 1 ? (k + 1) / 2 : -(k / 2))] = gains[k];
        }

        double[] times = new double[n + 1];
        double[] fallen = new double[n + 1];
        for (int i = 0; i < n; i++)
        {
            times[i + 1] = (i + 1) * step;
            fallen[i + 1] = fallen[i] + placed[i];
        }

        return Hyetograph.Of(name, times, fallen);
    }

    /// <summary>A double exponential: rain that swells to a peak and ebbs.</summary>
    /// <param name="depth">Metres, above 0.</param>
    /// <param name="duration">Seconds, above 0.</param>
    /// <param name="peak">Peak intensity as a multiple of the mean; 1 or less gives steady rain, and no more than 60 is used.</param>
    /// <param name="peakAt">Share of the duration at which the peak comes, between 0 and 1.</param>
    public static Hyetograph DoubleExponential(double depth, double duration, double peak, double peakAt)
    {
        Check(depth, duration);
        if (!(peakAt is > 0 and < 1))
        {
            throw new GroundDataException(FormattableString.Invariant($"The peak of the storm is at {peakAt:0.###} of its duration: it must lie between 0 and 1."));
        }

        if (!(peak > 1))
        {
            return Steady(depth, duration);
        }

        double height = Math.Min(peak, MostPeak);
        double u = Steepness(height);
        double b = u / peakAt;
        double a = height * Math.Exp(-u);
        double c = u / (1 - peakAt);
        double Fallen(double t) => t <= peakAt ? a / b * (Math.Exp(b * t) - 1) : (a / b * (Math.Exp(u) - 1)) - (height / c * (Math.Exp(-c * (t - peakAt)) - 1));
        double[] shares = [.. Enumerable.Range(0, ExponentialSteps + 1).Select(i => (double)i / ExponentialSteps).Append(peakAt).Distinct().Order()];
        double whole = Fallen(1);
        return Hyetograph.Of(Named(depth, duration, "double exponential"), [.. shares.Select(t => t * duration)], [.. shares.Select(t => depth * Fallen(t) / whole)]);
    }

    /// <summary>Solves (1 - exp(-u)) / u = 1 / peak.</summary>
    internal static double Steepness(double peak)
    {
        double low = 1e-9;
        double high = peak + 1;
        for (int i = 0; i < 200; i++)
        {
            double u = (low + high) / 2;
            (low, high) = (1 - Math.Exp(-u)) / u > 1 / peak ? (u, high) : (low, u);
        }

        return (low + high) / 2;
    }

    private static string Named(double depth, double duration, string how) => FormattableString.Invariant($"{depth * 1000:0.#} mm in {Lasting(duration)}, {how}");

    private static string Lasting(double seconds) => seconds % 3600 == 0 ? FormattableString.Invariant($"{seconds / 3600:0} h") : FormattableString.Invariant($"{seconds / 60:0.#} min");

    private static void Check(double depth, double duration)
    {
        if (!(depth > 0) || !double.IsFinite(depth))
        {
            throw new GroundDataException(FormattableString.Invariant($"The storm's depth is {depth * 1000:0.###} mm: it must be above zero."));
        }

        if (!(duration > 0) || !double.IsFinite(duration))
        {
            throw new GroundDataException(FormattableString.Invariant($"The storm's duration is {duration / 60:0.###} min: it must be above zero."));
        }
    }

    private static (double[] II, double[] III) ReadTable()
    {
        using Stream stream = typeof(DesignStorms).Assembly.GetManifestResourceStream("Keyline.Water.nrcs-24h.csv")!;
        using StreamReader reader = new(stream);
        List<double> two = [];
        List<double> three = [];
        while (reader.ReadLine() is { } line)
        {
            if (line.Length > 0 && char.IsAsciiDigit(line[0]))
            {
                string[] cells = line.Split(',');
                two.Add(double.Parse(cells[1], CultureInfo.InvariantCulture));
                three.Add(double.Parse(cells[2], CultureInfo.InvariantCulture));
            }
        }

        return ([.. two], [.. three]);
    }
}
