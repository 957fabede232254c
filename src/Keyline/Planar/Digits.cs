using System.Globalization;

namespace Keyline.Planar;

/// <summary>Writes a value beside its limit so that the two can be told apart.</summary>
internal static class Digits
{
    private const int Most = 9;

    /// <summary>The two as texts, with more decimals than asked for where they would read alike or the other way round.</summary>
    /// <param name="value">What was found.</param>
    /// <param name="limit">What it is held to.</param>
    /// <param name="decimals">Decimals that commonly tell them apart.</param>
    /// <param name="plain">How the limit is commonly written; null for as many decimals.</param>
    public static (string Value, string Limit) Apart(double value, double limit, int decimals, string? plain = null)
    {
        string found = Text(value, decimals), held = plain is null ? Text(limit, decimals) : limit.ToString(plain, CultureInfo.InvariantCulture);
        for (int more = decimals + 1; more <= Most && Order(found, held) != Math.Sign(value.CompareTo(limit)); more++)
        {
            (found, held) = (Text(value, more), Text(limit, more));
        }

        return (found, held);
    }

    private static string Text(double value, int decimals) => value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static int Order(string a, string b) => Math.Sign(double.Parse(a, CultureInfo.InvariantCulture).CompareTo(double.Parse(b, CultureInfo.InvariantCulture)));
}
