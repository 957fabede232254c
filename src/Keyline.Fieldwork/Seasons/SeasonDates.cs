namespace Keyline.Fieldwork;

/// <summary>The dates of a season's work, for the calendar.</summary>
/// <remarks>
/// <para>Units: days. Cost: none. Source: notice to services, the states' one-call laws (two to three working days as a rule: ask yours); rest from grazing after
/// mechanical treatment of grazing land, NRCS practice 548, Arizona, which names no time: the days are common practice, no source, and the sign is what counts.</para>
/// </remarks>
public static class SeasonDates
{
    /// <summary>Usual rest from grazing, days. Common practice, no source.</summary>
    public const int UsualRest = 180;

    /// <summary>The sign that rest may end.</summary>
    public const string Recovered = "plants have grown back to their full height, new ones hold when plucked, and four tenths of the ground are covered";

    private const int NoticeBefore = 14;
    private const int StripBefore = 7;

    /// <summary>The week to aim for: that with the best chance, the first of equals, within a year from a day on.</summary>
    /// <param name="weeks">Chances by weeks.</param>
    /// <param name="from">The earliest day.</param>
    /// <returns>Its first day and its chance; null where no week has any.</returns>
    public static (DateOnly Day, double Chance)? BestWeek(IReadOnlyList<WeekChance> weeks, DateOnly from)
    {
        ArgumentNullException.ThrowIfNull(weeks);
        (DateOnly Day, double Chance)? best = null;
        foreach ((DateOnly day, double chance) in weeks.Where(w => w.Years > 0).SelectMany(w => new[] { (Day: w.In(from.Year), w.Chance), (Day: w.In(from.Year + 1), w.Chance) })
            .Where(w => w.Day >= from && w.Day < from.AddYears(1)).OrderBy(w => w.Day))
        {
            best = chance > 0 && (best is null || chance > best.Value.Chance) ? (day, chance) : best;
        }

        return best;
    }

    /// <summary>The jobs, from locating services to the last look.</summary>
    /// <param name="rip">The first day of ripping.</param>
    /// <param name="days">Right days it takes, above 0.</param>
    /// <param name="restDays">Rest from grazing, days.</param>
    /// <param name="depth">Depth of the tip, metres.</param>
    /// <param name="services">The record of located services, or null.</param>
    public static IReadOnlyList<PlannedDays> Of(DateOnly rip, int days, int restDays, double depth, ServiceRecord? services)
    {
        DateOnly after = rip.AddDays(days);
        return
        [
            new PlannedDays("Have buried services located", $"{ServiceRecord.Say(services, after.AddDays(-1))} Ask for it now: most states want two to three working days, and a ticket runs out.", 1, rip.AddDays(-NoticeBefore)),
            new PlannedDays("Rip a test strip and dig across it", FormattableString.Invariant($"One pass at {100 * depth:0} cm. Ball and thread test at the tip and above. Dig across: cracks to both sides and crumbs, no smeared walls, no slabs. On soil that may disperse wait for rain and look again."), 1, rip.AddDays(-StripBefore)),
            new PlannedDays("Rip, where the soil crumbles at the tip", "First the ball and thread test, each day and each change of soil. The date is a chance out of past years, not a promise.", days, rip),
            new PlannedDays("Rest from grazing", $"{restDays} days or more, until {Recovered}.", restDays, after),
            .. Looks(after, restDays),
        ];
    }

    private static IEnumerable<PlannedDays> Looks(DateOnly after, int restDays)
    {
        DateOnly first = after.AddDays(restDays);
        yield return new PlannedDays("Look: is the rest over?", $"Graze only if {Recovered}. Photographs from the same posts; cover in ten quadrats.", 1, first);
        foreach (int year in (int[])[1, 2, 3])
        {
            DateOnly day = after.AddYears(year);
            yield return new PlannedDays(
                $"Look: year {year}", "Rings on the line and between lines, penetrometer near field capacity, quadrats, photographs from the same posts; which lines hold water, which spill. The effect of ripping fades: two storms to some years.", 1, day > first ? day : first.AddDays(1));
        }
    }
}
