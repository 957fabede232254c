using System.Globalization;
using System.Text;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>How letters look.</summary>
/// <param name="Size">Height of the letters, millimetres.</param>
/// <param name="Color">Their ink.</param>
/// <param name="IsStrong">Heavier letters.</param>
internal readonly record struct Letters(float Size, SKColor Color, bool IsStrong = false)
{
    /// <summary>From line to line, millimetres.</summary>
    public float Pitch => Size * 1.42f;

    public float Width(string text)
    {
        using SKFont font = MapStyle.Font(Size, IsStrong);
        return font.MeasureText(text);
    }

    public void Draw(SKCanvas canvas, string text, float x, float y, SKTextAlign align = SKTextAlign.Left)
    {
        using SKFont font = MapStyle.Font(Size, IsStrong);
        Lettering.Plain(canvas, text, x, y, align, font, Color);
    }
}

/// <summary>Words in their letters.</summary>
/// <param name="Text">The words.</param>
/// <param name="Letters">How they look.</param>
/// <param name="Link">The part of the report they lead to; empty for none.</param>
internal readonly record struct PaperRun(string Text, Letters Letters, string Link = "");

/// <summary>One line of a text as it is set.</summary>
/// <param name="Runs">Words of like letters, each with its place from the left.</param>
/// <param name="Width">Its width, millimetres.</param>
internal sealed record PaperLine(IReadOnlyList<(float X, PaperRun Run)> Runs, float Width)
{
    public void Draw(SKCanvas canvas, float x, float y)
    {
        foreach ((float at, PaperRun run) in Runs)
        {
            run.Letters.Draw(canvas, run.Text, x + at, y);
            if (run.Link.Length > 0)
            {
                canvas.DrawLinkDestinationAnnotation(new SKRect(x + at, y - run.Letters.Size, x + at + run.Letters.Width(run.Text), y + (0.3f * run.Letters.Size)), run.Link);
            }
        }
    }
}

/// <summary>Sets texts in lines: they break at blanks, and within a word only where it is wider than the line.</summary>
internal static class PaperText
{
    /// <summary>The words in an element, for a reader; white space is one blank.</summary>
    /// <exception cref="FormatException">An element that does not stand in texts.</exception>
    public static IReadOnlyList<PaperRun> Runs(PageNode node, PaperVoice voice, Letters letters)
    {
        List<PaperRun> runs = [];
        foreach (PageNode child in node.Children)
        {
            Add(runs, child, voice, letters, "");
        }

        return runs;
    }

    /// <summary>The words of runs without their looks.</summary>
    public static string Plain(IReadOnlyList<PaperRun> runs) => string.Join(' ', string.Concat(runs.Select(r => r.Text)).Split(' ', StringSplitOptions.RemoveEmptyEntries));

    /// <summary>Whether an element is only for a screen: what can be tapped, or stands elsewhere on paper.</summary>
    public static bool IsForScreen(PageNode node) => node.Name is "button" or "form" or "select" or "title" || node.Is("hint") || node.Is("head") || node["id"] == "lines";

    /// <summary>Sets runs in lines no wider than a width.</summary>
    public static IReadOnlyList<PaperLine> Lines(IReadOnlyList<PaperRun> runs, float width)
    {
        List<PaperLine> lines = [];
        List<PaperRun> line = [];
        float at = 0;
        foreach (List<PaperRun> word in Words(runs))
        {
            float wide = word.Sum(r => r.Letters.Width(r.Text)), blank = line.Count > 0 ? line[^1].Letters.Width(" ") : 0;
            if (line.Count > 0 && at + blank + wide > width)
            {
                End();
                blank = 0;
            }

            if (line.Count > 0)
            {
                line.Add(new PaperRun(" ", line[^1].Letters, line[^1].Link == word[0].Link ? word[0].Link : ""));
                at += blank;
            }

            if (wide <= width)
            {
                line.AddRange(word);
                at += wide;
                continue;
            }

            foreach (PaperRun letter in word.SelectMany(Single))
            {
                float one = letter.Letters.Width(letter.Text);
                if (line.Count > 0 && at + one > width)
                {
                    End();
                }

                line.Add(letter);
                at += one;
            }
        }

        if (line.Count > 0)
        {
            End();
        }

        return lines;

        void End()
        {
            lines.Add(Set(line));
            line = [];
            at = 0;
        }
    }

