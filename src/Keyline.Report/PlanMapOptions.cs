namespace Keyline.Report;

/// <summary>What the map says beside what is in the plan.</summary>
public sealed record PlanMapOptions
{
    /// <summary>Default fineness, pixels for each inch of an A4 sheet.</summary>
    public const int DefaultPixelsPerInch = 180;

    /// <summary>What holds for every plan, short enough for a map; the written summary says it in full.</summary>
    public static IReadOnlyList<string> DefaultCautions { get; } =
    [
        "Have buried lines located and marked before ripping; private ones are not marked by public services, so ask the owner.",
        "Keep to the side slope in the machine's manual: elevation data does not show holes, banks or soft ground.",
        "Rip only when the soil crumbles down to the depth of the point, neither wet nor bone dry.",
        "See that water leaving a line reaches a stable outlet, not a track, a bank or a neighbour.",
        "Walk the keypoints and the first lines with a level before working the field.",
        "An aid to design, not engineering advice: local codes and licensed practice come first.",
    ];

    /// <value>Heading; the field's name where this is empty.</value>
    public string Title { get; init; } = "";

    /// <value>Coordinate system of the plan, as "EPSG:32610, WGS 84 / UTM zone 10N"; may be empty.</value>
    public string CoordinateSystem { get; init; } = "";

    /// <value>The spacing as it was asked for, as "10 ft"; metres alone are shown where this is empty.</value>
    public string SpacingAsked { get; init; } = "";

    /// <value>Where the heights came from, as a file name; may be empty.</value>
    public string GroundSource { get; init; } = "";

    /// <value>Name and version of what made the plan; may be empty.</value>
    public string MadeWith { get; init; } = "";

    /// <value>The units of lengths, areas and contours; coordinates stay metres. Default metric.</value>
    public UnitSystem Units { get; init; } = UnitSystem.Metric;

    /// <value>Language of the map's own words: <c>en</c>, the default, or <c>es</c>. Names stay as they are.</value>
    public string Language { get; init; } = "en";

    /// <value>Where true north lies from grid north in the middle of the field, degrees, clockwise above 0; NaN, the default, where it is not known.</value>
    public double TrueNorth { get; init; } = double.NaN;

    /// <value>Short sentences that whoever drives by the map must read. Default <see cref="DefaultCautions"/>.</value>
    public IReadOnlyList<string> Cautions { get; init; } = DefaultCautions;

    /// <value>Pixels for each inch of an A4 sheet, 72 to 600. Default 180, which makes 2105 x 1488 pixels and at
    /// most a megabyte. Time and size grow with its square.</value>
    public int PixelsPerInch { get; init; } = DefaultPixelsPerInch;

    internal void Validate()
    {
        if (!PageTongue.Languages.Contains(Language))
        {
            throw new ArgumentException($"No map is said in \"{Language}\".", nameof(Language));
        }

        if (PixelsPerInch is < 72 or > 600)
        {
            throw new ArgumentOutOfRangeException(nameof(PixelsPerInch), PixelsPerInch, "The map must have 72 to 600 pixels an inch.");
        }
    }
}
