using Keyline.Field;

namespace Keyline.Fieldwork;

/// <summary>The depth below which a tip presses the soil aside instead of heaving and loosening it.</summary>
/// <remarks>
/// <para>Units: metres. Promises: a range; it is shallower in wet and loose soil. Cost: constant.</para>
/// <para>Source: five to seven widths of the tine, British Columbia Ministry of Agriculture, drainage handbook, chapter on subsoiling;
/// wings widen the tip by the width across them (G. Spoor and R. J. Godwin, "An experimental investigation into the deep loosening of
/// soil by rigid tines", Journal of Agricultural Engineering Research 23 (1978) 243-258, from memory).</para>
/// </remarks>
public static class CriticalDepth
{
    /// <summary>Width across the wings of a winged tip, metres.</summary>
    public const double WingWidth = 0.30;

    /// <summary>Where it may begin, metres: five widths.</summary>
    /// <param name="width">Width of the tip, metres.</param>
    public static double Shallowest(double width) => 5 * width;

    /// <summary>Where it begins at the latest, metres: seven widths.</summary>
    /// <param name="width">Width of the tip, metres.</param>
    public static double Deepest(double width) => 7 * width;

    /// <summary>One sentence where an implement works below it, or null.</summary>
    /// <param name="implement">The implement.</param>
    public static string? Warning(Implement implement)
    {
        ArgumentNullException.ThrowIfNull(implement);
        double width = implement.Tip == TipKind.Winged ? Math.Max(WingWidth, implement.TipWidth) : implement.TipWidth;
        return implement.Depth <= Shallowest(width) ? null : FormattableString.Invariant(
            $"A tip {100 * width:0.#} cm wide loosens down to {100 * Shallowest(width):0} to {100 * Deepest(width):0} cm (five to seven widths); at {100 * implement.Depth:0} cm {(implement.Depth > Deepest(width) ? "it" : "it may")} press{(implement.Depth > Deepest(width) ? "es" : "")} soil aside and smear{(implement.Depth > Deepest(width) ? "s" : "")} it below that: dig to the tip's depth after the first metres and look.");
    }
}
