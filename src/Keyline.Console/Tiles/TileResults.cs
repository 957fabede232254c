using Keyline.Formats;

namespace Keyline.Console.Tiles;

/// <summary>A kind of raster that is written tile by tile, and gathered into one file.</summary>
/// <param name="Name">Of the folder of tiles, and the file without its ending.</param>
/// <param name="What">What the values are.</param>
/// <param name="Unit">Their unit.</param>
/// <param name="Stage">The stage that writes it.</param>
internal sealed record TileResults(string Name, string What, string Unit, TileStage Stage)
{
    public static readonly TileResults Filled = new("filled", "heights with hollows filled", "m", TileStage.Route);
    public static readonly TileResults Directions = new("directions", "way down, clockwise from north", "degrees", TileStage.Finish);
    public static readonly TileResults Area = new("area", "ground that drains through", "m2", TileStage.Finish);

    public static IReadOnlyList<TileResults> All { get; } = [Filled, Directions, Area];

    /// <summary>Name of the whole file.</summary>
    public string FileName => Name + ".tif";

    /// <summary>How it is written: as the same raster is written whole.</summary>
    public GeoTiffWriteOptions Options => Commands.RasterFolder.Options(What, Unit, null) with { AreHeights = this == Filled, ValuesRecur = this != Filled };
}
