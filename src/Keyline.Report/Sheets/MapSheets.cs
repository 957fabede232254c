using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Draws a plan as map sheets at true scale, to print and carry: an overview with the index of sheets, then the sheets.</summary>
/// <remarks>
/// <para>Units: paper in millimetres, ground in the plan's projected metres, grid north up; text in the units of the options.</para>
/// <para>Missing: ground without heights is left white.</para>
/// <para>Promises: 100 m on the ground are 100 m divided by the scale on paper, as long as it is printed at its own size; neighbouring
/// sheets overlap and name each other at their match lines; lines are vectors and text is text, in typefaces that the file holds; no
/// date is in the file, so that the same plan gives the same bytes.</para>
/// <para>Cost: the material of the map once, then about a tenth of a second a sheet.</para>
/// <para>Source: PDF as SkiaSharp writes it (ISO 32000); a map scale of the plain series 1 : 500 to 1 : 5 000 is common practice, no source.</para>
/// </remarks>
public static class MapSheets
{
    private const float PointsPerMillimetre = 72 / 25.4f;

    /// <summary>Writes the sheets as one PDF file.</summary>
    /// <param name="pdf">Where to; left open.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="options">Paper, scale and words; the defaults where null.</param>
    /// <param name="cancellationToken">Stops the drawing.</param>
    /// <returns>The scale that was used, and how many sheets there are beside the overview.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An option out of its range.</exception>
    /// <exception cref="GroundDataException">A field too large for an overview.</exception>
    /// <exception cref="IOException">The stream cannot be written.</exception>
    public static (int Scale, int Sheets) Write(Stream pdf, KeylinePlan plan, SheetOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(pdf);
        ArgumentNullException.ThrowIfNull(plan);
        options ??= new SheetOptions();
        options.Validate();
        Geometry field = plan.Field.Boundary;
        SheetTiling tiling = SheetTiling.For(field, options);
        MapPage page = MapPage.For(field.EnvelopeInternal, options.Paper);
        MapView overview = new(page, field.EnvelopeInternal);
        Envelope window = overview.Window.Copy();
        foreach (SheetTile tile in tiling.Tiles)
        {
            window.ExpandToInclude(tile.Window);
        }

        using MapMaterial material = new(plan, MapVoice.Of(options.Map), window, cancellationToken);
        PanelText text = new(plan, options.Map, material.ContourInterval, options.Paper == SheetPaper.Letter ? "US Letter" : "A4");

        // The drawing goes through memory, so that one that is stopped or fails leaves nothing half written.
        using MemoryStream written = new();
        using (SKDocument document = SKDocument.CreatePdf(written, new SKDocumentPdfMetadata
        {
            Title = text.Title,
            Creator = options.Map.MadeWith,
            Producer = "",
            RasterDpi = 300,
            EncodingQuality = 82,
        }) ?? throw new InvalidOperationException("The document could not be made."))
        {
            SKCanvas canvas = Begin(document, page.Width, page.Height);
            LineLayer lines = MapDrawing.Draw(canvas, overview, material, packsRelief: true, overview.Frame, [], cancellationToken);
            TileIndex.DrawOver(canvas, overview, tiling);
            new MapPanel(page, overview, text, new MapLegend(material, lines, GateLayer.Shows(overview, plan)), isSigned: true).Draw(canvas);
            document.EndPage();
            foreach (SheetTile tile in tiling.Tiles)
            {
                cancellationToken.ThrowIfCancellationRequested();
                Sheet(Begin(document, tiling.Paper.Width, tiling.Paper.Height), tiling, tile, material, text, cancellationToken);
                document.EndPage();
            }

            document.Close();
        }

        written.WriteTo(pdf);
        return (tiling.Scale, tiling.Tiles.Count);
    }

    /// <summary>Draws one sheet.</summary>
    internal static void Sheet(SKCanvas canvas, SheetTiling tiling, SheetTile tile, MapMaterial material, PanelText text, CancellationToken cancellationToken)
    {
        MapView view = new(tiling.Frame, tiling.Scale, tile.Middle);
        LineLayer lines = MapDrawing.Draw(canvas, view, material, packsRelief: true, MatchLines.Within(tiling, tile), MatchLines.Reserved(tiling, tile), cancellationToken);
        MatchLines.Draw(canvas, tiling, tile, material.Voice);
        new SheetStrip(tiling, text, new MapLegend(material, lines, GateLayer.Shows(view, material.Plan)), view, material.Plan.Field.Boundary).Draw(canvas, tile);
    }

    private static SKCanvas Begin(SKDocument document, float width, float height)
    {
        SKCanvas canvas = document.BeginPage(width * PointsPerMillimetre, height * PointsPerMillimetre);
        canvas.Scale(PointsPerMillimetre);
        return canvas;
    }
}
