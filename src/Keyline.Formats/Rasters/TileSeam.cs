namespace Keyline.Formats;

/// <summary>How two tiles of elevation meet.</summary>
/// <remarks>
/// <para>Units: metres; positions in degrees on WGS 84.</para>
/// <para>Sign: above 0 where the second tile stands higher than the first.</para>
/// </remarks>
public sealed record TileSeam
{
    /// <value>Name of the tile whose heights were kept where both have them.</value>
    public required string First { get; init; }

    /// <value>Name of the other tile.</value>
    public required string Second { get; init; }

    /// <value>Cells that have a height in both tiles.</value>
    public required long OverlapCells { get; init; }

    /// <value>Mean of the second tile's height less the first's over those cells; NaN where there are none.</value>
    public required double MeanDifference { get; init; }

    /// <value>The largest difference there either way, without its sign; NaN where there are none.</value>
    public required double GreatestDifference { get; init; }

    /// <value>Longitude of the largest difference; NaN where there is none.</value>
    public required double Longitude { get; init; }

    /// <value>Latitude of the largest difference; NaN where there is none.</value>
    public required double Latitude { get; init; }

    /// <value>Pairs of neighbouring cells, one of each tile, that the step was measured over.</value>
    public required long EdgeCells { get; init; }

    /// <value>Median step of the ground from the first tile to the second beyond what the slope on both sides explains; NaN
    /// where nothing could be measured.</value>
    public required double Step { get; init; }
}
