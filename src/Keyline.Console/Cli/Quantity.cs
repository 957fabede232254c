using System.Globalization;

namespace Keyline.Console.Cli;

/// <summary>Lengths with their units, and percents, as people write them.</summary>
internal static class Quantity
{
    /// <summary>The units a length may carry, for messages.</summary>
    public const string Units = "m, cm, mm, km, ft, ftUS, in or yd";

    // Exact by definition: foot 0.3048 m, inch and yard from it; US survey foot 1200/3937 m (NIST SP 811, 2008, appendix B.6).
    private static readonly Dictionary<string, double> MetresPerUnit = new(StringComparer.OrdinalIgnoreCase)
    {
        ["m"] = 1,
        ["metre"] = 1,
        ["metres"] = 1,
        ["meter"] = 1,
        ["meters"] = 1,
        ["cm"] = 0.01,
        ["mm"] = 0.001,
        ["km"] = 1000,
        ["ft"] = 0.3048,
        ["foot"] = 0.3048,
        ["feet"] = 0.3048,
        ["ftUS"] = 1200.0 / 3937.0,
        ["in"] = 0.0254,
        ["inch"] = 0.0254,
        ["inches"] = 0.0254,
        ["yd"] = 0.9144,
        ["yard"] = 0.9144,
        ["yards"] = 0.9144,
    };

    // The acre of the international foot, 43,560 square feet (NIST SP 811, 2008, appendix B.8).
    private static readonly Dictionary<string, double> SquareMetresPerUnit = new(StringComparer.OrdinalIgnoreCase)
    {
        ["m2"] = 1,
        ["ha"] = 10_000,
        ["hectare"] = 10_000,
        ["hectares"] = 10_000,
        ["km2"] = 1_000_000,
        ["ft2"] = 0.3048 * 0.3048,
        ["acre"] = 43_560 * 0.3048 * 0.3048,
        ["acres"] = 43_560 * 0.3048 * 0.3048,
    };

    /// <summary>Metres of a length such as "10 ft", "3m" or "120 in".</summary>
    /// <param name="text">A number and its unit.</param>
    /// <param name="where">What it was given for, for the message: "--spacing".</param>
    /// <exception cref="UsageException">No number, no unit, or a unit that is not known.</exception>
    public static double Length(string text, string where)
    {
        (double number, string unit) = Split(text, where, $"a length: write a number and its unit, as in \"3 m\" or \"10 ft\"");
        if (unit.Length == 0)
        {
            string shown = number.ToString(CultureInfo.InvariantCulture);
            throw new UsageException($"{where} is {shown} without a unit: a length carries its unit, as in \"{shown} m\" or \"{shown} ft\".");
        }

        if (!MetresPerUnit.TryGetValue(unit, out double metres))
        {
            throw new UsageException($"{where} has the unknown unit \"{unit}\": use {Units}, as in \"10 ft\".");
        }

        return number * metres;
    }

