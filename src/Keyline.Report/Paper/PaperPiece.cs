using SkiaSharp;

namespace Keyline.Report;

/// <summary>What stays together on a page: a line of text, a row of a table, a drawing.</summary>
/// <param name="Height">Its height, millimetres.</param>
/// <param name="Draw">Draws it with its upper left corner at a place.</param>
internal sealed record PaperPiece(float Height, Action<SKCanvas, float, float> Draw)
{
    /// <value>Distance to what stands above it on the same page.</value>
    public float Before { get; init; }

    /// <value>Whether the next piece must stand on the same page.</value>
    public bool KeepsNext { get; init; }

    /// <value>What is drawn again above it where it begins a page: the heading of its table.</value>
    public PaperPiece? Again { get; init; }

    /// <value>Name and title of the part of the report that begins here; null where none does.</value>
    public (string Id, string Title)? Part { get; init; }

    /// <summary>Pieces below each other as one, for a card or a column.</summary>
    public static PaperPiece Stacked(IReadOnlyList<PaperPiece> pieces)
    {
        float height = 0;
        List<(float, PaperPiece)> placed = [];
        foreach (PaperPiece piece in pieces)
        {
            height += placed.Count > 0 ? piece.Before : 0;
            placed.Add((height, piece));
            height += piece.Height;
        }

        return new PaperPiece(height, (canvas, x, y) =>
        {
            foreach ((float down, PaperPiece piece) in placed)
            {
                piece.Draw(canvas, x, y + down);
            }
        });
    }

    /// <summary>Pieces beside each other as one.</summary>
    /// <param name="pieces">The pieces.</param>
    /// <param name="pitch">From the left of one to the left of the next, millimetres.</param>
    public static PaperPiece Beside(IReadOnlyList<PaperPiece> pieces, float pitch) => new(pieces.Max(p => p.Height), (canvas, x, y) =>
    {
        for (int i = 0; i < pieces.Count; i++)
        {
            pieces[i].Draw(canvas, x + (i * pitch), y);
        }
    });
}

/// <summary>Shares pieces out over pages.</summary>
internal static class PaperFlow
{
    /// <summary>The pieces of every page, each with its distance from the top of the page's text and how much smaller it is drawn.</summary>
    /// <param name="pieces">The pieces, in their order.</param>
    /// <param name="height">Height of the text of a page, millimetres.</param>
    /// <param name="first">Height that is taken on the first page already.</param>
    public static IReadOnlyList<IReadOnlyList<(PaperPiece Piece, float Top, float Scale)>> Share(IReadOnlyList<PaperPiece> pieces, float height, float first)
    {
        List<List<(PaperPiece, float, float)>> pages = [[]];
        float at = first;
        for (int i = 0; i < pieces.Count;)
        {
            int to = i;
            while (to < pieces.Count - 1 && pieces[to].KeepsNext)
            {
                to++;
            }

            float together = pieces.Skip(i).Take(to - i + 1).Sum(p => p.Before + p.Height) - (at > 0 ? 0 : pieces[i].Before);
            if (at > 0 && at + together > height)
            {
                Turn();
            }

            // What must stay together and is higher than a page is broken where it has to be.
            for (; i <= to; i++)
            {
                PaperPiece piece = pieces[i];
                if (at > 0 && at + piece.Before + piece.Height > height)
                {
                    Turn();
                }

                if (at == 0 && piece.Again is { } again)
                {
                    pages[^1].Add((again, 0, 1));
                    at = again.Height;
                }

                at += at > 0 ? piece.Before : 0;
                // A piece that no page holds is drawn smaller rather than cut off.
                float scale = Math.Min(1, (height - at) / piece.Height);
                pages[^1].Add((piece, at, scale));
                at += piece.Height * scale;
            }
        }

        return pages;

        void Turn()
        {
            pages.Add([]);
            at = 0;
        }
    }
}
