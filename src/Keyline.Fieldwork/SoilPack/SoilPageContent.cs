using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>What the page on soil shows.</summary>
/// <remarks>Units: projected metres.</remarks>
public sealed record SoilPageContent
{
    /// <value>The field's name; may be empty.</value>
    public string FieldName { get; init; } = "";

    /// <value>Its outline; null where none was given.</value>
    public Geometry? Field { get; init; }

    /// <value>The zones, one or more.</value>
    public required IReadOnlyList<SoilZone> Zones { get; init; }

    /// <value>What was read at points; null for nothing.</value>
    public SoilReadings? Readings { get; init; }

    /// <value>What was mapped, or not, from points.</value>
    public IReadOnlyList<PointMap> Maps { get; init; } = [];

    /// <value>Places proposed to core.</value>
    public IReadOnlyList<Coordinate> Cores { get; init; } = [];

    /// <value>The bounds the verdicts were given by.</value>
    public required RipRules Rules { get; init; }

    /// <value>What there is to say of buried lines.</value>
    public string Notice { get; init; } = "";

    /// <value>What was assumed or left aside.</value>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <value>What to beware of, one paragraph each.</value>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <value>Takes a place to longitude and latitude, degrees.</value>
    public required Func<Coordinate, (double Longitude, double Latitude)> ToLonLat { get; init; }

    /// <value>Name and version of what made it.</value>
    public string MadeWith { get; init; } = "";
}