    /// <summary>Square metres of an area such as "1 ha" or "2 acres".</summary>
    /// <param name="text">A number and its unit.</param>
    /// <param name="where">What it was given for, for the message.</param>
    /// <exception cref="UsageException">No number, no unit, or a unit that is not known.</exception>
    public static double Area(string text, string where)
    {
        (double number, string unit) = Split(text, where, "an area: write a number and its unit, as in \"1 ha\" or \"2 acres\"");
        return SquareMetresPerUnit.TryGetValue(unit, out double square)
            ? number * square
            : throw new UsageException($"{where} has {(unit.Length == 0 ? "no unit" : $"the unknown unit \"{unit}\"")}: use m2, ha, km2, ft2 or acres, as in \"1 ha\".");
    }

    /// <summary>Bytes of a size such as "500 MB" or "2 GB".</summary>
    /// <param name="text">A number and its unit.</param>
    /// <param name="where">What it was given for, for the message.</param>
    /// <exception cref="UsageException">No number, no unit, or a unit that is not known.</exception>
    public static long Bytes(string text, string where)
    {
        (double number, string unit) = Split(text, where, "a size: write a number and its unit, as in \"500 MB\" or \"2 GB\"");
        double bytes = number * unit.ToUpperInvariant() switch
        {
            "MB" or "MIB" => 1L << 20,
            "GB" or "GIB" => 1L << 30,
            _ => throw new UsageException($"{where} has {(unit.Length == 0 ? "no unit" : $"the unknown unit \"{unit}\"")}: use MB or GB, as in \"500 MB\"."),
        };
        return bytes >= 1 && bytes < long.MaxValue ? (long)bytes : throw new UsageException($"{where} is {text.Trim()}: it must be above zero.");
    }

    /// <summary>Percent of a text such as "2", "2%" or "2 %".</summary>
    /// <param name="text">A number, with or without the sign.</param>
    /// <param name="where">What it was given for, for the message: "--max-grade".</param>
    /// <exception cref="UsageException">No number, or another unit.</exception>
    public static double Percent(string text, string where)
    {
        (double number, string unit) = Split(text, where, "a percentage: write a number, as in \"2\" or \"2 %\"");
        if (unit.Length > 0 && unit != "%" && !unit.Equals("percent", StringComparison.OrdinalIgnoreCase))
        {
            throw new UsageException($"{where} has the unknown unit \"{unit}\": grades and slopes are in percent, as in \"2\" or \"2 %\".");
        }

        return number;
    }

    /// <summary>A plain number such as "15" or "-9999".</summary>
    /// <param name="text">The number.</param>
    /// <param name="where">What it was given for, for the message.</param>
    /// <param name="like">One such number, for the message.</param>
    /// <exception cref="UsageException">It is none.</exception>
    public static double Number(string text, string where, string like) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double number) && double.IsFinite(number)
            ? number
            : throw new UsageException($"{where} \"{text.Trim()}\" is not a number: write it as in {like}.");

    /// <summary>A whole number between two.</summary>
    /// <exception cref="UsageException">It is not.</exception>
    public static int Whole(string text, string where, int least, int most) =>
        int.TryParse(text.Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out int number) && number >= least && number <= most
            ? number
            : throw new UsageException(string.Create(CultureInfo.InvariantCulture, $"{where} is {text.Trim()}: write a whole number from {least} {(most == int.MaxValue ? "on" : $"to {most}")}."));

    /// <summary>The number of an EPSG code such as "EPSG:32610".</summary>
    /// <exception cref="UsageException">It is none.</exception>
    public static int EpsgCode(string text, string where)
    {
        string trimmed = text.Trim();
        return trimmed.StartsWith("EPSG:", StringComparison.OrdinalIgnoreCase)
            && int.TryParse(trimmed.AsSpan(5), NumberStyles.None, CultureInfo.InvariantCulture, out int code) && code > 0
            ? code
            : throw new UsageException($"{where} \"{trimmed}\" is not an EPSG code: write it as EPSG:32610.");
    }

    private static (double Number, string Unit) Split(string text, string where, string wanted)
    {
        string trimmed = text.Trim();
        int end = 0;
        while (end < trimmed.Length && (char.IsAsciiDigit(trimmed[end]) || trimmed[end] is '.' or '-' or '+'))
        {
            end++;
        }

        // "1e3 m": an exponent belongs to the number only if digits follow.
        if (end > 0 && end + 1 < trimmed.Length && trimmed[end] is 'e' or 'E' && (char.IsAsciiDigit(trimmed[end + 1]) || trimmed[end + 1] is '-' or '+'))
        {
            end += 2;
            while (end < trimmed.Length && char.IsAsciiDigit(trimmed[end]))
            {
                end++;
            }
        }

        if (end > 0 && end < trimmed.Length && trimmed[end] == ',')
        {
            throw new UsageException($"{where} \"{trimmed}\" has a comma in its number: write the decimal mark as a point, as in \"3.5\".");
        }

        if (!double.TryParse(trimmed.AsSpan(0, end), NumberStyles.Float, CultureInfo.InvariantCulture, out double number) || !double.IsFinite(number))
        {
            throw new UsageException($"{where} \"{trimmed}\" is not {wanted}.");
        }

        return (number, trimmed[end..].Trim());
    }
}
