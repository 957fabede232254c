using Keyline.Water;

namespace Keyline.Fieldwork;

/// <summary>How a season is reckoned.</summary>
/// <remarks>Metres.</remarks>
public sealed record SeasonOptions
{
    /// <value>Depth of the tip, metres.</value>
    public required double Depth { get; init; }

    /// <value>The plants. Default: grazed pasture.</value>
    public PlantCover Cover { get; init; } = new();

    /// <value>Curve number by which a part of the rain runs off; NaN where all that the soil can take soaks in. Default NaN.</value>
    public double CurveNumber { get; init; } = double.NaN;

    /// <value>The most that drains below roots, metres a day. Default: infinite.</value>
    public double DrainageLimit { get; init; } = double.PositiveInfinity;

    /// <summary>Checks every value.</summary>
    /// <exception cref="GroundDataException">A value nothing can be reckoned with.</exception>
    public void Validate()
    {
        if (!(Depth is >= 0.1 and <= 1.5))
        {
            throw new GroundDataException(FormattableString.Invariant($"The tip runs at {Depth:0.###} m: it must lie between 0.1 and 1.5 m."));
        }

        Cover.Validate();
    }
}

/// <summary>Where the water of a season went, metres.</summary>
/// <param name="Rain">All of it.</param>
/// <param name="Runoff">What ran off, or found the soil full.</param>
/// <param name="Transpired">By plants.</param>
/// <param name="Evaporated">From bare soil.</param>
/// <param name="Drained">Below the roots.</param>
/// <param name="Gained">More held at the end than at the beginning.</param>
public sealed record SeasonWater(double Rain, double Runoff, double Transpired, double Evaporated, double Drained, double Gained);

/// <summary>Water in the soil that is to be ripped, day by day.</summary>
/// <remarks>
/// <para>Units: metres, shares of volume. Promises: the water is accounted for to rounding; same input, same bits. The first year (or all of a shorter
/// series) is run once beforehand, so that the soil begins as such weather leaves it.</para>
/// <para>Cost: linear in days times layers. Source: <see cref="LayeredBalance"/>.</para>
/// </remarks>
public sealed class SeasonRun
{
    /// <summary>Days that are run once beforehand.</summary>
    internal const int SpinUp = 365;

    private const int Weeks = 8;

    // Longer than this nobody waits for a window.
    private const int FarthestDays = 120;
    private const int Around = 15;

    private readonly double[] _tip;
    private readonly double[] _ofLimit;
    private readonly double[] _limits;
    private readonly LayeredBalance _end;
    private readonly int _atTip;

    private SeasonRun(DailyWeather weather, SeasonSoil soil, SeasonOptions options, double[] limits, int atTip, LayeredBalance end, double[] tip, double[] ofLimit, SeasonWater water) =>
        (Weather, Soil, Options, _limits, _atTip, _end, _tip, _ofLimit, Water) = (weather, soil, options, limits, atTip, end, tip, ofLimit, water);

    /// <summary>The weather.</summary>
    public DailyWeather Weather { get; }

    /// <summary>The soil.</summary>
    public SeasonSoil Soil { get; }

    /// <summary>How it was reckoned.</summary>
    public SeasonOptions Options { get; }

    /// <summary>Moisture of the layer the tip runs in at the end of each day, share of the volume.</summary>
    public IReadOnlyList<double> Tip => _tip;

    /// <summary>The greatest moisture over plastic limit of any layer down to the tip, each day.</summary>
    public IReadOnlyList<double> OfPlasticLimit => _ofLimit;

    /// <summary>Where the water went.</summary>
    public SeasonWater Water { get; }

    /// <summary>The soil at the tip.</summary>
    public SeasonSoil AtTip => Soil.At(Options.Depth - 1e-9);

    /// <summary>Runs the days.</summary>
    /// <param name="weather">The weather.</param>
    /// <param name="soil">The soil.</param>
    /// <param name="options">How.</param>
    /// <exception cref="GroundDataException">Values nothing can be reckoned with.</exception>
    public static SeasonRun Of(DailyWeather weather, SeasonSoil soil, SeasonOptions options)
    {
        ArgumentNullException.ThrowIfNull(weather);
        ArgumentNullException.ThrowIfNull(soil);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        double depth = Math.Max(options.Cover.RootDepth, options.Depth + LayeredSoil.UsualThickness);
        LayeredSoil even = LayeredSoil.Even(soil.Hydraulics, depth, soil.Lower?.Hydraulics, soil.Change);
        LayeredSoil layers = LayeredSoil.Of(even.Layers, options.DrainageLimit);
        int atTip = layers.At(options.Depth);
        double[] limits = new double[atTip + 1];
        double top = 0;
        for (int k = 0; k <= atTip; k++)
        {
            limits[k] = soil.At(top + (layers.Layers[k].Thickness / 2)).PlasticLimit;
            top += layers.Layers[k].Thickness;
        }

        LayeredBalance balance = new(layers, options.Cover);
        for (int i = 0; i < Math.Min(SpinUp, weather.Count); i++)
        {
            balance.Step(weather.Rain[i] - Off(weather.Rain[i], options), weather.Reference[i]);
        }

        double[] tip = new double[weather.Count];
        double[] ofLimit = new double[weather.Count];
        double before = balance.Held;
        double rain = 0, runoff = 0, transpired = 0, evaporated = 0, drained = 0;
        for (int i = 0; i < tip.Length; i++)
        {
            double off = Off(weather.Rain[i], options);
            LayeredDay day = balance.Step(weather.Rain[i] - off, weather.Reference[i]);
            (rain, runoff, transpired, evaporated, drained) = (rain + weather.Rain[i], runoff + off + day.Excess, transpired + day.Transpired, evaporated + day.Evaporated, drained + day.Drained);
            (tip[i], ofLimit[i]) = (balance.Moisture(atTip), Greatest(balance, limits));
        }

        return new SeasonRun(weather, soil, options, limits, atTip, balance, tip, ofLimit, new SeasonWater(rain, runoff, transpired, evaporated, drained, balance.Held - before));
    }

