using Keyline.Check;
using Keyline.Landform;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Even;

/// <summary>The even pattern on a survey: keylines and pinned lines found, lines laid, said what was lost and what ends cost.</summary>
internal static class EvenPlan
{
    // What lies this near a pinned line that is not to be ripped is that line, in spacings.
    private const double OnPinned = 0.45;

    // A line within so many spacings of the general guide runs along it.
    private const double NearGeneral = 1.0;

    /// <summary>Lays out.</summary>
    /// <param name="survey">The field.</param>
    /// <param name="driftWorth">What the wished directions are worth against line ends.</param>
    /// <param name="leastFall">Least fall wished for toward the ridge, percent.</param>
    /// <param name="progress">Told of stages and shares done.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static PatternLines On(FieldSurvey survey, double driftWorth, double leastFall, IProgress<PlanProgress>? progress, CancellationToken cancellationToken)
    {
        LayoutOptions options = survey.Options;
        EvenSettings settings = Settings(survey, driftWorth, leastFall);
        (IReadOnlyList<FixedLine> held, IReadOnlyList<string> lost) = FixedLines.Find(survey.Reading.Landform, survey.Field, survey.Workable, settings);
        EvenLayout even = EvenPattern.Lay(survey.RasterOf, survey.Workable, [.. held.Select(h => h.Path)], settings, new StepAround(survey.Field, options, 1 - LineShaping.LeastGapShare), progress, cancellationToken);

        // A guide stands for each given line that some line follows; pieces of one pinned line are one guide.
        int[] followed = [.. even.Lines.Where(l => l.Keyline >= 0).Select(l => l.Keyline).Distinct().Order().DistinctBy(Name)];
        GeometryFactory factory = survey.Field.Boundary.Factory;
        List<PatternGuide> guides =
        [
            .. followed.Select(k => held[k].Pinned >= 0
                ? new PatternGuide(survey.Field.PinnedGuides[held[k].Pinned].Line, double.NaN, true, false, held[k].Reason)
                : new PatternGuide(factory.CreateLineString(held[k].Path.ToCoordinates()), held[k].Height, false, true, held[k].Reason)),
        ];
        List<PatternLine> lines = [];
        foreach (EvenLine line in even.Lines)
        {
            int guide = line.Keyline < 0 ? -1 : Array.FindIndex(followed, k => Name(k) == Name(line.Keyline));
            lines.AddRange(Ripped(line, survey).Select(path => new PatternLine(path, guide, GuideSide.Upslope, 0)));
        }

        if (guides.Count == 0 && GeneralLine(survey, lines, cancellationToken) is int general and >= 0)
        {
            XY middle = lines[general].Path.Points[lines[general].Path.Count / 2];
            guides.Add(new PatternGuide(factory.CreateLineString(lines[general].Path.ToCoordinates()), survey.HeightAt(middle.X, middle.Y), false, false, "the line along the general guide, as no keypoint gives a keyline here"));
            lines[general] = lines[general] with { Guide = 0 };
        }

        return new PatternLines(guides, lines, guides.Count, LayoutCost.Nothing)
        {
            Said = [.. lost, .. even.Notes(settings)],
        };

        int Name(int line) => held[line].Pinned >= 0 ? -1 - held[line].Pinned : line;
    }

    /// <summary>What the pattern balances on a survey.</summary>
    internal static EvenSettings Settings(FieldSurvey survey, double driftWorth, double leastFall) => new()
    {
        Spacing = survey.Options.Spacing,
        Tolerance = survey.Options.SpacingTolerance,
        DriftWorth = driftWorth,
        LeastFall = leastFall,
        GradeLimit = (slope, place) => survey.Options.Limits.GradeLimitAt(slope, survey.Field.OutletDistance(place)),
        MinimumRadius = survey.Options.MinimumRadius,
        MinimumLength = survey.Options.MinimumLength,
    };

    // Where no keyline is held, the line that the general guide lies nearest for most of its length: one to set out and to begin from.
    // The guide itself is not held, for where it runs to the metre matters little, and holding it cost drift on four of seven fields without a keypoint.
    private static int GeneralLine(FieldSurvey survey, List<PatternLine> lines, CancellationToken cancellationToken)
    {
        if (lines.Count == 0 || GeneralGuide.Place(survey.Reading.Smoothed, survey.Field.Boundary, cancellationToken) is not { } contour)
        {
            return -1;
        }

        SegmentBins near = new(contour.EnvelopeInternal, survey.Options.Spacing);
        near.Add(SampledLine.PathOf(contour), 0);
        int[] votes = [.. lines.Select(l => l.Path.Points.Count(p => near.AnyWithin(p, NearGeneral * survey.Options.Spacing)))];
        int most = votes.Max();
        return most > 0 ? Enumerable.Range(0, lines.Count).Where(i => votes[i] == most).MaxBy(i => lines[i].Path.Length()) : -1;
    }

    // A line without what runs along a pinned line that is followed and not ripped.
    private static IEnumerable<LinePath> Ripped(EvenLine line, FieldSurvey survey)
    {
        LineString[] fences = [.. survey.Field.PinnedGuides.Where(p => !p.IsRipped).Select(p => p.Line)];
        double near = OnPinned * survey.Options.Spacing;
        GeometryFactory factory = survey.Field.Boundary.Factory;
        if (fences.Length == 0 || fences.All(f => f.Distance(factory.CreateLineString(line.Path.ToCoordinates())) > near))
        {
            return [line.Path];
        }

        bool[] free = [.. line.Path.Points.Select(p => fences.All(f => f.Distance(factory.CreatePoint(new Coordinate(p.X, p.Y))) > near))];
        return PathRuns.Where(line.Path, free).Where(run => run.Length() >= survey.Options.MinimumLength);
    }
}
