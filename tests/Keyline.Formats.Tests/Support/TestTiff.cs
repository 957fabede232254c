using BitMiracle.LibTiff.Classic;

namespace Keyline.Formats.Tests.Support;

/// <summary>A small GeoTIFF written for one test. The ground is 40 x 50 cells of 2 m in UTM zone 10N unless said otherwise.</summary>
internal sealed record TestTiff
{
    public int Rows { get; init; } = 40;

    public int Columns { get; init; } = 50;

    public Func<int, int, double> Height { get; init; } = (r, c) => Math.Round(200 + (0.37 * r) - (0.21 * c) + (3 * Math.Sin(r * c / 90.0)), 2);

    public int Bits { get; init; } = 32;

    public SampleFormat Format { get; init; } = SampleFormat.IEEEFP;

    public Compression Compression { get; init; } = Compression.NONE;

    public int Predictor { get; init; } = 1;

    /// <summary>Side of a tile; 0 for strips of 7 rows.</summary>
    public int Tile { get; init; }

    /// <summary>Mode of the writer: "w" little-endian, "wb" big-endian, "w8" BigTIFF.</summary>
    public string Mode { get; init; } = "wl";

    public double[]? PixelScale { get; init; } = [2, 2, 0];

    public double[]? TiePoint { get; init; } = [0, 0, 0, 600_000, 4_000_000, 0];

    public double[]? Matrix { get; init; }

    public short[]? Keys { get; init; } = Utm(32610);

    public double[]? KeyDoubles { get; init; }

    public string? KeyText { get; init; }

    public string? Nodata { get; init; }

    public string? Metadata { get; init; }

    /// <summary>Keys of a projected system: model, raster type and code, with more keys of one short each after them.</summary>
    public static short[] Utm(int code, params (int Key, int Value)[] more) => KeysOf([(1024, 1), (1025, 1), (3072, code), .. more]);

    /// <summary>Keys of one short each, in their order.</summary>
    public static short[] KeysOf(params (int Key, int Value)[] keys) =>
        [1, 1, 0, (short)keys.Length, .. keys.OrderBy(k => k.Key).SelectMany(k => new[] { (short)k.Key, (short)0, (short)1, (short)k.Value })];

    public MemoryStream ToStream() => new(ToBytes());

    public ElevationSource Read(ElevationReadOptions? options = null) => ElevationReader.Read(ToStream(), "test.tif", options);

    public byte[] ToBytes()
    {
        using MemoryStream stream = new();
        using (Tiff tiff = Tiff.ClientOpen("test", Mode, stream, new KeepOpen()))
        {
            tiff.MergeFieldInfo(Fields, Fields.Length);
            tiff.SetField(TiffTag.IMAGEWIDTH, Columns);
            tiff.SetField(TiffTag.IMAGELENGTH, Rows);
            tiff.SetField(TiffTag.BITSPERSAMPLE, Bits);
            tiff.SetField(TiffTag.SAMPLEFORMAT, Format);
            tiff.SetField(TiffTag.SAMPLESPERPIXEL, 1);
            tiff.SetField(TiffTag.PHOTOMETRIC, Photometric.MINISBLACK);
            tiff.SetField(TiffTag.PLANARCONFIG, PlanarConfig.CONTIG);
            tiff.SetField(TiffTag.COMPRESSION, Compression);
            if (Predictor != 1)
            {
                tiff.SetField(TiffTag.PREDICTOR, Predictor);
            }

            Set(tiff, 33550, PixelScale);
            Set(tiff, 33922, TiePoint);
            Set(tiff, 34264, Matrix);
            Set(tiff, 34735, Keys);
            Set(tiff, 34736, KeyDoubles);
            SetText(tiff, 34737, KeyText);
            SetText(tiff, 42112, Metadata);
            SetText(tiff, 42113, Nodata);
            WriteCells(tiff);
        }

        return stream.ToArray();
    }

    private void WriteCells(Tiff tiff)
    {
        int side = Tile > 0 ? Tile : Columns, tall = Tile > 0 ? Tile : 7;
        if (Tile > 0)
        {
            tiff.SetField(TiffTag.TILEWIDTH, Tile);
            tiff.SetField(TiffTag.TILELENGTH, Tile);
        }
        else
        {
            tiff.SetField(TiffTag.ROWSPERSTRIP, tall);
        }

        int block = 0, size = Bits / 8;
        for (int top = 0; top < Rows; top += tall)
        {
            for (int left = 0; left < Columns; left += side)
            {
                int rows = Tile > 0 ? tall : Math.Min(tall, Rows - top);
                byte[] bytes = new byte[rows * side * size];
                for (int r = 0; r < rows; r++)
                {
                    for (int c = 0; c < side; c++)
                    {
                        // Padding repeats the last row and column, and must never come out again.
                        Encode(bytes.AsSpan(((r * side) + c) * size), Height(Math.Min(top + r, Rows - 1), Math.Min(left + c, Columns - 1)));
                    }
                }

                int wrote = Tile > 0 ? tiff.WriteEncodedTile(block++, bytes, bytes.Length) : tiff.WriteEncodedStrip(block++, bytes, bytes.Length);
                Assert.True(wrote > 0, "the test's own TIFF could not be written");
            }
        }
    }

    private void Encode(Span<byte> at, double z)
    {
        bool wrote = (Format, Bits) switch
        {
            (SampleFormat.IEEEFP, 32) => BitConverter.TryWriteBytes(at, (float)z),
            (SampleFormat.IEEEFP, 64) => BitConverter.TryWriteBytes(at, z),
            (SampleFormat.INT, 16) => BitConverter.TryWriteBytes(at, (short)z),
            (SampleFormat.UINT, 16) => BitConverter.TryWriteBytes(at, (ushort)z),
            (SampleFormat.INT, 32) => BitConverter.TryWriteBytes(at, (int)z),
            (SampleFormat.UINT, 32) => BitConverter.TryWriteBytes(at, (uint)z),
            (SampleFormat.INT, 8) => WriteByte(at, (byte)(sbyte)z),
            (SampleFormat.UINT, 8) => WriteByte(at, (byte)z),
            _ => false,
        };
        Assert.True(wrote, "the test asks for a kind of number it cannot write");
    }

    private static bool WriteByte(Span<byte> at, byte value)
    {
        at[0] = value;
        return true;
    }

    private static void Set<T>(Tiff tiff, int tag, T[]? values)
    {
        if (values is not null)
        {
            Assert.True(tiff.SetField((TiffTag)tag, values.Length, values));
        }
    }

    private static void SetText(Tiff tiff, int tag, string? text)
    {
        if (text is not null)
        {
            Assert.True(tiff.SetField((TiffTag)tag, text));
        }
    }

    private static readonly TiffFieldInfo[] Fields =
    [
        Field(33550, TiffType.DOUBLE), Field(33922, TiffType.DOUBLE), Field(34264, TiffType.DOUBLE), Field(34735, TiffType.SHORT), Field(34736, TiffType.DOUBLE),
        Field(34737, TiffType.ASCII), Field(42112, TiffType.ASCII), Field(42113, TiffType.ASCII),
    ];

    private static TiffFieldInfo Field(int tag, TiffType type) =>
        new((TiffTag)tag, TiffFieldInfo.Variable, TiffFieldInfo.Variable, type, FieldBit.Custom, true, type != TiffType.ASCII, "tag" + tag.ToString(System.Globalization.CultureInfo.InvariantCulture));

    private sealed class KeepOpen : TiffStream
    {
        public override void Close(object clientData)
        {
        }
    }
}
