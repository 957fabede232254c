using System.Buffers.Text;
using System.Text;

namespace Keyline.Formats;

/// <summary>Reads an ESRI ASCII grid.</summary>
/// <remarks>
/// <para>Units: heights are taken as metres unless the caller says otherwise; the format cannot say.</para>
/// <para>Missing: the value of the NODATA_value line; -9999 where that line is absent (the format's default); nan tokens;
/// infinities.</para>
/// <para>Promises: keys in any case and order, tabs and any line ends, values wrapped in any way, a UTF-8 mark before the
/// first key. Too few or too many values are refused, as are decimal commas.</para>
/// <para>Source: the format as described in the ArcInfo and ArcGIS manuals; GDAL's AAIGrid driver documentation.</para>
/// </remarks>
internal sealed class AsciiGridReader
{
    private readonly byte[] _text;
    private readonly string _name;
    private int _at;
    private int _line = 1;

    private AsciiGridReader(byte[] text, string name)
    {
        _text = text;
        _name = name;
    }

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

    public static RawGround Read(byte[] text, string name, Sidecars beside, ElevationReadOptions options, CancellationToken cancellation) =>
        new AsciiGridReader(text, name).Read(beside, options, cancellation);

    private static readonly string[] Keys = ["ncols", "nrows", "xllcorner", "yllcorner", "xllcenter", "yllcenter", "cellsize", "nodata_value", "dx", "dy"];

    private RawGround Read(Sidecars beside, ElevationReadOptions options, CancellationToken cancellation)
    {
        _at = _text.AsSpan().StartsWith(Encoding.UTF8.Preamble) ? 3 : 0;
        Dictionary<string, double> header = ReadHeader();
        int columns = Count(header, "ncols"), rows = Count(header, "nrows");
        if ((long)columns * rows > options.MaximumCells)
        {
            throw Bad(FormattableString.Invariant($"its header claims {rows} x {columns} cells, more than the {options.MaximumCells} that are read at once; cut it to the farm"));
        }

        // A value and the blank after it take two bytes at least.
        if ((long)columns * rows > (_text.Length - (long)_at + 1) / 2)
        {
            throw Bad(FormattableString.Invariant($"its header claims {rows} x {columns} values, more than the file can hold; fetch the file again"));
        }

        CellMapping mapping = Mapping(header, rows);
        List<string> notes = [];
        GroundCrs crs = TextGround.Crs(_name, "an ASCII grid", beside, options, notes);
        double across = crs.MetresPerUnit;
        bool said = header.TryGetValue("nodata_value", out double missing);
        float[] heights = ReadHeights(rows, columns, said ? missing : -9999, options, out bool defaultUsed, cancellation);
        if (!said && defaultUsed)
        {
            notes.Add("The grid has no NODATA_value line; -9999, the format's default, was taken as missing.");
        }

        return new RawGround { Rows = rows, Columns = columns, Heights = heights, Mapping = mapping.Times(crs.IsGeographic ? 1 : across), Crs = crs, Notes = notes };
    }

    private Dictionary<string, double> ReadHeader()
    {
        Dictionary<string, double> header = [];
        while (true)
        {
            int before = _at, line = _line;
            ReadOnlySpan<byte> token = Next();
            if (token.IsEmpty || !char.IsAsciiLetter((char)token[0]) || IsNan(token))
            {
                (_at, _line) = (before, line);
                return header;
            }

            string key = Encoding.Latin1.GetString(token).ToLowerInvariant();
            key = key == "nodata" ? "nodata_value" : key;
            if (!Keys.Contains(key))
            {
                throw Bad(FormattableString.Invariant($"line {_line} begins with \"{(key.Length > 20 ? key[..20] : key)}\", which is no key of an ASCII grid"));
            }

            if (!header.TryAdd(key, Value(Next())))
            {
                throw Bad($"its key {key} stands twice");
            }
        }
    }

