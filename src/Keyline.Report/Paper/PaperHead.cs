using SkiaSharp;

namespace Keyline.Report;

/// <summary>What stands around the text of the report's pages: the title block of the first, the running head, the foot.</summary>
internal sealed class PaperHead
{
    private const float SignWidth = 58;
    private const int ContentColumns = 3;

    // A longer name stands whole in the first sentence.
    private const int MostTitleLines = 5;

    private readonly PaperVoice _voice;
    private readonly SKSize _paper;
    private readonly IReadOnlyList<PaperLine> _title;
    private readonly string _subtitle;
    private readonly PageNode? _crest;
    private readonly int _parts;

    /// <param name="page">The report's page.</param>
    /// <param name="voice">How it is said.</param>
    /// <param name="paper">Size of a page, millimetres.</param>
    /// <param name="parts">How many parts the report has.</param>
    public PaperHead(string page, PaperVoice voice, SKSize paper, int parts)
    {
        PageNode header = PageNode.Read(page, "header"), footer = PageNode.Read(page, "footer");
        (_voice, _paper, _parts) = (voice, paper, parts);
        PageNode name = header.Below().First(n => n.Name == "h1");
        Name = PaperText.Plain(PaperText.Runs(name, voice, PaperStyle.Title));
        IReadOnlyList<PaperLine> title = PaperText.Lines(PaperText.Runs(name, voice, PaperStyle.Title), Width - SignWidth - 8);
        _title = title.Count <= MostTitleLines ? title : [.. title.Take(MostTitleLines - 1), new PaperLine([(0, new PaperRun("…", PaperStyle.Title))], PaperStyle.Title.Width("…"))];
        _subtitle = PaperText.Plain(PaperText.Runs(header.Below().First(n => n.Name == "p"), voice, PaperStyle.Lead));
        MadeWith = PaperText.Plain(PaperText.Runs(footer.Below().First(n => n.Name == "p"), voice, PaperStyle.Edge));
        _crest = header.Below().FirstOrDefault(n => n.Name == "svg" && n.Is("crest"));
    }

    /// <summary>The field's name.</summary>
    public string Name { get; }

    /// <summary>What made the plan.</summary>
    public string MadeWith { get; }

    /// <summary>The document's title.</summary>
    public string Title => Name == _subtitle ? Name : $"{Name} · {_subtitle}";

    /// <summary>Height of the title block, millimetres.</summary>
    public float Height => Top - 6 + CrestHeight + ContentsHeight;

    private float Width => _paper.Width - (2 * PaperStyle.Side);

    private float Top => Math.Max(21, (_title.Count * PaperStyle.Title.Pitch) + 8);

    private float CrestHeight => _crest is null ? 3 : 11;

    private float ContentsHeight => 5.5f + ((_parts + ContentColumns - 1) / ContentColumns * PaperStyle.Edge.Pitch) + 2;

    /// <summary>Draws the title block.</summary>
    /// <param name="canvas">Where to.</param>
    /// <param name="contents">The parts with the numbers of their pages.</param>
    public void DrawTitle(SKCanvas canvas, IReadOnlyList<(string Id, string Title, int Page)> contents)
    {
        float x = PaperStyle.Side, y = PaperStyle.Head - 6;
        for (int i = 0; i < _title.Count; i++)
        {
            _title[i].Draw(canvas, x, y + 7.5f + (i * PaperStyle.Title.Pitch));
        }

        if (Name != _subtitle)
        {
            (PaperStyle.Lead with { Color = MapStyle.QuietInk }).Draw(canvas, _subtitle, x, y + 14 + ((_title.Count - 1) * PaperStyle.Title.Pitch));
        }

        SheetSignature.Draw(canvas, new MapVoice(_voice.Units, _voice.Language), new SKRect(x + Width - SignWidth, y - 4, x + Width, y + 20), PaperStyle.Edge.Size);
        y = PaperStyle.Head + Top - 6;
        if (_crest is not null)
        {
            PaperDrawing.Crest(canvas, _crest, new SKRect(x, y, x + Width, y + 9));
        }

        y += CrestHeight;
        using SKPaint rule = MapStyle.Stroke(MapStyle.Rule, 0.2f);
        (PaperStyle.Quiet with { IsStrong = true }).Draw(canvas, _voice.Say(Phrases.PaperContents), x, y + 3);
        y += 5.5f;
        int rows = (contents.Count + ContentColumns - 1) / ContentColumns;
        float column = (Width + PaperStyle.Gap) / ContentColumns;
        for (int i = 0; i < contents.Count; i++)
        {
            float left = x + (i / rows * column), line = y + (((i % rows) + 0.72f) * PaperStyle.Edge.Pitch), right = left + column - PaperStyle.Gap;
            string number = contents[i].Page.ToString(System.Globalization.CultureInfo.InvariantCulture);
            using SKFont font = MapStyle.Font(PaperStyle.Edge.Size);
            PaperStyle.Edge.Draw(canvas, Lettering.Shorten(contents[i].Title, font, column - PaperStyle.Gap - 6), left, line);
            PaperStyle.Edge.Draw(canvas, number, right, line, SKTextAlign.Right);
            canvas.DrawLinkDestinationAnnotation(new SKRect(left, line - 3, right, line + 1), contents[i].Id);
        }

        y += (rows * PaperStyle.Edge.Pitch) + 1;
        canvas.DrawLine(x, y, x + Width, y, rule);
    }

    /// <summary>Draws the running head of a page that is not the first.</summary>
    public void DrawHead(SKCanvas canvas)
    {
        using SKFont font = MapStyle.Font(PaperStyle.Edge.Size);
        using SKPaint rule = MapStyle.Stroke(MapStyle.Rule, 0.2f);
        float right = PaperStyle.Side + Width, room = Width - PaperStyle.Edge.Width(_subtitle) - 8;
        PaperStyle.Edge.Draw(canvas, Lettering.Shorten(Name, font, room), PaperStyle.Side, 12);
        PaperStyle.Edge.Draw(canvas, Name == _subtitle ? "" : _subtitle, right, 12, SKTextAlign.Right);
        canvas.DrawLine(PaperStyle.Side, 14, right, 14, rule);
    }

    /// <summary>Draws the foot of a page.</summary>
    public void DrawFoot(SKCanvas canvas, int page, int pages)
    {
        using SKFont font = MapStyle.Font(PaperStyle.Edge.Size);
        string said = _voice.Say(Phrases.PaperPage, page, pages);
        PaperStyle.Edge.Draw(canvas, Lettering.Shorten(MadeWith, font, Width - PaperStyle.Edge.Width(said) - 8), PaperStyle.Side, _paper.Height - 9);
        PaperStyle.Edge.Draw(canvas, said, PaperStyle.Side + Width, _paper.Height - 9, SKTextAlign.Right);
    }
}
