using SkiaSharp;

namespace Keyline.Report;

/// <summary>A table of the report on paper: it breaks between rows, and its heading stands again where it goes on.</summary>
internal sealed class PaperTable
{
    // A row higher than this may break within; others stay whole.
    private const float MostWhole = 70;
    private const float Gap = 3;

    // The longest word that a column is made wide for: a hash breaks.
    private const float WidestWord = 46;

    private readonly float[] _widths;

    /// <param name="table">The element.</param>
    /// <param name="voice">How it is said.</param>
    /// <param name="width">Width that there is, millimetres.</param>
    public PaperTable(PageNode table, PaperVoice voice, float width)
    {
        Letters head = PaperStyle.Edge with { IsStrong = true };
        IReadOnlyList<PaperRun>[] heads = Cells(table, "thead", head).Single();
        List<IReadOnlyList<PaperRun>[]> rows = [.. Cells(table, "tbody", PaperStyle.Small)];
        _widths = Widths([heads, .. rows], width);
        PaperPiece heading = Slices(heads, head, 0.35f)[0] with { Before = 2.5f, KeepsNext = true };
        List<PaperPiece> pieces = [heading];
        for (int i = 0; i < rows.Count; i++)
        {
            // Neither the first row nor the last stands alone.
            bool stays = rows.Count > 1 && (i == 0 || i == rows.Count - 2);
            pieces.AddRange(Slices(rows[i], PaperStyle.Small, 0.12f).Select(r => r with { Again = heading, KeepsNext = stays }));
        }

        Pieces = pieces;

        IEnumerable<IReadOnlyList<PaperRun>[]> Cells(PageNode node, string part, Letters letters) => node.Children.Where(c => c.Name == part).SelectMany(p => p.Children).Select(row => row.Children
            .Select(cell => cell.Name is "th" or "td" ? PaperText.Runs(cell, voice, cell["scope"] == "row" ? letters with { IsStrong = true } : letters) : throw new FormatException($"No way to put {cell.Name} in a row of a table.")).ToArray());
    }

    /// <summary>Its heading and rows.</summary>
    public IReadOnlyList<PaperPiece> Pieces { get; }

    private List<PaperPiece> Slices(IReadOnlyList<PaperRun>[] cells, Letters letters, float rule)
    {
        IReadOnlyList<PaperLine>[] set = [.. cells.Select((c, i) => PaperText.Lines(c, _widths[i] - Gap))];
        int lines = Math.Max(1, set.Max(s => s.Count)), most = lines * letters.Pitch > MostWhole ? (int)(MostWhole / letters.Pitch) : lines;
        List<PaperPiece> slices = [];
        for (int from = 0; from < lines; from += most)
        {
            int first = from, count = Math.Min(most, lines - from);
            bool isFirst = from == 0, isLast = from + count >= lines;
            float height = (count * letters.Pitch) + (isFirst ? 1.1f : 0) + (isLast ? 1.1f : 0);
            slices.Add(new PaperPiece(height, (canvas, x, y) =>
            {
                float left = x;
                for (int i = 0; i < set.Length; i++)
                {
                    for (int k = first; k < Math.Min(first + count, set[i].Count); k++)
                    {
                        set[i][k].Draw(canvas, left, y + (isFirst ? 1.1f : 0) + ((k - first + 0.72f) * letters.Pitch));
                    }

                    left += _widths[i];
                }

                if (isLast)
                {
                    using SKPaint line = MapStyle.Stroke(rule > 0.2f ? MapStyle.QuietInk : MapStyle.Rule, rule);
                    canvas.DrawLine(x, y + height, x + _widths.Sum(), y + height, line);
                }
            }));
        }

        return slices;
    }

    // Every column as wide as its longest word at least; what is left goes to those that have the most to say.
    private static float[] Widths(IReadOnlyList<IReadOnlyList<PaperRun>[]> rows, float width)
    {
        int columns = rows.Max(r => r.Length);
        float[] least = new float[columns], wished = new float[columns];
        foreach (IReadOnlyList<PaperRun>[] row in rows)
        {
            for (int i = 0; i < row.Length; i++)
            {
                (float word, float all) = PaperText.Widths(row[i]);
                least[i] = Math.Max(least[i], Math.Min(word, WidestWord) + Gap + 0.1f);
                wished[i] = Math.Max(wished[i], all + Gap + 0.1f);
            }
        }

        float most = wished.Sum();
        if (most <= width)
        {
            return wished;
        }

        float spare = width - least.Sum();
        if (spare <= 0)
        {
            return [.. least.Select(l => l * width / least.Sum())];
        }

        // One column of long sentences must not take all from columns of short ones.
        float[] want = [.. wished.Select((w, i) => MathF.Sqrt(Math.Max(0, w - least[i])))];
        float[] widths = [.. least];
        bool[] full = new bool[columns];
        for (int round = 0; round < columns && spare > 0.01f; round++)
        {
            float share = want.Where((_, i) => !full[i]).Sum(), given = 0;
            for (int i = 0; i < columns && share > 0; i++)
            {
                if (!full[i])
                {
                    float more = Math.Min(spare * want[i] / share, wished[i] - widths[i]);
                    widths[i] += more;
                    given += more;
                    full[i] = widths[i] >= wished[i] - 0.01f;
                }
            }

            spare -= given;
        }

        return widths;
    }
}
