namespace Keyline.Fieldwork;

/// <summary>Days of a month in which the soil is right, over the years.</summary>
/// <param name="Month">From 1.</param>
/// <param name="Years">Years of which the whole month is known.</param>
/// <param name="Few">A tenth of the years has fewer days.</param>
/// <param name="Middle">Half of the years has fewer.</param>
/// <param name="Many">Nine tenths have fewer.</param>
/// <param name="Mean">The mean.</param>
public sealed record MonthDays(int Month, int Years, double Few, double Middle, double Many, double Mean);

/// <summary>Chance that a run of right days begins in a week.</summary>
/// <param name="Week">From 1: days 1 to 7 of the year, and so on; the 52nd goes to the year's end.</param>
/// <param name="Years">Years of which that is known.</param>
/// <param name="Chance">Share of them.</param>
public sealed record WeekChance(int Week, int Years, double Chance)
{
    /// <summary>The first day of the week in a year.</summary>
    /// <param name="year">The year.</param>
    public DateOnly In(int year) => new DateOnly(year, 1, 1).AddDays(7 * (Week - 1));
}

/// <summary>How long a job takes that waits for right days.</summary>
/// <param name="Month">The month on whose first day it begins, from 1.</param>
/// <param name="Years">Years of which that is known.</param>
/// <param name="WithinMonth">Share of them in which it is done in that month.</param>
/// <param name="Middle">Days from its beginning to its end that half of the years need; infinite where half do not end within a year.</param>
/// <param name="Safe">Days that four fifths of the years need; infinite likewise.</param>
public sealed record MonthFinish(int Month, int Years, double WithinMonth, double Middle, double Safe);

/// <summary>What years of right and wrong days say of the next.</summary>
/// <remarks>
/// <para>Units: days. Only whole months, and stretches that lie in the series, are counted. Quantiles: Hyndman and Fan, The American Statistician 50, 1996, definition 7.</para>
/// <para>Cost: linear in days. The past is no promise: a run of thirty years gives a chance of one in ten to within about one in ten.</para>
/// </remarks>
public static class WindowYears
{
    private const int LastWeek = 52;
    private const int YearsDays = 365;

    /// <summary>Right days by months.</summary>
    /// <param name="first">The first day.</param>
    /// <param name="right">Whether each day is right.</param>
    public static IReadOnlyList<MonthDays> Months(DateOnly first, IReadOnlyList<bool> right)
    {
        ArgumentNullException.ThrowIfNull(right);
        int[] before = Before(right);
        List<double>[] days = [.. Enumerable.Range(0, 12).Select(_ => new List<double>())];
        for (DateOnly month = FirstOfMonth(first); Index(month.AddMonths(1)) <= right.Count; month = month.AddMonths(1))
        {
            days[month.Month - 1].Add(before[Index(month.AddMonths(1))] - before[Index(month)]);
        }

        return [.. days.Select((d, m) => new MonthDays(m + 1, d.Count, Quantile(d, 0.1), Quantile(d, 0.5), Quantile(d, 0.9), d.Count > 0 ? d.Average() : double.NaN))];

        int Index(DateOnly date) => date.DayNumber - first.DayNumber;
    }

    /// <summary>Chance that a run of right days begins in each week.</summary>
    /// <param name="first">The first day.</param>
    /// <param name="right">Whether each day is right.</param>
    /// <param name="run">Days on end that are wanted, above 0.</param>
    public static IReadOnlyList<WeekChance> Weeks(DateOnly first, IReadOnlyList<bool> right, int run)
    {
        ArgumentNullException.ThrowIfNull(right);
        ArgumentOutOfRangeException.ThrowIfLessThan(run, 1);
        int[] ahead = new int[right.Count + 1];
        for (int i = right.Count - 1; i >= 0; i--)
        {
            ahead[i] = right[i] ? ahead[i + 1] + 1 : 0;
        }

        int[] years = new int[LastWeek];
        int[] open = new int[LastWeek];
        for (int year = first.Year; year <= first.AddDays(right.Count).Year; year++)
        {
            for (int week = 0; week < LastWeek; week++)
            {
                int from = new DateOnly(year, 1, 1).DayNumber + (7 * week) - first.DayNumber;
                int to = week == LastWeek - 1 ? new DateOnly(year, 12, 31).DayNumber - first.DayNumber : from + 6;
                if (from < 0 || to + run > right.Count)
                {
                    continue;
                }

                years[week]++;
                open[week] += Enumerable.Range(from, to - from + 1).Any(d => ahead[d] >= run) ? 1 : 0;
            }
        }

        return [.. years.Select((y, w) => new WeekChance(w + 1, y, y > 0 ? (double)open[w] / y : double.NaN))];
    }

    /// <summary>How long a job takes, begun on the first of each month.</summary>
    /// <param name="first">The first day.</param>
    /// <param name="right">Whether each day is right.</param>
    /// <param name="needed">Right days it needs, above 0; they need not follow on each other.</param>
    public static IReadOnlyList<MonthFinish> Finish(DateOnly first, IReadOnlyList<bool> right, int needed)
    {
        ArgumentNullException.ThrowIfNull(right);
        ArgumentOutOfRangeException.ThrowIfLessThan(needed, 1);
        int[] before = Before(right);
        List<double>[] takes = [.. Enumerable.Range(0, 12).Select(_ => new List<double>())];
        int[] inMonth = new int[12];
        for (DateOnly month = FirstOfMonth(first); month.DayNumber - first.DayNumber + YearsDays <= right.Count; month = month.AddMonths(1))
        {
            int from = month.DayNumber - first.DayNumber;
            int end = from;
            while (end < from + YearsDays && before[end] - before[from] < needed)
            {
                end++;
            }

            bool done = before[end] - before[from] >= needed;
            takes[month.Month - 1].Add(done ? end - from : double.PositiveInfinity);
            inMonth[month.Month - 1] += done && end - from <= DateTime.DaysInMonth(month.Year, month.Month) ? 1 : 0;
        }

        return [.. takes.Select((t, m) => new MonthFinish(m + 1, t.Count, t.Count > 0 ? (double)inMonth[m] / t.Count : double.NaN, Upper(t, 0.5), Upper(t, 0.8)))];
    }

    /// <summary>A quantile.</summary>
    /// <param name="values">Values in any order.</param>
    /// <param name="share">From 0 to 1.</param>
    /// <returns>NaN of no values.</returns>
    public static double Quantile(IReadOnlyList<double> values, double share)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (values.Count == 0)
        {
            return double.NaN;
        }

        double[] sorted = [.. values.Order()];
        double at = share * (sorted.Length - 1);
        int k = Math.Min((int)at, sorted.Length - 1);
        return k + 1 < sorted.Length && at > k ? sorted[k] + ((at - k) * (sorted[k + 1] - sorted[k])) : sorted[k];
    }

    // Between a number and infinity there is no mean: the next value up.
    private static double Upper(List<double> values, double share) => values.Count == 0 ? double.NaN : values.Order().ElementAt(Math.Min((int)Math.Ceiling((share * values.Count) - 1e-9), values.Count) - 1);

    private static DateOnly FirstOfMonth(DateOnly first) => first.Day == 1 ? first : new DateOnly(first.Year, first.Month, 1).AddMonths(1);

    private static int[] Before(IReadOnlyList<bool> right)
    {
        int[] before = new int[right.Count + 1];
        for (int i = 0; i < right.Count; i++)
        {
            before[i + 1] = before[i] + (right[i] ? 1 : 0);
        }

        return before;
    }
}
