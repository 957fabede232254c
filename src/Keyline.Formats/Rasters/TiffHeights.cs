using System.Runtime.InteropServices;
using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Decodes the blocks of an image into heights in metres.</summary>
internal static class TiffHeights
{
    private delegate double Sampler(ReadOnlySpan<byte> row, int index);

    /// <summary>Decodes a window, on as many cores as there are where the decoder allows it.</summary>
    public static float[] Read(Stream stream, TiffImage image, BandReading band, CellRange range, CancellationToken cancellationToken)
    {
        float[] heights = GC.AllocateUninitializedArray<float>(checked((int)range.CellCount));
        BlockConverter convert = new(image, band);
        ForEachBlock(stream, image, convert.FirstBlock, range, (bytes, part) =>
        {
            Span<float> target = heights.AsSpan((part.TargetRow * range.Columns) + part.TargetColumn);
            if (bytes is not null)
            {
                convert.ToHeights(bytes.AsSpan(part.FirstRow * image.RowBytes), part.FirstColumn, part.Rows, part.Columns, target, range.Columns);
                return;
            }

            for (int r = 0; r < part.Rows; r++)
            {
                target.Slice(r * range.Columns, part.Columns).Fill(float.NaN);
            }
        }, cancellationToken);
        if (band.Alpha >= 0 && image.Separate)
        {
            ApplyAlphaPlane(stream, image, band.Alpha, SamplerOf(image), range, heights, cancellationToken);
        }

        return heights;
    }

    /// <summary>Takes away the cells a mask of the same size marks with 0.</summary>
    public static void ApplyMask(Stream stream, TiffImage mask, CellRange range, float[] heights, CancellationToken cancellationToken) =>
        ApplyAlphaPlane(stream, mask, 0, mask.Bits == 1 ? (row, i) => (row[i >> 3] >> (7 - (i & 7))) & 1 : (row, i) => row[i], range, heights, cancellationToken);

    private static void ApplyAlphaPlane(Stream stream, TiffImage image, int sample, Sampler sampler, CellRange range, float[] heights, CancellationToken cancellationToken)
    {
        int plane = image.Separate ? sample * image.BlocksAcross * image.BlocksDown : 0;
        ForEachBlock(stream, image, plane, range, (bytes, part) =>
        {
            for (int r = 0; bytes is not null && r < part.Rows; r++)
            {
                ReadOnlySpan<byte> row = bytes.AsSpan((part.FirstRow + r) * image.RowBytes, image.RowBytes);
                Span<float> target = heights.AsSpan(((part.TargetRow + r) * range.Columns) + part.TargetColumn, part.Columns);
                for (int c = 0; c < target.Length; c++)
                {
                    if (sampler(row, part.FirstColumn + c) == 0)
                    {
                        target[c] = float.NaN;
                    }
                }
            }
        }, cancellationToken);
    }

    /// <summary>Visits the blocks a window touches, with null for one that was never written. Which block's damage is told does not depend on the number of cores.</summary>
    private static void ForEachBlock(Stream stream, TiffImage image, int plane, CellRange range, Action<byte[]?, BlockPart> use, CancellationToken cancellationToken)
    {
        int firstRow = range.Row / image.BlockRows, lastRow = (range.Row + range.Rows - 1) / image.BlockRows;
        int firstColumn = range.Column / image.BlockColumns, across = ((range.Column + range.Columns - 1) / image.BlockColumns) - firstColumn + 1;
        long blocks = (long)(lastRow - firstRow + 1) * across;
        if (blocks == 1 || !TiffInflater.Handles(image))
        {
            using TiffBlocks alone = new(stream, image);
            for (long i = 0; i < blocks; i++)
            {
                cancellationToken.ThrowIfCancellationRequested();
                Visit(alone, i);
            }

            return;
        }

        System.Collections.Concurrent.ConcurrentDictionary<long, Exception> broken = [];
        ParallelLoopResult result = Parallel.For(
            0,
            blocks,
            WorkThreads.Options(cancellationToken),
            () => new TiffBlocks(stream, image),
            (i, state, reader) =>
            {
                try
                {
                    Visit(reader, i);
                }
                catch (Exception e) when (e is InvalidDataException or EndOfStreamException or OverflowException)
                {
                    broken[i] = e;
                    state.Break();
                }

                return reader;
            },
            reader => reader.Dispose());
        if (result.LowestBreakIteration is { } first)
        {
            throw new InvalidDataException(broken[first] is InvalidDataException told ? told.Message : "it is cut short; fetch the file again", broken[first]);
        }

        void Visit(TiffBlocks reader, long i)
        {
            (int row, int column) = (firstRow + (int)(i / across), firstColumn + (int)(i % across));
            use(reader.Read(plane, row, column), BlockPart.Of(image, range, row, column));
        }
    }

