using System.Globalization;

namespace Keyline.Formats;

/// <summary>Quantities with their units, as people write them in files: "0.7 m", "120 hp", "4.5 km/h".</summary>
/// <remarks>
/// <para>Units: each kind's table gives the unit it is read into. Errors: <see cref="GroundDataException"/> with one sentence.</para>
/// <para>Source: NIST SP 811 (2008), appendix B.8: foot, inch, yard, mile, pound and mechanical horsepower; metric horsepower
/// 75 kgf m/s.</para>
/// </remarks>
internal static class QuantityText
{
    public static readonly QuantityKind Length = new("a length", "0.7 m", new() { ["m"] = 1, ["cm"] = 0.01, ["mm"] = 0.001, ["km"] = 1000, ["ft"] = 0.3048, ["in"] = 0.0254, ["yd"] = 0.9144 });
    public static readonly QuantityKind Power = new("a power", "90 kW", new() { ["kW"] = 1, ["hp"] = 0.745699872, ["PS"] = 0.73549875 });
    public static readonly QuantityKind Mass = new("a mass", "6500 kg", new() { ["kg"] = 1, ["t"] = 1000, ["lb"] = 0.45359237 });
    public static readonly QuantityKind Speed = new("a speed", "4.5 km/h", new() { ["km/h"] = 1 / 3.6, ["m/s"] = 1, ["mph"] = 0.44704 });
    public static readonly QuantityKind Time = new("a time", "4 s", new() { ["s"] = 1, ["min"] = 60 });

    /// <summary>Reads a number and its unit.</summary>
    /// <param name="text">As written.</param>
    /// <param name="kind">What it must be.</param>
    /// <param name="where">For messages.</param>
    public static double Read(string text, QuantityKind kind, string where)
    {
        string trimmed = text.Trim();
        int end = 0;
        while (end < trimmed.Length && (char.IsAsciiDigit(trimmed[end]) || trimmed[end] is '.' or '-' or '+'))
        {
            end++;
        }

        string unit = trimmed[end..].Trim();
        if (!double.TryParse(trimmed.AsSpan(0, end), NumberStyles.Float, CultureInfo.InvariantCulture, out double number) || !double.IsFinite(number))
        {
            throw new GroundDataException($"{where} is \"{trimmed}\", which is not {kind.What}: write a number and its unit, as in \"{kind.Like}\".");
        }

        return kind.Units.TryGetValue(unit, out double one) ? number * one
            : throw new GroundDataException($"{where} has {(unit.Length == 0 ? "no unit" : $"the unknown unit \"{unit}\"")}: {kind.What} is written with {string.Join(", ", kind.Units.Keys)}, as in \"{kind.Like}\".");
    }
}

/// <summary>A kind of quantity.</summary>
/// <param name="What">With its article, for messages.</param>
/// <param name="Like">One of the kind.</param>
/// <param name="Units">Units and how much of the unit read into each is.</param>
internal sealed record QuantityKind(string What, string Like, Dictionary<string, double> Units);
