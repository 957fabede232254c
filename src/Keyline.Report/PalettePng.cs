using System.Buffers.Binary;
using System.IO.Compression;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Packs a picture as PNG with the few colours that serve it best: a quarter of the bytes of true colour, and no difference to be seen.</summary>
/// <remarks>
/// <para>Units: pixels; the fineness goes into the file, so that the picture prints at its own size.</para>
/// <para>Promises: white stays white; the same picture gives the same bytes; colours are not dithered, since grain hides fine lines.</para>
/// <para>Cost: two passes over the pixels and packing them, several times where few colours are needed; 8 MB beyond them.</para>
/// <para>Source: PNG (Third Edition), W3C 2025, with zlib streams after RFC 1950; the palette by variance-based splitting after X. Wu,
/// "Efficient statistical computations for optimal color quantization", Graphics Gems II, 1991, on bins of 4 steps a channel.</para>
/// </remarks>
internal static class PalettePng
{
    private const int BinBits = 6;
    private const int Bins = 1 << (3 * BinBits);
    private const int White = Bins - 1;
    private const int MostColours = 192;
    private const int FewestColours = 32;
    private const double InchesPerMetre = 1 / 0.0254;

    private static readonly uint[] CheckTable = [.. Enumerable.Range(0, 256).Select(n => Enumerable.Range(0, 8).Aggregate((uint)n, (c, _) => (c & 1) != 0 ? 0xEDB88320 ^ (c >> 1) : c >> 1))];

    /// <summary>Writes the picture.</summary>
    /// <param name="stream">Where to; left open.</param>
    /// <param name="pixels">Opaque pixels, red, green, blue and alpha bytes.</param>
    /// <param name="pixelsPerInch">Fineness.</param>
    /// <param name="mostBytes">Where the packed pixels pass this, fewer colours are taken, down to <see cref="FewestColours"/>.</param>
    public static void Write(Stream stream, SKPixmap pixels, int pixelsPerInch, int mostBytes = int.MaxValue)
    {
        ReadOnlySpan<byte> bytes = pixels.GetPixelSpan();
        int width = pixels.Width, height = pixels.Height, stride = pixels.RowBytes;
        ColourSums sums = new(bytes, width, height, stride);
        byte[] indexOf = new byte[Bins], palette;
        MemoryStream packed;
        int colours = MostColours;
        while (true)
        {
            palette = sums.Palette(indexOf, colours);
            packed = Pack(bytes, width, height, stride, indexOf);
            if (packed.Length <= mostBytes || colours <= FewestColours)
            {
                break;
            }

            colours = Math.Max(FewestColours, colours * 2 / 3);
        }

        stream.Write([0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A]);
        byte[] head = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(head, width);
        BinaryPrimitives.WriteInt32BigEndian(head.AsSpan(4), height);
        (head[8], head[9]) = (8, 3);
        Chunk(stream, "IHDR"u8, head);
        byte[] fineness = new byte[9];
        BinaryPrimitives.WriteInt32BigEndian(fineness, (int)Math.Round(pixelsPerInch * InchesPerMetre));
        BinaryPrimitives.WriteInt32BigEndian(fineness.AsSpan(4), (int)Math.Round(pixelsPerInch * InchesPerMetre));
        fineness[8] = 1;
        Chunk(stream, "pHYs"u8, fineness);
        Chunk(stream, "PLTE"u8, palette);
        Chunk(stream, "IDAT"u8, packed.GetBuffer().AsSpan(0, (int)packed.Length));
        Chunk(stream, "IEND"u8, []);
    }

    private static MemoryStream Pack(ReadOnlySpan<byte> bytes, int width, int height, int stride, byte[] indexOf)
    {
        MemoryStream packed = new();
        using (ZLibStream zlib = new(packed, CompressionLevel.SmallestSize, leaveOpen: true))
        {
            byte[] row = new byte[width + 1];
            for (int y = 0; y < height; y++)
            {
                ReadOnlySpan<byte> from = bytes.Slice(y * stride, width * 4);
                for (int x = 0; x < width; x++)
                {
                    row[x + 1] = indexOf[Bin(from[4 * x], from[(4 * x) + 1], from[(4 * x) + 2])];
                }

                zlib.Write(row);
            }
        }

        return packed;
    }

    private static int Bin(byte red, byte green, byte blue) => (red >> 2 << 12) | (green >> 2 << 6) | (blue >> 2);

    private static void Chunk(Stream stream, ReadOnlySpan<byte> kind, ReadOnlySpan<byte> content)
    {
        Span<byte> number = stackalloc byte[4];
        BinaryPrimitives.WriteInt32BigEndian(number, content.Length);
        stream.Write(number);
        stream.Write(kind);
        stream.Write(content);
        BinaryPrimitives.WriteUInt32BigEndian(number, ~Check(Check(uint.MaxValue, kind), content));
        stream.Write(number);
    }

