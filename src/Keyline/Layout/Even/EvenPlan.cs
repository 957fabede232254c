using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout.Even;

/// <summary>The even pattern on a survey: keylines and pinned lines found, lines laid, said what was lost and what ends cost.</summary>
internal static class EvenPlan
{
    public static PatternLines On(FieldSurvey survey, IProgress<PlanProgress>? progress, CancellationToken cancellationToken)
    {
        LayoutOptions options = survey.Options;
        EvenSettings settings = new()
        {
            Spacing = options.Spacing,
            Tolerance = options.SpacingTolerance,
            DriftWorth = options.DriftWorth,
            LeastFall = options.LeastFall,
            GradeLimit = (slope, place) => options.Limits.GradeLimitAt(slope, survey.Field.OutletDistance(place)),
            MinimumRadius = options.MinimumRadius,
            MinimumLength = options.MinimumLength,
        };
        (IReadOnlyList<FixedLine> held, IReadOnlyList<string> lost) = FixedLines.Find(survey.Reading.Landform, survey.Field, survey.Workable, settings);
        EvenLayout even = EvenPattern.Lay(survey.RasterOf, survey.Workable, [.. held.Select(h => h.Path)], settings, progress, cancellationToken);

        // A guide stands for each given line that some line follows; pieces of one pinned line are one guide.
        int[] followed = [.. even.Lines.Where(l => l.Keyline >= 0).Select(l => l.Keyline).Distinct().Order().DistinctBy(Name)];
        GeometryFactory factory = survey.Field.Boundary.Factory;
        return new PatternLines(
            [
                .. followed.Select(k => held[k].Pinned >= 0
                    ? new PatternGuide(survey.Field.PinnedGuides[held[k].Pinned], double.NaN, true, false)
                    : new PatternGuide(factory.CreateLineString(held[k].Path.ToCoordinates()), held[k].Height, false, true)),
            ],
            [.. even.Lines.Select(l => new PatternLine(l.Path, l.Keyline < 0 ? -1 : Array.FindIndex(followed, k => Name(k) == Name(l.Keyline)), GuideSide.Upslope, 0))],
            followed.Length,
            LayoutCost.Nothing)
        {
            Said = [.. lost, .. even.Notes(settings)],
        };

        int Name(int line) => held[line].Pinned >= 0 ? -1 - held[line].Pinned : line;
    }
}
