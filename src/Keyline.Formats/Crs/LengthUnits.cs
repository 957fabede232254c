namespace Keyline.Formats;

/// <summary>Units of length that elevation files are written in.</summary>
/// <remarks>
/// Source: the international foot is 0.3048 m exactly (1959); the US survey foot is 1200/3937 m (Federal Register,
/// 1893 and 1959; withdrawn after 31 December 2022, but coordinates of older systems stay in it). EPSG codes 9001 to 9003.
/// </remarks>
internal static class LengthUnits
{
    /// <summary>International foot in metres.</summary>
    public const double Foot = 0.3048;

    /// <summary>US survey foot in metres.</summary>
    public const double SurveyFoot = 1200.0 / 3937.0;

    /// <summary>Metres in the unit of an EPSG code; NaN for a code not known here.</summary>
    public static double FromEpsg(int code) => code switch
    {
        9001 => 1.0,
        9002 => Foot,
        9003 => SurveyFoot,
        _ => double.NaN,
    };

    /// <summary>Metres in a unit written out; NaN for a word not known here.</summary>
    public static double FromName(string name) => name.Trim().Replace('_', ' ').Replace('-', ' ').ToUpperInvariant() switch
    {
        "M" or "METRE" or "METER" or "METRES" or "METERS" => 1.0,
        "FT" or "FOOT" or "FEET" or "INTERNATIONAL FOOT" or "INTERNATIONAL FEET" or "FT INTERNATIONAL" => Foot,
        "US SURVEY FOOT" or "US SURVEY FEET" or "SURVEY FOOT" or "SURVEY FEET" or "FTUS" or "FT US" or "US FT" or "FOOT US" or "US FOOT" or "US FEET" or "FEET US" => SurveyFoot,
        "CM" or "CENTIMETRE" or "CENTIMETER" => 0.01,
        "DM" or "DECIMETRE" or "DECIMETER" => 0.1,
        "MM" or "MILLIMETRE" or "MILLIMETER" => 0.001,
        _ => double.NaN,
    };

    /// <summary>The unit's name for people.</summary>
    public static string NameOf(double metres) =>
        Same(metres, 1.0) ? "metre"
        : Same(metres, SurveyFoot) ? "US survey foot"
        : Same(metres, Foot) ? "foot"
        : FormattableString.Invariant($"unit of {metres:R} m");

    /// <summary>Whether two units are the same within rounding of how they are written.</summary>
    public static bool Same(double a, double b) => Math.Abs(a - b) <= 2e-8 * b;
}
