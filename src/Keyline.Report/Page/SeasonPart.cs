using System.Globalization;

namespace Keyline.Report;

/// <summary>When the soil is right: on the last day of the weather, in the best week, month by month.</summary>
internal static class SeasonPart
{
    public static void Write(HtmlParts page, ReportedSeason season) => page.Section("season", Phrases.Season, p =>
    {
        p.Say(Phrases.SeasonFor, season.Name, WaterPart.Named(season.Soil), new Measure(Unit.Depth, season.Depth, 0), Date(season.Day));
        if (Today(season) is { } today)
        {
            p.Say(today.Phrase, today.Values);
        }

        if (season.Best is { } best && double.IsFinite(season.Chance))
        {
            p.Say(Phrases.SeasonBest, Date(best), Measure.Share(season.Chance, 0), season.WindowDays);
        }
        else if (season.WindowDays > 0 && season.Months.Any(m => double.IsFinite(m.Middle)))
        {
            p.Say(Phrases.SeasonNever, season.WindowDays);
        }

        if (season.NeededDays is { } needed)
        {
            p.Say(Phrases.SeasonNeeds, needed);
        }

        (int Month, double Few, double Middle, double Many)[] months = [.. season.Months.Select((m, i) => (i, m.Few, m.Middle, m.Many)).Where(m => m.Many > 0)];
        if (season.Months.Count == Phrases.Months.Count && months.Length > 0)
        {
            p.Say(Phrases.SeasonMonths).Table([Phrases.SeasonMonthHead, Phrases.SeasonHalfHead, Phrases.SeasonSpreadHead], months.Select(m => (IReadOnlyList<string>)
                [PageText.Say(Phrases.Months[m.Month]), PageText.Quantity(Measure.Number(m.Middle)), PageText.Say(Phrases.SeasonSpread, Measure.Number(m.Few), Measure.Number(m.Many))]));
            if (months.Length < Phrases.Months.Count)
            {
                p.Say(Phrases.SeasonRest);
            }
        }

        p.Say(Phrases.SeasonCaution).WrittenApart([.. season.Sentences.Where(s => !IsAccount(s))]);
    });

    /// <summary>A date in the words of each language.</summary>
    public static Statement Date(DateOnly day) => new(
        Phrases.Date, day.Day.ToString(CultureInfo.InvariantCulture), Phrases.Months[day.Month - 1], day.Year.ToString(CultureInfo.InvariantCulture));

    // Where all the rain of the years went is for whoever checks the reckoning; it stands on the season's own page.
    private static bool IsAccount(string sentence) => sentence.StartsWith("Of ", StringComparison.Ordinal) && sentence.Contains(" of rain ", StringComparison.Ordinal);

    private static Statement? Today(ReportedSeason s) => s.State switch
    {
        "right" => s.ClosesIn is { } days ? new(Phrases.SeasonRightFor, days) : new(Phrases.SeasonRight),
        "too-wet" => s.OpensIn is { } days ? new(Phrases.SeasonWetFor, days) : new(Phrases.SeasonWet),
        "too-dry" => double.IsFinite(s.RainWanted) ? new(Phrases.SeasonDryFor, new Measure(Unit.Rain, s.RainWanted, 0)) : new(Phrases.SeasonDry),
        _ => null,
    };
}