    /// <summary>What a rule says of each day.</summary>
    /// <param name="rule">The rule.</param>
    public SoilState[] States(MoistureRule rule)
    {
        ArgumentNullException.ThrowIfNull(rule);
        return [.. _tip.Select((t, i) => rule.Of(AtTip, t, _ofLimit[i]))];
    }

    /// <summary>How the soil is on the last day, and what would bring the window.</summary>
    /// <param name="rule">The rule.</param>
    public SoilToday Today(MoistureRule rule)
    {
        ArgumentNullException.ThrowIfNull(rule);
        int last = _tip.Length - 1;
        int from = Math.Max(0, _tip.Length - (7 * Weeks));
        SoilState state = rule.Of(AtTip, _tip[last], _ofLimit[last]);
        double[] usual = UsualReference();
        int? opens = null;
        int? closes = null;
        LayeredBalance on = _end.Copy();
        for (int day = 1; day <= FarthestDays && (opens is null || closes is null); day++)
        {
            on.Step(0, usual[Weather.Last.AddDays(day).DayOfYear - 1]);
            SoilState then = rule.Of(AtTip, on.Moisture(_atTip), Greatest(on, _limits));
            opens ??= then == SoilState.Right ? day : null;
            closes ??= (opens is not null || state == SoilState.Right) && then == SoilState.TooDry ? day : null;
        }

        return new SoilToday(Weather.Last, _tip[last], Share(_tip[last]), state, from, state == SoilState.Right ? 0 : opens, closes, state == SoilState.TooDry ? RainWanted(rule, usual) : null);
    }

    /// <summary>Share of what plants can use that the soil at the tip holds.</summary>
    /// <param name="moisture">Share of the volume.</param>
    public double Share(double moisture) => (moisture - AtTip.Hydraulics.WiltingPoint) / (AtTip.Hydraulics.FieldCapacity - AtTip.Hydraulics.WiltingPoint);

    // The least rain of one day after which, within a week, the tip is moist enough.
    private double? RainWanted(MoistureRule rule, double[] usual)
    {
        for (int mm = 5; mm <= 200; mm += 5)
        {
            LayeredBalance on = _end.Copy();
            for (int day = 1; day <= 7; day++)
            {
                on.Step(day == 1 ? 0.001 * mm : 0, usual[Weather.Last.AddDays(day).DayOfYear - 1]);
                if (on.Moisture(_atTip) >= rule.Ends(AtTip).Driest)
                {
                    return 0.001 * mm;
                }
            }
        }

        return null;
    }

    // Mean of the days around the same date in all years.
    private double[] UsualReference()
    {
        double[] sum = new double[366];
        int[] count = new int[366];
        for (int i = 0; i < Weather.Count; i++)
        {
            int day = Weather.DateOf(i).DayOfYear - 1;
            for (int k = -Around; k <= Around; k++)
            {
                int at = (day + k + 366) % 366;
                sum[at] += Weather.Reference[i];
                count[at]++;
            }
        }

        double mean = Weather.Reference.Average();
        return [.. sum.Select((s, d) => count[d] > 0 ? s / count[d] : mean)];
    }

    private static double Off(double rain, SeasonOptions options) => double.IsNaN(options.CurveNumber) ? 0 : CurveNumber.Runoff(rain, options.CurveNumber);

    private static double Greatest(LayeredBalance balance, double[] limits)
    {
        double greatest = 0;
        for (int k = 0; k < limits.Length; k++)
        {
            greatest = Math.Max(greatest, balance.Moisture(k) / limits[k]);
        }

        return greatest;
    }
}

/// <summary>How the soil is on the last day of the series.</summary>
/// <param name="Date">That day.</param>
/// <param name="Tip">Moisture at the tip, share of the volume.</param>
/// <param name="Share">Share of what plants can use.</param>
/// <param name="State">What the rule says.</param>
/// <param name="From">Index of the first of the last weeks.</param>
/// <param name="OpensIn">Days without rain until it is right, 0 where it is; null where it would not come within four months.</param>
/// <param name="ClosesIn">Days without rain until it is too dry; null likewise.</param>
/// <param name="RainWanted">Rain of one day, metres, that makes dry soil moist enough at the tip within a week; null where it is not dry or 200 mm would not do.</param>
public sealed record SoilToday(DateOnly Date, double Tip, double Share, SoilState State, int From, int? OpensIn, int? ClosesIn, double? RainWanted);
