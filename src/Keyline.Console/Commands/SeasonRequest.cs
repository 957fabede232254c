using System.Globalization;
using Keyline.Console.Cli;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Water;

namespace Keyline.Console.Commands;

/// <summary>The weather, soil and job that keyline season is to reckon with, read from its options.</summary>
internal sealed record SeasonRequest(DailyWeather Weather, SeasonSoil Soil, SeasonOptions Options, MoistureRule Rule, int Window, SeasonJob Job, DateOnly? Start, int Rest)
{
    public static readonly OptionSpec WeatherFile = new("--weather", ValueKind.Path, "FILE", "daily weather: CSV with date, rain_mm or rain_in, tmin_c and tmax_c or et0_mm, and where known humidity_pct, wind_m_s, radiation_mj_m2 or sun_h");
    public static readonly OptionSpec Latitude = new("--latitude", ValueKind.Number, "DEGREES", "latitude of the gauge, south below 0 (default: the plan's; not needed where et0 is given)");
    public static readonly OptionSpec Altitude = new("--altitude", ValueKind.Length, "LENGTH", "its height above the sea (default 100 m)");
    public static readonly OptionSpec WindHeight = new("--wind-height", ValueKind.Length, "LENGTH", "height of the wind gauge above the ground (default 2 m)");
    public static readonly OptionSpec LongestGap = new("--longest-gap", ValueKind.Number, "DAYS", "longest run of missing days that is filled (default 5; 0 fills none)");
    public static readonly OptionSpec SoilOption = new("--soil", ValueKind.Word, "SOIL", "a texture class as clay-loam, or \"sand 40, clay 20, organic 2.5\" in percent");
    private static readonly OptionSpec Subsoil = new("--subsoil", ValueKind.Word, "SOIL", "the soil beneath, where it is another; needs --subsoil-depth");
    private static readonly OptionSpec SubsoilDepth = new("--subsoil-depth", ValueKind.Length, "LENGTH", "where that begins");
    private static readonly OptionSpec PlasticLimit = new("--plastic-limit", ValueKind.Percent, "PERCENT", "plastic limit of the soil as measured, of its dry weight (default: about field capacity)");
    private static readonly OptionSpec Depth = new("--depth", ValueKind.Length, "LENGTH", "depth of the tip, as \"40 cm\"");
    private static readonly OptionSpec RuleName = new("--rule", ValueKind.Word, "RULE", "drier-half (default), dry, moist or friable; the others are shown beside it");
    private static readonly OptionSpec Between = new("--between", ValueKind.Word, "RANGE", "a rule of your own, as 10-60: percent of what plants can use, at the tip");
    private static readonly OptionSpec WindowDays = new("--window-days", ValueKind.Number, "DAYS", "right days on end that make a window (default: what the job needs, 3 to 10)");
    private static readonly OptionSpec Plan = new("--plan", ValueKind.Path, "PLAN", "the plan whose hours are wanted, with --machine (default front-assist-90)");
    private static readonly OptionSpec Hours = new("--hours", ValueKind.Number, "HOURS", "hours of the job, instead of --plan");
    private static readonly OptionSpec StartDay = new("--start", ValueKind.Word, "DATE", "earliest day of the work, as 2027-03-01 (default: the day after the weather ends)");
    private static readonly OptionSpec RestDays = new("--rest", ValueKind.Number, "DAYS", "rest from grazing afterward (default 180, common practice)");
    private static readonly OptionSpec Roots = new("--roots", ValueKind.Length, "LENGTH", "depth of the roots (default 1 m)");
    private static readonly OptionSpec Crop = new("--crop", ValueKind.Number, "NUMBER", "transpiration over that of short grass (default 0.7, grazed pasture)");
    private static readonly OptionSpec Cover = new("--cover", ValueKind.Percent, "PERCENT", "ground that plants cover (default 60)");
    private static readonly OptionSpec Curve = new("--curve-number", ValueKind.Number, "NUMBER", "curve number by which rain runs off (default: what the soil can take soaks in)");
    private static readonly OptionSpec Drains = new("--drains", ValueKind.Length, "LENGTH", "the most that drains below the roots in a day, as \"2 mm\" (default: all that comes)");

    private const int DefaultGap = WeatherSite.DefaultLongestGap;
    private const int LeastWindow = 3;
    private const int MostWindow = 10;

    public static IReadOnlyList<OptionSpec> WeatherOptions { get; } = [WeatherFile, Latitude, Altitude, WindHeight, LongestGap];

