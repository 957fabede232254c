using System.Globalization;
using Keyline.Water;

namespace Keyline.Fieldwork;

/// <summary>What years of weather say of when to rip, by the user's rule and beside it by the published ones.</summary>
/// <remarks>Units: metres, days. Never changes. Cost: <see cref="SeasonRun"/> and <see cref="WindowYears"/>.</remarks>
public sealed class SeasonReport
{
    private SeasonReport(SeasonRun run, MoistureRule rule, SoilState[] states, IReadOnlyList<(MoistureRule, IReadOnlyList<MonthDays>)> byRule, IReadOnlyList<WeekChance> weeks, IReadOnlyList<MonthFinish>? finish, int window, int? needed, SoilToday today, (DateOnly Day, double Chance)? best) =>
        (Run, Rule, States, ByRule, Weeks, Finish, WindowDays, NeededDays, Today, Best) = (run, rule, states, byRule, weeks, finish, window, needed, today, best);

    /// <summary>The days.</summary>
    public SeasonRun Run { get; }

    /// <summary>The user's rule.</summary>
    public MoistureRule Rule { get; }

    /// <summary>What it says of each day.</summary>
    public IReadOnlyList<SoilState> States { get; }

    /// <summary>Days by months, for the user's rule first and then for the others.</summary>
    public IReadOnlyList<(MoistureRule Rule, IReadOnlyList<MonthDays> Months)> ByRule { get; }

    /// <summary>Chance by weeks that a window begins, by the user's rule.</summary>
    public IReadOnlyList<WeekChance> Weeks { get; }

    /// <summary>How long the job takes by the month it is begun in; null where its hours are not known.</summary>
    public IReadOnlyList<MonthFinish>? Finish { get; }

    /// <summary>Days on end that make a window.</summary>
    public int WindowDays { get; }

    /// <summary>Right days the job needs; null where its hours are not known.</summary>
    public int? NeededDays { get; }

    /// <summary>The last day.</summary>
    public SoilToday Today { get; }

    /// <summary>The week to aim for; null where none has a chance.</summary>
    public (DateOnly Day, double Chance)? Best { get; }

