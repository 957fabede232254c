using System.Globalization;

namespace Keyline.Water;

/// <summary>One end, or the middle, of what rips bring.</summary>
/// <param name="Name">Which.</param>
/// <param name="HalfLife">Years in which half of what a rip adds is gone.</param>
/// <param name="Efficiency">Kilograms of dry matter a hectare and mm.</param>
/// <param name="Water">Metres kept in the first, second and later years, over the field, in the mean of the series.</param>
/// <param name="Used">Metres of them that plants use; below 0 where the soil beside the slots dries more than they bring.</param>
/// <param name="First">Forage of the first year.</param>
/// <param name="All">Forage of all years until nothing is left.</param>
/// <param name="Repaid">Years until the cost is paid back; null where it never is or no cost is known.</param>
public sealed record YearEnd(string Name, double HalfLife, double Efficiency, IReadOnlyList<double> Water, IReadOnlyList<double> Used, Forage First, Forage All, double? Repaid);

/// <summary>Years of one kind.</summary>
/// <param name="Name">Dry, middling or wet: the thirds by rain.</param>
/// <param name="Years">Which.</param>
/// <param name="Rain">Their mean rain, metres.</param>
/// <param name="Runoff">Mean runoff of storms as the field is, metres.</param>
/// <param name="Gained">Mean gain of rips in their first year, metres.</param>
public sealed record YearKind(string Name, IReadOnlyList<int> Years, double Rain, double Runoff, double Gained);

/// <summary>What the years of a plan come to: water, forage, money, and whether it is paid back.</summary>
/// <remarks>
/// <para>Units: metres, kilograms and money a hectare, years. The low end takes the short half-life, the low efficiency, the lower published share of water that plants use (0.4) and the drying beside open slots; the
/// high end the long half-life, the high efficiency and at least the higher share (0.7); the middle the half-life asked for, the middling efficiency and the share the balance gives.</para>
/// <para>Cost: that of <see cref="YearAccount.GainAt"/> for each year until little is left. Source: <see cref="YearOptions.HalfLives"/>, <see cref="ForageWorth"/>; shares from memory.</para>
/// </remarks>
public sealed class YearWorth
{
    private const double LowShare = 0.4;
    private const double HighShare = 0.7;
    private const int MostYears = 40;

    // A rip of which less is left brings nothing that can be told.
    private const double Gone = 0.01;

    private YearWorth(YearAccount account, IReadOnlyList<YearKind> kinds, IReadOnlyList<YearEnd> ends, double cost) => (Account, Kinds, Ends, Cost) = (account, kinds, ends, cost);

    /// <summary>The years.</summary>
    public YearAccount Account { get; }

    /// <summary>Dry, middling and wet years; all in one kind where there are fewer than three.</summary>
    public IReadOnlyList<YearKind> Kinds { get; }

    /// <summary>Low, middle and high.</summary>
    public IReadOnlyList<YearEnd> Ends { get; }

    /// <summary>Money a hectare; NaN where it is not known.</summary>
    public double Cost { get; }

    /// <summary>Reckons.</summary>
    /// <param name="account">The years.</param>
    /// <param name="worth">What forage is worth; null for the defaults.</param>
    /// <param name="cost">Money a hectare that ripping costs; NaN where it is not known.</param>
    public static YearWorth Of(YearAccount account, ForageWorth? worth = null, double cost = double.NaN)
    {
        ArgumentNullException.ThrowIfNull(account);
        worth ??= new ForageWorth();
        double share = double.IsNaN(account.UsedShare) ? 0 : account.UsedShare;
        (double shortest, double longest) = YearOptions.HalfLives;
        (double low, double middling, double high) = ForageWorth.Efficiencies;
        return new YearWorth(account, KindsOf(account.Years),
        [
            End("low", Math.Min(shortest, account.Options.HalfLife), low, Math.Min(share, LowShare), YearOptions.SlotDrying),
            End("middle", account.Options.HalfLife, middling, share, 0),
            End("high", Math.Max(longest, account.Options.HalfLife), high, share > 0 ? Math.Max(share, HighShare) : 0, 0),
        ],
        cost);

        YearEnd End(string name, double halfLife, double efficiency, double used, double drying)
        {
            List<double> water = [];
            List<double> plants = [];
            double strip = Math.Min(account.Options.Rip.LoosenedWidth / account.Options.Spacing, 1);
            for (int year = 0; year < MostYears && Math.Pow(0.5, year / halfLife) > Gone; year++)
            {
                double gain = account.GainAt(year + 0.5, halfLife);
                water.Add(gain);
                plants.Add((gain * used) - (account.Options.Rip.Depth > 0 ? drying * strip * Math.Pow(0.5, (year + 0.5) / halfLife) : 0));
            }

            double? repaid = double.IsNaN(cost) ? null : ForageWorth.YearsToRepay(cost, plants.Select(p => worth.Of(p, efficiency).Money));
            return new YearEnd(name, halfLife, efficiency, water, plants, worth.Of(plants[0], efficiency), worth.Of(plants.Sum(), efficiency), repaid);
        }
    }

