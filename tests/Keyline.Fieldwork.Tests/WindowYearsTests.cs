namespace Keyline.Fieldwork.Tests;

public sealed class WindowYearsTests
{
    private static readonly DateOnly First = new(1999, 3, 17);

    private static bool[] Random(int seed, int days)
    {
        Random random = new(seed);
        bool open = false;
        return [.. Enumerable.Range(0, days).Select(_ => open = random.NextDouble() < (open ? 0.9 : 0.05))];
    }

    /// <summary>Every April and the first ten days of October of ten years are right, and nothing else.</summary>
    [Fact]
    public void Months_OfAPlainCalendar_AreCounted()
    {
        DateOnly first = new(2001, 1, 1);
        bool[] right = [.. Enumerable.Range(0, 3652).Select(first.AddDays).Select(d => d.Month == 4 || (d.Month == 10 && d.Day <= 10))];
        IReadOnlyList<MonthDays> months = WindowYears.Months(first, right);
        Assert.Equal([0, 0, 0, 30, 0, 0, 0, 0, 0, 10, 0, 0], months.Select(m => m.Middle));
        Assert.All(months, m => Assert.Equal((10, m.Middle, m.Middle, m.Middle), (m.Years, m.Few, m.Many, m.Mean)));

        // The week of days 92 to 98 holds the 2nd to 8th of April; in leap years the 1st to 7th. Ten on end fit there, and 31 nowhere.
        IReadOnlyList<WeekChance> weeks = WindowYears.Weeks(first, right, 10);
        Assert.Equal(1, weeks[13].Chance);
        Assert.Equal(new DateOnly(2001, 4, 2), weeks[13].In(2001));
        Assert.All(WindowYears.Weeks(first, right, 31), w => Assert.Equal(0, w.Chance));

        // 20 days begun in March end on the 20th of April: 51 days. Begun in May, 10 in October and 10 in April of the next year.
        IReadOnlyList<MonthFinish> finish = WindowYears.Finish(first, right, 20);
        Assert.Equal(51, finish[2].Middle);
        Assert.Equal(0, finish[2].WithinMonth);
        Assert.Equal(1, finish[3].WithinMonth);
        Assert.Equal(20, finish[3].Safe);
        Assert.InRange(finish[4].Middle, 344, 346);
        Assert.All(WindowYears.Finish(first, right, 41), f => Assert.True(double.IsInfinity(f.Middle)));
    }

    /// <summary>The plain twin asks every day of every week whether the days from it on are right, and every month for the day its job is done.</summary>
    [Theory]
    [InlineData(1, 5)]
    [InlineData(2, 1)]
    [InlineData(3, 12)]
    public void WeeksAndFinish_AreThoseOfThePlainTwin(int seed, int run)
    {
        bool[] right = Random(seed, 4100);
        IReadOnlyList<WeekChance> weeks = WindowYears.Weeks(First, right, run);
        for (int week = 1; week <= 52; week++)
        {
            List<bool> years = [];
            for (int year = 1999; year <= 2011; year++)
            {
                DateOnly[] days = [.. Enumerable.Range(0, 366).Select(new DateOnly(year, 1, 1).AddDays).Where(d => d.Year == year && Math.Min((d.DayOfYear - 1) / 7, 51) == week - 1)];
                if (days[0] >= First && days[^1].DayNumber - First.DayNumber + run <= right.Length)
                {
                    years.Add(days.Any(d => Enumerable.Range(d.DayNumber - First.DayNumber, run).All(i => right[i])));
                }
            }

            Assert.Equal(years.Count, weeks[week - 1].Years);
            Assert.Equal(years.Count(y => y) / (double)years.Count, weeks[week - 1].Chance, 1e-12);
        }

        foreach (MonthFinish finish in WindowYears.Finish(First, right, run))
        {
            List<double> takes = [];
            for (int year = 1999; year <= 2011; year++)
            {
                int from = new DateOnly(year, finish.Month, 1).DayNumber - First.DayNumber;
                if (from >= 0 && from + 365 <= right.Length)
                {
                    int[] days = [.. Enumerable.Range(from, 365).Where(i => right[i])];
                    takes.Add(days.Length >= run ? days[run - 1] - from + 1 : double.PositiveInfinity);
                }
            }

            takes.Sort();
            Assert.Equal(takes.Count, finish.Years);
            Assert.True(takes.Count(t => t <= finish.Middle) >= takes.Count / 2.0 && takes.Count(t => t < finish.Middle) < takes.Count / 2.0);
            Assert.True(takes.Count(t => t <= finish.Safe) >= 0.8 * takes.Count - 1e-9 && takes.Count(t => t < finish.Safe) < 0.8 * takes.Count);
        }
    }

    /// <summary>Definition 7 of Hyndman and Fan, The American Statistician 50, 1996: of 1, 2, 3, 4 the tenth is 1.3, the middle 2.5.</summary>
    [Fact]
    public void Quantile_IsThatOfDefinitionSeven()
    {
        Assert.Equal(1.3, WindowYears.Quantile([4, 1, 3, 2], 0.1), 1e-12);
        Assert.Equal(2.5, WindowYears.Quantile([4, 1, 3, 2], 0.5), 1e-12);
        Assert.Equal(4, WindowYears.Quantile([4, 1, 3, 2], 1));
        Assert.True(double.IsNaN(WindowYears.Quantile([], 0.5)));
    }

    [Fact]
    public void BestWeek_IsTheFirstOfTheBest_WithinAYear()
    {
        WeekChance[] weeks = [.. Enumerable.Range(1, 52).Select(w => new WeekChance(w, 10, w is 10 or 40 ? 0.8 : 0.1))];
        Assert.Equal((new DateOnly(2027, 10, 1), 0.8), SeasonDates.BestWeek(weeks, new DateOnly(2027, 3, 6)));
        Assert.Equal((new DateOnly(2028, 3, 4), 0.8), SeasonDates.BestWeek(weeks, new DateOnly(2027, 10, 2)));
        Assert.Null(SeasonDates.BestWeek([.. weeks.Select(w => w with { Chance = 0 })], new DateOnly(2027, 1, 1)));
    }
}
