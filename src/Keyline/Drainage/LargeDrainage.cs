using Keyline.Elevation;

namespace Keyline.Drainage;

/// <summary>Where the results of <see cref="LargeDrainage"/> go. All lie on the frame of the ground.</summary>
public sealed record LargeDrainageStores
{
    /// <value>Filled heights, metres; also read back.</value>
    public required IGridStore<float> Filled { get; init; }

    /// <value>Directions, codes 0 to 7 clockwise from north and 255 for missing cells; also read back.</value>
    public required IGridStore<byte> Directions { get; init; }

    /// <value>Area that drains through each cell, square metres; only written.</value>
    public required IGridStore<double> Area { get; init; }
}

/// <summary>How much room <see cref="LargeDrainage"/> may take.</summary>
public sealed record LargeDrainageOptions
{
    /// <summary>Bytes worked with when nothing else is asked for: half a gigabyte.</summary>
    public const long DefaultMaximumBytes = 512L << 20;

    /// <summary>Tiles worked on at a time when nothing else is asked for.</summary>
    public const int DefaultWorkers = 2;

    /// <value>Most bytes to work with, beyond what the stores and the program itself take. Default 512 MiB.</value>
    public long MaximumBytes { get; init; } = DefaultMaximumBytes;

    /// <value>Tiles worked on at a time, at least 1. Default 2. More need more room.</value>
    public int Workers { get; init; } = DefaultWorkers;
}

/// <summary>Filling, directions and accumulation of a grid too large to hold, tile by tile.</summary>
/// <remarks>
/// <para>Units: metres, square metres.</para>
/// <para>Missing: NaN heights, no flow, NaN areas.</para>
/// <para>Promises: the same bits as <see cref="DepressionFilling"/>, <see cref="D8Directions"/> and
/// <see cref="FlowAccumulation"/>, whatever the size of the tiles and the number of workers. Stores are used by one thread at a
/// time. Grids may have more than 2^31 cells.</para>
/// <para>Cost: every tile is read three to six times and written three; linear in cells. Working memory is about 40 bytes for
/// each cell of a tile and worker, and about 100 bytes for each cell along the rim of every tile.</para>
/// <para>Source: Barnes 2016, Computers and Geosciences 96, 56-68 (doi:10.1016/j.cageo.2016.07.001) for filling; Barnes 2017,
/// Parallel non-divergent flow accumulation for trillion cell digital elevation models on desktops or clusters, Environmental
/// Modelling and Software 92, 202-212 (doi:10.1016/j.envsoft.2017.02.022) for accumulation; level ground across tiles is
/// drained by handing distances over the rims until none falls.</para>
/// </remarks>
public static class LargeDrainage
{
    // The first that fits is taken: 512 suits a core's cache, larger ones have less rim, smaller ones less in work at a time.
    private static readonly int[] Sides = [512, 1024, 2048, 256, 128, 64];

    private const long BytesPerTileCell = 40;
    private const long BytesPerRimCell = 100;
    private const int Phases = 6;

    /// <summary>Works through a grid.</summary>
    /// <param name="ground">Heights in metres, NaN for missing.</param>
    /// <param name="stores">Where the results go.</param>
    /// <param name="options">How much room there is; null for the defaults.</param>
    /// <param name="progress">Told the share done, 0 to 1.</param>
    /// <param name="cancellationToken">Stops the work; the stores are then left half written.</param>
    /// <exception cref="ArgumentException">A store lies on another frame.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An option is out of range.</exception>
    /// <exception cref="GroundDataException">The room given is too little for the grid, or a height is infinite.</exception>
    public static void Run(
        IGridSource<float> ground,
        LargeDrainageStores stores,
        LargeDrainageOptions? options = null,
        IProgress<double>? progress = null,
        CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(stores);
        options ??= new LargeDrainageOptions();
        ArgumentOutOfRangeException.ThrowIfLessThan(options.Workers, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(options.MaximumBytes, 1);
        GridFrame frame = ground.Frame;
        if (!frame.Equals(stores.Filled.Frame) || !frame.Equals(stores.Directions.Frame) || !frame.Equals(stores.Area.Frame))
        {
            throw new ArgumentException("A store does not lie on the frame of the ground.", nameof(stores));
        }

        Run(ground, stores, SideFor(frame, options), options.Workers, progress, cancellationToken);
    }

    /// <summary>Works through a grid in tiles of a given side.</summary>
    internal static void Run(
        IGridSource<float> ground, LargeDrainageStores stores, int side, int workers, IProgress<double>? progress, CancellationToken cancellationToken)
    {
        TileRun run = new(new TileCut(ground.Frame, side), workers, Phases, progress, cancellationToken);
        LargeFilling.Fill(run, ground, stores.Filled);
        LargeRouting.Route(run, stores.Filled, stores.Directions);
        LargeAccumulation.Compute(run, stores.Directions, stores.Area);
    }

    /// <summary>The side of the tiles, so that no more room is taken than is given.</summary>
    internal static int SideFor(GridFrame frame, LargeDrainageOptions options)
    {
        double least = double.PositiveInfinity;
        foreach (int side in Sides)
        {
            double tiles = Math.Ceiling(frame.Rows / (double)side) * Math.Ceiling(frame.Columns / (double)side);
            double bytes = (tiles * 4 * side * BytesPerRimCell) + ((double)options.Workers * side * side * BytesPerTileCell);
            if (bytes <= options.MaximumBytes)
            {
                return side;
            }

            least = Math.Min(least, bytes);
        }

        throw new GroundDataException(FormattableString.Invariant(
            $"A grid of {frame.Rows} rows and {frame.Columns} columns needs {Math.Ceiling(least / (1 << 20))} MB to work with, and {options.MaximumBytes >> 20} MB are given: give more, or cut the grid to the farm."));
    }
}
