using System.Buffers.Binary;
using System.IO.Compression;

namespace Keyline.Formats.Tests.Support;

/// <summary>A one-strip floating-point TIFF put together byte by byte, deflated, with predictor 2 or 3.</summary>
internal static class HandMadeTiff
{
    public static byte[] Write(double[] heights, int columns, int predictor, int bits, bool bigEndian)
    {
        int size = bits / 8, rows = heights.Length / columns;
        byte[] strip = new byte[heights.Length * size];
        for (int r = 0; r < rows; r++)
        {
            ulong[] patterns = [.. heights[(r * columns)..((r + 1) * columns)].Select(z => bits == 32 ? BitConverter.SingleToUInt32Bits((float)z) : BitConverter.DoubleToUInt64Bits(z))];
            Span<byte> row = strip.AsSpan(r * columns * size, columns * size);
            if (predictor == 2)
            {
                for (int c = 0; c < columns; c++)
                {
                    Put(row[(c * size)..], patterns[c] - (c > 0 ? patterns[c - 1] : 0), size, bigEndian);
                }
            }
            else
            {
                for (int i = 0; i < columns; i++)
                {
                    for (int plane = 0; plane < size; plane++)
                    {
                        row[(plane * columns) + i] = (byte)(patterns[i] >> (8 * (size - 1 - plane)));
                    }
                }

                for (int i = row.Length - 1; i > 0; i--)
                {
                    row[i] -= row[i - 1];
                }
            }
        }

        using MemoryStream packed = new();
        using (ZLibStream zlib = new(packed, CompressionLevel.Optimal, leaveOpen: true))
        {
            zlib.Write(strip);
        }

        return Frame(packed.ToArray(), rows, columns, predictor, bits, bigEndian);
    }

    private static byte[] Frame(byte[] strip, int rows, int columns, int predictor, int bits, bool bigEndian)
    {
        (int Tag, int Type, double[] Values)[] tags =
        [
            (256, 3, [columns]), (257, 3, [rows]), (258, 3, [bits]), (259, 3, [8]), (262, 3, [1]), (273, 4, [8]), (277, 3, [1]), (278, 3, [rows]), (279, 4, [strip.Length]), (317, 3, [predictor]), (339, 3, [3]),
            (33550, 12, [2, 2, 0]), (33922, 12, [0, 0, 0, 600_000, 4_000_000, 0]),
        ];
        int directory = (8 + strip.Length + 1) / 2 * 2, far = directory + 2 + (12 * tags.Length) + 4;
        byte[] file = new byte[far + (9 * 8)];
        (file[0], file[1]) = bigEndian ? ((byte)'M', (byte)'M') : ((byte)'I', (byte)'I');
        Put(file.AsSpan(2), 42, 2, bigEndian);
        Put(file.AsSpan(4), (ulong)directory, 4, bigEndian);
        strip.CopyTo(file, 8);
        Put(file.AsSpan(directory), (ulong)tags.Length, 2, bigEndian);
        for (int i = 0; i < tags.Length; i++)
        {
            Span<byte> entry = file.AsSpan(directory + 2 + (12 * i));
            Put(entry, (ulong)tags[i].Tag, 2, bigEndian);
            Put(entry[2..], (ulong)tags[i].Type, 2, bigEndian);
            Put(entry[4..], (ulong)tags[i].Values.Length, 4, bigEndian);
            if (tags[i].Type == 12)
            {
                Put(entry[8..], (ulong)far, 4, bigEndian);
                foreach (double v in tags[i].Values)
                {
                    Put(file.AsSpan(far), BitConverter.DoubleToUInt64Bits(v), 8, bigEndian);
                    far += 8;
                }
            }
            else
            {
                Put(entry[8..], (ulong)tags[i].Values[0], tags[i].Type == 3 ? 2 : 4, bigEndian);
            }
        }

        return file;
    }

    private static void Put(Span<byte> at, ulong value, int size, bool bigEndian)
    {
        Span<byte> all = stackalloc byte[8];
        if (bigEndian)
        {
            BinaryPrimitives.WriteUInt64BigEndian(all, value);
            all[(8 - size)..].CopyTo(at);
        }
        else
        {
            BinaryPrimitives.WriteUInt64LittleEndian(all, value);
            all[..size].CopyTo(at);
        }
    }
}
