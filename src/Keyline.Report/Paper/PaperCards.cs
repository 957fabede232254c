using SkiaSharp;

namespace Keyline.Report;

/// <summary>What stands side by side on the report's page: the answer's tiles, cards with a drawing, columns to sign, places of findings.</summary>
internal static class PaperCards
{
    private const float Inset = 3;
    private const int TilesInARow = 3;

    // A profile stands beside its words, so that its letters can be read.
    private const float ProfileShare = 0.6f;

    /// <summary>The tiles of the answer.</summary>
    public static IEnumerable<PaperPiece> Tiles(PaperBlocks blocks, IReadOnlyList<PageNode> tiles, float width) =>
        Grid(tiles, TilesInARow, width, (tile, wide) => PaperPiece.Stacked(blocks.Smaller.Flow(tile, wide - (2 * Inset))), tile => tile.Is("doubts") ? PaperStyle.Care : PaperStyle.Hill, fillsRows: true);

    /// <summary>Cards: as many in a row as their drawings can be read at.</summary>
    public static IEnumerable<PaperPiece> Rows(PaperBlocks blocks, IReadOnlyList<PageNode> cards, float width) =>
        Holds(cards, "profile") ? Grid(cards, 1, width, (card, wide) => Profile(blocks, card, wide - (2 * Inset)), _ => null)
        : Grid(cards, Holds(cards, "small") ? 3 : 2, width, (card, wide) => PaperPiece.Stacked(blocks.Smaller.Flow(Card(card), wide - (2 * Inset))), _ => null);

    /// <summary>Columns to sign in: they stay on one page.</summary>
    public static IEnumerable<PaperPiece> Columns(PaperBlocks blocks, IReadOnlyList<PageNode> columns, float width)
    {
        float wide = (width - ((columns.Count - 1) * PaperStyle.Gap)) / columns.Count;
        return [PaperPiece.Beside([.. columns.Select(c => PaperPiece.Stacked(blocks.Flow(c, wide)))], wide + PaperStyle.Gap) with { Before = 3.5f }];
    }

    /// <summary>A way that land faces, with its share as a bar and as a number.</summary>
    public static PaperPiece Way(PageNode way, PaperVoice voice, float width)
    {
        if (way.Children is not [{ Name: "span" } name, { Name: "meter" } meter, { Name: "span" } share])
        {
            throw new FormatException("A way that land faces has a name, a bar and a share.");
        }

        Letters letters = PaperStyle.Small;
        string said = PaperText.Plain(PaperText.Runs(name, voice, letters)), number = PaperText.Plain(PaperText.Runs(share, voice, letters));
        return new PaperPiece(letters.Pitch, (canvas, x, y) =>
        {
            using SKPaint ground = MapStyle.Fill(PaperStyle.Ground), bar = MapStyle.Fill(PaperStyle.Bar);
            float left = x + 24, wide = width - 24 - 13;
            letters.Draw(canvas, said, x, y + (letters.Pitch * 0.72f));
            canvas.DrawRect(left, y + 0.9f, wide, 2.3f, ground);
            canvas.DrawRect(left, y + 0.9f, wide * (float)(meter.Number("value") / meter.Number("max")), 2.3f, bar);
            letters.Draw(canvas, number, x + width, y + (letters.Pitch * 0.72f), SKTextAlign.Right);
        })
        {
            Before = 0.6f,
        };
    }

    /// <summary>Places of findings, two in a row.</summary>
    public static IEnumerable<PaperPiece> Places(IReadOnlyList<PageNode> places, PaperVoice voice, float width)
    {
        float wide = (width - PaperStyle.Gap) / 2;
        PaperPiece[] each = [.. places.Select(p => PaperPiece.Stacked(PaperBlocks.Lines(PaperText.Lines(PaperText.Runs(p, voice, PaperStyle.Edge with { Color = MapStyle.Ink }), wide), PaperStyle.Edge.Pitch, 0)))];
        return each.Chunk(2).Select(row => PaperPiece.Beside(row, wide + PaperStyle.Gap) with { Before = 0.7f });
    }

    private static bool Holds(IReadOnlyList<PageNode> cards, string drawing) => cards.Any(c => c.Children.Any(s => s.Name == "svg" && s.Is(drawing)));

    // Rows of cells in frames of one height.
    private static IEnumerable<PaperPiece> Grid(IReadOnlyList<PageNode> cells, int columns, float width, Func<PageNode, float, PaperPiece> set, Func<PageNode, SKColor?> top, bool fillsRows = false)
    {
        foreach (PageNode[] row in cells.Chunk(columns))
        {
            int beside = fillsRows ? row.Length : columns;
            float wide = (width - ((beside - 1) * PaperStyle.Gap)) / beside;
            PaperPiece[] inside = [.. row.Select(c => set(c, wide))];
            float height = inside.Max(p => p.Height) + (2 * Inset);
            yield return PaperPiece.Beside([.. inside.Select((p, i) => Framed(p, wide, height, top(row[i])))], wide + PaperStyle.Gap) with { Before = 3.5f };
        }
    }

    // The drawing and the words that stand below it on a screen.
    private static PageNode Card(PageNode card) => card.Name == "figure" && card.Is("card") ? card : throw new FormatException($"No way to put {card.Name} among cards.");

    private static PaperPiece Profile(PaperBlocks blocks, PageNode card, float width)
    {
        IReadOnlyList<PageNode> parts = blocks.Elements(Card(card));
        if (parts is not [{ Name: "svg" } drawing, { Name: "figcaption" } caption])
        {
            throw new FormatException("The card of a profile has a drawing and a caption.");
        }

        float wide = (width - PaperStyle.Gap) * ProfileShare;
        PaperPiece left = PaperDrawing.Of(drawing, blocks.Voice, wide), right = PaperPiece.Stacked(blocks.Smaller.Flow(caption, width - PaperStyle.Gap - wide));
        return PaperPiece.Beside([left, right], wide + PaperStyle.Gap);
    }

    private static PaperPiece Framed(PaperPiece inside, float width, float height, SKColor? top) => new(height, (canvas, x, y) =>
    {
        using SKPaint edge = MapStyle.Stroke(MapStyle.Rule, 0.2f);
        canvas.DrawRect(x, y, width, height, edge);
        if (top is { } color)
        {
            using SKPaint bar = MapStyle.Fill(color);
            canvas.DrawRect(x, y, width, 1, bar);
        }

        inside.Draw(canvas, x + Inset, y + Inset);
    });
}
