using System.Text;
using Keyline.Check;
using Keyline.Field;
using Keyline.Layout;
using NetTopologySuite.Geometries;
using static Keyline.Fieldwork.Paper;

namespace Keyline.Fieldwork;

/// <summary>Writes what a revision changed: the list, and the map of each place before and after, as one HTML file to print, with nothing outside it.</summary>
/// <remarks>
/// <para>Units: metres. Promises: readable in black and white: lines that meet what was found are thick before and after, the others thin; the same content gives the same bytes.</para>
/// <para>Cost: that of the text. Source: ours.</para>
/// </remarks>
public static class RevisionPage
{
    private const double Width = 90;
    private const double MostHeight = 80;
    private const double Edge = 2;
    private const double Around = 25;
    private const double LabelWidth = 9;
    private const double LabelHeight = 2.8;
    private const int MostPlaces = 24;
    private const string Ink = "#1d242b";
    private const string Style = """
        @page { margin: 11mm }
        body { font: 9pt/1.35 "Segoe UI", "Noto Sans", "Helvetica Neue", Arial, sans-serif; color: #1d242b; margin: 0 auto; max-width: 186mm; background: #fff }
        h1 { font-size: 16pt; margin: 0 0 1mm } h2 { font-size: 11pt; margin: 4mm 0 1mm; break-after: avoid } p, ul { margin: 1mm 0 } ul { padding-left: 5mm }
        .pair { display: flex; gap: 4mm; break-inside: avoid } figure { margin: 0; flex: 1 } figcaption { font-size: 8pt; color: #5a636b } svg { display: block; width: 100%; height: auto }
        .quiet { color: #5a636b } footer { margin-top: 3mm; font-size: 8pt; color: #5a636b }
        @media screen { body { padding: 6mm } }
        """;

    /// <summary>Writes the page.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="before">The lines as they were.</param>
    /// <param name="revision">What was made of them.</param>
    /// <param name="found">What was found.</param>
    /// <param name="madeWith">Name and version of what made it.</param>
    public static void Write(Stream stream, IReadOnlyList<CheckedLine> before, LayoutRevision revision, IReadOnlyList<AvoidedArea> found, string madeWith)
    {
        ArgumentNullException.ThrowIfNull(revision);
        Write(stream, before, revision.Field, revision, found, [], madeWith);
    }

    /// <summary>Writes the page, with ground set free.</summary>
    /// <param name="stream">Where to; left open. UTF-8.</param>
    /// <param name="before">The lines as they were.</param>
    /// <param name="fieldBefore">The field as it was.</param>
    /// <param name="revision">What was made of them.</param>
    /// <param name="found">What was found.</param>
    /// <param name="freed">What was set free.</param>
    /// <param name="madeWith">Name and version of what made it.</param>
    public static void Write(Stream stream, IReadOnlyList<CheckedLine> before, FieldArea fieldBefore, LayoutRevision revision, IReadOnlyList<AvoidedArea> found, IReadOnlyList<FreedGround> freed, string madeWith)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(fieldBefore);
        ArgumentNullException.ThrowIfNull(revision);
        ArgumentNullException.ThrowIfNull(found);
        ArgumentNullException.ThrowIfNull(freed);
        using StreamWriter text = new(stream, new UTF8Encoding(false), -1, leaveOpen: true) { NewLine = "\n" };
        string field = revision.Field.Name.Length > 0 ? revision.Field.Name : "the field";
        text.WriteLine("<!DOCTYPE html>");
        text.WriteLine($"<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>What changed: {Text(field)}</title><style>{Style}</style></head><body>");
        text.WriteLine($"<h1>What changed: {Text(field)}</h1>");
        int same = revision.Lines.Count(l => !l.IsChanged);
        text.WriteLine($"<p>{before.Count} lines before, {revision.Lines.Count} now; {same} of them as they were. "
            + string.Join(", ", revision.Changes.GroupBy(c => c.Kind).OrderBy(g => g.Key).Select(g => $"{g.Count()} {Word(g.Key)}"))
            + (revision.Changes.Count > 0 ? $"; {Balance(revision.Changes)}." : "Nothing changed.") + "</p>");
        foreach (AvoidedArea note in found.Take(MostPlaces))
        {
            Envelope window = note.KeptClear.EnvelopeInternal.Copy();
            window.ExpandBy(Math.Max(Around, 0.6 * Math.Max(window.Width, window.Height)));
            text.WriteLine($"<h2>{Text(note.Name.Length > 0 ? note.Name : "a note")}, {N(note.Setback)} m kept off</h2><div class=\"pair\">");
            HashSet<string> met = [.. before.Where(l => note.KeptClear.EnvelopeInternal.Intersects(l.Line.EnvelopeInternal) && note.KeptClear.Intersects(l.Line)).Select(l => l.Id)];
            Map(text, window, before.Select(l => (l.Line, met.Contains(l.Id), l.Id)), fieldBefore, false, "before");
            Map(text, window, revision.Lines.Select(l => (l.Line, met.Contains(l.Source), l.Id)), revision.Field, true, "now");
            text.WriteLine("</div>");
        }