    /// <summary>Width of the widest word, and of all in one line.</summary>
    public static (float Word, float All) Widths(IReadOnlyList<PaperRun> runs)
    {
        float most = 0, all = 0;
        foreach (List<PaperRun> word in Words(runs))
        {
            float wide = word.Sum(r => r.Letters.Width(r.Text));
            most = Math.Max(most, wide);
            all += wide + (all > 0 ? word[0].Letters.Width(" ") : 0);
        }

        return (most, all);
    }

    /// <summary>Text with what no typeface has a sign for as blanks.</summary>
    public static string Clean(string text)
    {
        StringBuilder kept = new(text.Length);
        foreach (char c in text)
        {
            bool isBlank = c != '\u00A0' && (char.IsWhiteSpace(c) || char.IsControl(c) || char.GetUnicodeCategory(c) == UnicodeCategory.Format);
            kept.Append(isBlank ? ' ' : c);
        }

        return kept.ToString();
    }

    private static void Add(List<PaperRun> runs, PageNode node, PaperVoice voice, Letters letters, string link)
    {
        if (!voice.Shows(node) || IsForScreen(node))
        {
            return;
        }

        switch (node.Name)
        {
            case "":
                runs.Add(new PaperRun(Clean(node.Text), letters, link));
                return;
            case "span" when node.Is("q"):
                runs.Add(new PaperRun(voice.Quantity(node), letters, link));
                return;
            case "span" when node.Is("count"):
                runs.Add(new PaperRun($"({Plain(Runs(node, voice, letters))})", letters with { IsStrong = false }, link));
                return;
            case "strong":
                letters = letters with { IsStrong = true };
                break;
            case "code":
                letters = letters with { Size = letters.Size * 0.86f };
                break;
            case "a" when node["href"].StartsWith('#') && !node.Is("place"):
                (link, letters) = (node["href"][1..], letters with { Color = PaperStyle.Hill });
                break;
            case "span" or "bdi" or "a":
                break;
            default:
                throw new FormatException($"No way to set {node.Name} in a line of text.");
        }

        int before = runs.Count;
        foreach (PageNode child in node.Children)
        {
            Add(runs, child, voice, letters, link);
        }

        if (node.Name == "a" && voice.Place(node) is { Length: > 0 } place)
        {
            runs.Add(new PaperRun(runs.Count > before ? $" ({place})" : place, letters with { Color = MapStyle.QuietInk, IsStrong = false }));
        }
    }

    private static IEnumerable<List<PaperRun>> Words(IReadOnlyList<PaperRun> runs)
    {
        List<PaperRun> word = [];
        foreach (PaperRun run in runs)
        {
            string[] parts = run.Text.Split(' ');
            for (int i = 0; i < parts.Length; i++)
            {
                if (i > 0 && word.Count > 0)
                {
                    yield return word;
                    word = [];
                }

                if (parts[i].Length > 0)
                {
                    word.Add(run with { Text = parts[i] });
                }
            }
        }

        if (word.Count > 0)
        {
            yield return word;
        }
    }

    // Letters with what combines with them.
    private static IEnumerable<PaperRun> Single(PaperRun run)
    {
        TextElementEnumerator letters = StringInfo.GetTextElementEnumerator(run.Text);
        while (letters.MoveNext())
        {
            yield return run with { Text = letters.GetTextElement() };
        }
    }

    // Neighbours of the same letters are one text, so that words are found in the file.
    private static PaperLine Set(List<PaperRun> line)
    {
        List<(float, PaperRun)> set = [];
        float x = 0;
        for (int i = 0; i < line.Count;)
        {
            int to = i + 1;
            while (to < line.Count && line[to] with { Text = "" } == line[i] with { Text = "" })
            {
                to++;
            }

            PaperRun run = line[i] with { Text = string.Concat(line.Skip(i).Take(to - i).Select(r => r.Text)) };
            set.Add((x, run));
            x += run.Letters.Width(run.Text);
            i = to;
        }

        return new PaperLine(set, x);
    }
}
