namespace Keyline.Formats;

/// <summary>How the cells of one TIFF image are stored, checked against what the file can hold.</summary>
/// <remarks>Source: TIFF revision 6.0 sections 3 to 8 and 15 (tiles); compression and predictor codes as registered since.</remarks>
internal sealed class TiffImage
{
    private TiffImage(TiffDirectory tags) => Tags = tags;

    public TiffDirectory Tags { get; }

    public int Rows { get; private init; }

    public int Columns { get; private init; }

    public int Bits { get; private init; }

    /// <summary>1 unsigned, 2 signed, 3 floating point.</summary>
    public int SampleFormat { get; private init; }

    public int Samples { get; private init; }

    public int Compression { get; private init; }

    /// <summary>1 none, 2 differences of whole numbers, 3 byte planes of floating-point numbers.</summary>
    public int Predictor { get; private init; }

    public bool Separate { get; private init; }

    public bool Tiled { get; private init; }

    public int BlockRows { get; private init; }

    public int BlockColumns { get; private init; }

    public int BlocksAcross => (int)(((long)Columns + BlockColumns - 1) / BlockColumns);

    public int BlocksDown => (int)(((long)Rows + BlockRows - 1) / BlockRows);

    /// <summary>Where each block begins; 0 with a count of 0 is a block that was never written.</summary>
    public long[] Offsets { get; private init; } = [];

    public long[] ByteCounts { get; private init; } = [];

    /// <summary>Samples that lie next to each other in a block.</summary>
    public int Interleaved => Separate ? 1 : Samples;

    /// <summary>Bytes of one row of a block.</summary>
    public int RowBytes => (int)((((long)BlockColumns * Interleaved * Bits) + 7) / 8);

    /// <summary>Reads how an image is stored.</summary>
    /// <exception cref="InvalidDataException">It is stored in a way that cannot be read, or claims what the file cannot hold; the message says which.</exception>
    public static TiffImage Read(TiffDirectory tags, long fileLength, long maximumCells)
    {
        long columns = tags.Integer(256, 0), rows = tags.Integer(257, 0);
        if (columns < 1 || rows < 1)
        {
            throw new InvalidDataException("it has no rows or columns");
        }

        if (columns > int.MaxValue || rows > int.MaxValue || columns * rows > maximumCells)
        {
            throw new InvalidDataException(FormattableString.Invariant($"its header claims {rows} x {columns} cells, more than the {maximumCells} that are read at once; cut it to the farm"));
        }

        long compression = tags.Integer(259, 1);
        long most = compression switch
        {
            1 => 1,
            5 => 4000,
            8 or 32946 => 1100,
            32773 => 128,
            _ => throw new UnreadFormatException(FormattableString.Invariant($"its compression {CompressionName(compression)} (code {compression}) is not supported; write it again with deflate compression")),
        };
        long[] bits = tags.Integers(258);
        long[] formats = tags.Integers(339);
        if (bits.Distinct().Count() > 1 || formats.Distinct().Count() > 1)
        {
            throw new UnreadFormatException("its bands are stored in different number types; write the elevation band alone");
        }

        bool tiled = tags.Has(322) || tags.Has(323);
        long blockColumns = tiled ? tags.Integer(322, 0) : columns;
        long blockRows = tiled ? tags.Integer(323, 0) : Math.Min(tags.Integer(278, rows), rows);
        if (blockColumns < 1 || blockRows < 1 || blockColumns > 1 << 24 || blockRows > int.MaxValue)
        {
            throw new InvalidDataException("the size of its tiles is damaged");
        }

        TiffImage image = new(tags)
        {
            Rows = (int)rows,
            Columns = (int)columns,
            Bits = (int)(bits.Length > 0 ? bits[0] : 1),
            SampleFormat = (int)(formats.Length > 0 ? formats[0] : 1),
            Samples = (int)Math.Clamp(tags.Integer(277, 1), 1, ushort.MaxValue),
            Compression = (int)compression,
            Predictor = (int)Math.Clamp(tags.Integer(317, 1), 0, int.MaxValue),
            Separate = tags.Integer(284, 1) == 2,
            Tiled = tiled,
            BlockRows = (int)blockRows,
            BlockColumns = (int)blockColumns,
            Offsets = tags.Integers(tiled ? 324 : 273),
            ByteCounts = tags.Integers(tiled ? 325 : 279),
        };
        if (image.Predictor == 2 && image.Bits == 64 && !TiffInflater.Handles(image))
        {
            throw new UnreadFormatException("its 64-bit heights are stored as differences (predictor 2) with a compression for which that is not read here; write it again with deflate compression");
        }

        // LibTiff.NET takes the directory of such a file for damaged.
        if (tags.IsBig && !tags.IsLittleEndian && !TiffInflater.Handles(image))
        {
            throw new UnreadFormatException("it is a BigTIFF with the most significant byte first and a compression for which that is not read here; write it again with deflate compression");
        }

        image.CheckBlocks(fileLength, most, maximumCells);
        return image;
    }

    private void CheckBlocks(long fileLength, long mostRatio, long maximumCells)
    {
        long blockBytes = checked((((long)BlockColumns * Interleaved * Bits) + 7) / 8 * BlockRows);
        if (Bits is < 1 or > 128 || blockBytes > Math.Min(int.MaxValue / 2, Math.Max(Math.Min(maximumCells, int.MaxValue) * 8, 1 << 20)))
        {
            throw new InvalidDataException("its blocks are larger than can be read; write it again in tiles of 256 x 256");
        }

        long needed = (long)BlocksAcross * BlocksDown * (Separate ? Samples : 1);
        if (Offsets.Length < needed || ByteCounts.Length < needed)
        {
            throw new InvalidDataException("the list of its blocks is shorter than its size needs");
        }

        long stored = 0, claimed = 0;
        for (long i = 0; i < needed; i++)
        {
            long offset = Offsets[i], count = ByteCounts[i];
            if (count == 0)
            {
                continue;
            }

            if (offset <= 0 || count < 0 || offset > fileLength - count)
            {
                throw new InvalidDataException("it is cut short: part of its heights lies beyond the end of the file");
            }

            stored += count;
            long blockRow = i % ((long)BlocksAcross * BlocksDown) / BlocksAcross;
            claimed += Tiled ? blockBytes : (long)RowBytes * Math.Min(BlockRows, Rows - (blockRow * BlockRows));
        }

        if (claimed / mostRatio > stored)
        {
            throw new InvalidDataException("its header claims more heights than the file can hold");
        }
    }

    private static string CompressionName(long code) => code switch
    {
        50000 => "ZSTD",
        34887 => "LERC",
        34925 => "LZMA",
        50001 => "WebP",
        50002 or 52546 => "JPEG XL",
        6 or 7 => "JPEG",
        2 or 3 or 4 => "fax",
        _ => "unknown",
    };
}