        Geometry[] freedParts = [.. revision.FreedGround is { IsEmpty: false } ground ? Enumerable.Range(0, ground.NumGeometries).Select(ground.GetGeometryN) : []];
        HashSet<string> was = [.. revision.Changes.Select(c => c.Line)];
        foreach (FreedGround note in freed.Take(MostPlaces))
        {
            // The ground that came free about the note; a note on a thing that is gone lies within it.
            Envelope window = note.Shape.EnvelopeInternal.Copy();
            foreach (Geometry part in freedParts.Where(p => p.EnvelopeInternal.Intersects(note.Shape.EnvelopeInternal)))
            {
                window.ExpandToInclude(part.EnvelopeInternal);
            }

            window.ExpandBy(Math.Max(Around, 0.3 * Math.Max(window.Width, window.Height)));
            text.WriteLine($"<h2>{Text(note.Name.Length > 0 ? note.Name : "a note")}: ground set free</h2><div class=\"pair\">");
            Map(text, window, before.Select(l => (l.Line, was.Contains(l.Id), l.Id)), fieldBefore, true, "before");
            Map(text, window, revision.Lines.Select(l => (l.Line, l.IsChanged, l.Id)), revision.Field, true, "now");
            text.WriteLine("</div>");
        }

        if (Math.Max(found.Count, freed.Count) > MostPlaces)
        {
            text.WriteLine($"<p class=\"quiet\">and {Math.Max(found.Count - MostPlaces, 0) + Math.Max(freed.Count - MostPlaces, 0)} places more.</p>");
        }

        text.WriteLine("<h2>Line by line</h2><ul>");
        foreach (LineChange change in revision.Changes)
        {
            text.WriteLine($"<li>{Text(change.Sentence)}</li>");
        }

        foreach (LayoutFinding finding in revision.Findings)
        {
            text.WriteLine($"<li>To look at: {Text(finding.Sentence)}</li>");
        }

