using Keyline.Console.Cli;
using Keyline.Water;

namespace Keyline.Console.Commands;

/// <summary>The storms, the soil and the rips that keyline water is to run, read from its options.</summary>
internal sealed record WaterRequest(Hyetograph Storm, WaterSoil Soil, StormOptions Options)
{
    private const double UsualHalfLife = 1.5;

    /// <summary>The rip before it ages.</summary>
    public Rip Fresh { get; private init; } = new();

    /// <summary>Years in which half of what it adds is gone.</summary>
    public double HalfLife { get; private init; } = UsualHalfLife;

    /// <summary>Years since it was made.</summary>
    public double Years { get; private init; }

    /// <summary>The rip as it may be besides, by name: fresh, and at both published ends of its half-life; none where it is fresh.</summary>
    public IEnumerable<(string Name, Rip Rip)> OtherAges => !(Years > 0) ? [] :
    [
        ("fresh", Fresh),
        .. new[] { YearOptions.HalfLives.Short, YearOptions.HalfLives.Long }.Select(h => (FormattableString.Invariant($"{Years:0.##} years, half-life {h:0.##}"), Fresh.Aged(Years, h))),
    ];

    /// <summary>Storms of a design table with their return periods, years; empty where no table is given.</summary>
    public IReadOnlyList<(double Years, Hyetograph Storm)> Design { get; private init; } = [];

    /// <summary>Which of them is the storm whose maps are drawn; -1 where it is another.</summary>
    public int Drawn { get; private init; } = -1;

    public static readonly OptionSpec StormText = new("--storm", ValueKind.Word, "STORM", "the rain, as \"40 mm in 1 h\", or a CSV file with minute and mm");
    public static readonly OptionSpec Shape = new("--storm-shape", ValueKind.Word, "SHAPE", "how it falls: type-II (default), type-III, steady or double-exponential");
    public static readonly OptionSpec Storms = new("--storms", ValueKind.Path, "TABLE", "depths of rain by duration and return period, CSV with duration_min and y2, y10 ...: each period's storm is run; maps are of that nearest ten years, or of --storm");
    public static readonly OptionSpec Lasting = new("--storms-last", ValueKind.Word, "TIME", "how long storms of --storms last (default 2 h, or the table's longest where that is less)");
    public static readonly OptionSpec RipDepth = new("--rip-depth", ValueKind.Length, "LENGTH", "depth of the tip (default 40 cm)");
    public static readonly OptionSpec Furrow = new("--furrow", ValueKind.Length, "LENGTH", "depth of the furrow left at the surface (default 5 cm)");
    public static readonly OptionSpec Ridge = new("--ridge", ValueKind.Length, "LENGTH", "height of the ridge below it (default 2 cm)");
    public static readonly OptionSpec Tip = new("--tip-width", ValueKind.Length, "LENGTH", "width of the tip (default 6 cm)");
    public static readonly OptionSpec Air = new("--rip-air", ValueKind.Percent, "PERCENT", "share of the loosened soil that is air to be filled, fresh (default 10)");
    public static readonly OptionSpec Ratio = new("--rip-ratio", ValueKind.Number, "NUMBER", "conductivity of the loosened strip over the soil's, fresh (default 2; 1.5 to 3 in loams)");
    public static readonly OptionSpec Side = new("--furrow-side", ValueKind.Number, "NUMBER", "run over rise of the furrow's sides (default 2)");
    public static readonly OptionSpec Storage = new("--surface-storage", ValueKind.Length, "LENGTH", "depth of water that stands on rough ground before any runs (default 1 mm)");
    public static readonly OptionSpec Age = new("--age", ValueKind.Number, "YEARS", "years since ripping (default 0: fresh); above 0 the gain is shown fresh and at both published ends of the half-life too");
    public static readonly OptionSpec HalfLifeYears = new("--half-life", ValueKind.Number, "YEARS", "years in which half of what a rip adds is gone (default 1.5; 0.5 to 2 grazed and wet, 2 to 5 dry)");
    public static readonly OptionSpec Roughness = new("--roughness", ValueKind.Number, "NUMBER", "Manning's n of the ground (default 0.08)");

    public static IReadOnlyList<OptionSpec> All { get; } = [StormText, Shape, Storms, Lasting, .. WaterSoil.All, RipDepth, Tip, Air, Ratio, Furrow, Side, Ridge, Age, HalfLifeYears, Roughness, Storage, WaterCovers.HeadlandIntake];

    // Two hours and blocks of five minutes: most of a storm's runoff is made in less, a judgement.
    private const double UsualLasting = 7200;
    private const double Block = 300;
    private const double UsualPeriod = 10;

