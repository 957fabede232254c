using SkiaSharp;

namespace Keyline.Report;

/// <summary>Puts the report's page on paper: the same words and figures as PDF pages, with the map drawn as on the sheets.</summary>
/// <remarks>
/// <para>Units: paper in millimetres; text in the units and the language that the page begins in.</para>
/// <para>Promises: what the page says is taken from the page itself, and an element that is not known here is refused, so that nothing is left out in silence;
/// what only a screen can do is left out. Text is text in typefaces that the file holds, drawings are vectors, no date is in the file: the same page gives
/// the same bytes. What others wrote is shown as letters, whatever stands in it.</para>
/// <para>Cost: proportional to the page's text, and the material of the map once.</para>
/// <para>Source: PDF as SkiaSharp writes it (ISO 32000), with bookmarks and language added after.</para>
/// </remarks>
public static class ReportPdf
{
    private const float PointsPerMillimetre = 72 / 25.4f;
    private const float PicturesDotsPerMillimetre = PlanMapOptions.DefaultPixelsPerInch / 25.4f;

    /// <summary>Writes the pages of a plan that lies at hand.</summary>
    /// <param name="pdf">Where to; left open.</param>
    /// <param name="page">The report, as <see cref="ReportPage.Write"/> wrote it.</param>
    /// <param name="plan">The plan, for the map.</param>
    /// <param name="options">The paper, and what the map says; the defaults where null. Its scale and way are those of sheets and not used.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>How many pages.</returns>
    /// <exception cref="FormatException">The text is no report's page, or another version's.</exception>
    /// <exception cref="GroundDataException">A field too large to draw.</exception>
    public static int Write(Stream pdf, string page, KeylinePlan plan, SheetOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(pdf);
        ArgumentNullException.ThrowIfNull(page);
        ArgumentNullException.ThrowIfNull(plan);
        options ??= new SheetOptions();
        options.Validate();
        SKSize paper = SheetTiling.SizeOf(options.Paper, landscape: false);
        PaperVoice voice = PaperVoice.Of(page);
        float width = paper.Width - (2 * PaperStyle.Side);
        List<PaperPiece> note = PaperBlocks.Lines(PaperText.Lines([new PaperRun(voice.Say(Phrases.PaperPlaces), PaperStyle.Quiet)], PaperStyle.WidestText), PaperStyle.Quiet.Pitch, 1.5f);
        using PaperMap map = new(plan, options.Map with { Language = voice.Language, Units = voice.Units }, options.Paper, width, TextHeight(paper) - 10 - note.Sum(n => n.Before + n.Height), cancellationToken);
        return Write(pdf, page, voice, paper, [.. map.Pieces(cancellationToken), .. note], null, cancellationToken);
    }

    /// <summary>Writes the pages of a plan whose ground is not at hand: the map is the plan's picture, on a page of its own.</summary>
    /// <param name="pdf">Where to; left open.</param>
    /// <param name="page">The report, as <see cref="ReportPage"/> wrote it.</param>
    /// <param name="picture">The plan's picture, as <see cref="PlanMap.Write"/> wrote it at its default fineness; no map where it is empty.</param>
    /// <param name="paper">The paper.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>How many pages.</returns>
    /// <exception cref="FormatException">The text is no report's page, or another version's.</exception>
    /// <exception cref="InvalidDataException">The picture cannot be read.</exception>
    public static int Write(Stream pdf, string page, ReadOnlyMemory<byte> picture, SheetPaper paper = SheetPaper.A4, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(pdf);
        ArgumentNullException.ThrowIfNull(page);
        using SKData data = SKData.CreateCopy(picture.Span);
        using SKImage? image = picture.IsEmpty ? null : SKImage.FromEncodedData(data) ?? throw new InvalidDataException("The plan's picture cannot be read.");
        return Write(pdf, page, PaperVoice.Of(page), SheetTiling.SizeOf(paper, landscape: false), [], image, cancellationToken);
    }

    private static float TextHeight(SKSize paper) => paper.Height - PaperStyle.Head - PaperStyle.Foot;

