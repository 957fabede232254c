using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>The plan's map among the report's pages: the drawing of the sheets, fitted to the page at a plain scale, with legend, scale and north below it.</summary>
internal sealed class PaperMap : IDisposable
{
    private const float LegendPitch = 4.4f;
    private const int LegendColumns = 2;

    private readonly MapMaterial _material;
    private readonly MapView _view;
    private readonly SheetScale _scale;
    private readonly IReadOnlyList<LegendEntry> _legend;
    private readonly float _width;

    /// <param name="plan">The plan.</param>
    /// <param name="options">What the map says beside it.</param>
    /// <param name="paper">The paper.</param>
    /// <param name="width">Width of the text, millimetres.</param>
    /// <param name="height">Height there is, millimetres.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public PaperMap(KeylinePlan plan, PlanMapOptions options, SheetPaper paper, float width, float height, CancellationToken cancellationToken)
    {
        Envelope field = plan.Field.Boundary.EnvelopeInternal;
        double room = 0.06 * Math.Max(field.Width, field.Height);
        // The most entries that a legend has; what it does not need stays white.
        float most = height - (LegendPitch * 9) - 20;
        int scale = MapPage.PlainScale(1000 * Math.Max((field.Width + room) / width, (field.Height + room) / most));
        float high = Math.Clamp((float)((field.Height + room) * 1000 / scale), 70, most);
        _width = width;
        _view = new MapView(new SKRect(0, 0, width, high), scale, field.Centre);
        _material = new MapMaterial(plan, MapVoice.Of(options), _view.Window, cancellationToken);
        _legend = new MapLegend(_material, new LineLayer(_view, _material), GateLayer.Shows(_view, plan)).Entries;
        _scale = new PanelText(plan, options, _material.ContourInterval, paper == SheetPaper.Letter ? "US Letter" : "A4").Scale;
    }

    /// <summary>It as pieces of pages.</summary>
    public IReadOnlyList<PaperPiece> Pieces(CancellationToken cancellationToken)
    {
        int rows = (_legend.Count + LegendColumns - 1) / LegendColumns;
        float bar = FrameLayer.DrawScale(null, _view, _scale, 0, 0, 70), below = Math.Max(rows * LegendPitch, 0) + 3;
        return
        [
            new PaperPiece(_view.Frame.Height, (canvas, x, y) => Within(canvas, x, y, () => MapDrawing.Draw(canvas, _view, _material, packsRelief: true, _view.Frame, [], cancellationToken))) { Before = 2, KeepsNext = true },
            new PaperPiece(bar, (canvas, x, y) => FrameLayer.DrawScale(canvas, _view, _scale, x, y, 70)) { Before = 2.5f, KeepsNext = true },
            new PaperPiece(below, (canvas, x, y) => Legend(canvas, x, y, rows)) { Before = 1 },
        ];
    }

    public void Dispose() => _material.Dispose();

    private static void Within(SKCanvas canvas, float x, float y, Action draw)
    {
        canvas.Save();
        canvas.Translate(x, y);
        draw();
        canvas.Restore();
    }

    private void Legend(SKCanvas canvas, float left, float top, int rows)
    {
        Letters letters = PaperStyle.Edge with { Color = MapStyle.Ink };
        float column = _width / LegendColumns;
        for (int i = 0; i < _legend.Count; i++)
        {
            float x = left + (i / rows * column), middle = top + (((i % rows) + 0.5f) * LegendPitch);
            _legend[i].Draw(canvas, new SKRect(x, middle - 1.5f, x + 10, middle + 1.5f));
            letters.Draw(canvas, _legend[i].Text, x + 13, middle + 0.9f);
        }
    }
}
