using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using NetTopologySuite.Geometries;

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
    public static KeylinePlan Design(ElevationGrid ground, FieldArea field, LayoutOptions options, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default) =>
        Design(ground, field, options, null, progress, cancellationToken);

    /// <summary>Makes a plan.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="field">The field, in the grid's coordinates.</param>
    /// <param name="options">What to hold to.</param>
    /// <param name="landformOptions">What counts as a valley, a ridge and a keypoint, and keypoints flagged in the field; null for the defaults.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">The ground or the field cannot be used; the message says why and what to do.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An option that no layout can be made with.</exception>
    public static KeylinePlan Design(ElevationGrid ground, FieldArea field, LayoutOptions options, LandformOptions? landformOptions, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        FieldFit.Check(ground, field, options.Spacing);

        ElevationGrid near = Near(ground, field.Boundary.EnvelopeInternal);
        double smoothing = SmoothingLength(ground.Frame, options.Spacing);
        progress?.Report(new PlanProgress("smoothing", 0));
        ElevationGrid smoothed = GaussianSmoothing.ApplyTwice(near, smoothing, cancellationToken);
        progress?.Report(new PlanProgress("landform", 0));
        LandformReading landform = LandformReader.Read(smoothed, landformOptions, null, cancellationToken);
        RipLayout layout = RipLayoutDesigner.Design(near, smoothed, landform, field, options, progress, cancellationToken);
        return new KeylinePlan(field, options, near, smoothed, smoothing, landform, layout);
    }

    /// <summary>Reads the landform alone, on ground smoothed as a plan of that spacing would have it.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="spacing">Distance between neighbouring lines, metres: the scale of the implement.</param>
    /// <param name="options">What counts as a valley, a ridge and a keypoint; null for the defaults.</param>
    /// <param name="progress">Told of stages.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The smoothed ground and what was read from it.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A spacing or an option that no reading can be made with.</exception>
    public static (ElevationGrid Smoothed, LandformReading Landform) ReadLandform(
        ElevationGrid ground, double spacing, LandformOptions? options = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        OptionRules.Above(spacing, 0, nameof(spacing), "m");
        progress?.Report(new PlanProgress("smoothing", 0));
        ElevationGrid smoothed = GaussianSmoothing.ApplyTwice(ground, SmoothingLength(ground.Frame, spacing), cancellationToken);
        return (smoothed, LandformReader.Read(smoothed, options, progress, cancellationToken));
    }

    /// <summary>Measures lines from anywhere, as driven or as surveyed, in the way a plan's own lines are measured: drift is
    /// against the landform read around them.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="lines">The lines, in the grid's coordinates.</param>
    /// <param name="field">The field, or null where lines are measured without one: then nothing is outside and coverage is NaN.</param>
    /// <param name="limits">The limits.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Figures, measures and findings; lines that miss the ground altogether are findings too.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A limit that nothing can be measured against.</exception>
    public static LayoutCheckResult Check(ElevationGrid ground, IReadOnlyList<CheckedLine> lines, FieldArea? field, LineLimits limits, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(limits);
        limits.Validate();
        Envelope around = new();
        foreach (CheckedLine line in lines)
        {
            around.ExpandToInclude(line.Line.EnvelopeInternal);
        }

        if (field is not null)
        {
            around.ExpandToInclude(field.Boundary.EnvelopeInternal);
        }

        if (!ground.Frame.Extent.Intersects(around))
        {
            return LayoutCheck.Run(lines, ground, field, limits, null, cancellationToken);
        }

        ElevationGrid near = Near(ground, around);
        ElevationGrid smoothed = GaussianSmoothing.ApplyTwice(near, SmoothingLength(ground.Frame, limits.Spacing), cancellationToken);
        LandformReading landform = LandformReader.Read(smoothed, cancellationToken: cancellationToken);
        Grid<float> position = DriftPosition.Compute(smoothed, landform, cancellationToken);
        return LayoutCheck.Run(lines, near, field, limits, position, cancellationToken);
    }

    /// <summary>How far around a place the ground has a say in its landform: valleys that cross a field head and end beyond it.</summary>
    /// <param name="diameter">Diagonal of the place's box, metres.</param>
    /// <returns>Metres: half the diagonal, and no less than 300 m.</returns>
    public static double SurroundingsOf(double diameter) => Math.Max(LeastSurroundings, diameter / 2);

    /// <summary>The ground that has a say in the landform of a place: the place and a good way around it.</summary>
    private static ElevationGrid Near(ElevationGrid ground, Envelope place) =>
        GridWindow.Crop(ground, place, SurroundingsOf(place.Diameter));

    private static double SmoothingLength(GridFrame frame, double spacing) =>
        Math.Max(double.IsNaN(spacing) ? MachineSlope.SmoothingLength : Math.Clamp(SmoothingPerSpacing * spacing, LeastSmoothing, MostSmoothing), LeastSmoothingCells * frame.CellSize);
}
