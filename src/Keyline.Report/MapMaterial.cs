using Keyline.Terrain;
using NetTopologySuite.Geometries;
using SkiaSharp;

namespace Keyline.Report;

/// <summary>What every sheet of a plan is drawn from, made once: relief, contours, and the lines cut by their drift.</summary>
internal sealed class MapMaterial : IDisposable
{
    private readonly SKBitmap? _dots;

    /// <summary>Makes it.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="voice">Units of contours and text, and the language of words.</param>
    /// <param name="window">The ground that will be drawn, projected metres.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public MapMaterial(KeylinePlan plan, MapVoice voice, Envelope window, CancellationToken cancellationToken)
    {
        Plan = plan;
        Voice = voice;
        (ContourInterval, List<(ContourLine, bool)> contours) = ContourLayer.Trace(plan, window, cancellationToken, voice.Units.Size(UnitKind.Length));
        Contours = contours;
        Stretches = LineLayer.Measure(plan, cancellationToken);
        Inner = plan.Options.Headland > 0 ? plan.Field.Within(plan.Options.Headland) : null;
        if (ReliefLayer.Paint(plan, window, cancellationToken) is { } painted)
        {
            // The image shares the bitmap's dots from then on.
            painted.Bitmap.SetImmutable();
            (_dots, Covers) = painted;
            Relief = SKImage.FromBitmap(painted.Bitmap);
        }
    }

    public KeylinePlan Plan { get; }

    public MapVoice Voice { get; }

    public UnitSystem Units => Voice.Units;

    /// <summary>Contours, each with whether it is a heavy one.</summary>
    public IReadOnlyList<(ContourLine Contour, bool IsIndex)> Contours { get; }

    /// <summary>Metres between contours.</summary>
    public double ContourInterval { get; }

    public IReadOnlyList<DriftStretch> Stretches { get; }

    /// <summary>The field less its headland; null where it has none.</summary>
    public Geometry? Inner { get; }

    /// <summary>Relief, a dot a cell; null where the window has no cell.</summary>
    public SKImage? Relief { get; }

    /// <summary>The ground that the relief covers.</summary>
    public Envelope Covers { get; } = new();

    public void Dispose()
    {
        Relief?.Dispose();
        _dots?.Dispose();
    }
}
