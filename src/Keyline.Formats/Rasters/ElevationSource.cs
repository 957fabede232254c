using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Elevation as read from a file: heights, coordinate system, and what was done to get there.</summary>
public sealed class ElevationSource
{
    internal ElevationSource(string name, ElevationGrid grid, GroundCrs crs, IReadOnlyList<string> notes, string sha256)
    {
        Name = name;
        Grid = grid;
        Crs = crs;
        Notes = notes;
        Sha256 = sha256;
    }

    /// <summary>Name of the file, without its folder.</summary>
    public string Name { get; }

    /// <summary>Heights in metres on square cells in the metres of <see cref="Crs"/>; NaN for missing.</summary>
    public ElevationGrid Grid { get; }

    /// <summary>The projected system the grid lies in.</summary>
    public GroundCrs Crs { get; }

    /// <summary>Plain sentences on what was assumed or changed: units converted, cells resampled, values taken as missing.</summary>
    public IReadOnlyList<string> Notes { get; }

    /// <summary>SHA-256 of the file's bytes, lower-case hexadecimal.</summary>
    public string Sha256 { get; }
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
