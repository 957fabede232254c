using System.Globalization;

namespace Keyline.Water;

/// <summary>Weather that never was, for demonstrations and trials.</summary>
/// <remarks>
/// <para>Units: millimetres and degrees Celsius in the table. A dry climate with rain mostly in the cold half of the year and thunderstorms in the warm one, some 450 mm a year.
/// Wet and dry days follow each other as a chain of two states, rain of a wet day is exponential, temperatures swing with the year.</para>
/// <para>Promises: the same seed gives the same table. Nothing of it was measured anywhere.</para>
/// <para>Cost: linear. Source: the kind of generator of Richardson, Water Resources Research 17, 1981 (from memory); its numbers: invented here.</para>
/// </remarks>
public static class InventedWeather
{
    /// <summary>Writes a table that <see cref="WeatherCsv"/> reads.</summary>
    /// <param name="text">Where to.</param>
    /// <param name="seed">Any number.</param>
    /// <param name="first">The first day.</param>
    /// <param name="days">How many, 0 or more.</param>
    /// <param name="south">Whether the warm half of the year is about January.</param>
    public static void Write(TextWriter text, int seed, DateOnly first, int days, bool south = false)
    {
        ArgumentNullException.ThrowIfNull(text);
        ulong state = unchecked((ulong)seed * 0x9E3779B97F4A7C15UL) + 0xD1B54A32D192ED03UL;
        text.Write("# Invented weather, measured nowhere.\ndate,rain_mm,tmin_c,tmax_c\n");
        bool wet = false;
        double year = 1;
        double swing = 0;
        for (int i = 0; i < days; i++)
        {
            DateOnly date = first.AddDays(i);
            if (i == 0 || date.DayOfYear == 1)
            {
                year = 0.65 + (0.7 * Next(ref state));
            }

            // 1 in the middle of the warm half, -1 in that of the cold one.
            double warmth = Math.Cos(2 * Math.PI * (date.DayOfYear - (south ? 15 : 197)) / 365.25);
            double chance = (wet ? 0.52 : 0.17) - (0.11 * warmth);
            wet = Next(ref state) < chance * Math.Sqrt(year);
            double mean = (5.5 + (3.5 * Math.Max(warmth, 0))) * year;
            double rain = wet ? Math.Max(-mean * Math.Log(1 - Next(ref state)), 0.2) : 0;
            swing = (0.7 * swing) + (3 * (Next(ref state) + Next(ref state) + Next(ref state) - 1.5));
            double high = 21 + (10.5 * warmth) + swing - (wet ? 3.5 : 0);
            double range = (wet ? 8 : 14) + (3 * Next(ref state));
            text.Write(string.Create(CultureInfo.InvariantCulture, $"{date:yyyy-MM-dd},{rain:0.0},{high - range:0.0},{high:0.0}\n"));
        }
    }

    // Splitmix, after Steele, Lea and Flood, Fast splittable pseudorandom number generators, 2014.
    private static double Next(ref ulong state)
    {
        state += 0x9E3779B97F4A7C15UL;
        ulong z = state;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
        return ((z ^ (z >> 31)) >> 11) * (1.0 / (1UL << 53));
    }
}
