using System.Globalization;
using Keyline.Check;
using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Simplify;

namespace Keyline.Layout;

/// <summary>Turns a pattern's lines into a layout: driving order, names, heights, measures.</summary>
/// <remarks>
/// <para>Units: metres. Lines are thinned to a chord error of 1 cm and named in driving order.</para>
/// <para>Cost: proportional to the length of the lines and the area of the field; the driving order as <see cref="DrivingOrder"/> says.</para>
/// </remarks>
internal static class LayoutFinish
{
    private const double ChordTolerance = 0.01;

    /// <summary>Finishes a pattern.</summary>
    /// <param name="survey">The field.</param>
    /// <param name="pattern">Its lines.</param>
    /// <param name="progress">Told of stages.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <param name="advises">Whether straight lines are spoken of where the land has little to say.</param>
    public static RipLayout Finish(FieldSurvey survey, PatternLines pattern, IProgress<PlanProgress>? progress, CancellationToken cancellationToken, bool advises = false)
    {
        string[] names = [.. pattern.Guides.Select((_, i) => FormattableString.Invariant($"G{i + 1}"))];
        GuideLine[] guides = [.. pattern.Guides.Select((guide, i) => Guide(survey, guide, names[i], string.Format(CultureInfo.InvariantCulture, guide.Reason, [.. names])))];
        progress?.Report(new PlanProgress("driving order", 0));
        DrivingOrder order = DrivingOrder.Find([.. pattern.Lines.Select(l => l.Path)], survey.Field.Gate is { } gate ? new XY(gate.X, gate.Y) : null, survey.Options.MinimumRadius, cancellationToken);
        CheckedLine[] drawn = [.. Drawn(survey, pattern, guides, order)];
        progress?.Report(new PlanProgress("check", 0));
        LayoutCheckResult check = LayoutCheck.Run(drawn, survey.Reading.Ground, survey.Land, survey.Field, survey.Work.Workable, survey.Options.Limits, survey.Position, cancellationToken);
        RipLine[] lines =
        [
            .. drawn.Select((line, i) => new RipLine
            {
                Id = line.Id,
                GuideId = line.GuideId,
                Side = pattern.Lines[order.Stops[i].Line].Side,
                Offset = pattern.Lines[order.Stops[i].Line].Offset,
                Line = line.Line,
                Sequence = i + 1,
                Measures = check.Measures[i],
            }),
        ];
        return new RipLayout(survey.Work.Workable, survey.Work.Steep, check.Figures)
        {
            Guides = guides,
            GuideLevels = pattern.Levels,
            Lines = lines,
            Findings = check.Findings,
            Cost = pattern.Cost,
            Driving = order.Plan,
            Notes =
            [
                .. LayoutNotes.Of(survey, lines.Length, guides.Count(g => g.IsPinned)), .. pattern.Said,
                .. Said(RoughGround.Note(survey, pattern.Lines, check.Figures.WithinGradeShare)),
                .. Said(advises ? StraightLines.Note(survey, check.Figures.ToRidgeShare, cancellationToken) : null),
            ],
        };
    }

    private static string[] Said(string? note) => note is null ? [] : [note];

    // A guide is shown where it is longest in the field.
    private static GuideLine Guide(FieldSurvey survey, PatternGuide guide, string id, string reason)
    {
        Geometry inField = guide.Line.Intersection(survey.Field.Boundary);
        LineString shown = Enumerable.Range(0, inField.NumGeometries).Select(inField.GetGeometryN).OfType<LineString>().Where(l => !l.IsEmpty).OrderByDescending(l => l.Length).FirstOrDefault() ?? guide.Line;
        return new GuideLine(id, Lift(survey, shown), guide.Level, guide.IsPinned, guide.IsKeyline, reason);
    }

    private static IEnumerable<CheckedLine> Drawn(FieldSurvey survey, PatternLines pattern, GuideLine[] guides, DrivingOrder order)
    {
        string form = "D" + Math.Max(3, order.Stops.Count.ToString(CultureInfo.InvariantCulture).Length).ToString(CultureInfo.InvariantCulture);
        for (int i = 0; i < order.Stops.Count; i++)
        {
            (int line, bool reversed) = order.Stops[i];
            PatternLine p = pattern.Lines[line];
            LineString thin = (LineString)DouglasPeuckerSimplifier.Simplify(survey.Field.Boundary.Factory.CreateLineString(p.Path.ToCoordinates()), ChordTolerance);
            yield return new CheckedLine(
                "R" + (i + 1).ToString(form, CultureInfo.InvariantCulture), p.Guide < 0 ? "" : guides[p.Guide].Id, Lift(survey, reversed ? (LineString)thin.Reverse() : thin));
        }
    }

    private static LineString Lift(FieldSurvey survey, LineString line)
    {
        CoordinateZ[] at = [.. line.Coordinates.Select(c => new CoordinateZ(c.X, c.Y, survey.HeightAt(c.X, c.Y)))];
        return line.Factory.CreateLineString(at);
    }
}
