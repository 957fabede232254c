namespace Keyline.Water;

/// <summary>What the years of a plan are reckoned with.</summary>
/// <remarks>Metres, seconds, years, shares.</remarks>
public sealed record YearOptions
{
    /// <summary>Both published ends of the half-life, years: half a year grazed and wet, five years dry (a judgement out of Kincaid and Williams 1966, Drewry and others 2000, Burgess and others 2000, Carter 1996).</summary>
    public static (double Short, double Long) HalfLives { get; } = (0.5, 5);

    /// <summary>The most that the ground beside an open slot dries in a year without runoff, metres in the loosened strip: a judgement round what was seen in a dry winter and two dry summers.</summary>
    public const double SlotDrying = 0.005;

    /// <value>Conductivity and suction of the soil; its room is that of each day.</value>
    public required SoilColumn Soil { get; init; }

    /// <value>What the soil holds.</value>
    public required SoilHydraulics Holds { get; init; }

    /// <value>Metres from line to line.</value>
    public required double Spacing { get; init; }

    /// <value>The rip when fresh.</value>
    public Rip Rip { get; init; } = new();

    /// <value>Years in which half of what the rip adds is gone. Default 1.5.</value>
    public double HalfLife { get; init; } = 1.5;

    /// <value>Share of a line's length that works; see <see cref="RipStore.Calibrate"/>. Default 1, an upper end.</value>
    public double Works { get; init; } = 1;

    /// <value>Runoff of the field over that of a place. Default 1.</value>
    public double FieldRunoff { get; init; } = 1;

    /// <value>Share of a day's rain in its wettest half hour. Default 0.4.</value>
    public double HalfHourShare { get; init; } = DayStorm.UsualShare;

    /// <value>Depth that stands before any runs, metres. Default 0.001.</value>
    public double SurfaceStorage { get; init; } = StormOptions.DefaultSurfaceStorage;

    /// <value>The plants.</value>
    public PlantCover Cover { get; init; } = new();

    /// <value>The most that drains below the roots, metres a day. Default: infinite.</value>
    public double DrainageLimit { get; init; } = double.PositiveInfinity;

    /// <summary>Checks every value.</summary>
    /// <exception cref="GroundDataException">A value nothing can be reckoned with.</exception>
    public void Validate()
    {
        (string Name, double Value, double Least, double Most)[] values =
            [("spacing", Spacing, 0.1, 1000), ("half-life", HalfLife, 0.01, 100), ("share of a line that works", Works, 0, 1), ("runoff of the field over that of a place", FieldRunoff, 0, 1), ("surface storage", SurfaceStorage, 0, 1)];
        foreach ((string name, double value, double least, double most) in values)
        {
            if (!(value >= least && value <= most))
            {
                throw new GroundDataException(FormattableString.Invariant($"The {name} is {value:0.###}: it must lie between {least:0.###} and {most:0.###} (metres, years, shares)."));
            }
        }

        Rip.Validate();
        Cover.Validate();
    }
}

/// <summary>The water of a calendar year, metres over the field.</summary>
/// <param name="Year">The year.</param>
/// <param name="Rain">Rain.</param>
/// <param name="Reference">Evapotranspiration of short grass.</param>
/// <param name="Storms">Days whose rain came faster than the soil took it.</param>
/// <param name="StormRunoff">What such rain ran off as the field is.</param>
/// <param name="Excess">What found the soil full; rips keep nothing of it.</param>
/// <param name="Gained">What rips in their first year keep of the storms' runoff.</param>
/// <param name="Used">What plants used more for it.</param>
/// <param name="Evaporated">What evaporated more.</param>
/// <param name="Drained">What went below the roots more, or found the soil full.</param>
public sealed record YearWater(int Year, double Rain, double Reference, int Storms, double StormRunoff, double Excess, double Gained, double Used, double Evaporated, double Drained);

