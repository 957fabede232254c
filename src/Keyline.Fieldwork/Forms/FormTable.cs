namespace Keyline.Fieldwork;

/// <summary>A row of a table as text.</summary>
internal sealed record FormRow(int Line, string Text, IReadOnlyDictionary<string, string> Cells)
{
    public string this[string column] => Cells.TryGetValue(column, out string? cell) ? cell : "";
}

/// <summary>A table as spreadsheets write it: parted by commas, semicolons or tabs, cells quoted or not (RFC 4180).</summary>
internal static class FormTable
{
    private static readonly char[] Marks = [',', ';', '\t'];

    public static List<FormRow> Read(string file, string text, IReadOnlyList<string> needed, List<FormFinding> findings)
    {
        List<FormRow> rows = [];
        string[]? heads = null;
        char mark = ',';
        foreach ((int line, string record) in Records(text.TrimStart('\uFEFF')))
        {
            if (record.Trim().Length == 0)
            {
                continue;
            }

            if (heads is null)
            {
                mark = Marks.MaxBy(m => record.Count(c => c == m));
                heads = [.. Cells(record, mark).Select(c => c.Trim().ToLowerInvariant())];
                string[] missing = [.. needed.Where(n => !heads.Contains(n))];
                if (missing.Length > 0)
                {
                    throw new GroundDataException($"{file}: it has no column {string.Join(" and no column ", missing)}; keep the first row as keyline trial wrote it.");
                }

                continue;
            }

            string[] cells = [.. Cells(record, mark)];
            if (cells.Length > heads.Length)
            {
                findings.Add(new FormFinding(file, line, $"{file}, line {line}: it has {cells.Length} cells and the head has {heads.Length}; perhaps a decimal comma stands in it: write 3.5, or put quotes around \"3,5\".", true, record));
                continue;
            }

            Dictionary<string, string> named = [];
            for (int i = 0; i < heads.Length && i < cells.Length; i++)
            {
                // An apostrophe before a formula is the mark of text that spreadsheets take.
                string cell = cells[i].Trim();
                named[heads[i]] = cell.Length > 1 && cell[0] == '\'' && cell[1] is '=' or '+' or '-' or '@' ? cell[1..] : cell;
            }

            rows.Add(new FormRow(line, record, named));
        }

        return heads is null ? throw new GroundDataException($"{file}: it is empty; take the table that keyline trial wrote.") : rows;
    }

    private static IEnumerable<(int Line, string Record)> Records(string text)
    {
        int line = 1, from = 0, begun = 1;
        bool quoted = false;
        for (int i = 0; i <= text.Length; i++)
        {
            if (i < text.Length && text[i] == '"')
            {
                quoted = !quoted;
            }

            if (i == text.Length || (text[i] is '\n' && !quoted))
            {
                yield return (begun, text[from..i].TrimEnd('\r'));
                (from, begun) = (i + 1, line + 1);
            }

            line += i < text.Length && text[i] == '\n' ? 1 : 0;
        }
    }

    private static IEnumerable<string> Cells(string record, char mark)
    {
        System.Text.StringBuilder cell = new();
        bool quoted = false;
        for (int i = 0; i < record.Length; i++)
        {
            char c = record[i];
            if (c == '"')
            {
                if (quoted && i + 1 < record.Length && record[i + 1] == '"')
                {
                    cell.Append('"');
                    i++;
                }
                else
                {
                    quoted = !quoted;
                }
            }
            else if (c == mark && !quoted)
            {
                yield return cell.ToString();
                cell.Clear();
            }
            else
            {
                cell.Append(c);
            }
        }

        yield return cell.ToString();
    }
}