    /// <summary>Reckons.</summary>
    /// <param name="run">The days.</param>
    /// <param name="rule">The user's rule.</param>
    /// <param name="window">Days on end that make a window, above 0.</param>
    /// <param name="needed">Right days the job needs; null where they are not known.</param>
    /// <param name="from">The earliest day of work; null for the day after the series.</param>
    public static SeasonReport Of(SeasonRun run, MoistureRule rule, int window, int? needed = null, DateOnly? from = null)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(rule);
        DateOnly first = run.Weather.First;
        SoilState[] states = run.States(rule);
        bool[] right = [.. states.Select(s => s == SoilState.Right)];
        IReadOnlyList<WeekChance> weeks = WindowYears.Weeks(first, right, window);
        List<(MoistureRule, IReadOnlyList<MonthDays>)> byRule = [(rule, WindowYears.Months(first, right))];
        byRule.AddRange(MoistureRule.All.Where(r => r.Key != rule.Key).Select(r => (r, WindowYears.Months(first, [.. run.States(r).Select(s => s == SoilState.Right)]))));
        return new SeasonReport(
            run, rule, states, byRule, weeks, needed is { } n ? WindowYears.Finish(first, right, n) : null, window, needed, run.Today(rule), SeasonDates.BestWeek(weeks, from ?? run.Weather.Last.AddDays(1)));
    }

    /// <summary>What it comes to, a sentence each.</summary>
    public IReadOnlyList<string> Sentences()
    {
        List<string> said = [];
        SeasonSoil soil = Run.AtTip;
        (double driest, double wettest) = Rule.Ends(soil);
        said.Add(string.Create(CultureInfo.InvariantCulture,
            $"On {Today.Date:yyyy-MM-dd} the soil at {100 * Run.Options.Depth:0} cm holds {100 * Today.Tip:0} % of its volume, {100 * Today.Share:0} % of what plants can use: {State(Today.State)}{Next()}"));
        said.Add(string.Create(CultureInfo.InvariantCulture,
            $"Rule \"{Rule.Key}\": {Rule.Words}; here from {100 * driest:0.#} to {100 * wettest:0.#} % of the volume (wilting point {100 * soil.Hydraulics.WiltingPoint:0.#}, field capacity {100 * soil.Hydraulics.FieldCapacity:0.#}, full {100 * soil.Hydraulics.Saturation:0.#}). Source: {Rule.Source}."));
        double year = ByRule[0].Months.Sum(m => m.Years > 0 ? m.Mean : 0);
        int years = ByRule[0].Months.Min(m => m.Years);
        said.Add(years == 0 ? "The series has not every month whole once: no year can be told from it."
            : string.Create(CultureInfo.InvariantCulture, $"In {years} years the soil was right on {year:0} days a year, too wet on {Share(SoilState.TooWet):0}, too dry on {Share(SoilState.TooDry):0}."));
        foreach ((MoistureRule rule, IReadOnlyList<MonthDays> months) in ByRule.Skip(1).Where(_ => years > 0))
        {
            said.Add(string.Create(CultureInfo.InvariantCulture, $"By the rule \"{rule.Key}\" ({rule.Words}; {rule.Source}) it would be {months.Sum(m => m.Mean):0} days a year."));
        }

        said.Add(Weeks.All(w => w.Years == 0) ? "The series is too short for a chance of any week."
            : Best is not { } best ? $"In no week of any year did {WindowDays} right days on end begin: by this rule and this weather there is no window."
            : string.Create(CultureInfo.InvariantCulture, $"{WindowDays} right days on end begin most often in the week of {best.Day:yyyy-MM-dd}: in {100 * best.Chance:0} % of the years."));
        if (Finish is not null && NeededDays is { } needed)
        {
            // Where a month has whole jobs in it that month is told; else the one after which it is done soonest.
            MonthFinish? quick = Finish.Where(f => f.Years > 0).OrderByDescending(f => f.WithinMonth).ThenBy(f => f.Middle).FirstOrDefault();
            said.Add(quick is null || double.IsInfinity(quick.Middle) ? $"The job needs {needed} right days, and in half of the years a whole year has fewer."
                : quick.WithinMonth > 0 ? string.Create(CultureInfo.InvariantCulture, $"The job needs {needed} right days. {Month(quick.Month)} has them most often: begun on its first day it is done within the month in {100 * quick.WithinMonth:0} % of the years{Late(quick)}.")
                : string.Create(CultureInfo.InvariantCulture, $"The job needs {needed} right days, and no month had them. Begun on the first of {Month(quick.Month)} it is done in {quick.Middle:0} days in half of the years."));
        }

        if (Run.Weather.Count < SeasonRun.SpinUp)
        {
            said.Add("The series is shorter than a year; it is run twice, from soil half full, and the state of the last day leans on that: give the days of a whole year before it.");
        }

        if (Run.Weather.Count < 10 * 365)
        {
            said.Add(string.Create(CultureInfo.InvariantCulture, $"The series has {Run.Weather.Count / 365.25:0.#} years: chances out of fewer than ten say little."));
        }

        SeasonWater w = Run.Water;
        said.Add(string.Create(CultureInfo.InvariantCulture,
            $"Of {1000 * w.Rain:0} mm of rain {1000 * w.Runoff:0} mm ran off, plants used {1000 * w.Transpired:0} mm, {1000 * w.Evaporated:0} mm evaporated, {1000 * w.Drained:0} mm went below the roots and {1000 * w.Gained:0} mm stayed."));
        said.AddRange(Run.Weather.Said);
        return said;
    }

    /// <summary>A state in words.</summary>
    /// <param name="state">The state.</param>
    public static string State(SoilState state) => state switch { SoilState.TooDry => "too dry", SoilState.Right => "right", _ => "too wet" };

    /// <summary>A month in words.</summary>
    /// <param name="month">From 1.</param>
    public static string Month(int month) => CultureInfo.InvariantCulture.DateTimeFormat.GetMonthName(month);

    private static string Late(MonthFinish f) => f.WithinMonth >= 0.995 ? ""
        : double.IsInfinity(f.Safe) ? "; in one year of five not within a year"
        : f.Safe > 31 ? string.Create(CultureInfo.InvariantCulture, $"; in one year of five it takes {f.Safe:0} days or more, as the window of that year is missed")
        : "";

    private double Share(SoilState state) => 365.25 * States.Count(s => s == state) / States.Count;

    private string Next() => Today switch
    {
        { State: SoilState.Right, ClosesIn: { } days } => $"; without rain it is too dry in {days} days.",
        { State: SoilState.Right } => "; it would stay so without rain for four months.",
        { State: SoilState.TooWet, OpensIn: { } days } => $"; without rain it is right in {days} days.",
        { State: SoilState.TooWet } => "; four months without rain would not bring it.",
        { RainWanted: { } rain } => string.Create(CultureInfo.InvariantCulture, $"; {1000 * rain:0} mm of rain would reach the tip within a week."),
        _ => "; 200 mm of rain would not reach the tip within a week.",
    };
}
