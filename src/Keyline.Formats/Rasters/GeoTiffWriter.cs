using BitMiracle.LibTiff.Classic;
using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>What goes with the values of a written GeoTIFF.</summary>
public sealed record GeoTiffWriteOptions
{
    /// <value>What the values are and in which unit, for whoever opens the file: "slope, percent".</value>
    public string? Description { get; init; }

    /// <value>What wrote the file; the library's name and version where nothing is given.</value>
    public string? Software { get; init; }

    /// <value>The value that means missing, for whole numbers; not-a-number always does for the others.</value>
    public long? MissingValue { get; init; }

    /// <value>Whether the values are heights in metres, which the file then says. Always so for an elevation grid.</value>
    public bool AreHeights { get; init; }

    /// <value>Whether the same values come back all over the grid, as directions, counts and sums of steps do; the file is then smaller and sooner
    /// written. Default false. The values are the same either way.</value>
    public bool ValuesRecur { get; init; }
}

/// <summary>Writes grids as GeoTIFF: 256 x 256 tiles, deflate, cells as areas.</summary>
/// <remarks>
/// <para>Units: those of the grid; places in the units of its coordinate system, heights of an elevation grid in metres.</para>
/// <para>Missing: NaN, named as such in GDAL's nodata tag; for whole numbers the value the options name.</para>
/// <para>Promises: reads back bit for bit; the same input gives the same bytes on any number of cores; no date is written. The
/// coordinate system is named by its EPSG code, or, where it has none, by its well-known text in the form that other
/// programs read. A file that may pass 4 GB becomes a BigTIFF.</para>
/// <para>Cost: one window of a row of tiles in memory; compression is shared among the cores: about 45 nanoseconds a cell of single precision
/// on one.</para>
/// <para>Source: TIFF 6.0; OGC 19-008r4, GeoTIFF 1.1 (2019); TIFF Technical Note 3, 2005, for the predictor of floating
/// point. Tags and structure are LibTiff.NET's, inflation is the framework's.</para>
/// </remarks>
public static class GeoTiffWriter
{
    /// <summary>Cells along the side of a tile.</summary>
    public const int TileSide = 256;

    private const long LargestPlain = 3_900_000_000;

    /// <summary>Writes heights, and says that they are metres.</summary>
    /// <param name="stream">A stream that can seek and be written; left open.</param>
    /// <param name="ground">Heights.</param>
    /// <param name="crs">The system the grid lies in; its unit is the metre.</param>
    /// <param name="options">What goes with them; null for nothing.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="ArgumentException">The stream cannot seek or be written.</exception>
    /// <exception cref="IOException">The stream fails.</exception>
    public static void Write(Stream stream, ElevationGrid ground, GroundCrs crs, GeoTiffWriteOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        Write(stream, new HeldGround(ground), crs, (options ?? new GeoTiffWriteOptions()) with { AreHeights = true }, cancellationToken);
    }

    /// <summary>Writes a grid of bytes, whole numbers, or single or double precision.</summary>
    /// <typeparam name="T">byte, int, float or double.</typeparam>
    /// <param name="stream">A stream that can seek and be written; left open.</param>
    /// <param name="grid">The values.</param>
    /// <param name="crs">The system the grid lies in; its unit is the metre.</param>
    /// <param name="options">What goes with them; null for nothing.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="ArgumentException">The stream cannot seek or be written, or values of this type are not written.</exception>
    /// <exception cref="IOException">The stream fails.</exception>
    public static void Write<T>(Stream stream, Grid<T> grid, GroundCrs crs, GeoTiffWriteOptions? options = null, CancellationToken cancellationToken = default)
        where T : unmanaged
    {
        ArgumentNullException.ThrowIfNull(grid);
        Write(stream, new HeldGrid<T>(grid), crs, options, cancellationToken);
    }

    /// <summary>Writes a grid that is read a window at a time, because it is too large to hold.</summary>
    /// <typeparam name="T">byte, int, float or double.</typeparam>
    /// <param name="stream">A stream that can seek and be written; left open.</param>
    /// <param name="source">The values.</param>
    /// <param name="crs">The system the grid lies in; its unit is the metre.</param>
    /// <param name="options">What goes with them; null for nothing.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="ArgumentException">The stream cannot seek or be written, or values of this type are not written.</exception>
    /// <exception cref="IOException">The stream fails.</exception>
    public static void Write<T>(Stream stream, IGridSource<T> source, GroundCrs crs, GeoTiffWriteOptions? options = null, CancellationToken cancellationToken = default)
        where T : unmanaged
    {
        ArgumentNullException.ThrowIfNull(source);
        TileCoder<T> coder = new(options?.ValuesRecur ?? false);
        Write(stream, source.Frame, crs, coder, options, tiff => WriteTiles(tiff, source, coder, cancellationToken));
    }