    public static IReadOnlyList<OptionSpec> All { get; } =
    [
        .. WeatherOptions, SoilOption, Subsoil, SubsoilDepth, PlasticLimit, Depth, RuleName, Between, WindowDays,
        Plan, OptionSpec.Machine with { Help = "the machine for the plan's hours: a JSON file, or a generic one by its name" }, Hours, OptionSpec.HoursADay, StartDay, RestDays, Roots, Crop, Cover, Curve, Drains,
    ];

    public static SeasonRequest From(Arguments arguments, CancellationToken stop)
    {
        SeasonOptions options = new()
        {
            Depth = Quantity.Length(arguments.Need(Depth, "season", "The depth of the tip").Text, Depth.Flag),
            Cover = new PlantCover
            {
                RootDepth = arguments.Above(Roots, 1),
                Coefficient = arguments.AtLeastNothing(Crop, 0.7),
                Cover = arguments.AtLeastNothing(Cover, 60) / 100,
            },
            CurveNumber = arguments.Above(Curve) ?? double.NaN,
            DrainageLimit = arguments[Drains] is { } drains ? Quantity.Length(drains.Text, drains.Where) : double.PositiveInfinity,
        };
        options.Validate();
        SeasonSoil soil = ReadSoil(arguments);
        MoistureRule rule = ReadRule(arguments);
        DateOnly? start = ServiceOptions.Date(arguments, StartDay);
        SeasonJob job = SeasonJob.From(arguments, Plan, Hours, stop);
        int window = arguments.Whole(WindowDays, 1, 90) ?? Math.Clamp(job.Days ?? LeastWindow, LeastWindow, MostWindow);
        int rest = arguments.Whole(RestDays, 0, 2000) ?? SeasonDates.UsualRest;
        return new SeasonRequest(ReadWeather(arguments, "season", job.Latitude), soil, options, rule, window, job, start, rest);
    }

    /// <summary>The weather among the options.</summary>
    /// <param name="arguments">The options.</param>
    /// <param name="command">The command, for messages.</param>
    /// <param name="latitude">Degrees, where none is given; NaN where it is not known.</param>
    public static DailyWeather ReadWeather(Arguments arguments, string command, double latitude)
    {
        string path = arguments.NeedFile(WeatherFile, command, "The daily weather", "table of weather");
        double degrees = arguments[Latitude] is { } given ? Quantity.Number(given.Text, given.Where, "-34.5") : latitude;
        WeatherSite site = new()
        {
            Latitude = degrees * Math.PI / 180,
            Height = arguments[Altitude] is { } height ? Quantity.Length(height.Text, height.Where) : 100,
            WindHeight = arguments.Above(WindHeight, 2),
            LongestGap = arguments.Whole(LongestGap, 0, 60) ?? DefaultGap,
        };
        using StreamReader reader = new(path);
        return WeatherCsv.Read(reader, Path.GetFileName(path), site);
    }

    private static MoistureRule ReadRule(Arguments arguments)
    {
        string word = arguments.Word(RuleName, [.. MoistureRule.All.Select(r => r.Key)]);
        if (arguments[Between] is not { } own)
        {
            return MoistureRule.All.Single(r => r.Key == word);
        }

        if (arguments.Has(RuleName))
        {
            throw new UsageException("--rule and --between both say when the soil is right: leave one out.");
        }

        string[] ends = own.Text.Split('-', StringSplitOptions.TrimEntries);
        return ends.Length == 2 ? MoistureRule.Between(Quantity.Percent(ends[0], own.Where) / 100, Quantity.Percent(ends[1], own.Where) / 100)
            : throw new UsageException($"{own.Where} \"{own.Text.Trim()}\" is no range: write it as 10-60.");
    }

    private static SeasonSoil ReadSoil(Arguments arguments)
    {
        double? limit = arguments.Above(PlasticLimit) / 100;
        SeasonSoil upper = Of(arguments.Need(SoilOption, "season", "The soil"), limit);
        if (arguments[Subsoil] is not { } lower)
        {
            return !arguments.Has(SubsoilDepth) ? upper : throw new UsageException($"{SubsoilDepth.Flag} says where another soil begins: say which with {Subsoil.Flag}.");
        }

        Setting at = arguments.Need(SubsoilDepth, "season", "Where the subsoil begins");
        return upper.Over(Of(lower, null), Quantity.Length(at.Text, at.Where));
    }