    /// <summary>What it comes to, a sentence each, the answer first.</summary>
    public IReadOnlyList<string> Sentences()
    {
        List<string> said = [];
        YearEnd low = Ends[0], middle = Ends[1], high = Ends[2];
        int years = Account.Years.Count;
        int with = Account.Years.Count(y => y.Storms > 0);
        if (with == 0)
        {
            said.Add($"In {years} years of days no storm runs off on this soil: ripping gains no water{(double.IsNaN(Cost) ? "" : ", and its cost is not paid back by water")}. It may dry the soil beside the slots.");
        }
        else
        {
            said.Add(string.Create(CultureInfo.InvariantCulture,
                $"Storms ran off in {with} of {years} years, {1000 * Account.Years.Average(y => y.StormRunoff):0.0} mm a year in the mean; rips in their first year keep {1000 * middle.Water[0]:0.0} mm of it ({1000 * low.Water[0]:0.0} to {1000 * high.Water[0]:0.0} mm), in their third {At(middle, 2):0.0} mm ({At(low, 2):0.0} to {At(high, 2):0.0} mm)."));
            said.Add(string.Create(CultureInfo.InvariantCulture,
                $"Of what is kept plants use {100 * Account.UsedShare:0} % by this balance (40 to 70 % are published); the rest evaporates or drains. Forage of the first year: {middle.First.Kilograms:0} kg a hectare ({low.First.Kilograms:0} to {high.First.Kilograms:0}); of all years until the rip is gone: {middle.All.Kilograms:0} ({low.All.Kilograms:0} to {high.All.Kilograms:0}), or {middle.All.UnitMonths:0.00} animal unit months ({low.All.UnitMonths:0.00} to {high.All.UnitMonths:0.00}), worth {middle.All.Money:0.0} ({low.All.Money:0.0} to {high.All.Money:0.0})."));
            if (!double.IsNaN(Cost))
            {
                said.Add(string.Create(CultureInfo.InvariantCulture, $"Cost {Cost:0.0} a hectare: ") + (middle.Repaid is { } usual ? string.Create(CultureInfo.InvariantCulture, $"paid back by water in {usual:0.0} years ({Say(low.Repaid)} at the low end, {Say(high.Repaid)} at the high).")
                    : high.Repaid is { } best ? string.Create(CultureInfo.InvariantCulture, $"not paid back by water alone; at the best end of the published figures in {best:0.0} years.")
                    : "not paid back by water alone, not even at the best end of the published figures."));
            }
        }

        if (Account.Years.Average(y => y.Excess) > 0.01)
        {
            said.Add(string.Create(CultureInfo.InvariantCulture, $"{1000 * Account.Years.Average(y => y.Excess):0} mm a year find the soil full: on poorly drained ground loosening made more run off, not less (slit hay fields in Georgia: Franklin and others 2007)."));
        }

        if (Account.Options.Soil.Conductivity > WhenNot.OpenConductivity)
        {
            said.Add(string.Create(CultureInfo.InvariantCulture, $"The soil takes in {Account.Options.Soil.Conductivity * 3.6e6:0} mm/h when wet: it needs no rips for its water."));
        }

        return said;

        static double At(YearEnd end, int year) => year < end.Water.Count ? 1000 * end.Water[year] : 0;

        static string Say(double? years) => years is { } y ? string.Create(CultureInfo.InvariantCulture, $"{y:0.0}") : "never";
    }

    private static YearKind[] KindsOf(IReadOnlyList<YearWater> years)
    {
        YearWater[] sorted = [.. years.OrderBy(y => y.Rain).ThenBy(y => y.Year)];
        if (sorted.Length < 3)
        {
            return [Kind("all", sorted)];
        }

        int third = sorted.Length / 3;
        return [Kind("dry", sorted[..third]), Kind("middling", sorted[third..^third]), Kind("wet", sorted[^third..])];
    }

    private static YearKind Kind(string name, YearWater[] years) =>
        new(name, [.. years.Select(y => y.Year).Order()], years.Average(y => y.Rain), years.Average(y => y.StormRunoff), years.Average(y => y.Gained));
}
