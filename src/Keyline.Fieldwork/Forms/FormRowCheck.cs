using System.Globalization;

namespace Keyline.Fieldwork;

/// <summary>A row whose cells were read: numbers in the columns' units, or nothing where they cannot be used.</summary>
internal sealed record CheckedRow(FormRow Row, DateOnly Date, string Plot, string Point, IReadOnlyDictionary<string, double> Numbers)
{
    public double this[string column] => Numbers.TryGetValue(column, out double value) ? value : double.NaN;
}

/// <summary>Checks the rows of a form: dates, plots and points of the design, numbers and their units, words, repeats.</summary>
internal sealed class FormRowCheck(TrialForm form, string file, TrialPlan plan, List<FormFinding> findings)
{
    private static readonly (string Word, double Metres)[] Lengths = [("mm", 0.001), ("cm", 0.01), ("m", 1), ("inches", 0.0254), ("in", 0.0254), ("\"", 0.0254), ("feet", 0.3048), ("ft", 0.3048), ("'", 0.3048)];
    private readonly HashSet<string> _plots = [.. plan.Plots.Select(p => p.Id)];

    public CheckedRow? Check(FormRow row)
    {
        FormColumn[] own = [.. form.Columns.Where(c => c.Name is not ("date" or "plot" or "point" or "note" or "group") && !(form.Id == "penetrometer" && c.Name == "depth_cm"))];
        bool hasValues = own.Any(c => row[c.Name].Length > 0);
        if (!hasValues)
        {
            // A row that waits to be filled in; unless quotation marks made one cell of several.
            return row.Cells.Any(c => c.Key != "note" && c.Value.AsSpan().ContainsAny(",;\n")) ? Aside(row, "quotation marks in it make one cell of several; take them out") : null;
        }

        if (row["date"].Length == 0)
        {
            return Aside(row, "it has values and no date; write the day as 2027-05-31");
        }

        if (Date(row["date"]) is not { } date)
        {
            return Aside(row, $"\"{row["date"]}\" is no date that can be read one way only; write it as 2027-05-31");
        }

        if (!IsLikely(date))
        {
            return Aside(row, $"its year is {date.Year}; a field's readings lie between 1950 and 2199");
        }

        string plot = row["plot"], point = row["point"];
        if (form.Kind.Length > 0)
        {
            if (!_plots.Contains(plot))
            {
                return Aside(row, plot.Length == 0 ? "it names no plot" : $"there is no plot {plot} in the design; its plots are {string.Join(", ", _plots.Take(4))}{(_plots.Count > 4 ? " and so on" : "")}");
            }

            if (!plan.Points.TryGetValue(point, out TrialPlanPoint? known))
            {
                return Aside(row, point.Length == 0 ? "it names no point" : $"there is no point {point} in the design");
            }

            if (known.Plot != plot)
            {
                return Aside(row, $"point {point} lies in plot {known.Plot} and the row says {plot}: plots may be swapped; find out which one is right");
            }

            if (known.Kind != form.Kind)
            {
                return Aside(row, $"point {point} is one for {known.Kind} and this is the table of {form.Kind}");
            }
        }

        Dictionary<string, double> numbers = [];
        foreach (FormColumn column in form.Columns.Where(c => c.Name is not ("date" or "plot" or "point" or "note")))
        {
            string cell = row[column.Name];
            if (cell.Length == 0)
            {
                if (column.Needed)
                {
                    return Aside(row, $"{column.Name} is missing");
                }

                continue;
            }

            if (column.Words.Count > 0 && !column.Words.Contains(cell.ToLowerInvariant()))
            {
                return Aside(row, $"{column.Name} is \"{cell}\"; write {string.Join(", ", column.Words)}");
            }

            if (!column.IsNumber)
            {
                continue;
            }

            if (Number(row, column, cell) is not { } value)
            {
                return null;
            }

            numbers[column.Name] = value;
        }

        return new CheckedRow(row, date, plot, point, numbers);
    }

    /// <summary>Whether a day can be one of a field's record.</summary>
    public static bool IsLikely(DateOnly date) => date.Year is >= 1950 and <= 2199;

    /// <summary>Says something of a row and leaves it out.</summary>
    public CheckedRow? Aside(FormRow row, string because)
    {
        findings.Add(new FormFinding(file, row.Line, $"{file}, line {row.Line}: {because}.", true, row.Text));
        return null;
    }

    /// <summary>Says something of a row and keeps it.</summary>
    public void Note(FormRow row, string what) => findings.Add(new FormFinding(file, row.Line, $"{file}, line {row.Line}: {what}.", false, row.Text));

    private double? Number(FormRow row, FormColumn column, string cell)
    {
        string text = cell;
        string unit = column.Name[(column.Name.LastIndexOf('_') + 1)..];
        double factor = 1;
        (string Word, double Metres) own = Lengths.FirstOrDefault(l => l.Word == unit);
        (string Word, double Metres) said = Lengths.FirstOrDefault(l => text.EndsWith(l.Word, StringComparison.OrdinalIgnoreCase));
        if (own.Metres > 0 && said.Metres > 0)
        {
            factor = said.Metres / own.Metres;
            text = text[..^said.Word.Length].Trim();
            if (factor != 1)
            {
                Note(row, $"{column.Name} is \"{cell}\" and was taken for {said.Word}");
            }
        }

        if (text.Contains(',', StringComparison.Ordinal) && !text.Contains('.', StringComparison.Ordinal) && text.Count(c => c == ',') == 1)
        {
            text = text.Replace(',', '.');
            Note(row, $"{column.Name} is \"{cell}\" with a decimal comma and was read as {text}");
        }

        if (!double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) || !double.IsFinite(value))
        {
            Aside(row, $"{column.Name} is \"{cell}\", which is no number");
            return null;
        }

        value *= factor;
        if (value >= column.Least && value <= column.Most)
        {
            return value;
        }

        string hint = "";
        if (own.Metres > 0)
        {
            foreach ((string word, double metres) in ((string, double)[])[("feet", 0.3048), ("inches", 0.0254), ("metres", 1), ("millimetres", 0.001)])
            {
                double other = value * metres / own.Metres;
                if (other != value && other >= column.Least && other <= column.Most)
                {
                    hint = FormattableString.Invariant($"; in {word} it would be {other:0.##} {unit}: write it so, or with its unit");
                    break;
                }
            }
        }

        Aside(row, FormattableString.Invariant($"{column.Name} is {value:0.###}, and {column.Least:0.###} to {column.Most:0.###} can be{hint}"));
        return null;
    }

    // One way to read it, or none: 03/04/2027 is March or April.
    private static DateOnly? Date(string text)
    {
        CultureInfo c = CultureInfo.InvariantCulture;
        if (DateOnly.TryParseExact(text, ["yyyy-MM-dd", "yyyy/MM/dd", "yyyyMMdd", "d.M.yyyy"], c, DateTimeStyles.None, out DateOnly date))
        {
            return date;
        }

        bool british = DateOnly.TryParseExact(text, ["d/M/yyyy"], c, DateTimeStyles.None, out DateOnly first), american = DateOnly.TryParseExact(text, ["M/d/yyyy"], c, DateTimeStyles.None, out DateOnly second);
        return british && american && first != second ? null : british ? first : american ? second : null;
    }
}
