using System.Globalization;
using Keyline.Check;
using Keyline.Console.Cli;
using Keyline.Field;
using Keyline.Formats;
using Keyline.Layout;
using Keyline.Report;

namespace Keyline.Console.Commands;

/// <summary>What a plan is to be made from and held to, read from the options.</summary>
internal sealed class PlanRequest
{
    public required GroundRequest Ground { get; init; }

    public required string FieldPath { get; init; }

    public IReadOnlyList<string> AvoidPaths { get; init; } = [];

    /// <summary>File of located services, and how they are read; null where there is none.</summary>
    public (string Path, Func<GroundCrs, IReadOnlyList<AvoidedArea>> Read)? Located { get; init; }

    public string? PinnedPath { get; init; }

    public string? OutletsPath { get; init; }

    public string? GatePath { get; init; }

    public string? FlaggedPath { get; init; }

    /// <summary>Error of the heights to try the drift against, metres; NaN to estimate it.</summary>
    public double Noise { get; init; } = double.NaN;

    /// <summary>Whether the usual ways of laying out are to be compared.</summary>
    public bool Compares { get; init; }

    /// <summary>Whether a price list of plans is wanted.</summary>
    public bool ListsPrices { get; init; }

    /// <summary>Whether the map is wanted as a drawing too.</summary>
    public bool DrawsSvg { get; init; }

    /// <summary>Whether everything is wanted as one GeoPackage too.</summary>
    public bool WritesPackage { get; init; }

    /// <summary>How sheets are to be cut; null for no sheets.</summary>
    public SheetOptions? Sheets { get; init; }

    /// <summary>The units of what people read.</summary>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <value>Language of the map and the sheets.</value>
    public string Language { get; init; } = "en";

    public required string OutPath { get; init; }

    /// <summary>The spacing as it was written, for the map and the summary.</summary>
    public required string SpacingText { get; init; }

    /// <summary>The machine that is to do the work, or null.</summary>
    public Machine? Machine { get; init; }

    /// <summary>Its file; null where it is none or a generic one.</summary>
    public string? MachinePath { get; init; }

    public required LayoutOptions Layout { get; init; }

    /// <summary>Whether the critical length was worked out.</summary>
    public bool HasAutomaticLength { get; init; }

    /// <summary>The most erodible soil, which decides the length; null where no zones were given.</summary>
    public ErodibleSoil? Soil { get; init; }

    /// <summary>File of the soil zones, or null.</summary>
    public string? SoilZonesPath { get; init; }

    /// <summary>Reads a request and checks every value that can be checked without the data.</summary>
    /// <exception cref="UsageException">Something is missing or cannot be followed.</exception>
    public static PlanRequest From(Arguments arguments)
    {
        GroundRequest ground = GroundRequest.From(arguments, "plan");
        string field = arguments.NeedFile(OptionSpec.Field, "plan", "The field", "field file");
        Machine? machine = MachineOption.Read(arguments);
        ShankSet? shanks = LimitOptions.Shanks(arguments) ?? (machine is { Implement.Shanks: > 1 } ? new ShankSet(machine.Implement.Shanks, machine.Implement.ShankSpacing) : null);
        string spacingText = shanks is not null && !arguments.Has(OptionSpec.Spacing)
            ? string.Create(CultureInfo.InvariantCulture, $"{shanks.PassSpacing:0.###} m")
            : arguments.Need(OptionSpec.Spacing, "plan", "The spacing of the lines").Text.Trim();
        double spacing = shanks is not null && !arguments.Has(OptionSpec.Spacing) ? shanks.PassSpacing : arguments.Above(OptionSpec.Spacing, 0);
        if (shanks is not null && !(shanks.IntervalBetween(spacing) > 0))
        {
            throw new UsageException(string.Create(
                CultureInfo.InvariantCulture,
                $"{(arguments[OptionSpec.Shanks] ?? arguments[OptionSpec.Machine])!.Where}: {shanks.Count} shanks {shanks.Spacing:0.###} m apart are as wide as the spacing of {spacing:0.###} m or wider, so passes would overlap: leave out --spacing, or give it as {shanks.PassSpacing:0.###} m."));
        }

        string? located = LocatedOptions.Check(arguments);
        Setting folder = arguments.Need(OptionSpec.Out, "plan", "The folder to write");
        return new PlanRequest
        {
            Ground = ground,
            FieldPath = field,
            AvoidPaths = arguments.Paths(OptionSpec.Avoid, "file of avoided areas"),
            Located = located is null ? null : (located, crs => LocatedOptions.Read(arguments, crs, shanks)),
            PinnedPath = arguments.File(OptionSpec.Pinned, "file of pinned guides"),
            OutletsPath = arguments.File(OptionSpec.StableOutlets, "file of outlets"),
            GatePath = arguments.File(OptionSpec.Gate, "file with the gate"),
            FlaggedPath = arguments.File(OptionSpec.Flagged, "file of keypoints"),
            Noise = arguments.Has(OptionSpec.Noise) ? arguments.AtLeastNothing(OptionSpec.Noise, 0) : double.NaN,
            Compares = arguments.Has(OptionSpec.Compare),
            ListsPrices = arguments.Has(OptionSpec.PriceList),
            DrawsSvg = arguments.Has(OptionSpec.Svg),
            WritesPackage = arguments.Has(OptionSpec.GeoPackage),
            Sheets = SheetChoice.From(arguments),
            Units = UnitChoice.From(arguments),
            Language = PageVoice.From(arguments).Language,
            OutPath = folder.Text,
            SpacingText = spacingText,
            Machine = machine,
            MachinePath = machine is not null && System.IO.File.Exists(arguments[OptionSpec.Machine]!.Text) ? arguments[OptionSpec.Machine]!.Text : null,
            HasAutomaticLength = CriticalLength.IsAutomatic(arguments),
            Soil = ErodibleSoil.From(arguments),
            SoilZonesPath = arguments[OptionSpec.SoilZones]?.Text,
            Layout = MachineOption.Applied(arguments, LimitOptions.From(arguments, spacing, LineLimits.DefaultMinimumLength, LineLimits.DefaultHeadland), machine) with
            {
                Shanks = shanks,
                Pattern = PatternOf(arguments),
                Bearing = Bearing(arguments),
                SpacingTolerance = Tolerance(arguments),
                DriftWorth = LayoutOptions.DefaultDriftWorth / arguments.Above(OptionSpec.Ease, 1),
                LeastFall = arguments.AtLeastNothing(OptionSpec.WishedFall, LayoutOptions.DefaultLeastFall),
                MostGuides = MostGuides(arguments),
                LeastMeanLength = arguments.AtLeastNothing(OptionSpec.LeastMeanLength, 0),
                Prices = new LayoutPrices().Eased(arguments.Above(OptionSpec.Ease, 1)),
            },
        };
    }

