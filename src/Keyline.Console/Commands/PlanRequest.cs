using System.Globalization;
using Keyline.Check;
using Keyline.Console.Cli;
using Keyline.Layout;

namespace Keyline.Console.Commands;

/// <summary>What a plan is to be made from and held to, read from the options.</summary>
internal sealed class PlanRequest
{
    public required GroundRequest Ground { get; init; }

    public required string FieldPath { get; init; }

    public string? AvoidPath { get; init; }

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

    public required string OutPath { get; init; }

    /// <summary>The spacing as it was written, for the map and the summary.</summary>
    public required string SpacingText { get; init; }

    public required LayoutOptions Layout { get; init; }

    /// <summary>Reads a request and checks every value that can be checked without the data.</summary>
    /// <exception cref="UsageException">Something is missing or cannot be followed.</exception>
    public static PlanRequest From(Arguments arguments)
    {
        GroundRequest ground = GroundRequest.From(arguments, "plan");
        string field = ExistingFile(arguments.Need(OptionSpec.Field, "plan", "The field"), "field file");
        ShankSet? shanks = ShanksFrom(arguments);
        string spacingText = shanks is not null && !arguments.Has(OptionSpec.Spacing)
            ? string.Create(CultureInfo.InvariantCulture, $"{shanks.PassSpacing:0.###} m")
            : arguments.Need(OptionSpec.Spacing, "plan", "The spacing of the lines").Text.Trim();
        double spacing = shanks is not null && !arguments.Has(OptionSpec.Spacing) ? shanks.PassSpacing : Above(OptionSpec.Spacing, arguments, 0);
        if (shanks is not null && !(shanks.IntervalBetween(spacing) > 0))
        {
            throw new UsageException(string.Create(
                CultureInfo.InvariantCulture,
                $"{arguments[OptionSpec.Shanks]!.Where}: {shanks.Count} shanks {shanks.Spacing:0.###} m apart are as wide as the spacing of {spacing:0.###} m or wider, so passes would overlap: leave out --spacing, or give it as {shanks.PassSpacing:0.###} m."));
        }

        Setting folder = arguments.Need(OptionSpec.Out, "plan", "The folder to write");
        return new PlanRequest
        {
            Ground = ground,
            FieldPath = field,
            AvoidPath = arguments[OptionSpec.Avoid] is { } avoid ? ExistingFile(avoid, "file of avoided areas") : null,
            PinnedPath = Optional(arguments, OptionSpec.Pinned, "file of pinned guides"),
            OutletsPath = Optional(arguments, OptionSpec.StableOutlets, "file of outlets"),
            GatePath = Optional(arguments, OptionSpec.Gate, "file with the gate"),
            FlaggedPath = Optional(arguments, OptionSpec.Flagged, "file of keypoints"),
            Noise = arguments.Has(OptionSpec.Noise) ? AtLeastNothing(OptionSpec.Noise, arguments, 0) : double.NaN,
            Compares = arguments.Has(OptionSpec.Compare),
            ListsPrices = arguments.Has(OptionSpec.PriceList),
            OutPath = folder.Text,
            SpacingText = spacingText,
            Layout = Limits(arguments, spacing, LineLimits.DefaultMinimumLength, LineLimits.DefaultHeadland) with
            {
                Shanks = shanks,
                Pattern = PatternOf(arguments),
                SpacingTolerance = Tolerance(arguments),
                DriftWorth = LayoutOptions.DefaultDriftWorth / Above(OptionSpec.Ease, arguments, 1),
                Prices = new LayoutPrices().Eased(Above(OptionSpec.Ease, arguments, 1)),
            },
        };
    }

    /// <summary>The limits among the options, with the defaults for those not given.</summary>
    public static LayoutOptions Limits(Arguments arguments, double spacing, double minimumLength, double headland)
    {
        RowGradeRule? rule = RowGradeRule.Known.FirstOrDefault(r => r.Name == arguments[OptionSpec.MaxGrade]?.Text.Trim());
        double grade = rule?.Cap ?? GradeLimit(arguments);
        bool hasFall = arguments.Has(OptionSpec.Fall);
        double fall = AtLeastNothing(OptionSpec.Fall, arguments, Math.Min(LayoutOptions.DefaultDesignFall, grade));
        if (hasFall && fall > grade)
        {
            throw new UsageException(string.Create(
                CultureInfo.InvariantCulture,
                $"{arguments[OptionSpec.Fall]!.Where} is {fall:0.###} %, above the greatest grade of {grade:0.###} %: lower it, or raise --max-grade."));
        }

        return new LayoutOptions
        {
            Spacing = spacing,
            MaximumGrade = grade,
            RowGrade = rule,
            DesignFall = fall,
            MinimumFall = AtLeastNothing(OptionSpec.MinFall, arguments, 0),
            MaximumSideSlope = Above(OptionSpec.SideSlope, arguments, LineLimits.DefaultMaximumSideSlope) is double side && side < 90
                ? side
                : throw new UsageException($"{arguments[OptionSpec.SideSlope]!.Where} is {arguments[OptionSpec.SideSlope]!.Text.Trim()}: a side slope is below 90 degrees."),
            CriticalLength = Above(OptionSpec.CriticalLength, arguments, double.PositiveInfinity),
            MinimumRadius = AtLeastNothing(OptionSpec.MinRadius, arguments, LineLimits.DefaultMinimumRadius),
            Headland = AtLeastNothing(OptionSpec.Headland, arguments, headland),
            MinimumLength = AtLeastNothing(OptionSpec.MinLength, arguments, minimumLength),
            MaximumSlope = Above(OptionSpec.MaxSlope, arguments, LineLimits.DefaultMaximumSlope),
        };
    }