    private int Count(Dictionary<string, double> header, string key)
    {
        if (!header.TryGetValue(key, out double v))
        {
            throw Bad($"its header has no {key} line");
        }

        return v >= 1 && v <= int.MaxValue && v == Math.Floor(v) ? (int)v : throw Bad($"its {key} is not a whole number above 0");
    }

    private CellMapping Mapping(Dictionary<string, double> header, int rows)
    {
        bool square = header.TryGetValue("cellsize", out double size);
        double dx = square ? size : header.GetValueOrDefault("dx"), dy = square ? size : header.GetValueOrDefault("dy");
        if (!square && !(header.ContainsKey("dx") && header.ContainsKey("dy")))
        {
            throw Bad("its header has no cellsize line");
        }

        if (!(dx > 0 && dy > 0) || !double.IsFinite(dx) || !double.IsFinite(dy))
        {
            throw Bad("its cell size must be above 0; export the grid again");
        }

        double west = Corner("xllcorner", "xllcenter", dx), south = Corner("yllcorner", "yllcenter", dy);
        return new CellMapping(west, dx, 0, south + (rows * dy), 0, -dy);

        double Corner(string corner, string centre, double side) =>
            header.TryGetValue(corner, out double c) ? c
            : header.TryGetValue(centre, out double m) ? m - (side / 2)
            : throw Bad($"its header has neither {corner} nor {centre}");
    }

    private float[] ReadHeights(int rows, int columns, double missing, ElevationReadOptions options, out bool missingUsed, CancellationToken cancellation)
    {
        float[] heights = new float[(long)rows * columns];
        double unit = options.MetresPerHeightUnit ?? 1.0, also = options.MissingValue ?? double.NaN;
        missingUsed = false;
        for (int i = 0; i < heights.Length; i++)
        {
            if ((i & 0xFFFF) == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            ReadOnlySpan<byte> token = Next();
            if (token.IsEmpty)
            {
                throw Bad(FormattableString.Invariant($"it holds {i} of the {heights.Length} values its header promises; fetch the file again"));
            }

            double v = Value(token);
            bool gone = v == missing;
            missingUsed |= gone;
            heights[i] = gone || v == also || !(Math.Abs(v) < 1e30) ? float.NaN : (float)(v * unit);
        }

        if (!Next().IsEmpty)
        {
            throw Bad(FormattableString.Invariant($"it holds more than the {heights.Length} values its header promises; check nrows and ncols"));
        }

        return heights;
    }

    private ReadOnlySpan<byte> Next()
    {
        while (_at < _text.Length && _text[_at] <= ' ')
        {
            _line += _text[_at] == '\n' || (_text[_at] == '\r' && (_at + 1 >= _text.Length || _text[_at + 1] != '\n')) ? 1 : 0;
            _at++;
        }

        int start = _at;
        while (_at < _text.Length && _text[_at] > ' ')
        {
            _at++;
        }

        return _text.AsSpan(start, _at - start);
    }

    private double Value(ReadOnlySpan<byte> token)
    {
        ReadOnlySpan<byte> plain = token.Length > 1 && token[0] == '+' ? token[1..] : token;
        if (Utf8Parser.TryParse(plain, out double value, out int used) && used == plain.Length)
        {
            return value;
        }

        if (IsNan(token))
        {
            return double.NaN;
        }

        string text = Encoding.Latin1.GetString(token[..Math.Min(token.Length, 30)]);
        throw Bad(token.Contains((byte)',')
            ? FormattableString.Invariant($"line {_line} holds \"{text}\"; write numbers with a decimal point, not a comma")
            : FormattableString.Invariant($"line {_line} holds \"{text}\" where a number should stand"));
    }

    private static bool IsNan(ReadOnlySpan<byte> token) =>
        token.Length is >= 3 and <= 9 && Encoding.Latin1.GetString(token).TrimStart('-', '+').ToUpperInvariant() is "NAN" or "1.#QNAN" or "1.#IND" or "NA";

    private GroundDataException Bad(string what) => new($"{_name}: {what}.");
}
