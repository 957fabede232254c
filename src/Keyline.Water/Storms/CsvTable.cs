using System.Globalization;

namespace Keyline.Water;

/// <summary>A table of numbers with a head, comma or semicolon between columns, points as decimal marks.</summary>
internal sealed class CsvTable
{
    private const int MostRows = 2_000_000;

    private readonly string _name;
    private readonly List<int> _lines = [];

    private CsvTable(string name) => _name = name;

    public IReadOnlyList<string> Head { get; private set; } = [];

    public List<string[]> Rows { get; } = [];

    public static CsvTable Read(TextReader text, string name)
    {
        ArgumentNullException.ThrowIfNull(text);
        CsvTable table = new(name);
        int number = 0;
        char between = ',';
        while (text.ReadLine() is { } line)
        {
            number++;
            line = line.Trim().TrimStart('\uFEFF');
            if (line.Length == 0 || line[0] == '#')
            {
                continue;
            }

            if (table.Head.Count == 0)
            {
                between = line.Contains(';', StringComparison.Ordinal) ? ';' : ',';
                table.Head = [.. line.Split(between).Select(c => c.Trim().ToLowerInvariant())];
                continue;
            }

            string[] cells = line.Split(between, StringSplitOptions.TrimEntries);
            if (cells.Length != table.Head.Count)
            {
                throw new GroundDataException($"{name}: line {number} has {cells.Length} columns and the head {table.Head.Count}: decimal marks must be points.");
            }

            if (table.Rows.Count == MostRows)
            {
                throw new GroundDataException($"{name}: it has more than {MostRows} lines.");
            }

            table.Rows.Add(cells);
            table._lines.Add(number);
        }

        return table.Head.Count > 0 ? table : throw new GroundDataException($"{name}: it is empty.");
    }

    /// <summary>Column of a name, or -1.</summary>
    public int Find(string column) => Head.ToList().IndexOf(column);

    public int Need(string column) => Find(column) is int at and >= 0 ? at
        : throw new GroundDataException($"{_name}: it has no column {column} (found: {string.Join(", ", Head)}).");

    public int LineOf(int row) => _lines[row];

    public double Number(int row, int column) => double.TryParse(Rows[row][column], NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && double.IsFinite(value)
        ? value
        : throw new GroundDataException($"{_name}: line {_lines[row]}, column {Head[column]}: \"{Rows[row][column]}\" is not a number.");

    /// <summary>A number, or NaN where the cell is empty or the column absent.</summary>
    public double NumberOrNone(int row, int column) => column < 0 || Rows[row][column].Length == 0 ? double.NaN : Number(row, column);
}