    public static WaterRequest From(Arguments arguments)
    {
        (double Years, Hyetograph Storm)[] design = ReadTable(arguments);
        Hyetograph? given = design.Length > 0 && !arguments.Has(StormText) ? null : ReadStorm(arguments);
        int drawn = given is not null ? -1 : Enumerable.Range(0, design.Length).MinBy(k => Math.Abs(Math.Log(design[k].Years / UsualPeriod)));
        Rip usual = new();
        double halfLife = arguments.Above(HalfLifeYears, UsualHalfLife);
        Rip fresh = new()
        {
            Depth = arguments.AtLeastNothing(RipDepth, usual.Depth),
            TipWidth = arguments.AtLeastNothing(Tip, usual.TipWidth),
            AirShare = arguments.AtLeastNothing(Air, 100 * usual.AirShare) / 100,
            ConductivityRatio = arguments.Above(Ratio, usual.ConductivityRatio),
            FurrowDepth = arguments.AtLeastNothing(Furrow, usual.FurrowDepth),
            FurrowSide = arguments.Above(Side, usual.FurrowSide),
            RidgeHeight = arguments.AtLeastNothing(Ridge, usual.RidgeHeight),
        };
        StormOptions options = new() { Rip = fresh.Aged(arguments.AtLeastNothing(Age, 0), halfLife), Roughness = arguments.Above(Roughness, StormOptions.DefaultRoughness), SurfaceStorage = arguments.AtLeastNothing(Storage, StormOptions.DefaultSurfaceStorage) };
        options.Validate();
        Hyetograph storm = given ?? design[drawn].Storm;
        return new WaterRequest(storm, WaterSoil.From(arguments, storm), options) { Fresh = fresh, Years = arguments.AtLeastNothing(Age, 0), HalfLife = halfLife, Design = design, Drawn = drawn };
    }

    private static (double Years, Hyetograph Storm)[] ReadTable(Arguments arguments)
    {
        if (arguments.File(Storms, "table of rain") is not { } path)
        {
            return arguments[Lasting] is not { } needless ? [] : throw new UsageException($"{needless.Where} is for storms of a table: give one with {Storms.Flag} {Storms.ValueName}, or leave it out.");
        }

        using StreamReader reader = new(path);
        RainTable table = RainTable.Read(reader, Path.GetFileName(path));
        double lasting = arguments[Lasting] is { } time ? Seconds(time.Text.Trim(), time.Where, "\"2 h\"") : Math.Min(UsualLasting, table.Durations[^1]);
        return lasting >= Block
            ? [.. table.ReturnPeriods.Select((years, k) => (years, table.Storm(k, lasting, Block)))]
            : throw new UsageException($"{arguments[Lasting]?.Where ?? path} is shorter than five minutes, the step of such storms: give a longer time.");
    }

    private static Hyetograph ReadStorm(Arguments arguments)
    {
        Setting given = arguments.Need(StormText, "water", "The storm");
        string shape = arguments.Word(Shape, "type-II", "type-III", "steady", "double-exponential");
        if (File.Exists(given.Text))
        {
            using StreamReader reader = new(given.Text);
            return HyetographCsv.Read(reader, Path.GetFileName(given.Text));
        }

        string[] parts = given.Text.Split(" in ", StringSplitOptions.TrimEntries);
        if (parts.Length != 2)
        {
            throw new UsageException($"{given.Where} \"{given.Text.Trim()}\" is neither a file nor a storm: write it as in \"40 mm in 1 h\".");
        }

        double depth = Quantity.Length(parts[0], given.Where);
        double seconds = Seconds(parts[1], given.Where, "\"40 mm in 1 h\"");
        return shape switch
        {
            "steady" => DesignStorms.Steady(depth, seconds),
            "double-exponential" => DesignStorms.DoubleExponential(depth, seconds, 4, 0.3),
            _ => DesignStorms.Nrcs(shape == "type-II" ? StormType.TypeII : StormType.TypeIII, depth, seconds),
        };
    }

    private static double Seconds(string text, string where, string example)
    {
        string unit = new([.. text.SkipWhile(c => !char.IsAsciiLetter(c))]);
        double number = Quantity.Number(text[..^unit.Length].Trim(), where, example);
        return number * unit switch
        {
            "h" or "hour" or "hours" => 3600,
            "min" or "minutes" => 60,
            _ => throw new UsageException($"{where} has the unknown unit of time \"{unit}\": use h or min, as in {example}."),
        };
    }
}