    private static SeasonSoil Of(Setting given, double? limit)
    {
        string text = given.Text.Trim();
        if (TextureTable.Find(text) is { } texture)
        {
            return SeasonSoil.Of(texture, limit);
        }

        Dictionary<string, double> parts = [];
        foreach (string part in text.Split(',', StringSplitOptions.TrimEntries))
        {
            int space = part.IndexOf(' ', StringComparison.Ordinal);
            string word = space > 0 ? part[..space] : "";
            if (word is not ("sand" or "clay" or "organic") || !parts.TryAdd(word, Quantity.Percent(part[(space + 1)..], given.Where)))
            {
                string classes = string.Join(", ", Enum.GetValues<Water.SoilTexture>().Select(t => TextureTable.Name(t).Replace(' ', '-')));
                throw new UsageException($"{given.Where} \"{text}\" is no soil: write a texture class ({classes}), or \"sand 40, clay 20, organic 2.5\".");
            }
        }

        return parts.TryGetValue("sand", out double sand) && parts.TryGetValue("clay", out double clay)
            ? SeasonSoil.Of(sand / 100, clay / 100, parts.GetValueOrDefault("organic", ClassHydraulics.UsualOrganicMatter), limit)
            : throw new UsageException($"{given.Where} \"{text}\" is no soil: both sand and clay are wanted, as in \"sand 40, clay 20, organic 2.5\".");
    }
}

/// <summary>The job that waits for right days: its hours, days and place, as far as they are known.</summary>
/// <param name="Name">The field; empty where it is not known.</param>
/// <param name="Hours">Hours; null where they are not known.</param>
/// <param name="HoursADay">Hours at work in a day.</param>
/// <param name="Latitude">Degrees; NaN where it is not known.</param>
internal sealed record SeasonJob(string Name, double? Hours, double HoursADay, double Latitude)
{
    private const string UsualMachine = "front-assist-90";
    private const double LeastHours = 0.5;

    /// <summary>Right days it takes.</summary>
    public int? Days => Hours is { } h ? Math.Max(1, (int)Math.Ceiling((h / HoursADay) - 1e-9)) : null;

    public static SeasonJob From(Arguments arguments, OptionSpec plan, OptionSpec hours, CancellationToken stop)
    {
        double aDay = arguments.Above(OptionSpec.HoursADay, 8);
        if (aDay is < LeastHours or > 24)
        {
            throw new UsageException($"{OptionSpec.HoursADay.Flag} is {aDay.ToString(CultureInfo.InvariantCulture)}: a day's work is half an hour at least and 24 at most.");
        }

        double? given = arguments.Above(hours);
        if (arguments[plan] is not { } path)
        {
            return !arguments.Has(OptionSpec.Machine) ? new SeasonJob("", given, aDay, double.NaN) : throw new UsageException($"--machine is for the hours of a plan: give it with {plan.Flag} {plan.ValueName}.");
        }

        WrittenPlan written = PlanReader.Read(PlanPath.From(new Arguments([], [path.Text]), "season"));
        FieldArea field = written.Field ?? throw new UsageException($"{written.File} holds no outline of a field: give the plan.geojson that keyline plan wrote.");
        NetTopologySuite.Geometries.Coordinate middle = field.Boundary.Centroid.Coordinate;
        double latitude = written.Crs.ToLonLat(middle.X, middle.Y).Latitude;
        string name = field.Name.Length > 0 ? field.Name : Path.GetFileName(Path.GetDirectoryName(Path.GetFullPath(written.File)) ?? "");
        if (given is not null)
        {
            return new SeasonJob(name, given, aDay, latitude);
        }

        Machine machine = MachineOption.Read(arguments[OptionSpec.Machine] ?? new Setting(UsualMachine, OptionSpec.Machine.Flag));
        WorkLine[] lines = [.. written.Lines.OrderBy(l => l.Sequence).Select(l => new WorkLine(l.Id, l.Line))];
        WorkJob job = WorkJob.Plan(lines, field, machine, new WorkOptions { Spacing = written.Spacing, Gate = field.Gate, Steep = written.Steep, HoursADay = aDay, ImproveOrder = false }, stop);
        return job.Usual is { } times ? new SeasonJob(name, times.Hours, aDay, latitude)
            : throw new UsageException($"{machine.Name} does not pull its implement, so the plan has no hours: give another with --machine, or the hours with {hours.Flag}.");
    }
}
