using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Elevation as read from a file: heights, coordinate system, and what was done to get there.</summary>
public sealed class ElevationSource
{
    internal ElevationSource(string name, ElevationGrid grid, GroundCrs crs, IReadOnlyList<string> notes)
    {
        Name = name;
        Grid = grid;
        Crs = crs;
        Notes = notes;
    }

    /// <summary>Name of the file, without its folder; of several files, the first and how many more.</summary>
    public string Name { get; }

    /// <summary>The files that heights were read from, as they were given or found; empty for a stream.</summary>
    public IReadOnlyList<string> Files { get; internal init; } = [];

    /// <summary>What the heights are counted from, as far as the file says: "NAVD88"; null where it does not.</summary>
    public string? VerticalDatum { get; internal init; }

    /// <summary>The surface and its shots, where the elevation is a survey; null otherwise.</summary>
    public SurveySurface? Survey { get; internal init; }

    /// <summary>The same elevation with other heights: mended, smoothed, cut.</summary>
    /// <param name="grid">Heights in the same system.</param>
    /// <param name="notes">Every note that now holds.</param>
    public ElevationSource With(ElevationGrid grid, IEnumerable<string> notes)
    {
        ArgumentNullException.ThrowIfNull(grid);
        ArgumentNullException.ThrowIfNull(notes);
        return new ElevationSource(Name, grid, Crs, [.. notes]) { Files = Files, Seams = Seams, Survey = Survey, VerticalDatum = VerticalDatum };
    }

    /// <summary>How tiles met, in the order of the tiles; empty where one file holds everything.</summary>
    public IReadOnlyList<TileSeam> Seams { get; internal init; } = [];

    /// <summary>Heights in metres on square cells in the metres of <see cref="Crs"/>; NaN for missing.</summary>
    public ElevationGrid Grid { get; }

    /// <summary>The projected system the grid lies in.</summary>
    public GroundCrs Crs { get; }

    /// <summary>Plain sentences on what was assumed or changed: units converted, cells resampled, values taken as missing.</summary>
    public IReadOnlyList<string> Notes { get; }
}

/// <summary>What to take for granted when an elevation file is read.</summary>
public sealed record ElevationReadOptions
{
    /// <summary>Most cells read when no other limit is given: a square of 10 km at 1 m.</summary>
    public const long DefaultMaximumCells = 100_000_000;

    /// <value>The coordinate system to use in place of whatever the file says; null to believe the file.</value>
    public GroundCrs? Crs { get; init; }

    /// <value>Metres in one unit of height, in place of whatever the file says (0.3048 for feet); null to believe the file.</value>
    public double? MetresPerHeightUnit { get; init; }

    /// <value>A further value that means missing, in the file's own numbers; null for none. For files whose holes are
    /// filled with 0 and not marked.</value>
    public double? MissingValue { get; init; }

    /// <value>Band to read, from 1. Default 1.</value>
    public int Band { get; init; } = 1;

    /// <value>The ground that is wanted, so that a file larger than it costs only that much; null for the whole file.</value>
    public GroundWindow? Window { get; init; }

    /// <value>Turns what is not read here into a GeoTIFF that is; null for nothing.</value>
    public IElevationConverter? Converter { get; init; }

    /// <value>How a surface is put through survey shots; null for the defaults.</value>
    public SurveyOptions? Survey { get; init; }

    /// <value>Most cells to read, so that a damaged or absurd header cannot exhaust the memory. Default 100 million.</value>
    public long MaximumCells { get; init; } = DefaultMaximumCells;

    internal void Validate()
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(Band, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(MaximumCells, 1);
        if (MetresPerHeightUnit is { } unit && (!(unit > 0) || !double.IsFinite(unit)))
        {
            throw new ArgumentOutOfRangeException(nameof(MetresPerHeightUnit), unit, "A unit of height must be a finite number of metres above 0.");
        }
    }
}

/// <summary>Turns elevation that <see cref="ElevationReader"/> does not read itself into a GeoTIFF that it reads.</summary>
public interface IElevationConverter
{
    /// <summary>Converts a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="window">The ground that is wanted; null for all of it.</param>
    /// <param name="toUtm">Whether to bring it to the WGS 84 UTM zone of its middle, because its coordinate system is not known here.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>A GeoTIFF, whole, that can seek.</returns>
    /// <exception cref="GroundDataException">It cannot be converted.</exception>
    Stream Convert(string path, GroundWindow? window, bool toUtm, CancellationToken cancellationToken);
}
