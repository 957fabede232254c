using Keyline.Layout;

namespace Keyline.Formats;

/// <summary>One thing to see to before a plan is driven.</summary>
/// <param name="Id">Short name that does not change.</param>
/// <param name="Text">What to see to, in plain words.</param>
/// <param name="Source">Where it comes from.</param>
public sealed record Caution(string Id, string Text, string Source);

/// <summary>What every plan says besides its lines. A plan is arithmetic on heights; it has not walked the ground.</summary>
/// <remarks>
/// The figures are the strictest of those found. Depths that need notice, slopes that are worked and soil that is dry enough
/// differ from place to place: local codes and licensed practice come first.
/// </remarks>
public static class Cautions
{
    /// <summary>Ripping this deep or deeper needs notice to the owners of buried lines, metres.</summary>
    /// <remarks>12 inches: the shallowest depth found among state one-call rules and pipeline operators in the USA; others say 18 or 20.</remarks>
    public const double NoticeDepth = 0.305;

    /// <summary>Steepest side slope given in manuals of ride-on machines, percent (15 degrees).</summary>
    public const double ManualSideSlope = 26.8;

    /// <summary>Buried lines.</summary>
    public static Caution BuriedLines { get; } = new(
        "buried-lines",
        "Have buried lines located and marked before ripping: in the USA call 811 some business days ahead, elsewhere the local service. Ripping 12 in (305 mm) deep or deeper commonly needs this notice, and depths and waiting times differ by state. Private lines (water, drains, power to sheds) are not marked by such services: ask the owner.",
        "State one-call (811) rules: Oklahoma (tillage deeper than 18 in, 3 business days), Idaho (2 business days, 24 in on either side), Florida (ripping is excavation); pipeline operators (deeper than 12 in).");

    /// <summary>Rollover.</summary>
    public static Caution Rollover { get; } = new(
        "rollover",
        "Lines near the contour put the tractor on a side slope. The plan leaves out land steeper than asked for, measured on the elevation data, not under the wheels: holes, banks, stumps, wet ground and turning with the implement raised can tip a machine on gentler land. Keep to the slope in the machine's manual (those of ride-on machines commonly end at 15 degrees, 27 %).",
        "Manuals of ride-on machines (15 degrees); no authority was found that sets one slope for full-size tractors.");

    /// <summary>Soil moisture.</summary>
    public static Caution SoilMoisture { get; } = new(
        "soil-moisture",
        "Rip only when the soil crumbles down to the depth of the point: too wet it smears and seals, too dry it breaks out in blocks and costs power. Editions of the practice standard differ, from drier than 30 % to 30 to 50 % of field capacity.",
        "NRCS Conservation Practice Standard 324, Deep Tillage: Arizona 2008 (below 30 % of field capacity), Maine 2014 (30 to 50 %).");

    /// <summary>Erosion and outlets.</summary>
    public static Caution Outlets { get; } = new(
        "outlets",
        "Lines carry water. See that whatever leaves a line reaches a stable outlet (a ridge that spreads it, a grassed waterway, a dam inlet) and not a track, a bank or a neighbour. Steeper or bare lines, and rain before cover has grown back, can turn a rip line into a gully.",
        "NRCS Conservation Practice Standards 330, Contour Farming (national text of 1997 or later), and 332, Contour Buffer Strips (Utah 2010, national September 2014): runoff to a stable outlet, greatest row grade.");

    /// <summary>Local codes and licensed practice.</summary>
    public static Caution LocalCodes { get; } = new(
        "local-codes",
        "This plan is an aid to design, not engineering advice. Local codes, water law and conservation standards, and the judgement of licensed or accredited people on the ground, come before it; dams, diversions and work near streams, wetlands or archaeological sites need their approval.",
        "Common practice; no single source.");

    /// <summary>Elevation data.</summary>
    public static Caution Elevation { get; } = new(
        "elevation-data",
        "Walk the keypoints and the first lines with a level before working the field. Elevation data may be older than the last earthworks, and brush, crops and buildings can stand in it as ground.",
        "Common practice; no single source.");

    /// <summary>All of them, in the order to read them.</summary>
    public static IReadOnlyList<Caution> All { get; } = [BuriedLines, Rollover, SoilMoisture, Outlets, Elevation, LocalCodes];

    /// <summary>In one paragraph, for the description that a format has room for: files part from the folder that says the rest.</summary>
    internal static string InShort { get; } =
        BuriedLines.Text + " Keep to the slope in the machine's manual, and lead water to a stable outlet. An aid to design, not engineering advice: local codes and licensed practice come first.";

    /// <summary>Those that a set of options calls for besides: a sentence where land steeper than manuals allow was asked for.</summary>
    /// <param name="options">What was asked for.</param>
    public static IReadOnlyList<string> WarningsOn(LayoutOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        return options.MaximumSlope > ManualSideSlope
            ? [FormattableString.Invariant($"Land up to {options.MaximumSlope:0.#} % was asked for, steeper than the 27 % (15 degrees) at which manuals of ride-on machines commonly end.")]
            : [];
    }
}
