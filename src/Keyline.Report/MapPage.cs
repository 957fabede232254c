using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>A sheet: which way up it is, where the map lies on it, and where the panel.</summary>
/// <remarks>
/// Three sheets are tried (landscape and portrait with the panel at the side, landscape with the panel below, portrait
/// with the panel below) and the one that shows the field largest is taken. The scale is then rounded down to the next
/// plain one, so that a ruler works on the print.
/// </remarks>
internal sealed class MapPage
{
    private const float Margin = 8;
    private const float Gap = 5;
    private const float SideWidth = 66;
    private const float BelowHeight = 68;

    private static readonly int[] PlainScales = [100, 125, 150, 200, 250, 300, 400, 500, 600, 750, 800];

    private MapPage(float width, float height, SKRect map, SKRect panel, bool panelBelow)
    {
        Width = width;
        Height = height;
        Map = map;
        Panel = panel;
        PanelBelow = panelBelow;
    }

    /// <summary>Width of the sheet, millimetres.</summary>
    public float Width { get; }

    /// <summary>Height of the sheet, millimetres.</summary>
    public float Height { get; }

    /// <summary>The frame of the map on the sheet, millimetres.</summary>
    public SKRect Map { get; }

    /// <summary>The panel's place on the sheet, millimetres.</summary>
    public SKRect Panel { get; }

    /// <summary>True where the panel lies below the map and is set in columns.</summary>
    public bool PanelBelow { get; }

    /// <summary>Denominator of the map's scale on the sheet.</summary>
    public int Scale { get; private set; }

    /// <summary>Chooses the sheet for a field.</summary>
    /// <param name="field">The field's extent, projected metres.</param>
    /// <param name="paper">The paper.</param>
    public static MapPage For(Envelope field, SheetPaper paper = SheetPaper.A4)
    {
        // Room around the field, so that its edge and the ground beyond can be seen.
        double margin = 0.03 * Math.Max(field.Width, field.Height);
        double width = field.Width + (2 * margin);
        double height = field.Height + (2 * margin);
        MapPage[] candidates = Candidates(SheetTiling.SizeOf(paper, landscape: false));
        MapPage best = candidates[0];
        double bestScale = double.PositiveInfinity;
        foreach (MapPage page in candidates)
        {
            double scale = 1000 * Math.Max(width / page.Map.Width, height / page.Map.Height);
            // A later sheet must be clearly better: 3 % larger or more.
            if (scale < bestScale * 0.97)
            {
                bestScale = scale;
                best = page;
            }
        }

        best.Scale = PlainScale(bestScale);
        return best;
    }

    private static MapPage[] Candidates(SKSize upright)
    {
        (float narrow, float wide) = (upright.Width, upright.Height);
        MapPage Side(float w, float h) => new(w, h, new SKRect(Margin, Margin, w - Margin - SideWidth - Gap, h - Margin), new SKRect(w - Margin - SideWidth, Margin, w - Margin, h - Margin), false);
        MapPage Below(float w, float h) => new(w, h, new SKRect(Margin, Margin, w - Margin, h - Margin - BelowHeight - Gap), new SKRect(Margin, h - Margin - BelowHeight, w - Margin, h - Margin), true);
        return [Side(wide, narrow), Below(narrow, wide), Side(narrow, wide), Below(wide, narrow)];
    }

    /// <summary>The next plain scale that is no larger than one.</summary>
    /// <param name="least">Denominator of the largest scale that would do.</param>
    public static int PlainScale(double least)
    {
        for (int power = 1; ; power *= 10)
        {
            foreach (int plain in PlainScales)
            {
                if ((long)plain * power >= least)
                {
                    return plain * power;
                }
            }

            if (power >= 1_000_000)
            {
                throw new GroundDataException("The field is too large to draw on one sheet; divide it.");
            }
        }
    }
}