        text.WriteLine("</ul><p>Every other line keeps its name and every coordinate. What was measured along a changed line is to be measured again: keyline check tells grade and drift on the ground.</p>");
        text.WriteLine($"<footer>{Text(madeWith)}{(madeWith.Length > 0 ? ". " : "")}An aid to design, not engineering advice: local codes and licensed practice come before it.</footer></body></html>");
    }

    private static string Word(LineChangeKind kind) => kind switch
    {
        LineChangeKind.Moved => "moved aside",
        LineChangeKind.Cut => "cut",
        LineChangeKind.Joined => "joined",
        LineChangeKind.Longer => "made longer",
        LineChangeKind.New => "new",
        _ => "gone",
    };

    // Length that went and length that came.
    private static string Balance(IReadOnlyList<LineChange> changes)
    {
        double lost = Math.Round(changes.Sum(c => c.Lost)), gained = Math.Round(changes.Sum(c => c.Gained));
        return gained == 0 ? $"{N(lost)} m of line less" : lost == 0 ? $"{N(gained)} m of line more" : $"{N(lost)} m of line less, {N(gained)} m more";
    }

    private static void Map(StreamWriter text, Envelope window, IEnumerable<(LineString Line, bool Changed, string Id)> lines, FieldArea field, bool showsAvoided, string caption)
    {
        Paper paper = new(window, Width, MostHeight, Edge);
        string height = N(paper.Height);
        text.WriteLine($"<figure><svg viewBox=\"0 0 {N(Width)} {height}\" role=\"img\" aria-label=\"Map {caption}\"><defs><clipPath id=\"{caption}\"><rect width=\"{N(Width)}\" height=\"{height}\"/></clipPath></defs><g clip-path=\"url(#{caption})\" fill=\"none\" stroke-linejoin=\"round\">");
        text.WriteLine($"<rect width=\"{N(Width)}\" height=\"{height}\" fill=\"#fff\" stroke=\"#c9ced2\" stroke-width=\"0.3\"/><path d=\"{paper.Path(field.Boundary)}\" stroke=\"{Ink}\" stroke-width=\"0.6\"/>");
        foreach (AvoidedArea area in field.Avoided.Where(a => showsAvoided && window.Intersects(a.KeptClear.EnvelopeInternal)))
        {
            text.WriteLine($"<path d=\"{paper.Path(area.KeptClear)}\" fill=\"#f3ddd4\" stroke=\"#8c3b1f\" stroke-width=\"0.3\"/>");
        }

        // The drawing may be wider or higher than the window: lines go on to its edge.
        Envelope wide = window.Copy();
        wide.ExpandBy(0.6 * Math.Max(window.Width, window.Height));
        Geometry box = field.Boundary.Factory.ToGeometry(wide);
        (Geometry Line, bool Changed, string Id)[] seen = [.. lines.Where(l => wide.Intersects(l.Line.EnvelopeInternal)).Select(l => (l.Line.Intersection(box), l.Changed, l.Id)).Where(l => !l.Item1.IsEmpty)];
        double thick = Math.Clamp(0.25 * paper.Scale, 0.15, 0.5);
        foreach ((Geometry line, bool changed, _) in seen.OrderBy(l => l.Changed))
        {
            text.WriteLine($"<path d=\"{paper.Path(line)}\" stroke=\"{(changed ? Ink : "#8d959b")}\" stroke-width=\"{N(changed ? thick : 0.4 * thick)}\"/>");
        }

        // Names where there is room: at one end for a piece, where it comes nearest to the middle for a whole line.
        List<(double X, double Y)> taken = [];
        foreach ((Geometry line, _, string id) in seen.Where(l => l.Changed))
        {
            Coordinate at = line.Coordinates.MinBy(c => c.Distance(window.Centre))!;
            (double x, double y) = paper.At(at.X, at.Y);
            if (!window.Contains(at))
            {
                continue;
            }

            (x, y) = (Math.Clamp(x, 1, Width - 12), Math.Clamp(y - 0.8, 3, paper.Height - 1));
            if (taken.TrueForAll(t => Math.Abs(t.X - x) > LabelWidth || Math.Abs(t.Y - y) > LabelHeight))
            {
                taken.Add((x, y));
                text.WriteLine($"<text x=\"{N(x)}\" y=\"{N(y)}\" font-size=\"2.6\" fill=\"{Ink}\" stroke=\"#fff\" stroke-width=\"0.6\" paint-order=\"stroke\">{Text(id)}</text>");
            }
        }

        text.WriteLine($"</g></svg><figcaption>{caption}</figcaption></figure>");
    }
}
