using System.Collections.Concurrent;
using BitMiracle.LibTiff.Classic;
using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Writes several grids of one frame side by side, a band of rows at a time, so that none of them is ever held whole.</summary>
/// <remarks>
/// <para>Units, missing values, promises: those of <see cref="GeoTiffWriter"/>, whose files these are, byte for byte.</para>
/// <para>Cost: a band of 256 rows of each grid; compression is shared among the cores.</para>
/// <para>Source: that of <see cref="GeoTiffWriter"/>.</para>
/// </remarks>
public static class GeoTiffBands
{
    private const int Side = GeoTiffWriter.TileSide;

    /// <summary>Writes grids of single precision.</summary>
    /// <param name="streams">A stream for each grid that can seek and be written; left open.</param>
    /// <param name="options">What goes with each grid.</param>
    /// <param name="frame">Where all grids lie.</param>
    /// <param name="crs">The system they lie in; its unit is the metre.</param>
    /// <param name="fill">Given the first row of a band, its number of rows, and for each grid where its values go, row after row.</param>
    /// <param name="cancellationToken">Stops the writing.</param>
    /// <exception cref="ArgumentException">A stream cannot seek or be written, or there are not as many options as streams.</exception>
    /// <exception cref="IOException">A stream fails.</exception>
    public static void Write(
        IReadOnlyList<Stream> streams, IReadOnlyList<GeoTiffWriteOptions> options, GridFrame frame, GroundCrs crs, Action<int, int, IReadOnlyList<float[]>> fill, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(streams);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(frame);
        ArgumentNullException.ThrowIfNull(crs);
        ArgumentNullException.ThrowIfNull(fill);
        ArgumentOutOfRangeException.ThrowIfNotEqual(options.Count, streams.Count, nameof(options));
        ConcurrentBag<byte[]> buffers = [];
        TileCoder<float>[] coders = [.. options.Select(o => new TileCoder<float>(o.ValuesRecur, buffers))];
        List<Tiff> tiffs = [];
        try
        {
            for (int i = 0; i < streams.Count; i++)
            {
                tiffs.Add(GeoTiffWriter.Begin(streams[i], frame, crs, coders[i], options[i]));
            }

            WriteTiles(tiffs, coders, frame, fill, cancellationToken);
            tiffs.ForEach(GeoTiffWriter.Finish);
        }
        finally
        {
            tiffs.ForEach(t => t.Dispose());
        }
    }

    private static void WriteTiles(List<Tiff> tiffs, TileCoder<float>[] coders, GridFrame frame, Action<int, int, IReadOnlyList<float[]>> fill, CancellationToken cancellationToken)
    {
        int across = (frame.Columns + Side - 1) / Side;
        float[][] bands = [.. tiffs.Select(_ => new float[checked(Math.Min(Side, frame.Rows) * frame.Columns)])];
        ArraySegment<byte>[] coded = new ArraySegment<byte>[across];
        for (int row = 0, first = 0; row < frame.Rows; row += Side, first += across)
        {
            cancellationToken.ThrowIfCancellationRequested();
            int rows = Math.Min(Side, frame.Rows - row);
            fill(row, rows, bands);
            for (int i = 0; i < tiffs.Count; i++)
            {
                Parallel.For(0, across, WorkThreads.Options(cancellationToken), t => coded[t] = coders[i].Encode(bands[i], rows, frame.Columns, t * Side));
                for (int t = 0; t < across; t++)
                {
                    GeoTiffWriter.WriteTile(tiffs[i], first + t, coded[t]);
                    coders[i].GiveBack(coded[t]);
                }
            }
        }
    }
}