    private static int Write(Stream pdf, string page, PaperVoice voice, SKSize paper, IReadOnlyList<PaperPiece> map, SKImage? picture, CancellationToken cancellationToken)
    {
        PageNode[] sections = [.. PageNode.Read(page, "main").Children.Where(c => c.Name.Length > 0)];
        if (sections.FirstOrDefault(s => s.Name != "section") is { } other)
        {
            throw new FormatException($"No way to put {other.Name} between the parts of a report.");
        }

        float width = paper.Width - (2 * PaperStyle.Side), height = TextHeight(paper);
        PaperBlocks blocks = new(voice, PaperStyle.Body);
        List<List<PaperPiece>> runs = [[]];
        (string, string)? pictured = null;
        foreach (PageNode section in sections)
        {
            cancellationToken.ThrowIfCancellationRequested();
            IReadOnlyList<PaperPiece> pieces = blocks.Section(section, width, map);
            if (section["id"] != "map" || map.Count > 0)
            {
                runs[^1].AddRange(pieces);
            }
            else if (picture is not null)
            {
                pictured = pieces[0].Part;
                runs.Add([]);
            }
        }

        PaperHead head = new(page, voice, paper, runs.Sum(r => r.Count(p => p.Part is not null)) + (pictured is null ? 0 : 1));
        List<IReadOnlyList<(PaperPiece Piece, float Top, float Scale)>?> pages = [.. PaperFlow.Share(runs[0], height, head.Height)];
        if (pictured is not null)
        {
            pages.Add(null);
            pages.AddRange(PaperFlow.Share(runs[1], height, 0));
        }

        List<(string Id, string Title, int Page)> contents = [.. pages.SelectMany((p, i) => p is null ? [(pictured!.Value.Item1, pictured.Value.Item2, i + 1)]
            : p.Where(q => q.Piece.Part is not null).Select(q => (q.Piece.Part!.Value.Id, q.Piece.Part.Value.Title, i + 1)))];
        byte[] drawn = Drawn(head, paper, pages, contents, picture, cancellationToken);
        pdf.Write(PdfOutline.Added(drawn, voice.Language, [.. contents.Select(c => (c.Id, c.Title))]));
        return pages.Count;
    }

    private static byte[] Drawn(
        PaperHead head, SKSize paper, List<IReadOnlyList<(PaperPiece Piece, float Top, float Scale)>?> pages, List<(string Id, string Title, int Page)> contents, SKImage? picture, CancellationToken cancellationToken)
    {
        using MemoryStream written = new();
        using (SKDocument document = SKDocument.CreatePdf(written, new SKDocumentPdfMetadata { Title = head.Title, Creator = head.MadeWith, Producer = "", RasterDpi = 300, EncodingQuality = 82 })
            ?? throw new InvalidOperationException("The document could not be made."))
        {
            for (int i = 0; i < pages.Count; i++)
            {
                cancellationToken.ThrowIfCancellationRequested();
                bool turned = pages[i] is null && picture!.Width > picture.Height;
                SKCanvas canvas = turned ? Begin(document, paper.Height, paper.Width) : Begin(document, paper.Width, paper.Height);
                if (pages[i] is { } pieces)
                {
                    Draw(canvas, pieces);
                    (i == 0 ? () => head.DrawTitle(canvas, contents) : (Action)(() => head.DrawHead(canvas)))();
                    head.DrawFoot(canvas, i + 1, pages.Count);
                }
                else
                {
                    canvas.DrawNamedDestinationAnnotation(new SKPoint(0, 0), contents.First(c => c.Page == i + 1).Id);
                    Draw(canvas, picture!, turned ? new SKSize(paper.Height, paper.Width) : paper);
                }

                document.EndPage();
            }

            document.Close();
        }

        return written.ToArray();
    }

    private static void Draw(SKCanvas canvas, IReadOnlyList<(PaperPiece Piece, float Top, float Scale)> pieces)
    {
        foreach ((PaperPiece piece, float top, float scale) in pieces)
        {
            float y = PaperStyle.Head + top;
            if (piece.Part is { } part)
            {
                canvas.DrawNamedDestinationAnnotation(new SKPoint(0, y - 3), part.Id);
            }

            canvas.Save();
            canvas.Translate(PaperStyle.Side, y);
            canvas.Scale(scale);
            piece.Draw(canvas, 0, 0);
            canvas.Restore();
        }
    }

    // At its own size where the paper holds it, in the middle of it.
    private static void Draw(SKCanvas canvas, SKImage picture, SKSize paper)
    {
        float scale = Math.Min(1 / PicturesDotsPerMillimetre, Math.Min(paper.Width / picture.Width, paper.Height / picture.Height)), wide = picture.Width * scale, high = picture.Height * scale;
        canvas.DrawImage(picture, SKRect.Create((paper.Width - wide) / 2, (paper.Height - high) / 2, wide, high), new SKSamplingOptions(SKFilterMode.Linear));
    }

    private static SKCanvas Begin(SKDocument document, float width, float height)
    {
        SKCanvas canvas = document.BeginPage(width * PointsPerMillimetre, height * PointsPerMillimetre);
        canvas.Scale(PointsPerMillimetre);
        return canvas;
    }
}