/// <summary>Years of days with and without rips.</summary>
/// <remarks>
/// <para>Units: metres, years. Promises: in both runs rain = runoff + used + evaporated + drained + change, to rounding; no year gains more than ran off in its storms; a series without a
/// storm that runs off gains exactly nothing; same input, same bits.</para>
/// <para>Each wet day is one storm on a place whose soil has the room that the balance of the days before left in its upper 0.3 m; what runs off goes to the rips
/// (<see cref="RipStore"/>). What is gained comes in between the surface and the tip. Only whole calendar years are told of. The water is spread over the field: in truth it stays within a metre and a half
/// of the lines.</para>
/// <para>Cost: linear in days. Source: Green and Ampt 1911; FAO-56; the joining of them: ours, docs/water.md.</para>
/// </remarks>
public sealed class YearAccount
{
    private const double UpperSoil = 0.3;
    private const double Recession = 3600;
    private const double Least = 1e-6;

    private readonly List<Event> _events;

    private YearAccount(DailyWeather weather, YearOptions options, IReadOnlyList<YearWater> years, List<Event> events, double error) =>
        (Weather, Options, Years, _events, BalanceError) = (weather, options, years, events, error);

    /// <summary>The weather.</summary>
    public DailyWeather Weather { get; }

    /// <summary>What it was reckoned with.</summary>
    public YearOptions Options { get; }

    /// <summary>The whole years.</summary>
    public IReadOnlyList<YearWater> Years { get; }

    /// <summary>What is not accounted for, as a share of the rain; of the two runs the greater.</summary>
    public double BalanceError { get; }

    /// <summary>Reckons.</summary>
    /// <param name="weather">The weather.</param>
    /// <param name="options">How.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">Values nothing can be reckoned with, or less than a whole calendar year.</exception>
    public static YearAccount Of(DailyWeather weather, YearOptions options, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(weather);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        int firstYear = weather.First.DayOfYear == 1 ? weather.First.Year : weather.First.Year + 1;
        int lastYear = weather.Last.AddDays(1).DayOfYear == 1 ? weather.Last.Year : weather.Last.Year - 1;
        if (lastYear < firstYear)
        {
            throw new GroundDataException(FormattableString.Invariant($"{weather.Name}: from {weather.First:yyyy-MM-dd} to {weather.Last:yyyy-MM-dd} there is no whole calendar year: give at least one."));
        }

        Walk walk = new(options);
        for (int i = 0; i < Math.Min(365, weather.Count); i++)
        {
            walk.Day(weather.Rain[i], weather.Reference[i], null, i);
        }

        walk.Begin();
        Sums[] sums = [.. Enumerable.Range(firstYear, lastYear - firstYear + 1).Select(_ => new Sums())];
        for (int i = 0; i < weather.Count; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            int year = weather.DateOf(i).Year;
            walk.Day(weather.Rain[i], weather.Reference[i], year >= firstYear && year <= lastYear ? sums[year - firstYear] : null, year);
        }

        return new YearAccount(weather, options, [.. sums.Select((s, k) => s.Of(firstYear + k))], walk.Events, walk.Error);
    }

    /// <summary>What rips of an age keep in the mean of the years, metres over the field.</summary>
    /// <param name="age">Years since ripping.</param>
    /// <param name="halfLife">Years.</param>
    public double GainAt(double age, double halfLife)
    {
        Rip rip = Options.Rip.Aged(age, halfLife);
        double kept = 0;
        foreach (Event e in _events)
        {
            kept += RipStore.Kept(rip, e.Soil, Options.Spacing, Options.Works, e.Times, e.Runoff);
        }

        return kept / Years.Count;
    }

    /// <summary>Share of what is gained that plants use; NaN where nothing is.</summary>
    public double UsedShare => Years.Sum(y => y.Gained) is > 0 and double gained ? Math.Clamp(Years.Sum(y => y.Used) / gained, 0, 1) : double.NaN;

    private sealed record Event(SoilColumn Soil, IReadOnlyList<double> Times, IReadOnlyList<double> Runoff);

    private sealed class Sums
    {
        public double Rain, Reference, Runoff, Excess, Gained, Used, Evaporated, Drained;
        public int Storms;

        public YearWater Of(int year) => new(year, Rain, Reference, Storms, Runoff, Excess, Gained, Used, Evaporated, Drained);
    }

