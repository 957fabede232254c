using Keyline.Elevation;
using Keyline.Landform;
using Keyline.Layout;

namespace Keyline;

/// <summary>From an elevation grid and a field to a whole plan.</summary>
/// <remarks>
/// <para>Units: metres and percent throughout.</para>
/// <para>Missing: the field must lie wholly on known ground.</para>
/// <para>Promises: same input, same plan, whatever the number of cores.</para>
/// <para>Cost: linear in cells for the landform, and as <see cref="RipLayoutDesigner"/> for the lines.</para>
/// <para>Source: the chain is described in docs/concepts.md; each stage names its papers.</para>
/// </remarks>
public static class KeylinePlanner
{
    private const double SmoothingPerSpacing = 2.0;
    private const double LeastSmoothing = 4.0;
    private const double MostSmoothing = 10.0;
    private const double LeastSmoothingCells = 1.2;
    private const double LeastSurroundings = 300.0;

    /// <summary>Makes a plan.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="field">The field, in the grid's coordinates.</param>
    /// <param name="options">What to hold to.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">The ground or the field cannot be used; the message says why and what to do.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An option that no layout can be made with.</exception>
    public static KeylinePlan Design(ElevationGrid ground, FieldArea field, LayoutOptions options, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        FieldFit.Check(ground, field, options);

        double surroundings = Math.Max(LeastSurroundings, field.Boundary.EnvelopeInternal.Diameter / 2);
        ElevationGrid near = GridWindow.Crop(ground, field.Boundary.EnvelopeInternal, surroundings);
        double smoothing = Math.Max(Math.Clamp(SmoothingPerSpacing * options.Spacing, LeastSmoothing, MostSmoothing), LeastSmoothingCells * ground.Frame.CellSize);
        progress?.Report(new PlanProgress("smoothing", 0));
        ElevationGrid smoothed = GaussianSmoothing.ApplyTwice(near, smoothing, cancellationToken);
        progress?.Report(new PlanProgress("landform", 0));
        LandformReading landform = LandformReader.Read(smoothed, null, cancellationToken);
        RipLayout layout = RipLayoutDesigner.Design(near, smoothed, landform, field, options, progress, cancellationToken);
        return new KeylinePlan(field, options, near, smoothed, smoothing, landform, layout);
    }
}
