using Keyline.Guidance;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>The lines of a job for a display: in order, joined where the turn between them can be driven forward, in files of so many.</summary>
/// <remarks>
/// <para>Units: metres. Promises: every line once and in order; names begin with the place in the order, so that a display that sorts by name keeps it;
/// a name ends in "!" where a line of it has a warning; a run is joined only by turns that fit and are driven forward.</para>
/// <para>Cost: one pass. Source: ours.</para>
/// </remarks>
public static class WorkRuns
{
    private const int MostJoined = 12;

    /// <summary>Puts the lines into files.</summary>
    /// <param name="stops">The lines in order.</param>
    /// <param name="mostLines">Most lines a file may hold, 1 or more.</param>
    /// <param name="join">Whether lines are joined into continuous runs.</param>
    public static IReadOnlyList<IReadOnlyList<PlannedPath>> Of(IReadOnlyList<WorkStop> stops, int mostLines, bool join)
    {
        ArgumentNullException.ThrowIfNull(stops);
        ArgumentOutOfRangeException.ThrowIfLessThan(mostLines, 1);
        List<PlannedPath> runs = [];
        for (int i = 0; i < stops.Count;)
        {
            int last = i;
            while (join && last + 1 < stops.Count && last - i + 1 < MostJoined && stops[last + 1].Change is { Fits: true, Way.IsForward: true, Kind: RowChangeKind.Forward })
            {
                last++;
            }

            runs.Add(Run([.. stops.Skip(i).Take(last - i + 1)], runs.Count + 1));
            i = last + 1;
        }

        return [.. runs.Chunk(mostLines)];
    }

    private static PlannedPath Run(WorkStop[] stops, int sequence)
    {
        List<Coordinate> points = [];
        foreach (WorkStop stop in stops)
        {
            if (points.Count > 0)
            {
                points.AddRange(stop.Change!.Way.Sample(0.5).Select(p => (Coordinate)new CoordinateZ(p.X, p.Y, double.NaN)));
            }

            // The way ends with the axle ahead of the shanks, that far along the line already.
            Coordinate[] course = stop.Course.Coordinates;
            points.AddRange(points.Count > 0 ? Beyond(course, points[^1]) : course);
        }

        string warning = Array.Exists(stops, s => s.Line.Warning.Length > 0) ? "!" : "";
        string name = stops.Length == 1
            ? FormattableString.Invariant($"{stops[0].Number:000} {stops[0].Line.Id}{warning}")
            : FormattableString.Invariant($"{stops[0].Number:000}-{stops[^1].Number:000} {stops[0].Line.Id}+{stops.Length - 1}{warning}");
        string note = string.Join("; ", stops.Select(s => s.Line.Warning.Length > 0 ? $"{s.Line.Id}: {s.Line.Warning}" : s.Line.Id));
        return new PlannedPath(name, sequence, new LineString([.. points]), note);
    }

    private static IEnumerable<Coordinate> Beyond(Coordinate[] course, Coordinate at)
    {
        double skipped = course[0].Distance(at), along = 0;
        for (int i = 1; i < course.Length; i++)
        {
            along += course[i].Distance(course[i - 1]);
            if (along > skipped + 0.1)
            {
                yield return course[i];
            }
        }
    }
}