    // Both runs, day by day.
    private sealed class Walk
    {
        private readonly YearOptions _options;
        private readonly Hyetograph _shape;
        private readonly Rip _rip;
        private readonly LayeredSoil _soil;
        private readonly LayeredBalance _bare;
        private readonly int _upper;
        private readonly int _tip;
        private readonly double _peak;
        private LayeredBalance _ripped;
        private double _rain, _bareOut, _rippedOut, _bareStart, _rippedStart;

        public Walk(YearOptions options)
        {
            _options = options;
            _shape = DayStorm.Shape(options.HalfHourShare);
            _peak = Enumerable.Range(1, _shape.Times.Count - 1).Max(i => (_shape.Depths[i] - _shape.Depths[i - 1]) / (_shape.Times[i] - _shape.Times[i - 1]));

            // The first year's rip at its middle age.
            _rip = options.Rip.Aged(0.5, options.HalfLife);
            LayeredSoil even = LayeredSoil.Even(options.Holds, Math.Max(options.Cover.RootDepth, Math.Max(UpperSoil, options.Rip.Depth)));
            _soil = LayeredSoil.Of(even.Layers, options.DrainageLimit);
            _bare = new LayeredBalance(_soil, options.Cover);
            _ripped = _bare;
            _upper = _soil.At(UpperSoil);
            _tip = _soil.At(options.Rip.Depth);
        }

        public List<Event> Events { get; } = [];

        public double Error => Math.Max(
            Math.Abs(_rain - _bareOut - (_bare.Held - _bareStart)), Math.Abs(_rain - _rippedOut - (_ripped.Held - _rippedStart))) / Math.Max(_rain, double.Epsilon);

        // After the year beforehand: both begin alike.
        public void Begin()
        {
            _ripped = _bare.Copy();
            (_rain, _bareOut, _rippedOut) = (0, 0, 0);
            (_bareStart, _rippedStart) = (_bare.Held, _ripped.Held);
            Events.Clear();
        }

        public void Day(double rain, double reference, Sums? sums, int year)
        {
            (double runoff, double kept, Event? storm) = Storm(rain);
            LayeredDay bare = _bare.Step(rain - runoff, reference);
            LayeredDay ripped = ReferenceEquals(_ripped, _bare) ? bare : _ripped.Step(rain - runoff, reference, kept, _tip);
            _rain += rain;
            _bareOut += runoff + Out(bare);
            _rippedOut += runoff - kept + Out(ripped);
            if (sums is null)
            {
                return;
            }

            sums.Rain += rain;
            sums.Reference += reference;
            sums.Runoff += runoff;
            sums.Storms += storm is null ? 0 : 1;
            sums.Excess += bare.Excess;
            sums.Gained += kept;
            sums.Used += ripped.Transpired - bare.Transpired;
            sums.Evaporated += ripped.Evaporated - bare.Evaporated;
            sums.Drained += ripped.Drained - bare.Drained + ripped.Excess - bare.Excess;
            if (storm is not null)
            {
                Events.Add(storm);
            }
        }

        private static double Out(LayeredDay day) => day.Transpired + day.Evaporated + day.Drained + day.Excess;

        private (double Runoff, double Kept, Event? Storm) Storm(double rain)
        {
            if (rain * _peak <= _options.Soil.Conductivity || rain <= _options.SurfaceStorage)
            {
                return (0, 0, null);
            }

            double room = 0;
            for (int k = 0; k <= _upper; k++)
            {
                room += Math.Max(_soil.Layers[k].Saturation - _bare.Moisture(k), 0) / (_upper + 1);
            }

            SoilColumn soil = SoilColumn.Uniform(_options.Soil.Name, _options.Soil.Conductivity, _options.Soil.Suction, room);
            Hyetograph storm = _shape.ScaledTo("day", rain);
            PointRun point = PointInfiltration.Run(storm, soil, _options.SurfaceStorage, storm.Duration + Recession);
            double runoff = point.Runoff * _options.FieldRunoff;
            if (runoff < Least)
            {
                return (0, 0, null);
            }

            double[] times = [.. point.States.Select(s => s.Time)];
            double[] by = [.. point.States.Select(s => s.Runoff * _options.FieldRunoff)];
            return (runoff, RipStore.Kept(_rip, soil, _options.Spacing, _options.Works, times, by), new Event(soil, times, by));
        }
    }
}
