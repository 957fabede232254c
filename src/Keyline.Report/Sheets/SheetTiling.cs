using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>One sheet of several.</summary>
/// <param name="Number">From 1, row by row from the north-west.</param>
/// <param name="Row">From 0 in the north.</param>
/// <param name="Column">From 0 in the west.</param>
/// <param name="Middle">The ground in the middle of its frame.</param>
/// <param name="Window">The ground in its frame.</param>
internal sealed record SheetTile(int Number, int Row, int Column, Coordinate Middle, Envelope Window);

/// <summary>Cuts a field into sheets of one scale that overlap; those that would not touch the field are left out.</summary>
internal sealed class SheetTiling
{
    /// <summary>What neighbouring sheets both show, millimetres on paper; the match line runs in its middle.</summary>
    public const float Overlap = 12;

    private const float Margin = 8;
    private const float Gap = 3;
    private const float StripLandscape = 37;
    private const float StripPortrait = 58;

    private SheetTiling(SKSize paper, int scale, Geometry field)
    {
        Paper = paper;
        Scale = scale;
        Frame = FrameOf(paper);
        double metres = scale / 1000.0, wide = Frame.Width * metres, high = Frame.Height * metres, shared = Overlap * metres;
        Envelope box = field.EnvelopeInternal;
        // Room for the boundary's own line and the first numbers beyond it.
        double width = box.Width + (2 * shared / 3), height = box.Height + (2 * shared / 3);
        Columns = Count(width, wide, shared);
        Rows = Count(height, high, shared);
        List<SheetTile> tiles = [];
        for (int row = 0; row < Rows; row++)
        {
            for (int column = 0; column < Columns; column++)
            {
                Coordinate middle = new(
                    box.Centre.X + ((column - ((Columns - 1) / 2.0)) * (wide - shared)),
                    box.Centre.Y - ((row - ((Rows - 1) / 2.0)) * (high - shared)));
                Envelope window = new(middle.X - (wide / 2), middle.X + (wide / 2), middle.Y - (high / 2), middle.Y + (high / 2));
                Envelope own = window.Copy();
                own.ExpandBy(-shared / 2);
                if (field.Factory.ToGeometry(own).Intersects(field))
                {
                    tiles.Add(new SheetTile(tiles.Count + 1, row, column, middle, window));
                }
            }
        }

        Tiles = tiles;
    }

    /// <summary>Size of the paper, millimetres.</summary>
    public SKSize Paper { get; }

    /// <summary>Denominator of the scale.</summary>
    public int Scale { get; }

    /// <summary>Where the map lies on a sheet, millimetres.</summary>
    public SKRect Frame { get; }

    /// <summary>Where title, legend and index lie below it, millimetres.</summary>
    public SKRect Strip => new(Margin, Frame.Bottom + Gap, Paper.Width - Margin, Paper.Height - Margin);

    public int Rows { get; }

    public int Columns { get; }

    public IReadOnlyList<SheetTile> Tiles { get; }

    /// <summary>Chooses scale and way round, as far as the options leave them open.</summary>
    public static SheetTiling For(Geometry field, SheetOptions options)
    {
        SheetTiling? best = null;
        foreach (int scale in options.Scale is { } given ? [given] : SheetOptions.Scales)
        {
            best = null;
            foreach (bool landscape in options.Landscape is { } across ? [across] : (bool[])[true, false])
            {
                SheetTiling tiling = new(SizeOf(options.Paper, landscape), scale, field);
                best = best is null || tiling.Tiles.Count < best.Tiles.Count ? tiling : best;
            }

            if (best!.Tiles.Count <= SheetOptions.FewSheets)
            {
                break;
            }
        }

        return best!;
    }

    /// <summary>The sheet beside another, or null.</summary>
    public SheetTile? Beside(SheetTile tile, int down, int right) => Tiles.FirstOrDefault(t => t.Row == tile.Row + down && t.Column == tile.Column + right);

    /// <summary>Size of a paper, millimetres.</summary>
    public static SKSize SizeOf(SheetPaper paper, bool landscape)
    {
        SKSize upright = paper == SheetPaper.Letter ? new SKSize(215.9f, 279.4f) : new SKSize(210, 297);
        return landscape ? new SKSize(upright.Height, upright.Width) : upright;
    }

    private static SKRect FrameOf(SKSize paper) =>
        new(Margin, Margin, paper.Width - Margin, paper.Height - Margin - Gap - (paper.Width > paper.Height ? StripLandscape : StripPortrait));

    private static int Count(double length, double sheet, double shared) => Math.Max(1, (int)Math.Ceiling((length - shared) / (sheet - shared)));
}