    /// <summary>Puts the files of a grid's tiles together as one file, the same bytes as if the grid had been written whole. Nothing is coded again.</summary>
    /// <typeparam name="T">byte, int, float or double: what the files hold.</typeparam>
    /// <param name="stream">A stream that can seek and be written; left open.</param>
    /// <param name="frame">The whole grid.</param>
    /// <param name="side">Rows and columns of the grid in each file, but for the last ones: a multiple of <see cref="TileSide"/>.</param>
    /// <param name="open">Opens the file that begins at a row and a column of the grid, as this class wrote it with the same options.</param>
    /// <param name="crs">The system the grid lies in; its unit is the metre.</param>
    /// <param name="options">What goes with the values; null for nothing.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="ArgumentException">The stream cannot seek or be written, or the side is no multiple.</exception>
    /// <exception cref="GroundDataException">A file is damaged or was not written for its place.</exception>
    /// <exception cref="IOException">The stream fails.</exception>
    public static void WriteFromFiles<T>(
        Stream stream, GridFrame frame, int side, Func<int, int, Stream> open, GroundCrs crs, GeoTiffWriteOptions? options = null, CancellationToken cancellationToken = default)
        where T : unmanaged
    {
        ArgumentNullException.ThrowIfNull(frame);
        ArgumentNullException.ThrowIfNull(open);
        ArgumentOutOfRangeException.ThrowIfLessThan(side, TileSide);
        if (side % TileSide != 0)
        {
            throw new ArgumentException($"The side is {side}: it must be a multiple of {TileSide}.", nameof(side));
        }

        TileCoder<T> coder = new(options?.ValuesRecur ?? false);
        Write(stream, frame, crs, coder, options, tiff => CodedTiles.Copy(tiff, frame, side, open, coder.Size, coder.Predictor, cancellationToken));
    }

    /// <summary>Begins a file whose tiles are then written one after another.</summary>
    internal static Tiff Begin<T>(Stream stream, GridFrame frame, GroundCrs crs, TileCoder<T> coder, GeoTiffWriteOptions? options)
        where T : unmanaged
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(crs);
        if (!stream.CanSeek || !stream.CanWrite)
        {
            throw new ArgumentException("The stream must be able to seek and to be written.", nameof(stream));
        }

        QuietTiff.Install();
        TiffSource target = new(stream);
        bool big = frame.CellCount * coder.Size > LargestPlain;
        Tiff tiff = Tiff.ClientOpen("grid", big ? "w8l" : "wl", target, new TiffSourceStream())
            ?? throw new IOException($"The GeoTIFF cannot be begun ({target.Complaint ?? "no reason given"}).");
        GeoTiffTags.Set(tiff, frame, crs, coder, options ?? new GeoTiffWriteOptions());
        return tiff;
    }

    /// <summary>Writes the next tile.</summary>
    internal static void WriteTile(Tiff tiff, int tile, ArraySegment<byte> coded)
    {
        if (tiff.WriteRawTile(tile, coded.Array, coded.Offset, coded.Count) != coded.Count)
        {
            throw new IOException("The GeoTIFF cannot be written on; the disk may be full.");
        }
    }

    /// <summary>Ends a file once all its tiles are written.</summary>
    internal static void Finish(Tiff tiff)
    {
        if (!tiff.WriteDirectory())
        {
            throw new IOException($"The GeoTIFF cannot be finished ({(tiff.Clientdata() as TiffSource)?.Complaint ?? "no reason given"}).");
        }
    }

    private static void Write<T>(Stream stream, GridFrame frame, GroundCrs crs, TileCoder<T> coder, GeoTiffWriteOptions? options, Action<Tiff> writeTiles)
        where T : unmanaged
    {
        using Tiff tiff = Begin(stream, frame, crs, coder, options);
        writeTiles(tiff);
        Finish(tiff);
    }

    private static void WriteTiles<T>(Tiff tiff, IGridSource<T> source, TileCoder<T> coder, CancellationToken cancellationToken)
        where T : unmanaged
    {
        GridFrame frame = source.Frame;
        int across = (frame.Columns + TileSide - 1) / TileSide;
        T[] band = new T[checked(Math.Min(TileSide, frame.Rows) * frame.Columns)];
        ArraySegment<byte>[] coded = new ArraySegment<byte>[across];
        for (int row = 0, tile = 0; row < frame.Rows; row += TileSide)
        {
            cancellationToken.ThrowIfCancellationRequested();
            int rows = Math.Min(TileSide, frame.Rows - row);
            source.Read(new CellRange(row, 0, rows, frame.Columns), band.AsSpan(0, rows * frame.Columns));
            Parallel.For(0, across, WorkThreads.Options(cancellationToken), t => coded[t] = coder.Encode(band, rows, frame.Columns, t * TileSide));
            for (int t = 0; t < across; t++, tile++)
            {
                WriteTile(tiff, tile, coded[t]);
                coder.GiveBack(coded[t]);
            }
        }
    }

    private static void Cut<T>(ReadOnlySpan<T> values, int columns, CellRange range, Span<T> window)
    {
        for (int r = 0; r < range.Rows; r++)
        {
            values.Slice(((range.Row + r) * columns) + range.Column, range.Columns).CopyTo(window[(r * range.Columns)..]);
        }
    }

    /// <summary>A grid in memory, read as one that is not.</summary>
    private sealed class HeldGrid<T>(Grid<T> grid) : IGridSource<T>
        where T : unmanaged
    {
        public GridFrame Frame => grid.Frame;

        public void Read(CellRange range, Span<T> window) => Cut(grid.Values, Frame.Columns, range, window);
    }

    /// <summary>Heights in memory, read as those that are not.</summary>
    private sealed class HeldGround(ElevationGrid ground) : IGridSource<float>
    {
        public GridFrame Frame => ground.Frame;

        public void Read(CellRange range, Span<float> window) => Cut(ground.Heights, Frame.Columns, range, window);
    }
}
