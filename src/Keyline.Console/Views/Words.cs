using System.Globalization;
using Keyline.Check;

namespace Keyline.Console.Views;

/// <summary>Numbers as people read them.</summary>
internal static class Words
{
    public static string Count(int number, string thing) => number == 1 ? "1 " + thing : Number(number, "0") + " " + thing + "s";

    /// <summary>A share in percent, rounded down so that 100 % means all of it.</summary>
    public static string Share(double share) =>
        double.IsFinite(share) ? Number(Math.Floor((share * 1000) + 1e-6) / 10, "0.0") + " %" : "none";

    /// <summary>What to say where lines stand less evenly than is asked; null where they are even enough.</summary>
    public static string? Unevenness(LayoutFigures figures) => AskedLimits.IsEven(figures)
        ? null
        : $"Only {Share(figures.SpacingWithin25Share)} of the length has its next line, on either side, within a quarter of the spacing; {Number(100 * AskedLimits.EvenLength, "0")} % is asked for.";

    public static string Number(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture);

    /// <summary>A cell of a table: a dash where there is no number.</summary>
    public static string Cell(double value, string format, int width) => (double.IsFinite(value) ? Number(value, format) : "-").PadLeft(width);
}
