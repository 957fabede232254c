using System.Globalization;

namespace Keyline.Water;

/// <summary>Days of weather that are missing: the short holes filled by a stated rule, the long ones refused.</summary>
internal static class WeatherHoles
{
    /// <summary>Fills: no rain; evapotranspiration on a straight line between the known days about the hole, or that of the nearest at an end.</summary>
    public static void Fill(string name, DateOnly first, double[] rain, double[] reference, int longest, List<string> said)
    {
        int missing = 0;
        int start = -1;
        for (int i = 0; i <= rain.Length; i++)
        {
            if (i < rain.Length && (double.IsNaN(rain[i]) || double.IsNaN(reference[i])))
            {
                missing++;
                start = start < 0 ? i : start;
                continue;
            }

            if (start >= 0 && i - start > longest)
            {
                throw new GroundDataException(FormattableString.Invariant(
                    $"{name}: from {first.AddDays(start):yyyy-MM-dd} to {first.AddDays(i - 1):yyyy-MM-dd} rain or temperatures are missing for {i - start} days: fill them in from a gauge nearby, or let holes of that length be filled (now {longest} days)."));
            }

            start = -1;
        }

        if (missing == 0)
        {
            return;
        }

        if (!reference.Any(double.IsFinite))
        {
            throw new GroundDataException($"{name}: no day has all that evapotranspiration is told from.");
        }

        said.Add(string.Create(CultureInfo.InvariantCulture, $"{missing} days lack rain or temperatures: taken as without rain where it is missing, with evapotranspiration between that of the days about them."));
        Line(reference);
        for (int i = 0; i < rain.Length; i++)
        {
            rain[i] = double.IsNaN(rain[i]) ? 0 : rain[i];
        }
    }

    private static void Line(double[] values)
    {
        int before = -1;
        for (int i = 0; i < values.Length; i++)
        {
            if (double.IsNaN(values[i]))
            {
                continue;
            }

            for (int k = before + 1; k < i; k++)
            {
                values[k] = before < 0 ? values[i] : values[before] + ((values[i] - values[before]) * (k - before) / (i - before));
            }

            before = i;
        }

        for (int k = before + 1; k < values.Length; k++)
        {
            values[k] = values[before];
        }
    }
}
