using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>Draws the map of a plan on one A4 sheet: relief, contours, field, landform, guides and rip lines, with a panel of
/// figures, legend and cautions beside it.</summary>
/// <remarks>
/// <para>Units: the map is drawn at a plain scale (1 : 2 500 and the like) in the plan's own projection, grid north up.</para>
/// <para>Missing: ground without heights is left white.</para>
/// <para>Promises: the same plan gives the same bytes on the same kind of machine; letters come from a typeface inside the
/// assembly, so no font need be installed; the panel never lies over the map; no meaning hangs on red against green.</para>
/// <para>Cost: one pass over the grid and one image of 17 MB at the default fineness; about a second.</para>
/// <para>Source: light from the north-west and hill shading as in common map practice, no source; line colours were chosen to
/// stay apart under simulated colour blindness (Vienot, Brettel and Mollon 1999), which a test checks.</para>
/// </remarks>
public static class PlanMap
{
    private const float MillimetresPerInch = 25.4f;

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
        ArgumentNullException.ThrowIfNull(plan);
        options ??= new PlanMapOptions();
        options.Validate();

        Envelope field = plan.Field.Boundary.EnvelopeInternal;
        MapPage page = MapPage.For(field);
        float dots = options.PixelsPerInch / MillimetresPerInch;
        SKImageInfo info = new((int)MathF.Round(page.Width * dots), (int)MathF.Round(page.Height * dots), SKColorType.Rgba8888, SKAlphaType.Premul);
        using SKSurface surface = SKSurface.Create(info) ?? throw new InvalidOperationException("The image could not be made.");
        SKCanvas canvas = surface.Canvas;
        canvas.Clear(MapStyle.Paper);
        canvas.Scale(dots);
        DrawSheet(canvas, page, new MapView(page, field), plan, options, cancellationToken);

        cancellationToken.ThrowIfCancellationRequested();
        using SKImage image = surface.Snapshot();
        using SKPixmap pixels = image.PeekPixels() ?? throw new InvalidOperationException("The image cannot be read back.");
        using SKData data = pixels.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, 5))
            ?? throw new InvalidOperationException("The image cannot be packed as PNG.");
        data.SaveTo(png);
    }

    private static void DrawSheet(SKCanvas canvas, MapPage page, MapView view, KeylinePlan plan, PlanMapOptions options, CancellationToken cancellationToken)
    {
        ContourLayer contours = new(view, plan, cancellationToken);
        LineLayer lines = new(view, plan, cancellationToken);
        LabelPlacer labels = new(view.Frame);
        foreach (SKRect reserved in FrameLayer.Reserved(view))
        {
            labels.Take(reserved);
        }

        using SKPath boundary = view.Path(plan.Field.Boundary);
        canvas.Save();
        canvas.ClipRect(view.Frame);
        ReliefLayer.Draw(canvas, view, plan, cancellationToken);
        cancellationToken.ThrowIfCancellationRequested();
        contours.Draw(canvas);
        AreaLayer.DrawOutside(canvas, view, boundary);
        canvas.Save();
        canvas.ClipPath(boundary, SKClipOperation.Difference, true);
        // One layer, so that a line over its own casing fades as a whole.
        using (SKPaint faint = new() { Color = SKColors.White.WithAlpha(0x78) })
        {
            canvas.SaveLayer(faint);
            lines.DrawLandform(canvas);
            lines.DrawKeylines(canvas);
            canvas.Restore();
        }

        canvas.Restore();
        AreaLayer.DrawHeadland(canvas, view, plan);
        AreaLayer.DrawSteep(canvas, view, plan.Layout.Steep);
        lines.DrawRipLines(canvas);
        cancellationToken.ThrowIfCancellationRequested();
        DrawGuides(canvas, view, plan, lines);
        canvas.Save();
        canvas.ClipPath(boundary, SKClipOperation.Intersect, true);
        lines.DrawLandform(canvas);
        lines.DrawKeylines(canvas);
        canvas.Restore();
        AreaLayer.DrawAvoided(canvas, view, plan.Field.Avoided);
        using (SKPaint casing = MapStyle.Stroke(new SKColor(0xFF, 0xFF, 0xFF, 0xC0), MapStyle.BoundaryWidth + 0.6f))
        using (SKPaint edge = MapStyle.Stroke(MapStyle.Boundary, MapStyle.BoundaryWidth))
        {
            canvas.DrawPath(boundary, casing);
            canvas.DrawPath(boundary, edge);
        }

        lines.DrawArrows(canvas);
        KeypointLayer.Draw(canvas, view, plan.Landform.Keypoints, boundary, labels);
        GateLayer.Draw(canvas, view, plan, labels);
        AreaLayer.DrawNames(canvas, view, plan.Field.Avoided, labels);
        lines.DrawGuideNames(canvas, labels);
        lines.DrawLineNumbers(canvas, labels);
        contours.DrawLabels(canvas, labels);
        canvas.Restore();
        FrameLayer.Draw(canvas, view);

        PanelText text = new(plan, options, contours.Interval);
        new MapPanel(page, view, text, new MapLegend(plan, lines, contours.Interval, GateLayer.Shows(view, plan))).Draw(canvas);
    }

    /// <summary>Guides, but not over land that is left out: nobody drives there.</summary>
    private static void DrawGuides(SKCanvas canvas, MapView view, KeylinePlan plan, LineLayer lines)
    {
        using SKPath steep = view.Path(plan.Layout.Steep);
        canvas.Save();
        canvas.ClipPath(steep, SKClipOperation.Difference, true);
        lines.DrawGuides(canvas);
        canvas.Restore();
    }
}
