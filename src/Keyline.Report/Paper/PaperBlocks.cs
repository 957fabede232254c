using SkiaSharp;

namespace Keyline.Report;

/// <summary>Sets the parts of the report's page as pieces of paper pages: every element and class the page writes, and no other.</summary>
/// <remarks>An element that is not known here is refused, so that nothing the page says is missing on paper in silence.</remarks>
internal sealed class PaperBlocks(PaperVoice voice, Letters text)
{
    private const float Indent = 4.5f;

    /// <summary>How it is all said.</summary>
    public PaperVoice Voice => voice;

    /// <summary>The same with smaller text, for tiles and cards.</summary>
    public PaperBlocks Smaller => new(voice, PaperStyle.Small);

    /// <summary>Sets a part of the report.</summary>
    /// <param name="section">Its element.</param>
    /// <param name="width">Width of the text, millimetres.</param>
    /// <param name="map">What stands in the part of the map.</param>
    public IReadOnlyList<PaperPiece> Section(PageNode section, float width, IReadOnlyList<PaperPiece> map)
    {
        PageNode heading = section.Children.First(c => c.Name == "h2");
        string title = PaperText.Plain(PaperText.Runs(heading, voice, PaperStyle.Section));
        List<PaperPiece> pieces = [.. section["id"] == "map" ? Heading(heading, PaperStyle.Section, width, 9).Concat(map) : Flow(section, width)];
        pieces[0] = pieces[0] with { Part = (section["id"], title) };
        // Nobody signs a page without what is agreed on it.
        return section["id"] == "sign" ? [.. pieces.Select((p, i) => p with { KeepsNext = i < pieces.Count - 1 })] : pieces;
    }

    /// <summary>Sets what is in an element, below each other.</summary>
    /// <remarks>A sentence that leads to a table, a list or drawings stays with the first of them.</remarks>
    public IReadOnlyList<PaperPiece> Flow(PageNode parent, float width)
    {
        List<PaperPiece> pieces = [];
        bool leads = false;
        foreach (PageNode node in parent.Children)
        {
            if (!voice.Shows(node) || PaperText.IsForScreen(node) || (node.Name.Length == 0 && string.IsNullOrWhiteSpace(node.Text)))
            {
                continue;
            }

            if (leads && node.Name is not ("p" or "h3" or "h4"))
            {
                pieces[^1] = pieces[^1] with { KeepsNext = true };
            }

            int before = pieces.Count;
            pieces.AddRange(Block(node, width));
            leads = node.Name == "p" && pieces.Count > before;
        }

        return pieces;
    }

    private IEnumerable<PaperPiece> Block(PageNode node, float width) => (node.Name, node.Class) switch
    {
        ("h2", "") => Heading(node, PaperStyle.Section, width, 9),
        ("h3", "harm") => Harm(node, width),
        ("h3", "") => Heading(node, PaperStyle.Heading, width, 4.5f),
        ("h4", "") => Heading(node, PaperStyle.Body with { IsStrong = true }, width, 3),
        ("p", "") => Text(node, text, Math.Min(width, PaperStyle.WidestText), 2.2f),
        ("p", "note") => Text(node, PaperStyle.Quiet, Math.Min(width, PaperStyle.WidestText), 2.2f),
        ("p", "label") => Text(node, PaperStyle.Quiet, width, 1.4f),
        ("p", "number") => Text(node, PaperStyle.Number, width, 0.5f),
        ("p", "warn") => Warning(node, Math.Min(width, PaperStyle.WidestText)),
        ("p", "blank") => [Blank(width)],
        ("div", "lead") => Lead(node, width),
        ("div", "finding") => Indented(Flow(node, width - Indent), Indent),
        ("div", "tiles") => PaperCards.Tiles(this, Elements(node), width),
        ("div", "cards") => PaperCards.Rows(this, Elements(node), width),
        ("div", "signs") => PaperCards.Columns(this, Elements(node), width),
        ("details", "") => Flow(node, width),
        ("summary", "") => Summary(node, width),
        ("figcaption", "") => Flow(node, width),
        ("ul", "") => List(node, PaperStyle.Body, Math.Min(width, PaperStyle.WidestText)),
        ("ul", "written") => List(node, PaperStyle.Quiet, Math.Min(width, PaperStyle.WidestText)),
        ("ul", "ways") => Elements(node).Select(li => PaperCards.Way(li, voice, width)),
        ("ul", "places") => PaperCards.Places(node.Children, voice, width),
        ("ol", "steps") => Steps(node, Math.Min(width, PaperStyle.WidestText)),
        ("table", "") => new PaperTable(node, voice, width).Pieces,
        ("svg", _) => [PaperDrawing.Of(node, voice, width) with { Before = 1.5f }],
        _ => throw new FormatException($"No way to put the element {node.Name} of class \"{node.Class}\" on paper."),
    };

    /// <summary>The elements in an element that are for this reader.</summary>
    public IReadOnlyList<PageNode> Elements(PageNode parent) => [.. parent.Children.Where(c => c.Name.Length > 0 && voice.Shows(c) && !PaperText.IsForScreen(c))];

