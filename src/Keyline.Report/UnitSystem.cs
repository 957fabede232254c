using System.Globalization;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>The units people read: metric, or those customary in the United States. Files and computing stay in SI.</summary>
/// <remarks>
/// <para>Units: every value comes in SI (metres, square metres, seconds) and goes out in the system's own.</para>
/// <para>Missing: NaN is shown as a dash.</para>
/// <para>Promises: the same text whatever the machine's language; a sentence in metric words comes back unchanged in the metric system. The console, the
/// map and the report's page take their units from here.</para>
/// <para>Source: foot, inch, mile, acre, US gallon, pound, pound-force and horsepower as in NIST SP 811 (Thompson and Taylor 2008), appendix B.8,
/// the foot being the international one of 0.3048 m.</para>
/// </remarks>
public sealed partial class UnitSystem
{
    private const double Foot = 0.3048, Inch = Foot / 12, Mile = 5280 * Foot, Acre = 43_560 * Foot * Foot, Gallon = 3.785411784e-3, Pound = 0.45359237;

    private static readonly Dictionary<UnitKind, (string Name, double Size)> MetricUnits = new()
    {
        [UnitKind.Length] = ("m", 1),
        [UnitKind.Way] = ("km", 1000),
        [UnitKind.SmallLength] = ("cm", 0.01),
        [UnitKind.WaterDepth] = ("mm", 0.001),
        [UnitKind.Area] = ("ha", 10_000),
        [UnitKind.SmallArea] = ("m2", 1),
        [UnitKind.WaterVolume] = ("m3", 1),
        [UnitKind.WaterForLength] = ("L/m", 0.001),
        [UnitKind.WaterFlow] = ("L/s", 0.001),
        [UnitKind.WaterRate] = ("mm/h", 0.001 / 3600),
        [UnitKind.WaterSpeed] = ("m/s", 1),
        [UnitKind.Fuel] = ("L", 0.001),
        [UnitKind.FuelForArea] = ("L/ha", 1e-7),
        [UnitKind.Speed] = ("km/h", 1 / 3.6),
        [UnitKind.Force] = ("kN", 1000),
        [UnitKind.Power] = ("kW", 1000),
        [UnitKind.ForEachWay] = ("/km", 0.001),
        [UnitKind.ForEachArea] = ("/ha", 1e-4),
        [UnitKind.MassForArea] = ("kg/ha", 1e-4),
    };

