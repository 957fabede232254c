using SkiaSharp;

namespace Keyline.Report;

/// <summary>Draws the map of a plan on one A4 sheet: relief, contours, field, landform, guides and rip lines, with a panel of
/// figures, legend and cautions beside it.</summary>
/// <remarks>
/// <para>Units: the map is drawn at a plain scale (1 : 2 500 and the like) in the plan's own projection, grid north up.</para>
/// <para>Missing: ground without heights is left white.</para>
/// <para>Promises: the same plan gives the same bytes on the same kind of machine; letters come from a typeface inside the
/// assembly, so no font need be installed; the panel never lies over the map; no meaning hangs on red against green.</para>
/// <para>Cost: one pass over the grid and one image of 13 MB at the default fineness; about a second.</para>
/// <para>Source: light from the north-west and hill shading as in common map practice, no source; line colours were chosen to
/// stay apart under simulated colour blindness (Vienot, Brettel and Mollon 1999), which a test checks.</para>
/// </remarks>
public static class PlanMap
{
    private const float MillimetresPerInch = 25.4f;

    // What goes through a mail or a message without a thought.
    private const int MostBytes = 960_000;

    /// <summary>Draws the map as a PNG image.</summary>
    /// <param name="png">Where the image goes; left open.</param>
    /// <param name="plan">The plan to draw.</param>
    /// <param name="options">What the map says beside what is in the plan; the defaults where null.</param>
    /// <param name="cancellationToken">Stops the drawing.</param>
    /// <exception cref="ArgumentOutOfRangeException">An option out of its range.</exception>
    /// <exception cref="GroundDataException">A field too large for a sheet.</exception>
    /// <exception cref="IOException">The stream cannot be written.</exception>
    public static void Write(Stream png, KeylinePlan plan, PlanMapOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(png);
        (MapPage page, PlanMapOptions used) = Prepare(plan, options);
        float dots = used.PixelsPerInch / MillimetresPerInch;
        SKImageInfo info = new((int)MathF.Round(page.Width * dots), (int)MathF.Round(page.Height * dots), SKColorType.Rgba8888, SKAlphaType.Premul);
        using SKSurface surface = SKSurface.Create(info) ?? throw new InvalidOperationException("The image could not be made.");
        surface.Canvas.Clear(MapStyle.Paper);
        surface.Canvas.Scale(dots);
        DrawSheet(surface.Canvas, page, plan, used, packsRelief: false, cancellationToken);

        cancellationToken.ThrowIfCancellationRequested();
        using SKImage image = surface.Snapshot();
        using SKPixmap pixels = image.PeekPixels() ?? throw new InvalidOperationException("The image cannot be read back.");
        double finer = (double)used.PixelsPerInch / PlanMapOptions.DefaultPixelsPerInch;
        PalettePng.Write(png, pixels, used.PixelsPerInch, (int)(MostBytes * Math.Max(1, finer * finer)));
    }

    /// <summary>Draws the same map as an SVG drawing, in which letters stay letters and lines stay lines.</summary>
    /// <param name="svg">Where the drawing goes; left open.</param>
    /// <param name="plan">The plan to draw.</param>
    /// <param name="options">What the map says beside what is in the plan; the defaults where null.</param>
    /// <param name="cancellationToken">Stops the drawing.</param>
    /// <exception cref="ArgumentOutOfRangeException">An option out of its range.</exception>
    /// <exception cref="GroundDataException">A field too large for a sheet.</exception>
    /// <exception cref="IOException">The stream cannot be written.</exception>
    public static void WriteSvg(Stream svg, KeylinePlan plan, PlanMapOptions? options = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(svg);
        (MapPage page, PlanMapOptions used) = Prepare(plan, options);
        SvgSheet.Write(svg, page.Width, page.Height, canvas => DrawSheet(canvas, page, plan, used, packsRelief: true, cancellationToken));
    }

    private static (MapPage Page, PlanMapOptions Options) Prepare(KeylinePlan plan, PlanMapOptions? options)
    {
        ArgumentNullException.ThrowIfNull(plan);
        options ??= new PlanMapOptions();
        options.Validate();
        return (MapPage.For(plan.Field.Boundary.EnvelopeInternal), options);
    }

    private static void DrawSheet(SKCanvas canvas, MapPage page, KeylinePlan plan, PlanMapOptions options, bool packsRelief, CancellationToken cancellationToken)
    {
        MapView view = new(page, plan.Field.Boundary.EnvelopeInternal);
        using MapMaterial material = new(plan, MapVoice.Of(options), view.Window, cancellationToken);
        LineLayer lines = MapDrawing.Draw(canvas, view, material, packsRelief, view.Frame, [], cancellationToken);
        PanelText text = new(plan, options, material.ContourInterval);
        new MapPanel(page, view, text, new MapLegend(material, lines, GateLayer.Shows(view, plan))).Draw(canvas);
    }
}
