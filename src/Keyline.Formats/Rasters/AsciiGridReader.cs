using System.Buffers.Text;
using System.Text;
using Keyline.Elevation;

namespace Keyline.Formats;

/// <summary>Reads an ESRI ASCII grid.</summary>
/// <remarks>
/// <para>Units: heights are taken as metres unless the caller says otherwise; the format cannot say.</para>
/// <para>Missing: the value of the NODATA_value line; -9999 where that line is absent (the format's default); nan tokens;
/// infinities.</para>
/// <para>Promises: keys in any case and order, tabs and any line ends, values wrapped in any way, a UTF-8 mark before the
/// first key. Too few or too many values are refused, as are decimal commas. The text is streamed: a window of a huge file
/// costs the memory of the window, and what follows the window is not looked at.</para>
/// <para>Source: Esri, ArcGIS Desktop 10 help, "Esri ASCII raster format" (from memory); GDAL documentation, driver AAIGrid.</para>
/// </remarks>
internal static class AsciiGridReader
{
    private static readonly string[] Keys = ["ncols", "nrows", "xllcorner", "yllcorner", "xllcenter", "yllcenter", "cellsize", "nodata_value", "dx", "dy"];

    /// <summary>Whether the first bytes of a file look like the header of an ASCII grid.</summary>
    public static bool IsAsciiGrid(ReadOnlySpan<byte> head)
    {
        string start = Encoding.Latin1.GetString(head).TrimStart('\u00EF', '\u00BB', '\u00BF', ' ', '\t', '\r', '\n');
        foreach (string key in Keys)
        {
            if (start.Length > key.Length && start.StartsWith(key, StringComparison.OrdinalIgnoreCase) && char.IsWhiteSpace(start[key.Length]))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Reads the header, and leaves the heights to be read a window at a time.</summary>
    /// <exception cref="GroundDataException">The header is wrong.</exception>
    public static RawFile Open(Stream stream, string name, Sidecars beside, ElevationReadOptions options)
    {
        AsciiNumbers text = new(stream, name, 0, 1);
        Dictionary<string, double> header = ReadHeader(text);
        int columns = Count(text, header, "ncols"), rows = Count(text, header, "nrows");
        if (options.Window is null && (long)columns * rows > options.MaximumCells)
        {
            throw text.Bad(FormattableString.Invariant($"its header claims {rows} x {columns} cells, more than the {options.MaximumCells} that are read at once; cut it to the farm"));
        }

        // A value and the blank after it take two bytes at least.
        if ((long)columns * rows > (stream.Length - text.Position + 1) / 2)
        {
            throw text.Bad(FormattableString.Invariant($"its header claims {rows} x {columns} values, more than the file can hold; fetch the file again"));
        }

        CellMapping mapping = Mapping(text, header, rows);
        List<string> notes = [];
        GroundCrs crs = TextGround.Crs(name, "an ASCII grid", beside, options, notes);
        return new AsciiGridFile(stream, text.Position, text.Line, header.TryGetValue("nodata_value", out double missing) ? missing : null, options)
        {
            Name = name,
            Rows = rows,
            Columns = columns,
            Mapping = mapping.Times(crs.IsGeographic ? 1 : crs.MetresPerUnit),
            Crs = crs,
            Notes = notes,
        };
    }

    private static Dictionary<string, double> ReadHeader(AsciiNumbers text)
    {
        Dictionary<string, double> header = [];
        while (true)
        {
            ReadOnlySpan<byte> token = text.Peek();
            if (token.IsEmpty || !char.IsAsciiLetter((char)token[0]) || AsciiNumbers.IsNan(token))
            {
                return header;
            }

            string key = Encoding.Latin1.GetString(token).ToLowerInvariant();
            text.Next();
            key = key == "nodata" ? "nodata_value" : key;
            if (!Keys.Contains(key))
            {
                throw text.Bad(FormattableString.Invariant($"line {text.Line} begins with \"{(key.Length > 20 ? key[..20] : key)}\", which is no key of an ASCII grid"));
            }

            if (!header.TryAdd(key, text.Value(text.Next())))
            {
                throw text.Bad($"its key {key} stands twice");
            }
        }
    }

    private static int Count(AsciiNumbers text, Dictionary<string, double> header, string key)
    {
        if (!header.TryGetValue(key, out double v))
        {
            throw text.Bad($"its header has no {key} line");
        }

        return v >= 1 && v <= int.MaxValue && v == Math.Floor(v) ? (int)v : throw text.Bad($"its {key} is not a whole number above 0");
    }

    private static CellMapping Mapping(AsciiNumbers text, Dictionary<string, double> header, int rows)
    {
        bool square = header.TryGetValue("cellsize", out double size);
        double dx = square ? size : header.GetValueOrDefault("dx"), dy = square ? size : header.GetValueOrDefault("dy");
        if (!square && !(header.ContainsKey("dx") && header.ContainsKey("dy")))
        {
            throw text.Bad("its header has no cellsize line");
        }

        if (!(dx > 0 && dy > 0) || !double.IsFinite(dx) || !double.IsFinite(dy))
        {
            throw text.Bad("its cell size must be above 0; export the grid again");
        }

        double west = Corner("xllcorner", "xllcenter", dx), south = Corner("yllcorner", "yllcenter", dy);
        return new CellMapping(west, dx, 0, south + (rows * dy), 0, -dy);

        double Corner(string corner, string centre, double side) =>
            header.TryGetValue(corner, out double c) ? c
            : header.TryGetValue(centre, out double m) ? m - (side / 2)
            : throw text.Bad($"its header has neither {corner} nor {centre}");
    }
}

/// <summary>An ASCII grid whose header has been read.</summary>
/// <param name="stream">The text.</param>
/// <param name="start">Where its values begin, bytes.</param>
/// <param name="line">Line they begin on.</param>
/// <param name="missing">Value of its NODATA_value line, or null.</param>
/// <param name="options">What to take for granted.</param>
internal sealed class AsciiGridFile(Stream stream, long start, int line, double? missing, ElevationReadOptions options) : RawFile
{
    // The format's own value where the file does not say.
    private const double DefaultMissing = -9999;

    public override float[] Read(CellRange range, CancellationToken cancellationToken)
    {
        AsciiNumbers text = new(stream, Name, start, line);
        float[] heights = new float[range.CellCount];
        double unit = options.MetresPerHeightUnit ?? 1.0, also = options.MissingValue ?? double.NaN, gone = missing ?? DefaultMissing;
        bool used = false;
        long read = 0;
        for (int r = 0; r < range.Row + range.Rows; r++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            bool wanted = r >= range.Row;
            for (int c = 0; c < Columns; c++, read++)
            {
                ReadOnlySpan<byte> token = text.Next();
                if (token.IsEmpty)
                {
                    throw text.Bad(FormattableString.Invariant($"it holds {read} of the {(long)Rows * Columns} values its header promises; fetch the file again"));
                }

                if (!wanted || c < range.Column || c >= range.Column + range.Columns)
                {
                    continue;
                }

                double v = text.Value(token);
                used |= v == gone;
                heights[((long)(r - range.Row) * range.Columns) + c - range.Column] = v == gone || v == also || !(Math.Abs(v) < 1e30) ? float.NaN : (float)(v * unit);
            }
        }

        if (range.Row + range.Rows == Rows && !text.Next().IsEmpty)
        {
            throw text.Bad(FormattableString.Invariant($"it holds more than the {(long)Rows * Columns} values its header promises; check nrows and ncols"));
        }

        if (missing is null && used)
        {
            Notes.Add("The grid has no NODATA_value line; -9999, the format's default, was taken as missing.");
        }

        return heights;
    }
}