    private static readonly Dictionary<UnitKind, (string Name, double Size)> UsUnits = new()
    {
        [UnitKind.Length] = ("ft", Foot),
        [UnitKind.Way] = ("mi", Mile),
        [UnitKind.SmallLength] = ("in", Inch),
        [UnitKind.WaterDepth] = ("in", Inch),
        [UnitKind.Area] = ("ac", Acre),
        [UnitKind.SmallArea] = ("ft2", Foot * Foot),
        [UnitKind.WaterVolume] = ("gal", Gallon),
        [UnitKind.WaterForLength] = ("gal/ft", Gallon / Foot),
        [UnitKind.WaterFlow] = ("ft3/s", Foot * Foot * Foot),
        [UnitKind.WaterRate] = ("in/h", Inch / 3600),
        [UnitKind.WaterSpeed] = ("ft/s", Foot),
        [UnitKind.Fuel] = ("gal", Gallon),
        [UnitKind.FuelForArea] = ("gal/ac", Gallon / Acre),
        [UnitKind.Speed] = ("mph", Mile / 3600),
        [UnitKind.Force] = ("lbf", 4.4482216152605),
        [UnitKind.Power] = ("hp", 550 * Foot * 4.4482216152605),
        [UnitKind.ForEachWay] = ("/mi", 1 / Mile),
        [UnitKind.ForEachArea] = ("/ac", 1 / Acre),
        [UnitKind.MassForArea] = ("lb/ac", Pound / Acre),
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

    /// <summary>How many decimals more, or fewer below 0, than in metric units show a number about as finely.</summary>
    /// <param name="kind">What it is.</param>
    public int MoreDecimals(UnitKind kind)
    {
        // Hectares and acres, kilometres and miles, litres and gallons are told alike.
        double tens = Math.Log10(MetricUnits[kind].Size / Size(kind));
        return tens is > -0.7 and < 0.45 ? 0 : -(int)Math.Round(tens);
    }

    /// <summary>A number for a table, without its unit.</summary>
    /// <param name="value">SI.</param>
    /// <param name="kind">What it is.</param>
    /// <param name="format">The format it has in metric units.</param>
    public string Number(double value, UnitKind kind, string format) =>
        double.IsFinite(value) ? Shown(From(value, kind), format, MoreDecimals(kind)) : "-";

    /// <summary>A sentence written in metric units, its numbers brought to this system before they are rounded.</summary>
    /// <param name="sentence">Numbers with a blank and a metric unit behind them, as <c>{length / 1000:0.0} km</c>; what is put in as text stays as it is.</param>
    public string Say(FormattableString sentence)
    {
        ArgumentNullException.ThrowIfNull(sentence);
        return UnitSentence.Said(this, sentence);
    }

    /// <summary>A finished sentence of metric words with every quantity in it brought to this system.</summary>
    /// <param name="sentence">Numbers with a blank and a unit behind them, as "3.05 m" or "2 to 5 ha". Names in quotation marks are left alone.</param>
    /// <remarks>Its numbers are rounded already, so they get no more digits than they can bear: where the number is at hand, <see cref="Say"/> tells it better.
    /// Temperatures, percents and degrees are the same in both.</remarks>
    public string Reworded(string sentence)
    {
        ArgumentNullException.ThrowIfNull(sentence);
        return ReferenceEquals(this, Metric) ? sentence : Quantities().Replace(sentence, Brought);
    }

    /// <summary>The quantities of a finished sentence: where, how long, the value in SI, its decimals and its kind.</summary>
    internal static IEnumerable<(int At, int Length, double Value, int Decimals, UnitKind Kind)> QuantitiesIn(string sentence)
    {
        foreach (Match match in Quantities().Matches(sentence))
        {
            Group number = match.Groups["number"];
            if (match.Groups["unit"].Success && KindOf(match.Groups["unit"].Value) is { } kind && number.Value[0] is not ('+' or '\u2212' or '-'))
            {
                // Of two numbers with one unit each is a quantity.
                if (match.Groups["from"] is { Success: true, Length: > 0 } from)
                {
                    if (from.Value[0] is '+' or '-')
                    {
                        continue;
                    }

                    yield return Quantity(from.Index, from.Length, from.Value, kind);
                }

                yield return Quantity(number.Index, match.Index + match.Length - number.Index, number.Value, kind);
            }
        }

        static (int, int, double, int, UnitKind) Quantity(int at, int length, string number, UnitKind kind)
        {
            string digits = number.Replace(",", "", StringComparison.Ordinal);
            int point = digits.IndexOf('.', StringComparison.Ordinal);
            return (at, length, double.Parse(digits, CultureInfo.InvariantCulture) * Metric.Size(kind), point < 0 ? 0 : digits.Length - point - 1, kind);
        }
    }

    /// <summary>Whole feet that rounded metres stand for, in metres: 3.05 is 10 ft, 3.0 too, 2.97 is not. Null where they stand for none, or for less than five.</summary>
    /// <param name="metres">The number as it stands.</param>
    /// <param name="decimals">Its decimals; without any it may stand for several.</param>
    internal static double? WholeFeet(double metres, int decimals)
    {
        double whole = Math.Round(metres / Foot) * Foot;
        return decimals > 0 && metres >= 5 * Foot && Math.Abs(whole - metres) <= (0.5 * Math.Pow(10, -decimals)) + 1e-9 ? whole : null;
    }

    /// <summary>The kind of a metric unit by its short name; null for what is none.</summary>
    internal static UnitKind? KindOf(string unit)
    {
        foreach ((UnitKind kind, (string name, _)) in MetricUnits)
        {
            if (name == unit)
            {
                return kind;
            }
        }

        return unit == "litres" ? UnitKind.Fuel : null;
    }

    /// <summary>A number in a format with more or fewer decimals than it names, and never fewer than none.</summary>
    internal static string Shown(double value, string format, int more)
    {
        string fitted = string.Join(';', format.Split(';').Select(section => With(section, more)));
        return value.ToString(fitted, CultureInfo.InvariantCulture);
    }

    private static string With(string section, int more)
    {
        int point = section.IndexOf('.', StringComparison.Ordinal);
        string whole = point < 0 ? section : section[..point], decimals = point < 0 ? "" : section[(point + 1)..];
        return more > 0 && whole.Length > 0 ? $"{whole}.{decimals}{new string(decimals.EndsWith('#') ? '#' : '0', more)}"
            : more < 0 ? (decimals.Length + more > 0 ? $"{whole}.{decimals[..(decimals.Length + more)]}" : whole)
            : section;
    }

    private string Brought(Match match)
    {
        if (!match.Groups["unit"].Success || KindOf(match.Groups["unit"].Value) is not { } kind)
        {
            return match.Value;
        }

        double ratio = Metric.Size(kind) / Size(kind);
        string from = match.Groups["from"].Value, joint = match.Groups["joint"].Value;
        return (from.Length > 0 ? Number(from) + joint : "") + Number(match.Groups["number"].Value) + match.Groups["gap"].Value + Symbol(kind);

        string Number(string text)
        {
            string digits = text.Replace(",", "", StringComparison.Ordinal).Replace('\u2212', '-');
            int point = digits.IndexOf('.', StringComparison.Ordinal), known = point < 0 ? 0 : digits.Length - point - 1;
            double value = double.Parse(digits, CultureInfo.InvariantCulture) * ratio;
            if (kind == UnitKind.Length && WholeFeet(value * Foot, known) is { } feet)
            {
                return (feet / Foot).ToString(digits[0] == '+' ? "+0" : "0", CultureInfo.InvariantCulture);
            }

            // A unit less than half as large makes a rounding more than twice as wide: a decimal less. A small whole number is most often a limit, and exact.
            int more = MoreDecimals(kind), decimals = ratio < 2 ? known + Math.Max(0, more) : Math.Max(0, known - Math.Max(1, -more));
            decimals = point < 0 && Math.Abs(value) < 10 ? Math.Max(1, decimals) : decimals;
            if (ratio > 30)
            {
                double tens = Math.Pow(10, Math.Floor(Math.Log10(ratio)));
                value = Math.Round(value / tens) * tens;
            }

            return value.ToString((digits[0] == '+' ? "+" : "") + "0." + new string(point < 0 ? '#' : '0', decimals), CultureInfo.InvariantCulture);
        }
    }

    // What stands in quotation marks is a name or something to type. A unit ends at a blank or a mark, so that "2 m.tif" is none.
    [GeneratedRegex("""
        "[^"]*"|(?<![\w.,/])(?:(?<from>[+-]?\d[\d,]*(?:\.\d+)?)(?<joint> to | of | a |-|(?<=between [^ ]*) and ))?(?<number>[+\u2212-]?\d[\d,]*(?:\.\d+)?)(?<gap> )(?<unit>km/h|km|mm/h|mm|cm|m2|m3|m/s|m|ha|L/ha|L/s|litres|L|kN|kW|kg/ha)(?![\w/])(?!\.\w)
        """, RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Quantities();
}
