using System.Runtime.InteropServices;

namespace Keyline.Formats;

/// <summary>Decodes the blocks of an image into heights in metres.</summary>
internal static class TiffHeights
{
    private delegate double Sampler(ReadOnlySpan<byte> row, int index);

    public static float[] Read(Stream stream, TiffImage image, BandReading band, CancellationToken cancellation)
    {
        float[] heights = new float[(long)image.Rows * image.Columns];
        Array.Fill(heights, float.NaN);
        BlockConverter convert = new(image, band);
        ForEachBlock(stream, image, convert.FirstBlock, (bytes, blockRow, blockColumn) =>
        {
            (int top, int left) = (blockRow * image.BlockRows, blockColumn * image.BlockColumns);
            convert.ToHeights(
                bytes,
                Math.Min(image.BlockRows, image.Rows - top),
                Math.Min(image.BlockColumns, image.Columns - left),
                heights.AsSpan((top * image.Columns) + left),
                image.Columns);
        }, cancellation);
        if (band.Alpha >= 0 && image.Separate)
        {
            ApplyAlphaPlane(stream, image, band.Alpha, SamplerOf(image), heights, cancellation);
        }

        return heights;
    }

    /// <summary>Takes away the cells a mask of the same size marks with 0.</summary>
    public static void ApplyMask(Stream stream, TiffImage mask, float[] heights, CancellationToken cancellation) =>
        ApplyAlphaPlane(stream, mask, 0, mask.Bits == 1 ? (row, i) => (row[i >> 3] >> (7 - (i & 7))) & 1 : (row, i) => row[i], heights, cancellation);

    private static void ApplyAlphaPlane(Stream stream, TiffImage image, int sample, Sampler sampler, float[] heights, CancellationToken cancellation)
    {
        int plane = image.Separate ? sample * image.BlocksAcross * image.BlocksDown : 0;
        ForEachBlock(stream, image, plane, (bytes, blockRow, blockColumn) =>
        {
            int top = blockRow * image.BlockRows, left = blockColumn * image.BlockColumns;
            for (int r = 0; r < Math.Min(image.BlockRows, image.Rows - top); r++)
            {
                ReadOnlySpan<byte> row = bytes.AsSpan(r * image.RowBytes, image.RowBytes);
                for (int c = 0; c < Math.Min(image.BlockColumns, image.Columns - left); c++)
                {
                    if (sampler(row, c) == 0)
                    {
                        heights[((top + r) * image.Columns) + left + c] = float.NaN;
                    }
                }
            }
        }, cancellation);
    }

    private static void ForEachBlock(Stream stream, TiffImage image, int plane, Action<byte[], int, int> use, CancellationToken cancellation)
    {
        using TiffBlocks blocks = new(stream, image);
        for (int blockRow = 0; blockRow < image.BlocksDown; blockRow++)
        {
            for (int blockColumn = 0; blockColumn < image.BlocksAcross; blockColumn++)
            {
                cancellation.ThrowIfCancellationRequested();
                if (blocks.Read(plane, blockRow, blockColumn) is { } bytes)
                {
                    use(bytes, blockRow, blockColumn);
                }
            }
        }
    }

    /// <summary>Turns the bytes of a block into heights.</summary>
    internal sealed class BlockConverter(TiffImage image, BandReading band)
    {
        private readonly Sampler _sampler = SamplerOf(image);
        private readonly double _missing = AsStored(band.Missing, image);
        private readonly double _alsoMissing = AsStored(band.AlsoMissing, image);
        private readonly int _sample = image.Separate ? 0 : band.Sample;

        /// <summary>Number of the band's first block.</summary>
        public int FirstBlock { get; } = image.Separate ? band.Sample * image.BlocksAcross * image.BlocksDown : 0;

        public void ToHeights(byte[] bytes, int rows, int columns, Span<float> heights, int stride)
        {
            for (int r = 0; r < rows; r++)
            {
                ReadOnlySpan<byte> row = bytes.AsSpan(r * image.RowBytes, image.RowBytes);
                Span<float> target = heights.Slice(r * stride, columns);
                for (int c = 0; c < columns; c++)
                {
                    double raw = _sampler(row, (c * image.Interleaved) + _sample);
                    bool gone = raw == _missing || raw == _alsoMissing || !(Math.Abs(raw) < 1e30)
                        || (band.Alpha >= 0 && !image.Separate && _sampler(row, (c * image.Interleaved) + band.Alpha) == 0);
                    target[c] = gone ? float.NaN : (float)(((raw * band.Scale) + band.Offset) * band.Unit);
                }
            }
        }
    }

    /// <summary>A nodata value as a cell of this type would hold it; NaN, which equals nothing, for none.</summary>
    private static double AsStored(double? value, TiffImage image)
    {
        if (value is not { } v || double.IsNaN(v))
        {
            return double.NaN;
        }

        return image.SampleFormat == 3 && image.Bits == 32 ? (float)v : image.SampleFormat == 3 && image.Bits == 16 ? (double)(Half)v : v;
    }

    private static Sampler SamplerOf(TiffImage image) => (image.SampleFormat, image.Bits) switch
    {
        (3, 32) => static (row, i) => MemoryMarshal.Cast<byte, float>(row)[i],
        (3, 64) => static (row, i) => MemoryMarshal.Cast<byte, double>(row)[i],
        (3, 16) => static (row, i) => (double)MemoryMarshal.Cast<byte, Half>(row)[i],
        (1 or 4, 8) => static (row, i) => row[i],
        (2, 8) => static (row, i) => (sbyte)row[i],
        (1 or 4, 16) => static (row, i) => MemoryMarshal.Cast<byte, ushort>(row)[i],
        (2, 16) => static (row, i) => MemoryMarshal.Cast<byte, short>(row)[i],
        (1 or 4, 32) => static (row, i) => MemoryMarshal.Cast<byte, uint>(row)[i],
        (2, 32) => static (row, i) => MemoryMarshal.Cast<byte, int>(row)[i],
        (1 or 4, 64) => static (row, i) => MemoryMarshal.Cast<byte, ulong>(row)[i],
        (2, 64) => static (row, i) => MemoryMarshal.Cast<byte, long>(row)[i],
        (3, _) => throw new InvalidDataException(FormattableString.Invariant($"its heights are {image.Bits}-bit floating-point numbers, which are not read here; write it again as 32-bit floating point")),
        _ => throw new InvalidDataException(FormattableString.Invariant($"its heights are {image.Bits}-bit numbers of format {image.SampleFormat}, which are not read here; write it again as 32-bit floating point")),
    };
}
