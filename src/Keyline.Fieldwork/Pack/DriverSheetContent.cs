namespace Keyline.Fieldwork;

/// <summary>What a driver's sheet shows beside the job.</summary>
/// <remarks>Units: metres.</remarks>
public sealed record DriverSheetContent
{
    /// <value>The job.</value>
    public required WorkJob Job { get; init; }

    /// <value>The block on this sheet.</value>
    public required WorkBlock Block { get; init; }

    /// <value>How many blocks there are.</value>
    public required int Blocks { get; init; }

    /// <value>Takes a place to longitude and latitude, degrees.</value>
    public required Func<NetTopologySuite.Geometries.Coordinate, (double Longitude, double Latitude)> ToLonLat { get; init; }

    /// <value>The record of located services; null where there is none.</value>
    public ServiceRecord? Services { get; init; }

    /// <value>Zones with depths of their own; none where the machine's depth holds everywhere.</value>
    public IReadOnlyList<DepthZone> Depths { get; init; } = [];

    /// <summary>The letter of a zone in the list of lines and on the map.</summary>
    internal string LetterOf(DepthZone zone) => Letter(Enumerable.Range(0, Depths.Count).First(i => ReferenceEquals(Depths[i], zone)));

    /// <summary>The letter of a zone: A, B and so on, in the order given.</summary>
    /// <param name="zone">Its place among <see cref="Depths"/>.</param>
    internal static string Letter(int zone) => (zone < 26 ? "" : ((char)('A' + ((zone / 26) - 1))).ToString()) + (char)('A' + (zone % 26));

    /// <value>What to beware of, one paragraph each.</value>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <value>Name and version of what made it.</value>
    public string MadeWith { get; init; } = "";
}
