using System.Globalization;
using Keyline.Check;
using Keyline.Layout;

namespace Keyline.Console.Cli;

/// <summary>What lines are to be held to, read from the options.</summary>
internal static class LimitOptions
{
    /// <summary>The limits among the options, with the defaults for those not given.</summary>
    public static LayoutOptions From(Arguments arguments, double spacing, double minimumLength, double headland)
    {
        RowGradeRule? rule = RowGradeRule.Known.FirstOrDefault(r => r.Name == arguments[OptionSpec.MaxGrade]?.Text.Trim());
        double grade = rule?.Cap ?? GradeLimit(arguments);
        bool hasFall = arguments.Has(OptionSpec.Fall);
        ErodibleSoil? soil = ErodibleSoil.From(arguments);
        double usual = Math.Min(LayoutOptions.DefaultDesignFall, grade);
        double fall = arguments.AtLeastNothing(OptionSpec.Fall, soil is null || !(spacing > 0) ? usual : soil.Fall(usual, spacing, CriticalLength.Rate(arguments)));
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
            MinimumFall = arguments.AtLeastNothing(OptionSpec.MinFall, 0),
            MaximumSideSlope = arguments.Above(OptionSpec.SideSlope, LineLimits.DefaultMaximumSideSlope) is double side && side < 90
                ? side
                : throw new UsageException($"{arguments[OptionSpec.SideSlope]!.Where} is {arguments[OptionSpec.SideSlope]!.Text.Trim()}: a side slope is below 90 degrees."),
            CriticalLength = CriticalLength.Of(arguments, spacing, fall, soil),
            MinimumRadius = arguments.AtLeastNothing(OptionSpec.MinRadius, arguments.Has(OptionSpec.Shanks) ? ShankSet.UsualRadius : LineLimits.DefaultMinimumRadius),
            Headland = IsAutomaticHeadland(arguments) ? headland : arguments.AtLeastNothing(OptionSpec.Headland, headland),
            MinimumLength = arguments.AtLeastNothing(OptionSpec.MinLength, minimumLength),
            MaximumSlope = arguments.Above(OptionSpec.MaxSlope, LineLimits.DefaultMaximumSlope),
        };
    }

    /// <summary>Whether the headland is to be worked out from a machine.</summary>
    public static bool IsAutomaticHeadland(Arguments arguments) => arguments[OptionSpec.Headland]?.Text.Trim() == "auto";

    /// <summary>The shanks among the options, or null where none were given.</summary>
    public static ShankSet? Shanks(Arguments arguments)
    {
        if (arguments[OptionSpec.Shanks] is not { } shanks)
        {
            return arguments[OptionSpec.ShankSpacing] is { } alone
                ? throw new UsageException($"{alone.Where} needs the number of shanks as well: give it with {OptionSpec.Shanks.Flag} {OptionSpec.Shanks.ValueName}.")
                : null;
        }

        int count = Quantity.Whole(shanks.Text, shanks.Where, 1, 99);
        return arguments.Has(OptionSpec.ShankSpacing)
            ? new ShankSet(count, arguments.Above(OptionSpec.ShankSpacing, 0))
            : throw new UsageException($"{shanks.Where} needs the distance between shanks as well: give it with {OptionSpec.ShankSpacing.Flag} {OptionSpec.ShankSpacing.ValueName}.");
    }

    private static double GradeLimit(Arguments arguments)
    {
        if (arguments[OptionSpec.MaxGrade] is { } setting && setting.Text.Trim() is { Length: > 0 } text && char.IsLetter(text[0]))
        {
            throw new UsageException($"{setting.Where} \"{text}\" is no rule: write a percentage, or one of {string.Join(", ", RowGradeRule.Known.Select(r => r.Name))}.");
        }

        return arguments.Above(OptionSpec.MaxGrade, LineLimits.DefaultMaximumGrade);
    }
}
