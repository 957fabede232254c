using Keyline.Check;
using Keyline.Field;
using Keyline.Layout.Even;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>The courses that lines would take over ground set free, with the lines around it held.</summary>
/// <remarks>
/// <para>Units: metres, percent. The even pattern is laid over the freed ground and a rim around it in which every line there is is given, so that courses go on where lines stop, at the same
/// distances, within the grade wished for and no tighter than the radius. Where the lines around are straight and parallel, courses are straight and parallel to them.</para>
/// <para>Cost: linear in the area of freed ground and rim. Source: <see cref="EvenPattern"/>; ours.</para>
/// </remarks>
internal static class FreedLines
{
    private const double RimInSpacings = 8;
    private const double LeastRim = 24;
    private const double PastRim = 8;
    private const double Step = 1;

    // Ground narrower than this was not set free but drawn a little otherwise, metres.
    private const double LeastWidth = 0.6;
    private const double StraightWithin = 0.1;
    private const double SameBearing = 0.01;
    private const double LeastStraight = 20;

    /// <summary>Ground that may be worked now and could not before.</summary>
    public static Geometry Ground(FieldArea before, FieldArea now, Geometry workable, double headland)
    {
        Geometry then = Clear(before, headland), free = Clear(now, headland).Difference(then);
        return free.Buffer(-LeastWidth / 2).Buffer(LeastWidth / 2).Intersection(workable);
    }

    /// <summary>The courses over it.</summary>
    /// <param name="lines">The lines as they are.</param>
    /// <param name="freed">The ground.</param>
    /// <param name="survey">The field with the ground set free.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static IReadOnlyList<LinePath> Courses(IReadOnlyList<LineString> lines, Geometry freed, FieldSurvey survey, CancellationToken cancellationToken)
    {
        LayoutOptions options = survey.Options;
        double rim = Math.Max(RimInSpacings * options.Spacing, LeastRim);
        Geometry around = survey.Workable.Intersection(freed.Buffer(rim));
        AreaClip near = new(around.Buffer(PastRim));
        LinePath[] held = [.. lines.Where(l => l.EnvelopeInternal.Intersects(around.EnvelopeInternal)).SelectMany(l => near.Inside(SampledLine.PathOf(l), PastRim)).Select(p => p.Resample(Step))];
        if (Straight(held, freed, options.Spacing) is { } straight)
        {
            AreaClip clip = new(around);
            return [.. straight.SelectMany(p => clip.Inside(p, 1)).Select(p => p.Resample(Step))];
        }

        EvenSettings settings = EvenPlan.Settings(survey, options.DriftWorth, options.LeastFall) with { MinimumLength = Math.Min(options.MinimumLength, LayoutRevision.LeastPiece) };
        return [.. EvenPattern.Lay(survey.RasterOf, around, held, settings, new StepAround(survey.Field, options, 1 - LineShaping.LeastGapShare), null, cancellationToken).Lines.Select(l => l.Path)];
    }

    private static Geometry Clear(FieldArea field, double headland) => field.Avoided.Aggregate(field.Within(headland), (g, a) => g.IsEmpty ? g : g.Difference(a.KeptClear));

    // The family of straight lines that all lines around belong to, at multiples of the spacing from the longest; null where one of them bends or runs another way.
    private static List<LinePath>? Straight(LinePath[] held, Geometry freed, double spacing)
    {
        LinePath[] tell = [.. held.Where(p => (p.Points[^1] - p.Points[0]).Norm >= LeastStraight)];
        if (tell.Length == 0)
        {
            return null;
        }

        LinePath longest = tell.MaxBy(p => p.Length())!;
        XY along = (longest.Points[^1] - longest.Points[0]).Unit();
        foreach (LinePath path in tell)
        {
            XY own = (path.Points[^1] - path.Points[0]).Unit();
            if (path.Closed || Math.Abs(own.Cross(along)) > SameBearing || path.Points.Any(p => Math.Abs((p - path.Points[0]).Cross(own)) > StraightWithin))
            {
                return null;
            }
        }

        Envelope box = freed.EnvelopeInternal;
        XY origin = longest.Points[0], left = along.Left;
        double reach = box.Diameter + longest.Length() + (new XY(box.Centre.X, box.Centre.Y) - origin).Norm;
        double[] offs = [.. freed.Coordinates.Select(c => (new XY(c.X, c.Y) - origin).Dot(left))];
        List<LinePath> family = [];
        for (int k = (int)Math.Floor(offs.Min() / spacing); k <= Math.Ceiling(offs.Max() / spacing); k++)
        {
            XY through = origin + (left * (k * spacing));
            family.Add(new LinePath([through - (along * reach), through + (along * reach)], false));
        }

        return family;
    }
}