    // The standard's own check (annex D), byte by byte.
    private static uint Check(uint sum, ReadOnlySpan<byte> bytes)
    {
        foreach (byte b in bytes)
        {
            sum = CheckTable[(byte)(sum ^ b)] ^ (sum >> 8);
        }

        return sum;
    }

    /// <summary>How often each bin of colours occurs, and what its pixels add up to.</summary>
    private sealed class ColourSums
    {
        private readonly List<(int Bin, long Count, double Red, double Green, double Blue)> _used = [];

        public ColourSums(ReadOnlySpan<byte> bytes, int width, int height, int stride)
        {
            (int Count, long Red, long Green, long Blue)[] sums = new (int, long, long, long)[Bins];
            for (int y = 0; y < height; y++)
            {
                ReadOnlySpan<byte> row = bytes.Slice(y * stride, width * 4);
                for (int i = 0; i < row.Length; i += 4)
                {
                    ref (int Count, long Red, long Green, long Blue) bin = ref sums[Bin(row[i], row[i + 1], row[i + 2])];
                    bin.Count++;
                    bin.Red += row[i];
                    bin.Green += row[i + 1];
                    bin.Blue += row[i + 2];
                }
            }

            for (int bin = 0; bin < White; bin++)
            {
                if (sums[bin] is { Count: > 0 and int n } s)
                {
                    _used.Add((bin, n, (double)s.Red / n, (double)s.Green / n, (double)s.Blue / n));
                }
            }
        }

        /// <summary>Splits the bins into groups by their spread; the entry after the last group is white.</summary>
        /// <param name="indexOf">Gets the entry of each bin.</param>
        /// <param name="most">Most groups.</param>
        /// <returns>Red, green and blue of each entry.</returns>
        public byte[] Palette(byte[] indexOf, int most)
        {
            List<Group> groups = _used.Count > 0 ? [Measure(0, _used.Count)] : [];
            while (groups.Count > 0 && groups.Count < most)
            {
                int widest = 0;
                for (int g = 1; g < groups.Count; g++)
                {
                    widest = groups[g].Error > groups[widest].Error ? g : widest;
                }

                if (groups[widest] is not { Error: > 0 } group)
                {
                    break;
                }

                int middle = Part(group);
                groups[widest] = Measure(group.From, middle);
                groups.Add(Measure(middle, group.To));
            }

            byte[] palette = new byte[3 * (groups.Count + 1)];
            Array.Fill(palette, (byte)255);
            indexOf[White] = (byte)groups.Count;
            for (int g = 0; g < groups.Count; g++)
            {
                for (int axis = 0; axis < 3; axis++)
                {
                    palette[(3 * g) + axis] = (byte)Math.Round(groups[g].Mean[axis]);
                }

                for (int i = groups[g].From; i < groups[g].To; i++)
                {
                    indexOf[_used[i].Bin] = (byte)g;
                }
            }

            return palette;
        }

        private Group Measure(int from, int to)
        {
            double count = 0;
            double[] sum = new double[3], square = new double[3];
            for (int i = from; i < to; i++)
            {
                count += _used[i].Count;
                for (int axis = 0; axis < 3; axis++)
                {
                    double value = Channel(i, axis);
                    sum[axis] += _used[i].Count * value;
                    square[axis] += _used[i].Count * value * value;
                }
            }

            double[] mean = [.. sum.Select(s => s / count)];
            double[] spread = [.. square.Select((s, axis) => to - from > 1 ? Math.Max(0, s - (sum[axis] * mean[axis])) : 0)];
            return new Group(from, to, mean, Array.IndexOf(spread, spread.Max()), spread.Sum());
        }

        // Brings the bins below the mean of the widest channel to the front; at least one stays on either side.
        private int Part(Group group)
        {
            (int Bin, long Count, double Red, double Green, double Blue)[] bins = [.. _used[group.From..group.To].OrderBy(b => group.Axis switch { 0 => b.Red, 1 => b.Green, _ => b.Blue }).ThenBy(b => b.Bin)];
            for (int i = 0; i < bins.Length; i++)
            {
                _used[group.From + i] = bins[i];
            }

            int middle = group.From + 1;
            while (middle < group.To - 1 && Channel(middle, group.Axis) < group.Mean[group.Axis])
            {
                middle++;
            }

            return middle;
        }

        private double Channel(int i, int axis) => axis switch { 0 => _used[i].Red, 1 => _used[i].Green, _ => _used[i].Blue };

        private sealed record Group(int From, int To, double[] Mean, int Axis, double Error);
    }
}
