using System.Globalization;
using Keyline.Layout;
using Keyline.Water;

namespace Keyline.Console.Cli;

/// <summary>How far a line may fall one way, among the options.</summary>
internal static class CriticalLength
{
    // What a hard shower leaves over on tight soil in an hour, metres: a judgement.
    private const double UsualExcess = 0.02;

    /// <summary>Whether it is to be worked out.</summary>
    public static bool IsAutomatic(Arguments arguments) => arguments[OptionSpec.CriticalLength]?.Text.Trim() == "auto";

    /// <summary>The length, metres; infinite where none is asked for, or level lines make none.</summary>
    /// <param name="arguments">The options.</param>
    /// <param name="spacing">Metres from line to line; NaN where it is not known.</param>
    /// <param name="fall">Design fall, percent.</param>
    /// <param name="soil">The soil that decides; null for fresh silt loam.</param>
    /// <exception cref="UsageException">Not a length, or auto without what it is worked out from.</exception>
    public static double Of(Arguments arguments, double spacing, double fall, ErodibleSoil? soil = null)
    {
        if (!IsAutomatic(arguments))
        {
            return !arguments.Has(OptionSpec.Excess) ? arguments.Above(OptionSpec.CriticalLength, double.PositiveInfinity)
                : throw new UsageException($"{arguments[OptionSpec.Excess]!.Where} is for {OptionSpec.CriticalLength.Flag} auto: give that too, or leave it out.");
        }

        return spacing > 0 && double.IsFinite(spacing) ? SafeLine.Longest(fall / 100, spacing, Rate(arguments), soil?.Soil.Speed ?? SafeLine.FreshSoilSpeed, soil?.Soil.Shear ?? SafeLine.FreshSoilShear)
            : throw new UsageException($"{arguments[OptionSpec.CriticalLength]!.Where} auto needs the distance between lines: give it with {OptionSpec.Spacing.Flag} {OptionSpec.Spacing.ValueName}.");
    }

    /// <summary>Rain that the ground does not take in, metres a second.</summary>
    public static double Rate(Arguments arguments) => arguments.Above(OptionSpec.Excess, UsualExcess) / 3600;

    /// <summary>What a plan says of it, or nothing.</summary>
    /// <param name="isAutomatic">Whether it was worked out.</param>
    /// <param name="layout">What the plan is held to.</param>
    /// <param name="soil">The soil that decides; null for fresh silt loam.</param>
    public static IEnumerable<string> Said(bool isAutomatic, LayoutOptions layout, ErodibleSoil? soil = null) => [.. Said(isAutomatic, layout, soil?.Soil), .. soil is null ? [] : (string[])[soil.Said]];

    private static IEnumerable<string> Said(bool isAutomatic, LayoutOptions layout, FreshSoil? soil) => !isAutomatic ? []
        : double.IsInfinity(layout.CriticalLength) ? ["Lines without a design fall may be of any length before their water cuts fresh soil; where the ground makes them fall they may not (keyline water shows which)."]
        :
        [
            string.Create(CultureInfo.InvariantCulture, $"At the design fall of {layout.DesignFall:0.##} % a line may fall one way for {layout.CriticalLength:0} m before the water of its spacing runs at {soil?.Speed ?? SafeLine.FreshSoilSpeed:0.###} m/s or pulls with {soil?.Shear ?? SafeLine.FreshSoilShear:0.#} Pa, which is what fresh soil stands (Manning; half of Fortier and Scobey 1926, a judgement). Steeper lines stand less: twice the fall, about a quarter of the length."),
        ];
}
