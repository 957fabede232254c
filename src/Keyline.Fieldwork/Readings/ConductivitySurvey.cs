namespace Keyline.Fieldwork;

/// <summary>A reading of apparent electrical conductivity.</summary>
/// <param name="X">East, metres.</param>
/// <param name="Y">North, metres.</param>
/// <param name="Value">Decisiemens a metre, as read.</param>
/// <param name="Temperature">Of the soil, degrees Celsius; NaN where it was not taken.</param>
/// <param name="Minutes">Since any moment; NaN where it was not noted.</param>
/// <param name="Pass">0 for the survey, 1 and up for the passes of the transect that is driven again and again.</param>
public readonly record struct ConductivityReading(double X, double Y, double Value, double Temperature, double Minutes, int Pass);

/// <summary>Readings brought to 25 degrees and freed of the instrument's drift.</summary>
/// <param name="Points">The survey's readings, decisiemens a metre at 25 degrees.</param>
/// <param name="DriftAnHour">What the instrument drifted by, decisiemens a metre an hour; NaN where no transect was driven twice.</param>
/// <param name="Pairs">Places of the transect that were met again.</param>
public sealed record CorrectedConductivity(IReadOnlyList<SoilPoint> Points, double DriftAnHour, int Pairs);

/// <summary>Corrects a survey of apparent electrical conductivity.</summary>
/// <remarks>
/// <para>Units: decisiemens a metre, degrees Celsius, minutes. Promises: drift is taken as even in time and taken away from the first reading on;
/// one soil temperature, the mean of those taken, is used for readings without one; without any nothing is changed for temperature.</para>
/// <para>Cost: O(n) a pass. Source: D. L. Corwin and S. M. Lesch, "Apparent soil electrical conductivity measurements in agriculture", Computers and
/// Electronics in Agriculture 46 (2005) 11-43: EC25 = ECt (0.4470 + 1.4034 exp(-t / 26.815)) after Sheets and Hendrickx 1995, and a
/// transect repeated for drift. At 25 degrees the factor is 0.9994, as published.</para>
/// </remarks>
public static class ConductivitySurvey
{
    // Two readings of the transect this near are of one place, metres.
    private const double SamePlace = 5;

    /// <summary>What a reading is to be multiplied by to stand for 25 degrees.</summary>
    /// <param name="temperature">Of the soil, degrees Celsius.</param>
    public static double To25(double temperature) => 0.4470 + (1.4034 * Math.Exp(-temperature / 26.815));

    /// <summary>Corrects.</summary>
    /// <param name="readings">The readings.</param>
    public static CorrectedConductivity Correct(IReadOnlyList<ConductivityReading> readings)
    {
        ArgumentNullException.ThrowIfNull(readings);
        double[] taken = [.. readings.Select(r => r.Temperature).Where(double.IsFinite)];
        double usual = taken.Length > 0 ? taken.Average() : double.NaN;
        ConductivityReading[] at25 = [.. readings.Select(r => double.IsNaN(usual) ? r : r with { Value = r.Value * To25(double.IsNaN(r.Temperature) ? usual : r.Temperature) })];
        (double rate, int pairs) = Drift(at25);
        double start = at25.Select(r => r.Minutes).Where(double.IsFinite).DefaultIfEmpty(0).Min();
        ConductivityReading[] survey = [.. at25.Where(r => r.Pass == 0)];
        return new CorrectedConductivity(
            [.. (survey.Length > 0 ? survey : at25).Select(r => new SoilPoint(r.X, r.Y, double.IsNaN(rate) || double.IsNaN(r.Minutes) ? r.Value : r.Value - (rate * (r.Minutes - start))))],
            60 * rate,
            pairs);
    }

    private static (double Rate, int Pairs) Drift(ConductivityReading[] readings)
    {
        ConductivityReading[] first = [.. readings.Where(r => r.Pass == 1 && double.IsFinite(r.Minutes))];
        double across = 0, along = 0;
        int pairs = 0;
        foreach (ConductivityReading again in readings.Where(r => r.Pass > 1 && double.IsFinite(r.Minutes)))
        {
            double nearest = SamePlace * SamePlace;
            ConductivityReading? met = null;
            foreach (ConductivityReading before in first)
            {
                double far = ((before.X - again.X) * (before.X - again.X)) + ((before.Y - again.Y) * (before.Y - again.Y));
                if (far <= nearest)
                {
                    (nearest, met) = (far, before);
                }
            }

            if (met is { } one)
            {
                double minutes = again.Minutes - one.Minutes;
                across += (again.Value - one.Value) * minutes;
                along += minutes * minutes;
                pairs++;
            }
        }

        return along > 0 ? (across / along, pairs) : (double.NaN, 0);
    }
}
