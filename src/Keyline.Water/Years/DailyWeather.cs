namespace Keyline.Water;

/// <summary>Rain and evapotranspiration, day after day without a hole.</summary>
/// <remarks>Metres a day. Never changes.</remarks>
public sealed class DailyWeather
{
    // More fell nowhere in a day: 1.825 m, La Reunion 1966 (World Meteorological Organization's archive of extremes).
    internal const double MostRain = 2.0;

    // No table of reference evapotranspiration reaches this.
    internal const double MostReference = 0.03;

    private readonly double[] _rain;
    private readonly double[] _reference;

    internal DailyWeather(string name, DateOnly first, double[] rain, double[] reference, IReadOnlyList<string> said) =>
        (Name, First, _rain, _reference, Said) = (name, first, rain, reference, said);

    /// <summary>What it is called, for tables.</summary>
    public string Name { get; }

    /// <summary>The first day.</summary>
    public DateOnly First { get; }

    /// <summary>The last day.</summary>
    public DateOnly Last => First.AddDays(Count - 1);

    /// <summary>How many days there are.</summary>
    public int Count => _rain.Length;

    /// <summary>Rain of each day, metres.</summary>
    public IReadOnlyList<double> Rain => _rain;

    /// <summary>Evapotranspiration of short grass that lacks nothing, metres a day.</summary>
    public IReadOnlyList<double> Reference => _reference;

    /// <summary>How evapotranspiration was come by and what was filled, a sentence each.</summary>
    public IReadOnlyList<string> Said { get; }

    /// <summary>The date of a day.</summary>
    /// <param name="day">Index of the day, from 0.</param>
    public DateOnly DateOf(int day) => First.AddDays(day);

    /// <summary>Makes a series.</summary>
    /// <param name="name">What it is called.</param>
    /// <param name="first">The first day.</param>
    /// <param name="rain">Metres of each day, 0 to 2.</param>
    /// <param name="reference">Metres of each day, 0 to 0.03.</param>
    /// <exception cref="GroundDataException">A day that cannot be; the message says which.</exception>
    public static DailyWeather Of(string name, DateOnly first, IReadOnlyList<double> rain, IReadOnlyList<double> reference)
    {
        ArgumentNullException.ThrowIfNull(name);
        ArgumentNullException.ThrowIfNull(rain);
        ArgumentNullException.ThrowIfNull(reference);
        if (rain.Count != reference.Count)
        {
            throw new ArgumentException($"{rain.Count} days of rain and {reference.Count} of evapotranspiration were given.", nameof(reference));
        }

        if (rain.Count == 0)
        {
            throw new GroundDataException($"{name}: it holds no day.");
        }

        for (int i = 0; i < rain.Count; i++)
        {
            if (!(rain[i] is >= 0 and <= MostRain) || !(reference[i] is >= 0 and <= MostReference))
            {
                throw new GroundDataException(FormattableString.Invariant(
                    $"{name}: {first.AddDays(i):yyyy-MM-dd} has {1000 * rain[i]:0.#} mm of rain and {1000 * reference[i]:0.#} mm of evapotranspiration: no day has less than none or more than {1000 * MostRain:0} and {1000 * MostReference:0} mm."));
            }
        }

        return new DailyWeather(name, first, [.. rain], [.. reference], []);
    }
}
