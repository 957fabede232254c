using System.Globalization;
using System.Text;

namespace Keyline.Formats;

/// <summary>A table of survey shots as written: named columns, some with their unit in the name.</summary>
/// <remarks>Source: RFC 4180 (CSV), also parted by semicolons or tabs; read by <see cref="CsvRows"/>. Lines of a megabyte and cells of 64 kB are refused, so that
/// no file fills the memory. Text that <see cref="CsvCell"/> kept from being taken for a formula is given back as it was.</remarks>
internal sealed class SurveyTable
{
    private static readonly string[] NameColumns = ["shot", "name", "id", "point", "station", "stake"];
    private readonly string _name;
    private readonly Dictionary<string, (int Place, double Unit)> _columns;

    private SurveyTable(string name, Dictionary<string, (int, double)> columns, List<SurveyRow> rows) => (_name, _columns, Rows) = (name, columns, rows);

    /// <summary>The rows, without the one of names.</summary>
    public List<SurveyRow> Rows { get; }

    /// <summary>Whether the first bytes of a file look like such a table: a row that names easting and northing, or longitude and latitude.</summary>
    public static bool IsSurvey(ReadOnlySpan<byte> head)
    {
        string[] names = Split(Encoding.UTF8.GetString(head).TrimStart('\uFEFF').Split('\n')[0].TrimEnd('\r'));
        bool Has(string what) => names.Any(n => Key(n).Name == what);
        return (Has("easting") && Has("northing")) || (Has("longitude") && Has("latitude"));
    }

    public static SurveyTable Read(Stream stream, string name, CancellationToken cancellationToken)
    {
        stream.Position = 0;
        using StreamReader reader = new(new LineGuard(stream, name, "line", LineGuard.LineEnds), Encoding.UTF8, true, -1, leaveOpen: true);
        string first = reader.ReadLine() ?? "";
        Dictionary<string, (int, double)> columns = [];
        string[] names = Split(first);
        for (int i = 0; i < names.Length; i++)
        {
            (string key, double unit) = Key(names[i]);
            key = NameColumns.Contains(key) ? "name" : key;
            if (!columns.TryAdd(key, (i, unit)) && key is not "")
            {
                throw new GroundDataException($"{name}: its columns name {key} twice; keep one of them.");
            }
        }

        List<SurveyRow> rows = [];
        SurveyTable table = new(name, columns, rows);
        foreach ((int line, string[] cells) in CsvRows.Read(reader, Separator(first), name, cancellationToken))
        {
            rows.Add(new SurveyRow(line, cells));
        }

        return rows.Count > 0 ? table : throw new GroundDataException($"{name}: it names columns but holds no shot.");
    }

    /// <summary>Whether there is such a column.</summary>
    public bool Has(string column) => _columns.ContainsKey(column);

    /// <summary>Metres in the unit of a column; NaN where its name does not say.</summary>
    public double Unit(string column) => _columns[column].Unit;

    /// <summary>A text; empty where the row or the table has none.</summary>
    public string Text(SurveyRow row, string column) =>
        _columns.TryGetValue(column, out (int Place, double) c) && c.Place < row.Fields.Length ? CsvCell.TextOf(row.Fields[c.Place]) : "";

    /// <summary>A number; null where the row has none.</summary>
    public double? Number(SurveyRow row, string column)
    {
        string text = Text(row, column);
        if (text.Length == 0)
        {
            return null;
        }

        return double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double v) && double.IsFinite(v)
            ? v
            : throw new GroundDataException(FormattableString.Invariant(
                $"{_name}: line {row.Line} holds \"{(text.Length > 30 ? text[..30] : text)}\" as its {column}; {(text.Contains(',', StringComparison.Ordinal) ? "write numbers with a decimal point, not a comma" : "a number should stand there")}."));
    }

    private static string Separator(string line) => line.Contains(';', StringComparison.Ordinal) ? ";" : line.Contains('\t', StringComparison.Ordinal) ? "\t" : ",";

    private static string[] Split(string line) => [.. line.Split(Separator(line)[0]).Select(n => n.Trim().Trim('"').Trim())];

    // "height_ft" is height, in feet.
    private static (string Name, double Unit) Key(string column)
    {
        string plain = column.Trim().ToLowerInvariant();
        double unit = double.NaN;
        foreach ((string ending, double metres) in new[] { ("_m", 1.0), ("_ft", LengthUnits.Foot), ("_ftus", LengthUnits.SurveyFoot) })
        {
            if (plain.EndsWith(ending, StringComparison.Ordinal))
            {
                (plain, unit) = (plain[..^ending.Length], metres);
            }
        }

        return (plain switch { "lon" => "longitude", "lat" => "latitude", "elevation" => "height", "set-up" => "setup", _ => plain }, unit);
    }
}

/// <summary>One row as written.</summary>
/// <param name="Line">Its line, from 1.</param>
/// <param name="Fields">Its fields.</param>
internal sealed record SurveyRow(int Line, string[] Fields);
