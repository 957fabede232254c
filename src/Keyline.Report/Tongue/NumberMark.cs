using System.Text.RegularExpressions;

namespace Keyline.Report;

/// <summary>The mark between whole and parts of a number in Spanish.</summary>
/// <remarks>
/// <para>Promises: with metric units it is the comma; with US units the point stays, as readers of Spanish in the United States write it. Numbers of five decimals and more are coordinates and keep the point, for they are
/// typed into machines; so do numbers that are part of a name, a version or a file.</para>
/// <para>Cost: that of the text. Source: Real Academia Española, Ortografía (2010), allows both; which is taken with which units is our choice.</para>
/// </remarks>
internal static partial class NumberMark
{
    /// <summary>A text in Spanish with its numbers so marked.</summary>
    public static string In(string text, UnitSystem units) => ReferenceEquals(units, UnitSystem.Metric) ? Decimal().Replace(text, "${whole},${parts}") : text;

    [GeneratedRegex(@"(?<![\p{L}\p{Nd}_.,/:])(?<whole>[-+\u2212]?[0-9]{1,5})\.(?<parts>[0-9]{1,4})(?![\p{L}\p{Nd}_/:]|[.,][\p{L}\p{Nd}])", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Decimal();
}
