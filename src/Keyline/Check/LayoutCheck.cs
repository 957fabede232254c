using Keyline.Elevation;
using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>What a check found.</summary>
/// <param name="Figures">Over all lines.</param>
/// <param name="Measures">For each line, in the order given.</param>
/// <param name="Findings">What breaks a limit, in the order of the lines.</param>
public sealed record LayoutCheckResult(LayoutFigures Figures, IReadOnlyList<LineMeasures> Measures, IReadOnlyList<LayoutFinding> Findings);

/// <summary>Measures lines, ours or anybody's, against the ground.</summary>
/// <remarks>
/// <para>Units: metres and percent. Grades are differences of the ground's heights, as delivered, over a level base of
/// <see cref="LineMeasures.GradeBase"/> metres (the whole line where it is shorter).</para>
/// <para>Drift: a stretch drifts where its grade is steeper than <see cref="LineMeasures.LevelGrade"/>; it falls toward the ridge where
/// landform position rises as the height falls.</para>
/// <para>Spacing: to whatever line lies next, left and right apart, as far as three spacings; without a spacing in the limits nothing
/// is judged by it. Coverage, bare strips and line ends count the ground that a plan would work: the field less headland,
/// avoided areas and steep land.</para>
/// <para>Missing: stretches over missing ground are not measured and are reported.</para>
/// <para>Promises: a finding is a stretch at least a base long, or a place, that truly breaks the limit; slight or short
/// breaches are counted in the shares and not reported one by one.</para>
/// <para>Cost: proportional to the length of the lines and the area of the field.</para>
/// </remarks>
public static class LayoutCheck
{
    private const double LandMargin = 40.0;

    /// <summary>Measures lines.</summary>
    /// <param name="lines">The lines.</param>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="field">The field, or null where lines are measured without one: then nothing is outside and coverage is NaN.</param>
    /// <param name="limits">The limits.</param>
    /// <param name="position">Position between valley and ridge, as of <see cref="Landform.DriftPosition"/>, or null: then drift is NaN.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Figures, measures and findings.</returns>
    /// <exception cref="GroundDataException">A line has no length, or a coordinate that is no number.</exception>
    public static LayoutCheckResult Run(IReadOnlyList<CheckedLine> lines, ElevationGrid ground, FieldArea? field, LineLimits limits, Grid<float>? position = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(limits);
        limits.Validate();
        foreach (CheckedLine line in lines)
        {
            LineRules.Check(line.Line, "Line " + line.Id);
        }

        Envelope around = LineIndex.Extent(lines);
        if (field is not null)
        {
            around.ExpandToInclude(field.Boundary.EnvelopeInternal);
        }

        return Run(lines, ground, Land(ground, around, cancellationToken), field, null, limits, position, cancellationToken);
    }

    /// <summary>Ground smoothed at the length of a machine, around a place; null where the place is off the ground.</summary>
    internal static ElevationGrid? Land(ElevationGrid ground, Envelope place, CancellationToken cancellationToken) =>
        ground.Frame.Extent.Intersects(place) && GridWindow.Crop(ground, place, LandMargin) is { } near ? GaussianSmoothing.Apply(near, MachineSlope.SmoothingLength, cancellationToken) : null;

