using Keyline.Check;
using Keyline.Elevation;
using Keyline.Guidance;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Driven;

/// <summary>Holds what was driven against what was planned: which lines, how far off, how steep, how far apart.</summary>
/// <remarks>
/// <para>Units: metres and percent. Cross-track errors are positive where the implement went to the right of the line as it
/// was driven. Grades are differences of height over a base of <see cref="LineMeasures.GradeBase"/> metres of the way.</para>
/// <para>Missing: without heights grades are NaN; without a spacing, spacings are.</para>
/// <para>Promises: each metre of the track is on one planned line at most, whichever explains the track most cheaply (see the
/// source), or on none; the same input gives the same result on any number of cores. A track is taken at points a metre apart,
/// on straight ways between its fixes: fixes a distance d apart on a turn of radius R err by up to d^2/8R.</para>
/// <para>Cost: linear in the length of the track and of the lines. Source: matching by dynamic programming (Viterbi 1967;
/// Newson and Krumm 2009, ACM GIS; both from memory); the rest is geometry.</para>
/// </remarks>
public static class DrivenComparison
{
    // Samples worked between two looks at the token.
    private const int Batch = 1024;

    // Samples whose candidates are held at a time, where the track can be cut.
    private const int Piece = 16 * Batch;

    /// <summary>Holds tracks against lines.</summary>
    /// <param name="planned">The planned lines.</param>
    /// <param name="tracks">What was driven, in order, in the same projected metres; Z its heights, or NaN.</param>
    /// <param name="options">What is allowed and what counts.</param>
    /// <param name="ground">Heights to take grades from; null for the tracks' own.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <exception cref="ArgumentException">An option cannot be followed.</exception>
    /// <exception cref="GroundDataException">There is no line, or no track two metres long; a line has no length, or something a coordinate that is no number.</exception>
    public static DrivenResult Compare(IReadOnlyList<PlannedPath> planned, IReadOnlyList<LineString> tracks, DrivenOptions options, ElevationGrid? ground = null, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(planned);
        ArgumentNullException.ThrowIfNull(tracks);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        if (planned.Count == 0)
        {
            throw new GroundDataException("There is no planned line to hold the track against.");
        }

        PlannedPath[] lines = [.. planned];
        Array.ForEach(lines, p => LineRules.Check(p.Line, "Line " + p.Id));

        // Stretches of a log may be of one fix; what is too short to be a way is left out below.
        foreach (LineString track in tracks.Where(t => t.Length != 0))
        {
            LineRules.Check(track, "A track");
        }

        PlannedIndex index = new(lines, options.UsedReach);
        DrivenResult result = Judge(tracks, options.ImplementOffset);
        if (!options.TakesOffShift || result.Shift is not { } shift)
        {
            return result;
        }

        LineString[] moved = shift.Right != 0 ? [.. tracks] : [.. tracks.Select(t => Moved(t, -shift.East, -shift.North))];
        return Judge(moved, options.ImplementOffset - shift.Right, shift);

        DrivenResult Judge(IReadOnlyList<LineString> driven, double right, SteadyShift? takenOff = null)
        {
            TrackSamples[] parts = [.. driven.SelectMany(t => TrackSamples.Of(t, options.GreatestGap, right))];
            if (parts.Length == 0)
            {
                throw new GroundDataException(FormattableString.Invariant($"The track is shorter than two metres between breaks of its log (fixes more than {options.GreatestGap:0.#} m apart): check that it is the log of the work, or allow a greater gap."));
            }

            DrivenWork work = new(lines, index, options, ground);
            foreach (TrackSamples part in parts)
            {
                work.Take(part, Match(index, part, options, cancellationToken));
            }

            return work.Result(takenOff, cancellationToken);
        }
    }

    private static LineString Moved(LineString track, double east, double north) =>
        track.Factory.CreateLineString(Array.ConvertAll(track.Coordinates, c => (Coordinate)new CoordinateZ(c.X + east, c.Y + north, c.Z)));

    // Where no line is within reach the track is on none, whatever comes before and after: there a long track is cut, so that
    // only the candidates of a piece are held at a time. Pieces share the sample they are cut at.
    private static PlannedPlace?[] Match(PlannedIndex index, TrackSamples track, DrivenOptions options, CancellationToken cancellationToken)
    {
        PlannedPlace?[] all = new PlannedPlace?[track.Count];
        List<PlannedPlace[]> piece = [];
        for (int start = 0; start < track.Count;)
        {
            int from = start + piece.Count, to = Math.Min(from + Piece, track.Count);
            piece.AddRange(Candidates(index, track, from, to, options, cancellationToken));
            int last = to == track.Count ? piece.Count - 1 : piece.FindLastIndex(c => c.Length == 0);
            if (last > 0)
            {
                TrackMatching.Cheapest(piece.GetRange(0, last + 1), index.Lengths, options.UsedReach).CopyTo(all, start);
                int next = to == track.Count ? track.Count : start + last;
                piece.RemoveRange(0, next - start < piece.Count ? next - start : piece.Count);
                start = next;
            }
            else if (to == track.Count)
            {
                start = to;
            }
        }

        return all;
    }

    private static PlannedPlace[][] Candidates(PlannedIndex index, TrackSamples track, int from, int to, DrivenOptions options, CancellationToken cancellationToken)
    {
        double cosine = Math.Cos(options.WidestAngle * Math.PI / 180);
        PlannedPlace[][] all = new PlannedPlace[to - from][];
        Parallel.For(0, (all.Length + Batch - 1) / Batch, WorkThreads.Options(cancellationToken), batch =>
        {
            List<PlannedPlace> found = [];
            List<int> near = [];
            for (int i = batch * Batch; i < Math.Min(all.Length, (batch + 1) * Batch); i++)
            {
                index.Near(track.At[from + i], track.Direction[from + i], options.UsedReach, cosine, found, near);
                all[i] = [.. found];
            }
        });
        return all;
    }
}
