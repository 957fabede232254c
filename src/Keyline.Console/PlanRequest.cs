using System.Globalization;
using Keyline.Layout;

namespace Keyline.Console;

/// <summary>What a plan is to be made from and held to, read from the options.</summary>
internal sealed class PlanRequest
{
    public required GroundRequest Ground { get; init; }

    public required string FieldPath { get; init; }

    public string? AvoidPath { get; init; }

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
        Setting spacing = arguments.Need(OptionSpec.Spacing, "plan", "The spacing of the lines");
        Setting folder = arguments.Need(OptionSpec.Out, "plan", "The folder to write");
        return new PlanRequest
        {
            Ground = ground,
            FieldPath = field,
            AvoidPath = arguments[OptionSpec.Avoid] is { } avoid ? ExistingFile(avoid, "file of avoided areas") : null,
            OutPath = folder.Text,
            SpacingText = spacing.Text.Trim(),
            Layout = Limits(arguments, Above(OptionSpec.Spacing, arguments, 0), LayoutOptions.DefaultMinimumLength, LayoutOptions.DefaultHeadland),
        };
    }

    /// <summary>The limits among the options, with the defaults for those not given.</summary>
    public static LayoutOptions Limits(Arguments arguments, double spacing, double minimumLength, double headland)
    {
        double grade = Above(OptionSpec.MaxGrade, arguments, LayoutOptions.DefaultMaximumGrade);
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
            DesignFall = fall,
            MinimumRadius = AtLeastNothing(OptionSpec.MinRadius, arguments, LayoutOptions.DefaultMinimumRadius),
            Headland = AtLeastNothing(OptionSpec.Headland, arguments, headland),
            MinimumLength = AtLeastNothing(OptionSpec.MinLength, arguments, minimumLength),
            MaximumSlope = Above(OptionSpec.MaxSlope, arguments, LayoutOptions.DefaultMaximumSlope),
        };
    }

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

    private static double AtLeastNothing(OptionSpec option, Arguments arguments, double otherwise)
    {
        double value = Value(option, arguments, otherwise);
        return value >= 0 ? value : throw new UsageException($"{arguments[option]!.Where} is {arguments[option]!.Text.Trim()}: it must be zero or more.");
    }

    private static double Value(OptionSpec option, Arguments arguments, double otherwise) => arguments[option] is not { } setting
        ? otherwise
        : option.Kind == ValueKind.Percent ? Quantity.Percent(setting.Text, setting.Where) : Quantity.Length(setting.Text, setting.Where);
}
