using Keyline.Check;
using Keyline.Elevation;
using Keyline.Field;
using Keyline.Landform;
using Keyline.Layout;
using Keyline.Planar;
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
    /// <summary>Makes a plan.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="field">The field, in the grid's coordinates.</param>
    /// <param name="options">What to hold to.</param>
    /// <param name="landformOptions">What counts as a valley, a ridge and a keypoint, and keypoints flagged in the field; null for the defaults.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="GroundDataException">The ground or the field cannot be used; the message says why and what to do.</exception>
    /// <exception cref="ArgumentOutOfRangeException">An option that no layout can be made with.</exception>
    public static KeylinePlan Design(ElevationGrid ground, FieldArea field, LayoutOptions options, LandformOptions? landformOptions = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default) =>
        Design(FieldSurvey.Prepare(ground, field, options, landformOptions, progress, cancellationToken), progress, cancellationToken);

    /// <summary>Makes a plan of a field surveyed before. Layouts that the same survey is compared or priced with become plans
    /// of their own by <see cref="KeylinePlan.With"/>.</summary>
    /// <param name="survey">The field, made ready.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static KeylinePlan Design(FieldSurvey survey, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(survey);
        return new KeylinePlan(survey.Field, survey.Options, survey.Reading, RipLayoutDesigner.Design(survey, progress, cancellationToken));
    }

    /// <summary>Measures lines from anywhere, as driven or as surveyed, in the way a plan's own lines are measured: drift is
    /// against the landform read around them.</summary>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="lines">The lines, in the grid's coordinates.</param>
    /// <param name="field">The field, or null where lines are measured without one: then nothing is outside and coverage is NaN.</param>
    /// <param name="limits">The limits.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Figures, measures and findings; lines that miss the ground altogether are findings too.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A limit that nothing can be measured against.</exception>
    /// <exception cref="GroundDataException">A line has no length, or a coordinate that is no number.</exception>
    public static LayoutCheckResult Check(ElevationGrid ground, IReadOnlyList<CheckedLine> lines, FieldArea? field, LineLimits limits, IProgress<PlanProgress>? progress = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(limits);
        limits.Validate();
        foreach (CheckedLine line in lines)
        {
            LineRules.Check(line.Line, "Line " + line.Id);
        }

        Geometry around = Places(lines, field);
        if (!ground.Frame.Extent.Intersects(around.EnvelopeInternal))
        {
            return LayoutCheck.Run(lines, ground, field, limits, null, cancellationToken);
        }

        GroundReading reading = GroundReading.Around(ground, around, limits.Spacing, null, progress, cancellationToken);
        Grid<float> position = DriftPosition.Compute(reading.Smoothed, reading.Landform, cancellationToken);
        progress?.Report(new PlanProgress("check", 0));
        return LayoutCheck.Run(lines, reading.Ground, field, limits, position, cancellationToken);
    }

    // The boxes of lines and of pieces of the field: far-apart ones are read apart.
    private static MultiPolygon Places(IReadOnlyList<CheckedLine> lines, FieldArea? field)
    {
        IEnumerable<Envelope> boxes = lines.Select(line => line.Line.EnvelopeInternal);
        if (field is not null)
        {
            boxes = boxes.Concat(Enumerable.Range(0, field.Boundary.NumGeometries).Select(i => field.Boundary.GetGeometryN(i).EnvelopeInternal));
        }

        return GeometryFactory.Default.CreateMultiPolygon([.. boxes.Where(box => !box.IsNull).Select(Box)]);
    }

    // A line due east has a box without height, which is as good a ring as any where only its extent counts.
    private static Polygon Box(Envelope box) => GeometryFactory.Default.CreatePolygon(
        [new(box.MinX, box.MinY), new(box.MaxX, box.MinY), new(box.MaxX, box.MaxY), new(box.MinX, box.MaxY), new(box.MinX, box.MinY)]);
}