    /// <summary>Lines of text; the first two and the last two stay together.</summary>
    public static List<PaperPiece> Lines(IReadOnlyList<PaperLine> lines, float pitch, float before, float right = 0, Action<SKCanvas, float, float>? first = null, float left = 0)
    {
        List<PaperPiece> pieces = [];
        for (int i = 0; i < lines.Count; i++)
        {
            PaperLine line = lines[i];
            bool isFirst = i == 0;
            float indent = isFirst ? right + left : right;
            pieces.Add(new PaperPiece(pitch, (canvas, x, y) =>
            {
                if (isFirst)
                {
                    first?.Invoke(canvas, x, y);
                }

                line.Draw(canvas, x + indent, y + (pitch * 0.72f));
            })
            {
                Before = isFirst ? before : 0,
                KeepsNext = i < lines.Count - 1 && (isFirst || i == lines.Count - 2),
            });
        }

        return pieces;
    }

    private List<PaperPiece> Text(PageNode node, Letters letters, float width, float before) => Lines(PaperText.Lines(PaperText.Runs(node, voice, letters), width), letters.Pitch, before);

    private List<PaperPiece> Heading(PageNode node, Letters letters, float width, float before)
    {
        List<PaperPiece> lines = [.. Text(node, letters, width, before).Select(l => l with { KeepsNext = true })];
        if (lines.Count > 0 && letters == PaperStyle.Section)
        {
            lines[^1] = Below(lines[^1], 1.2f);
        }

        return lines;
    }

    private static PaperPiece Below(PaperPiece piece, float space) => piece with { Height = piece.Height + space };

    // What could hurt people or land says so beside it, not by colour alone.
    private IEnumerable<PaperPiece> Harm(PageNode node, float width)
    {
        (SKColor color, float thick) = node.Is("h0") ? (PaperStyle.Care, 1.5f) : node.Is("h1") ? (PaperStyle.Soil, 1f) : (MapStyle.Rule, 1f);
        return Text(node, PaperStyle.Heading with { Size = 4 }, width - 4, 6).Select(l => Barred(l, color, thick, 4) with { KeepsNext = true });
    }

    private IEnumerable<PaperPiece> Warning(PageNode node, float width) => Text(node, PaperStyle.Body, width - 4, 2.5f).Select(l => Barred(l, PaperStyle.Care, 1, 4));

    private static PaperPiece Barred(PaperPiece piece, SKColor color, float thick, float right) => piece with
    {
        Draw = (canvas, x, y) =>
        {
            using SKPaint bar = MapStyle.Fill(color);
            canvas.DrawRect(x, y, thick, piece.Height, bar);
            piece.Draw(canvas, x + right, y);
        },
    };

    private IEnumerable<PaperPiece> Lead(PageNode node, float width) => Elements(node).SelectMany(p => p.Class switch
    {
        "" => Text(p, PaperStyle.Lead, Math.Min(width, PaperStyle.WidestText + 10), 2),
        "warn" => Warning(p, Math.Min(width, PaperStyle.WidestText)),
        _ => throw new FormatException($"No way to begin the report with a {p.Name} of class \"{p.Class}\"."),
    });

    private IEnumerable<PaperPiece> Summary(PageNode node, float width) => Text(node, PaperStyle.Quiet with { IsStrong = true }, width, 2.5f).Select(l => l with { KeepsNext = true });

    private List<PaperPiece> List(PageNode list, Letters letters, float width) =>
        [.. Elements(list).SelectMany(li => Lines(PaperText.Lines(PaperText.Runs(li, voice, letters), width - Indent), letters.Pitch, 1.2f, Indent, (canvas, x, y) =>
        {
            using SKPaint ink = MapStyle.Fill(letters.Color);
            canvas.DrawCircle(x + 1.8f, y + (letters.Pitch * 0.5f), 0.5f, ink);
        }))];

    private List<PaperPiece> Steps(PageNode list, float width) =>
        [.. Elements(list).SelectMany(li => Lines(PaperText.Lines(PaperText.Runs(li, voice, PaperStyle.Body), width - 6), PaperStyle.Body.Pitch, 1.6f, 6, (canvas, x, y) =>
        {
            using SKPaint box = MapStyle.Stroke(MapStyle.Ink, 0.3f);
            canvas.DrawRect(x + 0.2f, y + 0.8f, 3, 3, box);
        }))];

    private static PaperPiece Blank(float width) => new(9, (canvas, x, y) =>
    {
        using SKPaint line = MapStyle.Stroke(MapStyle.Ink, 0.2f);
        canvas.DrawLine(x, y + 8.6f, x + width, y + 8.6f, line);
    })
    {
        KeepsNext = true,
    };

    private static IEnumerable<PaperPiece> Indented(IReadOnlyList<PaperPiece> pieces, float indent) => pieces.Select(p => p with { Draw = (canvas, x, y) => p.Draw(canvas, x + indent, y) });
}
