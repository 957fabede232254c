namespace Keyline.Fieldwork;

/// <summary>Width on either side of a located service within which digging is by hand only, by state.</summary>
/// <remarks>
/// <para>Units: metres, from the outside of the service or of its mark. Promises: only states whose figure was read at the source below; laws change, and operators may ask for more: the locator's
/// word comes first. Cost: constant.</para>
/// <para>Source: Idaho 24 in, Bonner County/Boundary County 811, "Contractor and excavator responsibilities"; Mississippi 18 in, Mississippi 811, "APWA color code and tolerance zone"; Colorado, New Mexico,
/// South Dakota and Wisconsin 18 in, Minnesota and North Dakota 24 in, Michigan 48 in, Xcel Energy, "What is the tolerance zone?" (a notice to excavators).</para>
/// </remarks>
public static class HandDigZones
{
    private const double Inch = 0.0254;

    private static readonly SortedDictionary<string, double> Inches = new(StringComparer.OrdinalIgnoreCase)
    {
        ["CO"] = 18, ["ID"] = 24, ["MI"] = 48, ["MN"] = 24, ["MS"] = 18, ["ND"] = 24, ["NM"] = 18, ["SD"] = 18, ["WI"] = 18,
    };

    /// <summary>The states there is a figure for, by their postal letters.</summary>
    public static IReadOnlyList<string> States => [.. Inches.Keys];

    /// <summary>The width in a state, metres; NaN where there is no figure for it.</summary>
    /// <param name="state">Its two postal letters.</param>
    public static double Of(string state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return Inches.TryGetValue(state, out double inches) ? inches * Inch : double.NaN;
    }
}
