using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>A GeoTIFF read a window at a time, so that one larger than memory costs only what is looked at.</summary>
/// <remarks>
/// <para>Units: metres for heights and places, whatever the file has.</para>
/// <para>Missing: as <see cref="ElevationReader"/> reads them: NaN.</para>
/// <para>Promises: the same heights as <see cref="ElevationReader"/>, bit for bit, for files whose cells are upright squares of a
/// projected system; others would have to be resampled and are refused. Blocks lately decoded are kept up to a limit.</para>
/// <para>Cost: each block that a window touches is decoded once while it is kept.</para>
/// </remarks>
public sealed class GeoTiffGridSource : IGridSource<float>, IDisposable
{
    /// <summary>Bytes of decoded blocks kept when nothing else is asked for: 64 MiB.</summary>
    public const long DefaultCacheBytes = 64L << 20;

    private readonly FileStream _stream;
    private readonly TiffImage _image;
    private readonly TiffBlocks _blocks;
    private readonly TiffHeights.BlockConverter _convert;
    private readonly long _room;
    private readonly Dictionary<(int Row, int Column), float[]> _kept = [];
    private readonly Queue<(int Row, int Column)> _order = new();
    private readonly string _name;

    private GeoTiffGridSource(FileStream stream, string name, DescribedTiff tiff, GridFrame frame, long cacheBytes)
    {
        (_stream, _name, _image, Frame, Crs, Notes) = (stream, name, tiff.Image, frame, tiff.Crs, tiff.Notes);
        _blocks = new TiffBlocks(stream, tiff.Image);
        _convert = new TiffHeights.BlockConverter(tiff.Image, tiff.Band);
        _room = Math.Max(1, cacheBytes / Math.Max(1, 4L * Math.Min(_image.BlockRows, _image.Rows) * Math.Min(_image.BlockColumns, _image.Columns)));
    }

    /// <inheritdoc/>
    public GridFrame Frame { get; }

    /// <summary>The projected system the grid lies in.</summary>
    public GroundCrs Crs { get; }

    /// <summary>Plain sentences on what was assumed or changed.</summary>
    public IReadOnlyList<string> Notes { get; }

    /// <summary>Opens a file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="options">What to take for granted; null for nothing. Its most cells do not count here.</param>
    /// <param name="cacheBytes">Bytes of decoded blocks to keep, from 0.</param>
    /// <exception cref="GroundDataException">The file is absent, is no GeoTIFF, is damaged, or would have to be resampled.</exception>
    public static GeoTiffGridSource Open(string path, ElevationReadOptions? options = null, long cacheBytes = DefaultCacheBytes)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentOutOfRangeException.ThrowIfNegative(cacheBytes);
        options ??= new ElevationReadOptions();
        options.Validate();
        string name = Path.GetFileName(path);
        FileStream? stream = null;
        try
        {
            stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16);
            byte[] head = new byte[(int)Math.Min(stream.Length, 16)];
            stream.ReadExactly(head);
            stream.Position = 0;
            if (!TiffDirectory.IsTiff(head))
            {
                throw new InvalidDataException("only a GeoTIFF can be read a window at a time; write the elevation as one");
            }

            DescribedTiff tiff = GeoTiffReader.Describe(stream, name, new Sidecars(path), options, long.MaxValue);
            return new GeoTiffGridSource(stream, name, tiff, FrameOf(tiff), cacheBytes);
        }
        catch (Exception e)
        {
            stream?.Dispose();
            throw e switch
            {
                InvalidDataException => new GroundDataException($"{name}: {e.Message}.", e) { Fault = e is UnreadFormatException ? GroundDataFault.Format : GroundDataFault.Data },
                EndOfStreamException or OverflowException => new GroundDataException($"{name}: its header is damaged; fetch the file again.", e),
                FileNotFoundException or DirectoryNotFoundException => new GroundDataException($"{path}: there is no such elevation file; check the path.", e),
                IOException or UnauthorizedAccessException => new GroundDataException($"{path}: the elevation file cannot be opened ({e.Message.TrimEnd('.')}).", e),
                _ => e,
            };
        }
    }

    /// <inheritdoc/>
    /// <exception cref="GroundDataException">A block is damaged.</exception>
    public void Read(CellRange range, Span<float> values)
    {
        WindowRules.Check(range, Frame, values.Length);

        int lastRow = (range.Row + range.Rows - 1) / _image.BlockRows;
        int lastColumn = (range.Column + range.Columns - 1) / _image.BlockColumns;
        for (int blockRow = range.Row / _image.BlockRows; blockRow <= lastRow; blockRow++)
        {
            for (int blockColumn = range.Column / _image.BlockColumns; blockColumn <= lastColumn; blockColumn++)
            {
                Copy(Block(blockRow, blockColumn), blockRow * _image.BlockRows, blockColumn * _image.BlockColumns, range, values);
            }
        }
    }

    /// <summary>Closes the file.</summary>
    public void Dispose()
    {
        _blocks.Dispose();
        _stream.Dispose();
    }

    private static GridFrame FrameOf(DescribedTiff tiff)
    {
        CellMapping map = tiff.Mapping;
        bool square = map.IsUpright && map.A > 0 && map.D < 0 && Math.Abs(map.A + map.D) <= 1e-9 * map.A;
        if (tiff.Crs.IsGeographic || !square || tiff.Mask is not null || (tiff.Band.Alpha >= 0 && tiff.Image.Separate))
        {
            throw new InvalidDataException("it is in degrees, turned, has oblong cells or a mask of its own, which cannot be read a window at a time; bring it to square cells in metres first");
        }

        return new GridFrame(tiff.Image.Rows, tiff.Image.Columns, map.A, map.X, map.Y);
    }

    private static void Copy(float[] block, int top, int left, CellRange range, int width, int height, Span<float> values)
    {
        int firstRow = Math.Max(top, range.Row);
        int endRow = Math.Min(top + height, range.Row + range.Rows);
        int firstColumn = Math.Max(left, range.Column);
        int endColumn = Math.Min(left + width, range.Column + range.Columns);
        for (int r = firstRow; r < endRow; r++)
        {
            block.AsSpan(((r - top) * width) + firstColumn - left, endColumn - firstColumn)
                .CopyTo(values[(((r - range.Row) * range.Columns) + firstColumn - range.Column)..]);
        }
    }

    private void Copy(float[] block, int top, int left, CellRange range, Span<float> values) => Copy(
        block, top, left, range, Math.Min(_image.BlockColumns, _image.Columns - left), Math.Min(_image.BlockRows, _image.Rows - top), values);

    private float[] Block(int row, int column)
    {
        if (_kept.TryGetValue((row, column), out float[]? kept))
        {
            return kept;
        }

        int height = Math.Min(_image.BlockRows, _image.Rows - (row * _image.BlockRows));
        int width = Math.Min(_image.BlockColumns, _image.Columns - (column * _image.BlockColumns));
        while (_order.Count >= _room)
        {
            _kept.Remove(_order.Dequeue());
        }

        float[] heights = new float[checked(height * width)];
        try
        {
            if (_blocks.Read(_convert.FirstBlock, row, column) is { } bytes)
            {
                _convert.ToHeights(bytes, 0, height, width, heights, width);
            }
            else
            {
                Array.Fill(heights, float.NaN);
            }
        }
        catch (InvalidDataException e)
        {
            throw new GroundDataException($"{_name}: {e.Message}.", e);
        }

        _kept[(row, column)] = heights;
        _order.Enqueue((row, column));
        return heights;
    }
}
