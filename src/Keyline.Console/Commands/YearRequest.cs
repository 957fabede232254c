using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Water;

namespace Keyline.Console.Commands;

/// <summary>The years that keyline water is to reckon beside the storm, read from its options.</summary>
internal static class YearRequest
{
    private static readonly OptionSpec Texture = new("--texture", ValueKind.Word, "CLASS", "texture class of the soil for the years, where --soil is none (default loam)");
    private static readonly OptionSpec HalfHour = new("--half-hour-share", ValueKind.Percent, "PERCENT", "share of a day's rain in its wettest half hour (default 40; 20 to 60 as a rule)");
    private static readonly OptionSpec Drains = new("--drains", ValueKind.Length, "LENGTH", "the most that drains below the roots in a day, as \"2 mm\" (default: all that comes)");
    private static readonly OptionSpec Cost = new("--cost", ValueKind.Number, "MONEY", "what ripping costs a hectare, for the years until it is paid back");
    private static readonly OptionSpec Work = new("--work", ValueKind.Path, "DIR", "folder that keyline work wrote, for the cost, instead of --cost");
    private static readonly OptionSpec Price = new("--month-price", ValueKind.Number, "MONEY", "worth of an animal unit month (default 20)");
    private static readonly OptionSpec Harvest = new("--harvest", ValueKind.Percent, "PERCENT", "forage that stock eat (default 25)");

    // Until the plan has said its own.
    private const double UsualSpacing = 3;
    private const string WorkName = "work.json";
    private const long MostBytes = 64 << 20;

    public static IReadOnlyList<OptionSpec> All { get; } =
    [
        SeasonRequest.WeatherFile with { Help = "daily weather for the account of years: CSV, see docs/season.md" }, SeasonRequest.Latitude, SeasonRequest.Altitude, SeasonRequest.WindHeight, SeasonRequest.LongestGap,
        Texture, HalfHour, Drains, Cost, Work, Price, Harvest,
    ];

    /// <summary>Refuses options of the years where no weather is given.</summary>
    /// <exception cref="UsageException">One is given without it.</exception>
    public static bool IsAskedFor(Arguments arguments)
    {
        return arguments.File(SeasonRequest.WeatherFile, "table of weather") is not null || (All.FirstOrDefault(arguments.Has) is not { } without ? false
            : throw new UsageException($"{without.Flag} is for the account of years: give the daily weather with {SeasonRequest.WeatherFile.Flag} {SeasonRequest.WeatherFile.ValueName}."));
    }

    /// <summary>What the years are reckoned with, before the storm has set the share of the lines that works.</summary>
    public static (YearOptions Options, string? Assumed) Options(Arguments arguments, WaterRequest water)
    {
        string word = water.Soil.Main.Split(" over ")[0].Trim();
        SoilTexture? texture = arguments[Texture] is { } given
            ? TextureTable.Find(given.Text) ?? throw new UsageException($"{given.Where} \"{given.Text.Trim()}\" is no texture class: write it as clay-loam.")
            : TextureTable.Find(word);
        YearOptions options = new()
        {
            Soil = water.Soil.For(water.Storm),
            Holds = ClassHydraulics.Of(texture ?? SoilTexture.Loam),
            Spacing = UsualSpacing,
            Rip = water.Fresh,
            HalfLife = water.HalfLife,
            HalfHourShare = arguments.AtLeastNothing(HalfHour, 100 * DayStorm.UsualShare) / 100,
            SurfaceStorage = water.Options.SurfaceStorage,
            DrainageLimit = arguments[Drains] is { } drains ? Quantity.Length(drains.Text, drains.Where) : double.PositiveInfinity,
        };
        options.Validate();
        DayStorm.Shape(options.HalfHourShare);
        return (options, texture is null ? "What the soil holds is taken as a loam's: say its texture with --texture." : null);
    }

    /// <summary>What forage is worth.</summary>
    public static ForageWorth Worth(Arguments arguments)
    {
        double harvest = arguments.AtLeastNothing(Harvest, 25);
        return harvest <= 100 ? new ForageWorth { Harvest = harvest / 100, Price = arguments.AtLeastNothing(Price, 20) } : throw new UsageException($"{Harvest.Flag} is above 100 %: stock eat no more than there is.");
    }

    /// <summary>Money a hectare; NaN where it is not known.</summary>
    public static double CostOf(Arguments arguments)
    {
        double? given = arguments.Above(Cost);
        if (arguments[Work] is not { } folder)
        {
            return given ?? double.NaN;
        }

        if (given is not null)
        {
            throw new UsageException($"{Cost.Flag} and {Work.Flag} both say what ripping costs: leave one out.");
        }

        string path = Directory.Exists(folder.Text) ? Path.Combine(folder.Text, WorkName) : folder.Text;
        if (!File.Exists(path) || new FileInfo(path).Length > MostBytes)
        {
            throw new UsageException($"{folder.Where} {folder.Text} holds no {WorkName}: give the folder that keyline work wrote.");
        }

        try
        {
            using JsonDocument document = JsonDocument.Parse(File.ReadAllBytes(path));
            double[] costs = [.. document.RootElement.GetProperty("fields").EnumerateArray().SelectMany(f => f.EnumerateObject()).Where(p => p.Name == "usual" && p.Value.ValueKind == JsonValueKind.Object)
                .Select(p => p.Value.GetProperty("cost")).Where(c => c.ValueKind == JsonValueKind.Object).Select(c => c.GetProperty("a_hectare").GetDouble())];
            return costs.Length > 0 ? costs.Average() : throw new UsageException($"{path} holds no cost: give keyline work a machine with prices, or the cost itself with {Cost.Flag}.");
        }
        catch (Exception error) when (error is JsonException or KeyNotFoundException or InvalidOperationException)
        {
            throw new UsageException($"{path} is not as keyline work writes it: make it again, or give the cost itself with {Cost.Flag}.");
        }
    }
}
