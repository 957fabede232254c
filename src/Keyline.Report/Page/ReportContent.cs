using Keyline.Check;
using Keyline.Layout;

namespace Keyline.Report;

/// <summary>Everything a report of a plan says, gathered before it is written.</summary>
/// <remarks>
/// <para>Units: metres, percent and shares as the parts name them. Texts are shown as they are, whatever stands in them.</para>
/// </remarks>
public sealed record ReportContent
{
    /// <value>The plan.</value>
    public required KeylinePlan Plan { get; init; }

    /// <value>Longitude and latitude in degrees of a place in the plan's metres, east and north.</value>
    public required Func<double, double, (double Longitude, double Latitude)> ToLonLat { get; init; }

    /// <value>Name of the plan's projected system, as "EPSG:32614, WGS 84 / UTM zone 14N".</value>
    public string CoordinateSystem { get; init; } = "";

    /// <value>How the system's datum was brought to WGS 84, and how good that is.</value>
    public string DatumNote { get; init; } = "";

    /// <value>The spacing as it was asked for, as "10 ft"; may be empty.</value>
    public string SpacingAsked { get; init; } = "";

    /// <value>The units that contours are plain in and that the page begins in; where they are metric it begins in those of the reader's browser.</value>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <value>Language that the page begins in where it is <c>es</c>; else, with <c>en</c>, the default, that of the browser.</value>
    public string Language { get; init; } = "en";

    /// <value>Name and version of what made the plan.</value>
    public string MadeWith { get; init; } = "";

    /// <value>The files that the plan was made from.</value>
    public IReadOnlyList<ReportInput> Inputs { get; init; } = [];

    /// <value>What was assumed when the inputs were read, sentences.</value>
    public IReadOnlyList<string> Assumed { get; init; } = [];

    /// <value>What to know before trusting the plan, sentences.</value>
    public IReadOnlyList<string> Warnings { get; init; } = [];

    /// <value>How sure the fall along the lines is; null where that was not reckoned.</value>
    public DriftCertainty? Certainty { get; init; }

    /// <value>The field laid out in the usual ways; empty where that was not asked for.</value>
    public IReadOnlyList<PatternLayout> Comparison { get; init; } = [];
}

/// <summary>A file that a plan was made from.</summary>
/// <param name="Role">What it was: dem, field, avoid and so on.</param>
/// <param name="File">Its name without a folder.</param>
/// <param name="Sha256">Hash of its bytes, lower-case hexadecimal; null where none was taken.</param>
public sealed record ReportInput(string Role, string File, string? Sha256);