    /// <summary>The part of a block that a window wants.</summary>
    private readonly record struct BlockPart(int FirstRow, int FirstColumn, int Rows, int Columns, int TargetRow, int TargetColumn)
    {
        public static BlockPart Of(TiffImage image, CellRange range, int blockRow, int blockColumn)
        {
            int top = blockRow * image.BlockRows, left = blockColumn * image.BlockColumns;
            int first = Math.Max(top, range.Row), last = (int)Math.Min((long)top + image.BlockRows, range.Row + range.Rows);
            int west = Math.Max(left, range.Column), east = (int)Math.Min((long)left + image.BlockColumns, range.Column + range.Columns);
            return new BlockPart(first - top, west - left, last - first, east - west, first - range.Row, west - range.Column);
        }
    }

    /// <summary>Turns the bytes of a block into heights.</summary>
    internal sealed class BlockConverter(TiffImage image, BandReading band)
    {
        private const double MostHeight = 1e30;
        private readonly Sampler _sampler = SamplerOf(image);
        private readonly double _missing = AsStored(band.Missing, image);
        private readonly double _alsoMissing = AsStored(band.AlsoMissing, image);
        private readonly int _sample = image.Separate ? 0 : band.Sample;

        /// <summary>Number of the band's first block.</summary>
        public int FirstBlock { get; } = image.Separate ? band.Sample * image.BlocksAcross * image.BlocksDown : 0;

        /// <param name="bytes">Rows of the block, from the first one wanted.</param>
        /// <param name="first">First column wanted.</param>
        /// <param name="rows">How many rows.</param>
        /// <param name="columns">How many columns.</param>
        /// <param name="heights">Where they go.</param>
        /// <param name="stride">Heights from one row to the next there.</param>
        public void ToHeights(ReadOnlySpan<byte> bytes, int first, int rows, int columns, Span<float> heights, int stride)
        {
            bool plain = image is { SampleFormat: 3, Bits: 32 } && band is { Scale: 1, Offset: 0, Unit: 1 } && image.Interleaved == 1;
            for (int r = 0; r < rows; r++)
            {
                ReadOnlySpan<byte> row = bytes.Slice(r * image.RowBytes, image.RowBytes);
                Span<float> target = heights.Slice(r * stride, columns);
                if (plain)
                {
                    Plain(MemoryMarshal.Cast<byte, float>(row).Slice(first, columns), target);
                    continue;
                }

                for (int c = 0; c < columns; c++)
                {
                    double raw = _sampler(row, ((first + c) * image.Interleaved) + _sample);
                    bool gone = raw == _missing || raw == _alsoMissing || !(Math.Abs(raw) < MostHeight)
                        || (band.Alpha >= 0 && !image.Separate && _sampler(row, ((first + c) * image.Interleaved) + band.Alpha) == 0);
                    target[c] = gone ? float.NaN : (float)(((raw * band.Scale) + band.Offset) * band.Unit);
                }
            }
        }

        // The commonest kind: heights as they are.
        private void Plain(ReadOnlySpan<float> row, Span<float> target)
        {
            (float missing, float also) = ((float)_missing, (float)_alsoMissing);
            for (int c = 0; c < target.Length; c++)
            {
                float z = row[c];
                target[c] = z == missing || z == also || !(Math.Abs(z) < (float)MostHeight) ? float.NaN : z;
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
        (3, _) => throw new UnreadFormatException(FormattableString.Invariant($"its heights are {image.Bits}-bit floating-point numbers, which are not read here; write it again as 32-bit floating point")),
        _ => throw new UnreadFormatException(FormattableString.Invariant($"its heights are {image.Bits}-bit numbers of format {image.SampleFormat}, which are not read here; write it again as 32-bit floating point")),
    };
}
