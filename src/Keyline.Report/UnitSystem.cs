using System.Globalization;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>The units people read: metric, or those customary in the United States. Files and computing stay in SI.</summary>
/// <remarks>
/// <para>Units: every value comes in SI (metres, square metres, seconds) and goes out in the system's own.</para>
/// <para>Missing: NaN is shown as a dash.</para>
/// <para>Promises: the same text whatever the machine's language; a sentence in metric words comes back unchanged in the metric system.</para>
/// <para>Source: foot, inch, mile, acre, US gallon, pound-force and horsepower as in NIST SP 811 (Thompson and Taylor 2008), appendix B.8,
/// the foot being the international one of 0.3048 m.</para>
/// </remarks>
public sealed partial class UnitSystem
{
    private const double Foot = 0.3048, Inch = Foot / 12, Mile = 5280 * Foot, Acre = 43_560 * Foot * Foot, Gallon = 3.785411784e-3;

    private static readonly Dictionary<UnitKind, (string Name, double Size)> MetricUnits = new()
    {
        [UnitKind.Length] = ("m", 1),
        [UnitKind.Way] = ("km", 1000),
        [UnitKind.SmallLength] = ("cm", 0.01),
        [UnitKind.WaterDepth] = ("mm", 0.001),
        [UnitKind.Area] = ("ha", 10_000),
        [UnitKind.SmallArea] = ("m2", 1),
        [UnitKind.WaterVolume] = ("m3", 1),
        [UnitKind.WaterFlow] = ("L/s", 0.001),
        [UnitKind.WaterRate] = ("mm/h", 0.001 / 3600),
        [UnitKind.Fuel] = ("L", 0.001),
        [UnitKind.FuelForArea] = ("L/ha", 1e-7),
        [UnitKind.Speed] = ("km/h", 1 / 3.6),
        [UnitKind.Force] = ("kN", 1000),
        [UnitKind.Power] = ("kW", 1000),
        [UnitKind.ForEachWay] = ("/km", 0.001),
    };

    private static readonly Dictionary<UnitKind, (string Name, double Size)> UsUnits = new()
    {
        [UnitKind.Length] = ("ft", Foot),
        [UnitKind.Way] = ("mi", Mile),
        [UnitKind.SmallLength] = ("in", Inch),
        [UnitKind.WaterDepth] = ("in", Inch),
        [UnitKind.Area] = ("ac", Acre),
        [UnitKind.SmallArea] = ("ft2", Foot * Foot),
        [UnitKind.WaterVolume] = ("ft3", Foot * Foot * Foot),
        [UnitKind.WaterFlow] = ("ft3/s", Foot * Foot * Foot),
        [UnitKind.WaterRate] = ("in/h", Inch / 3600),
        [UnitKind.Fuel] = ("gal", Gallon),
        [UnitKind.FuelForArea] = ("gal/ac", Gallon / Acre),
        [UnitKind.Speed] = ("mph", Mile / 3600),
        [UnitKind.Force] = ("lbf", 4.4482216152605),
        [UnitKind.Power] = ("hp", 550 * Foot * 4.4482216152605),
        [UnitKind.ForEachWay] = ("/mi", 1 / Mile),
    };

    private readonly Dictionary<UnitKind, (string Name, double Size)> _units;

    private UnitSystem(string name, Dictionary<UnitKind, (string Name, double Size)> units) => (Name, _units) = (name, units);

    /// <summary>Metres, hectares, litres.</summary>
    public static UnitSystem Metric { get; } = new("metric", MetricUnits);

    /// <summary>Feet, acres, US gallons.</summary>
    public static UnitSystem Us { get; } = new("us", UsUnits);

    /// <summary>How it is asked for: <c>metric</c> or <c>us</c>.</summary>
    public string Name { get; }

    /// <summary>The short name of a unit, for the head of a column.</summary>
    public string Symbol(UnitKind kind) => _units[kind].Name;

    /// <summary>How large a unit is in SI.</summary>
    public double Size(UnitKind kind) => _units[kind].Size;

    /// <summary>A value in the system's unit.</summary>
    /// <param name="value">SI.</param>
    /// <param name="kind">What it is.</param>
    public double From(double value, UnitKind kind) => value / _units[kind].Size;

    /// <summary>A value with its unit, as "12.5 ft".</summary>
    /// <param name="value">SI.</param>
    /// <param name="kind">What it is.</param>
    /// <param name="format">A numeric format for the number in the system's unit.</param>
    public string Text(double value, UnitKind kind, string format) =>
        (double.IsFinite(value) ? From(value, kind).ToString(format, CultureInfo.InvariantCulture) : "-") + " " + Symbol(kind);

    /// <summary>A sentence of metric words with every quantity in it brought to this system.</summary>
    /// <param name="sentence">Numbers with a blank and a unit behind them, as "3.05 m" or "2 to 5 ha". Names in quotation marks are left alone.</param>
    /// <remarks>Numbers get no more decimals than tell as much as before; temperatures, percents and degrees are the same in both.</remarks>
    public string Reworded(string sentence)
    {
        ArgumentNullException.ThrowIfNull(sentence);
        return ReferenceEquals(this, Metric) ? sentence : Quantities().Replace(sentence, Brought);
    }

    private string Brought(Match match)
    {
        if (!match.Groups["unit"].Success)
        {
            return match.Value;
        }

        (UnitKind kind, double metric) = KindOf(match.Groups["unit"].Value);
        double ratio = metric / Size(kind);
        int more = ratio >= 0.5 ? 0 : ratio >= 0.08 ? 1 : 2;
        string from = Number(match.Groups["from"].Value), joint = match.Groups["joint"].Value;
        return (from.Length > 0 ? from + joint : "") + Number(match.Groups["number"].Value) + match.Groups["gap"].Value + Symbol(kind);

        string Number(string text)
        {
            if (text.Length == 0)
            {
                return "";
            }

            string digits = text.Replace(",", "", StringComparison.Ordinal).Replace('\u2212', '-');
            int point = digits.IndexOf('.', StringComparison.Ordinal), decimals = (point < 0 ? 0 : digits.Length - point - 1) + more;
            double value = double.Parse(digits, CultureInfo.InvariantCulture) * ratio;
            // A whole number of metres is often a limit, and one digit of feet would blur it.
            decimals += point < 0 && more == 0 && Math.Abs(value) < 10 && value != Math.Round(value) ? 1 : 0;
            return value.ToString((digits[0] == '+' ? "+" : "") + "0." + new string(point < 0 ? '#' : '0', decimals), CultureInfo.InvariantCulture);
        }
    }

    private static (UnitKind Kind, double Size) KindOf(string unit)
    {
        foreach ((UnitKind kind, (string name, double size)) in MetricUnits)
        {
            if (name == unit)
            {
                return (kind, size);
            }
        }

        return unit switch
        {
            "litres" => (UnitKind.Fuel, 0.001),
            _ => throw new ArgumentOutOfRangeException(nameof(unit), unit, "A unit without a kind."),
        };
    }

    // What stands in quotation marks is a name or something to type. A unit ends at a blank or a mark, so that "2 m.tif" is none.
    [GeneratedRegex("""
        "[^"]*"|(?<![\w.,/])(?:(?<from>[+-]?\d[\d,]*(?:\.\d+)?)(?<joint> to | of |-|(?<=between [^ ]*) and ))?(?<number>[+\u2212-]?\d[\d,]*(?:\.\d+)?)(?<gap> )(?<unit>km/h|km|mm/h|mm|cm|m2|m3|m|ha|L/ha|L/s|litres|L|kN|kW)(?![\w/])(?!\.\w)
        """, RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Quantities();
}