    private static LinePattern PatternOf(Arguments arguments) => arguments[OptionSpec.Pattern] is not { } setting ? LinePattern.Parallel
        : setting.Text.Trim().ToLowerInvariant() switch
        {
            "parallel" => LinePattern.Parallel,
            "even" => LinePattern.Even,
            _ => throw new UsageException($"{setting.Where} \"{setting.Text.Trim()}\" is no pattern: write parallel or even."),
        };

    private static double Tolerance(Arguments arguments)
    {
        double percent = Above(OptionSpec.SpacingTolerance, arguments, 100 * LayoutOptions.DefaultSpacingTolerance);
        return percent < 50 ? percent / 100
            : throw new UsageException($"{arguments[OptionSpec.SpacingTolerance]!.Where} is {arguments[OptionSpec.SpacingTolerance]!.Text.Trim()}: it must be below 50 %.");
    }

    private static double GradeLimit(Arguments arguments)
    {
        if (arguments[OptionSpec.MaxGrade] is { } setting && setting.Text.Trim() is { Length: > 0 } text && char.IsLetter(text[0]))
        {
            throw new UsageException($"{setting.Where} \"{text}\" is no rule: write a percentage, or one of {string.Join(", ", RowGradeRule.Known.Select(r => r.Name))}.");
        }

        return Above(OptionSpec.MaxGrade, arguments, LineLimits.DefaultMaximumGrade);
    }

    public static ShankSet? ShanksFrom(Arguments arguments)
    {
        if (arguments[OptionSpec.Shanks] is not { } shanks)
        {
            return arguments[OptionSpec.ShankSpacing] is { } alone
                ? throw new UsageException($"{alone.Where} needs the number of shanks as well: give it with {OptionSpec.Shanks.Flag} {OptionSpec.Shanks.ValueName}.")
                : null;
        }

        if (!int.TryParse(shanks.Text.Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out int count) || count is < 1 or > 99)
        {
            throw new UsageException($"{shanks.Where} is {shanks.Text.Trim()}: write a whole number from 1 to 99.");
        }

        return arguments.Has(OptionSpec.ShankSpacing)
            ? new ShankSet(count, Above(OptionSpec.ShankSpacing, arguments, 0))
            : throw new UsageException($"{shanks.Where} needs the distance between shanks as well: give it with {OptionSpec.ShankSpacing.Flag} {OptionSpec.ShankSpacing.ValueName}.");
    }

    private static string? Optional(Arguments arguments, OptionSpec option, string what) => arguments[option] is { } path ? ExistingFile(path, what) : null;

    public static string ExistingFile(Setting path, string what)
    {
        if (Directory.Exists(path.Text))
        {
            throw new UsageException($"The {what} {path.Text} is a folder: give the file itself with {path.Where}.");
        }

        return File.Exists(path.Text)
            ? path.Text
            : throw new UsageException($"There is no {what} {path.Text}: check {path.Where}.");
    }

    /// <summary>The number of an EPSG code, or null where none is given.</summary>
    public static int? Code(Setting? crs)
    {
        if (crs is null)
        {
            return null;
        }

        string text = crs.Text.Trim();
        if (text.StartsWith("EPSG:", StringComparison.OrdinalIgnoreCase)
            && int.TryParse(text.AsSpan(5), NumberStyles.None, CultureInfo.InvariantCulture, out int code) && code > 0)
        {
            return code;
        }

        throw new UsageException($"{crs.Where} \"{text}\" is not an EPSG code: write it as EPSG:32610.");
    }

    /// <summary>A value above nothing.</summary>
    public static double Above(OptionSpec option, Arguments arguments, double otherwise)
    {
        double value = Value(option, arguments, otherwise);
        return value > 0 ? value : throw new UsageException($"{arguments[option]!.Where} is {arguments[option]!.Text.Trim()}: it must be above zero.");
    }

    public static double AtLeastNothing(OptionSpec option, Arguments arguments, double otherwise)
    {
        double value = Value(option, arguments, otherwise);
        return value >= 0 ? value : throw new UsageException($"{arguments[option]!.Where} is {arguments[option]!.Text.Trim()}: it must be zero or more.");
    }

    private static double Value(OptionSpec option, Arguments arguments, double otherwise) => arguments[option] is not { } setting
        ? otherwise
        : option.Kind switch
        {
            ValueKind.Percent => Quantity.Percent(setting.Text, setting.Where),
            ValueKind.Number => double.TryParse(setting.Text, NumberStyles.Float, CultureInfo.InvariantCulture, out double number) && double.IsFinite(number)
                ? number
                : throw new UsageException($"{setting.Where} \"{setting.Text.Trim()}\" is not a number: write it as in 15."),
            _ => Quantity.Length(setting.Text, setting.Where),
        };
}
