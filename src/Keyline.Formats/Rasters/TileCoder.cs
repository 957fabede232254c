using System.IO.Compression;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using BitMiracle.LibTiff.Classic;

namespace Keyline.Formats;

/// <summary>Turns a tile of values into the bytes of a TIFF tile: differences that pack well, then deflate.</summary>
internal sealed class TileCoder<T>
    where T : unmanaged
{
    private const int Side = GeoTiffWriter.TileSide;

    public TileCoder()
    {
        Size = Unsafe.SizeOf<T>();
        (Format, Predictor) = typeof(T) == typeof(float) || typeof(T) == typeof(double) ? (SampleFormat.IEEEFP, 3)
            : typeof(T) == typeof(byte) ? (SampleFormat.UINT, 1)
            : typeof(T) == typeof(int) ? (SampleFormat.INT, 2)
            : throw new ArgumentException($"Values of type {typeof(T).Name} are not written; convert them to byte, int, float or double.");
    }

    /// <summary>Bytes of a value.</summary>
    public int Size { get; }

    public SampleFormat Format { get; }

    /// <summary>1 none, 2 differences of whole numbers, 3 differences of the bytes of floating point.</summary>
    public int Predictor { get; }

    public bool IsWhole => Predictor != 3;

    /// <summary>Codes the tile that begins at a column of a band of rows. Beyond the grid its last values are repeated, which pack
    /// to nothing.</summary>
    public byte[] Encode(T[] band, int rows, int columns, int column)
    {
        T[] tile = new T[Side * Side];
        int width = Math.Min(Side, columns - column);
        for (int r = 0; r < Side; r++)
        {
            Span<T> row = tile.AsSpan(r * Side, Side);
            band.AsSpan((Math.Min(r, rows - 1) * columns) + column, width).CopyTo(row);
            row[width..].Fill(row[width - 1]);
        }

        byte[] bytes = MemoryMarshal.AsBytes(tile.AsSpan()).ToArray();
        if (Predictor == 2)
        {
            Difference(bytes);
        }
        else if (Predictor == 3)
        {
            SplitAndDifference(bytes);
        }

        using MemoryStream packed = new();
        using (ZLibStream deflate = new(packed, CompressionLevel.Optimal, leaveOpen: true))
        {
            deflate.Write(bytes);
        }

        return packed.ToArray();
    }

    private static void Difference(byte[] bytes)
    {
        Span<int> values = MemoryMarshal.Cast<byte, int>(bytes.AsSpan());
        for (int r = 0; r < Side; r++)
        {
            for (int c = Side - 1; c > 0; c--)
            {
                values[(r * Side) + c] = unchecked(values[(r * Side) + c] - values[(r * Side) + c - 1]);
            }
        }
    }

    // Row by row: all highest bytes first, then all next ones and so on; then every byte less the one before it.
    private void SplitAndDifference(byte[] bytes)
    {
        int length = Side * Size;
        byte[] split = new byte[length];
        for (int r = 0; r < Side; r++)
        {
            Span<byte> row = bytes.AsSpan(r * length, length);
            for (int b = 0; b < Size; b++)
            {
                int plane = Size - 1 - b;
                for (int c = 0; c < Side; c++)
                {
                    split[(b * Side) + c] = row[(c * Size) + plane];
                }
            }

            row[0] = split[0];
            for (int i = 1; i < length; i++)
            {
                row[i] = unchecked((byte)(split[i] - split[i - 1]));
            }
        }
    }
}
