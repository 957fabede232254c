using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>Writes a sentence with numbers in it in the units of a system: the numbers are converted, not their digits.</summary>
/// <remarks>Promises: in the metric system the sentence is what its invariant form is. Cost: that of the text.</remarks>
internal static partial class UnitSentence
{
    /// <summary>The sentence.</summary>
    /// <param name="units">The system.</param>
    /// <param name="sentence">A sentence in metric units; a sentence within it is brought too, other texts are not.</param>
    public static string Said(UnitSystem units, FormattableString sentence)
    {
        Match[] holes = [.. Holes().Matches(sentence.Format).Where(m => m.Groups["index"].Success)];
        UnitKind?[] kinds = new UnitKind?[holes.Length];
        string[] behind = [.. holes.Select((h, i) => sentence.Format[(h.Index + h.Length)..(i + 1 < holes.Length ? holes[i + 1].Index : sentence.Format.Length)])];
        for (int i = holes.Length - 1; i >= 0; i--)
        {
            // Of two numbers with one unit the first takes that of the second.
            kinds[i] = sentence.GetArgument(Index(holes[i])) is not (double or float or int or long) ? null
                : UnitBehind().Match(behind[i]) is { Success: true } unit ? UnitSystem.KindOf(unit.Groups["unit"].Value)
                : i + 1 < holes.Length && Joint().IsMatch(behind[i]) ? kinds[i + 1] : null;
        }

        StringBuilder text = new();
        int from = 0;
        for (int i = 0; i < holes.Length; i++)
        {
            Literal(sentence.Format[from..holes[i].Index], i > 0 ? kinds[i - 1] : null);
            Group format = holes[i].Groups["format"], width = holes[i].Groups["width"];
            string value = Value(sentence.GetArgument(Index(holes[i])), format.Success ? format.Value : "", kinds[i]);
            int wide = width.Success ? int.Parse(width.ValueSpan, CultureInfo.InvariantCulture) : 0;
            text.Append(wide < 0 ? value.PadRight(-wide) : value.PadLeft(wide));
            from = holes[i].Index + holes[i].Length;
        }

        Literal(sentence.Format[from..], holes.Length > 0 ? kinds[^1] : null);
        return text.ToString();

        void Literal(string words, UnitKind? before)
        {
            string said = words.Replace("{{", "{", StringComparison.Ordinal).Replace("}}", "}", StringComparison.Ordinal);
            Match unit = before is null ? Match.Empty : UnitBehind().Match(said);
            text.Append(unit.Success ? " " + (ReferenceEquals(units, UnitSystem.Metric) ? unit.Groups["unit"].Value : units.Symbol(before!.Value)) + said[unit.Length..] : said);
        }

        string Value(object? value, string format, UnitKind? kind) => value switch
        {
            FormattableString inner => Said(units, inner),
            double or float when kind is UnitKind.Length && ReferenceEquals(units, UnitSystem.Us) && IsWhole(Convert.ToDouble(value, CultureInfo.InvariantCulture) / units.Size(UnitKind.Length)) =>
                UnitSystem.Shown(Convert.ToDouble(value, CultureInfo.InvariantCulture) / units.Size(UnitKind.Length), format.Contains('+', StringComparison.Ordinal) ? format : "0", 0),
            double or float or int or long when kind is { } k && !ReferenceEquals(units, UnitSystem.Metric) && Convert.ToDouble(value, CultureInfo.InvariantCulture) is double number && double.IsFinite(number) =>
                UnitSystem.Shown(number * UnitSystem.Metric.Size(k) / units.Size(k), format.Length > 0 ? format : "0.##", units.MoreDecimals(k)),
            IFormattable formattable => formattable.ToString(format.Length > 0 ? format : null, CultureInfo.InvariantCulture),
            _ => value?.ToString() ?? "",
        };
    }

    // What was asked for in feet is a whole number of them to the last digit; what was measured never is.
    private static bool IsWhole(double feet) => feet >= 1 && Math.Abs(feet - Math.Round(feet)) < 1e-6;

    private static int Index(Match hole) => int.Parse(hole.Groups["index"].ValueSpan, CultureInfo.InvariantCulture);

    [GeneratedRegex(@"\{\{|\}\}|\{(?<index>\d+)(?:,(?<width>-?\d+))?(?::(?<format>[^{}]*))?\}", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Holes();

    [GeneratedRegex(@"^ (?<unit>km/h|km|mm/h|mm|cm|m2|m3|m/s|m|ha|L/ha|L/s|litres|L|kN|kW|kg/ha)(?![\w/])", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex UnitBehind();

    [GeneratedRegex("^(?: to | of | and |-)$", RegexOptions.CultureInvariant)]
    private static partial Regex Joint();
}
