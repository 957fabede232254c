using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>The map inside its frame, layer over layer: the same on the picture, the drawing and the sheets.</summary>
internal static class MapDrawing
{
    private const float FaintStrength = 0.47f;

    /// <summary>Draws the map with its frame.</summary>
    /// <param name="canvas">Where to, in millimetres.</param>
    /// <param name="view">Where the ground lies on the sheet.</param>
    /// <param name="material">What is drawn.</param>
    /// <param name="packsRelief">Whether relief is to be packed small, for a drawing that keeps images as they are.</param>
    /// <param name="numbersWithin">Where on the sheet numbers of lines may stand.</param>
    /// <param name="reserved">Places that labels keep off.</param>
    /// <param name="cancellationToken">Stops the drawing.</param>
    /// <returns>The lines as drawn, for the legend.</returns>
    public static LineLayer Draw(SKCanvas canvas, MapView view, MapMaterial material, bool packsRelief, SKRect numbersWithin, IEnumerable<SKRect> reserved, CancellationToken cancellationToken)
    {
        KeylinePlan plan = material.Plan;
        ContourLayer contours = new(view, material);
        LineLayer lines = new(view, material);
        LabelPlacer labels = new(view.Frame);
        foreach (SKRect place in FrameLayer.Reserved(view).Concat(reserved))
        {
            labels.Take(place);
        }

        using SKPath boundary = view.Path(plan.Field.Boundary);
        canvas.Save();
        canvas.ClipRect(view.Frame);
        if (material.Relief is { } relief)
        {
            (packsRelief ? (Action<SKCanvas, MapView, SKImage, Envelope>)ReliefLayer.DrawPacked : ReliefLayer.Draw)(canvas, view, relief, material.Covers);
        }

        cancellationToken.ThrowIfCancellationRequested();
        contours.Draw(canvas);
        AreaLayer.DrawOutside(canvas, view, boundary);
        canvas.Save();
        using SKPath outside = view.AllBut(boundary);
        canvas.ClipPath(outside, SKClipOperation.Intersect, true);
        lines.DrawLandform(canvas, FaintStrength);
        lines.DrawKeylines(canvas, FaintStrength);
        canvas.Restore();
        if (material.Inner is { } inner)
        {
            AreaLayer.DrawHeadland(canvas, view, boundary, inner);
        }

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
        GateLayer.Draw(canvas, view, plan, material.Voice, labels);
        AreaLayer.DrawNames(canvas, view, plan.Field.Avoided, labels);
        lines.DrawGuideNames(canvas, labels);
        lines.DrawLineNumbers(canvas, labels, numbersWithin);
        contours.DrawLabels(canvas, labels);
        canvas.Restore();
        FrameLayer.Draw(canvas, view);
        return lines;
    }

    /// <summary>Guides, but not over land that is left out: nobody drives there.</summary>
    private static void DrawGuides(SKCanvas canvas, MapView view, KeylinePlan plan, LineLayer lines)
    {
        using SKPath steep = view.Path(plan.Layout.Steep);
        using SKPath driven = view.AllBut(steep);
        canvas.Save();
        canvas.ClipPath(driven, SKClipOperation.Intersect, true);
        lines.DrawGuides(canvas);
        canvas.Restore();
    }
}