    internal static LayoutCheckResult Run(IReadOnlyList<CheckedLine> lines, ElevationGrid ground, ElevationGrid? land, FieldArea? field, Geometry? workable, LineLimits limits, Grid<float>? position, CancellationToken cancellationToken)
    {
        CheckGround against = new(ground, land, position, field);
        LineProfile.Result[] profiles = new LineProfile.Result[lines.Count];
        Parallel.For(0, lines.Count, WorkThreads.Options(cancellationToken), i => profiles[i] = LineProfile.Measure(lines[i], against, limits));
        Geometry? area = workable ?? (field is null ? null : WorkableGround.Create(land, field, limits.Headland, limits.SteepestLand).Workable);
        LineIndex index = new(lines, limits.Spacing);
        LineNeighbours neighbours = LineNeighbours.Measure(lines, index, limits, area is null ? null : new AreaClip(area).Covers, cancellationToken);
        IReadOnlyList<LayoutFinding>[] crossings = LineCrossings.Find(lines, index, cancellationToken);
        FieldFindings? inField = field is null ? null : new FieldFindings(field, limits);
        FieldFindings.Result[] places = new FieldFindings.Result[lines.Count];
        Parallel.For(0, lines.Count, WorkThreads.Options(cancellationToken), i => places[i] = inField?.Measure(lines[i]) ?? new FieldFindings.Result(double.NaN, []));
        LayoutFinding[] findings = [.. Enumerable.Range(0, lines.Count).SelectMany(i => (IEnumerable<LayoutFinding>)[.. profiles[i].Findings, .. neighbours.Findings[i], .. crossings[i], .. places[i].Findings])];
        double coverage = area is null ? double.NaN : Coverage.Share(lines, area, limits.Spacing, cancellationToken);
        LineMeasures[] measures =
        [
            .. profiles.Select((p, i) => p.Measures with
            {
                SpacingLeft = neighbours.Sides[i].Left,
                SpacingRight = neighbours.Sides[i].Right,
                Clearance = places[i].Clearance,
            }),
        ];
        LayoutFigures figures = Sum(profiles, neighbours, coverage) with
        {
            LineEnds = lines.Sum(l => l.Line.IsClosed ? 0 : 2),
            InnerEnds = area is null || double.IsNaN(limits.Spacing) ? null : LineEnds.CountInner(lines, area, limits.Spacing),
            Crossings = crossings.Sum(c => c.Count),
        };
        return new LayoutCheckResult(figures, measures, findings);
    }

    private static LayoutFigures Sum(LineProfile.Result[] profiles, LineNeighbours neighbours, double coverage)
    {
        double length = profiles.Sum(p => p.Measures.Length);
        double drifting = profiles.Sum(p => p.Measures.DriftingLength);
        double toRidge = profiles.Sum(p => p.Measures.DriftingLength > 0 && !double.IsNaN(p.Measures.ToRidgeShare) ? p.Measures.DriftingLength * p.Measures.ToRidgeShare : 0);
        double[] grades = [.. profiles.SelectMany(p => p.Grades).Order()];
        double[] lengths = [.. profiles.Select(p => p.Measures.Length).Order()];
        bool hasDrift = profiles.Any(p => !double.IsNaN(p.Measures.ToRidgeShare));
        int judged = profiles.Sum(p => p.Judged);
        double[] sides = [.. profiles.Select(p => p.Measures.SteepestSideSlope).Where(double.IsFinite)];
        return new LayoutFigures
        {
            LineCount = profiles.Length,
            TotalLength = length,
            MeanLength = profiles.Length > 0 ? length / profiles.Length : 0,
            WithinGradeShare = judged > 0 ? (double)profiles.Sum(p => p.Within) / judged : double.NaN,
            MedianGrade = Quantiles.Median(grades),
            Grade95 = Quantiles.Of(grades, 0.95),
            ToRidgeShare = hasDrift && drifting > 0 ? toRidge / drifting : double.NaN,
            DriftingShare = length > 0 ? drifting / length : double.NaN,
            MedianSpacing = neighbours.MedianSpacing,
            Spacing05 = neighbours.SpacingRange.Low,
            Spacing95 = neighbours.SpacingRange.High,
            SpacingWithinShare = neighbours.WithinShare,
            SpacingWithin10Share = neighbours.NextWithin.Close,
            SpacingWithin25Share = neighbours.NextWithin.Fair,
            Coverage = coverage,
            MinimumRadius = profiles.Length > 0 ? profiles.Min(p => p.Measures.MinimumRadius) : double.PositiveInfinity,
            TightShare = length > 0 ? profiles.Sum(p => p.TightLength) / length : double.NaN,
            Length10 = Quantiles.Of(lengths, 0.1),
            MedianLength = Quantiles.Median(lengths),
            ShortShare = length > 0 ? lengths.Where(l => l < LayoutFigures.ShortLine).Sum() / length : double.NaN,
            SteepestSideSlope = sides.Length > 0 ? sides.Max() : double.NaN,
            Crossings = 0,
        };
    }
}