    /// <summary>The field with everything a plan may be told about it.</summary>
    public FieldArea ReadField(GroundCrs crs)
    {
        FieldArea field = FieldFiles.Read(FieldPath, AvoidPaths, OutletsPath, crs);
        return new FieldArea(field.Boundary, [.. field.Avoided, .. Located?.Read(crs) ?? []], field.Name)
        {
            PinnedGuides = PinnedPath is { } pinned ? [.. FieldFiles.ReadLines(pinned, crs).Select(l => new PinnedGuide(l.Line, l.IsRipped))] : [],
            Outlets = field.Outlets,
            Gate = GatePath is { } gate ? FieldFiles.ReadPoints(gate, crs)[0] : null,
        };
    }

    private static LinePattern PatternOf(Arguments arguments) => arguments[OptionSpec.Pattern] is not { } setting ? new LayoutOptions { Spacing = 1 }.Pattern
        : setting.Text.Trim().ToLowerInvariant() switch
        {
            "parallel" => LinePattern.Parallel,
            "even" => LinePattern.Even,
            "straight" => LinePattern.Straight,
            "one-keyline" => LinePattern.OneKeyline,
            _ => throw new UsageException($"{setting.Where} \"{setting.Text.Trim()}\" is no pattern: write even, parallel, straight or one-keyline."),
        };

    private static double Bearing(Arguments arguments)
    {
        if (arguments[OptionSpec.Bearing] is not { } setting)
        {
            return double.NaN;
        }

        double bearing = arguments.AtLeastNothing(OptionSpec.Bearing, 0);
        return PatternOf(arguments) != LinePattern.Straight ? throw new UsageException($"{setting.Where} is for {OptionSpec.Pattern.Flag} straight: other lines follow the ground.")
            : bearing < 360 ? bearing
            : throw new UsageException($"{setting.Where} is {setting.Text.Trim()}: a bearing is from 0 to below 360 degrees, clockwise from grid north.");
    }

    private static int? MostGuides(Arguments arguments)
    {
        if (arguments[OptionSpec.MostGuides] is not { } setting)
        {
            return null;
        }

        return PatternOf(arguments) == LinePattern.Parallel
            ? Quantity.Whole(setting.Text, setting.Where, 1, 9999)
            : throw new UsageException($"{setting.Where} is for {OptionSpec.Pattern.Flag} parallel: no other pattern chooses guides. For longer lines give {OptionSpec.LeastMeanLength.Flag} or {OptionSpec.Ease.Flag}.");
    }

    private static double Tolerance(Arguments arguments)
    {
        double percent = arguments.Above(OptionSpec.SpacingTolerance, 100 * LayoutOptions.DefaultSpacingTolerance);
        return percent < 50 ? percent / 100
            : throw new UsageException($"{arguments[OptionSpec.SpacingTolerance]!.Where} is {arguments[OptionSpec.SpacingTolerance]!.Text.Trim()}: it must be below 50 %.");
    }
}
