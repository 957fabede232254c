using Keyline.Elevation;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A line to be measured, from wherever it comes.</summary>
/// <param name="Id">Its name, for findings.</param>
/// <param name="GuideId">Lines of one guide are neighbours at one spacing; may be empty for all.</param>
/// <param name="Line">The line, projected metres.</param>
public sealed record CheckedLine(string Id, string GuideId, LineString Line);

/// <summary>What a check found.</summary>
/// <param name="Figures">Over all lines.</param>
/// <param name="Measures">For each line, in the order given.</param>
/// <param name="Findings">What breaks a limit, in the order of the lines.</param>
public sealed record LayoutCheckResult(LayoutFigures Figures, IReadOnlyList<LineMeasures> Measures, IReadOnlyList<LayoutFinding> Findings);

/// <summary>Measures lines, ours or anybody's, against the ground.</summary>
/// <remarks>
/// <para>Units: metres and percent. Grades are differences of the ground's heights, as delivered, over a level base of
/// <see cref="GradeBase"/> metres (the whole line where it is shorter).</para>
/// <para>Drift: a stretch drifts where its grade is steeper than <see cref="LevelGrade"/>; it falls toward the ridge where
/// landform position rises as the height falls.</para>
/// <para>Missing: stretches over missing ground are not measured and are reported.</para>
/// <para>Promises: a finding is a stretch at least a base long, or a place, that truly breaks the limit; slight or short
/// breaches are counted in the shares and not reported one by one.</para>
/// <para>Cost: proportional to the length of the lines and the area of the field.</para>
/// </remarks>
public static class LayoutCheck
{
    /// <summary>Level distance over which grades are measured, metres.</summary>
    public const double GradeBase = 10.0;

    /// <summary>Grades gentler than this count as level, percent.</summary>
    public const double LevelGrade = 0.25;

    /// <summary>Measures lines.</summary>
    /// <param name="lines">The lines.</param>
    /// <param name="ground">Heights as delivered.</param>
    /// <param name="field">The field, or null where lines are measured without one: then nothing is outside and coverage is NaN.</param>
    /// <param name="options">The limits.</param>
    /// <param name="position">Position between valley and ridge, as of <see cref="Landform.DriftPosition"/>, or null: then drift is NaN.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Figures, measures and findings.</returns>
    public static LayoutCheckResult Run(IReadOnlyList<CheckedLine> lines, ElevationGrid ground, FieldArea? field, LayoutOptions options, Grid<float>? position = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(ground);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        return Run(lines, ground, field, null, options, position, cancellationToken);
    }

    internal static LayoutCheckResult Run(IReadOnlyList<CheckedLine> lines, ElevationGrid ground, FieldArea? field, Geometry? workable, LayoutOptions options, Grid<float>? position, CancellationToken cancellationToken)
    {
        LineProfile[] profiles = new LineProfile[lines.Count];
        Parallel.For(0, lines.Count, new ParallelOptions { CancellationToken = cancellationToken }, i =>
            profiles[i] = LineProfile.Measure(lines[i], ground, position, options));
        LayoutNeighbours neighbours = LayoutNeighbours.Measure(lines, options.Spacing, cancellationToken);
        FieldFindings? inField = field is null ? null : new FieldFindings(field);
        List<LayoutFinding> findings = [];
        for (int i = 0; i < lines.Count; i++)
        {
            findings.AddRange(profiles[i].Findings);
            findings.AddRange(neighbours.Findings[i]);
            if (inField is not null)
            {
                findings.AddRange(inField.Find(lines[i]));
            }
        }

        Geometry? area = workable ?? (field is null ? null : FieldFindings.Workable(field, options));
        double coverage = area is null ? double.NaN : LayoutCoverage.Share(lines, area, options.Spacing, cancellationToken);
        return new LayoutCheckResult(Sum(profiles, neighbours, coverage), [.. profiles.Select(p => p.Measures)], findings);
    }

    private static LayoutFigures Sum(LineProfile[] profiles, LayoutNeighbours neighbours, double coverage)
    {
        double length = profiles.Sum(p => p.Measures.Length);
        double drifting = profiles.Sum(p => p.Measures.DriftingLength);
        double toRidge = profiles.Sum(p => p.Measures.DriftingLength > 0 && !double.IsNaN(p.Measures.ToRidgeShare) ? p.Measures.DriftingLength * p.Measures.ToRidgeShare : 0);
        double within = profiles.Sum(p => p.Measures.WithinGradeShare * p.Measures.Length);
        double[] grades = [.. profiles.SelectMany(p => p.Grades).Order()];
        bool hasDrift = profiles.Any(p => !double.IsNaN(p.Measures.ToRidgeShare));
        return new LayoutFigures
        {
            LineCount = profiles.Length,
            TotalLength = length,
            MeanLength = profiles.Length > 0 ? length / profiles.Length : 0,
            WithinGradeShare = length > 0 ? within / length : double.NaN,
            MedianGrade = Quantile(grades, 0.5),
            Grade95 = Quantile(grades, 0.95),
            ToRidgeShare = hasDrift && drifting > 0 ? toRidge / drifting : double.NaN,
            DriftingShare = length > 0 ? drifting / length : double.NaN,
            MedianSpacing = neighbours.MedianSpacing,
            SpacingWithinShare = neighbours.WithinShare,
            Coverage = coverage,
            MinimumRadius = profiles.Length > 0 ? profiles.Min(p => p.Measures.MinimumRadius) : double.PositiveInfinity,
            TightShare = length > 0 ? profiles.Sum(p => p.TightLength) / length : double.NaN,
            Crossings = neighbours.Crossings,
        };
    }

    private static double Quantile(double[] sorted, double share) =>
        sorted.Length == 0 ? double.NaN : sorted[(int)Math.Round(share * (sorted.Length - 1))];
}
