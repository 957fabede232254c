using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Implementation;

namespace Keyline.Guidance;

/// <summary>Makes planned lines ready for a display: shifted to whoever follows them, led in and out, thinned, divided, named.</summary>
/// <remarks>
/// <para>Units: projected metres. Missing: heights may be NaN and are carried along; a line shifted to one side has none,
/// since the ground beside it was not asked.</para>
/// <para>Promises: every point of the planned line, shifted, lies within the tolerance of the parts that came of it; no two
/// neighbours are farther apart than the greatest gap; no part has more points than asked for, and neighbouring parts share
/// the overlap (two points at least). Names keep the planned line's number. Leads never leave the field nor enter what is
/// kept clear of. The same lines give the same result, whatever the number of threads.</para>
/// <para>Errors: <see cref="ArgumentException"/> for options that cannot be followed.</para>
/// <para>Cost: about n log n for n points, on all cores. Source: thinning as in <see cref="LineThinning"/>; the rest is geometry.</para>
/// </remarks>
public static class GuidancePreparation
{
    // Shorter pieces left by shifting a line round a tight bend are no line to drive.
    private const double LeastPiece = 2.0;
    private const double EndChord = 3.0;

    /// <summary>Makes lines ready.</summary>
    /// <param name="paths">The planned lines.</param>
    /// <param name="options">What the display can hold.</param>
    /// <param name="field">The field, which leads must stay in; null where it is not known.</param>
    /// <param name="swathWidth">Distance between passes, metres; NaN where it is not known.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The lines in driving order.</returns>
    /// <exception cref="ArgumentException">Options that cannot be followed.</exception>
    /// <exception cref="GroundDataException">A line has no length, or a coordinate that is no number.</exception>
    public static GuidanceSet Prepare(IReadOnlyList<PlannedPath> paths, GuidanceOptions? options = null, FieldArea? field = null, double swathWidth = double.NaN, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(paths);
        options ??= new GuidanceOptions();
        options.Validate();
        PlannedPath[] ordered = [.. paths.OrderBy(p => p.Sequence)];
        foreach (PlannedPath path in ordered)
        {
            LineRules.Check(path.Line, "Line " + path.Id);
        }

        LeadRoom? room = field is not null && (options.LeadIn > 0 || options.LeadOut > 0) ? new LeadRoom(field) : null;
        Made[] made = new Made[ordered.Length];
        Parallel.For(0, ordered.Length, WorkThreads.Options(cancellationToken), i => made[i] = Make(ordered[i], options, room));
        return new GuidanceSet([.. made.SelectMany(m => m.Lines)], swathWidth, field?.Name ?? "", field?.Boundary, field?.Avoided)
        {
            Figures = Count(ordered, made),
            Notice = options.Notice,
            Notes = Notes(ordered, made, options),
        };
    }

    private static Made Make(PlannedPath planned, GuidanceOptions options, LeadRoom? room)
    {
        List<GuidanceLine> lines = [];
        int leadsCut = 0;
        bool divided = false, broken = false;
        SteeringDemand steering = SteeringDemand.None;
        IReadOnlyList<double> offsets = options.SideOffsets;
        for (int shank = 0; shank < offsets.Count; shank++)
        {
            string name = offsets.Count > 1 ? FormattableString.Invariant($"{planned.Id}.{shank + 1}") : planned.Id;
            List<Coordinate[]> pieces = SideShift.Right(planned.Line, offsets[shank], LeastPiece);
            broken |= pieces.Count != 1;
            List<(Coordinate[] Points, bool Straight)> parts = [];
            foreach (Coordinate[] piece in pieces)
            {
                LineString line = planned.Line.Factory.CreateLineString(piece);
                SteeringDemand demand = SteeringDemand.Of(line);
                steering = new SteeringDemand(Math.Max(steering.Curvature, demand.Curvature), Math.Max(steering.CurvatureRate, demand.CurvatureRate));
                Coordinate[] led = Lead(piece, options, room, ref leadsCut);
                Coordinate[] thin = LineThinning.Thin(planned.Line.Factory.CreateLineString(led), options.Tolerance, options.GreatestGap).Coordinates;
                bool straight = IsStraight(led, options.StraightTolerance);
                List<Coordinate[]> fitting = Divide(thin, options.MostPoints, options.Overlap);
                divided |= fitting.Count > 1;
                parts.AddRange(fitting.Select(p => (p, straight)));
            }

            for (int k = 0; k < parts.Count; k++)
            {
                lines.Add(new GuidanceLine
                {
                    Name = parts.Count > 1 ? FormattableString.Invariant($"{name}-{k + 1}") : name,
                    SourceId = planned.Id,
                    Sequence = planned.Sequence,
                    Part = k + 1,
                    Parts = parts.Count,
                    IsStraight = parts[k].Straight,
                    Path = Packed(parts[k].Points, planned.Line.Factory),
                    Note = options.Notice.Length > 0 && planned.Note.Length > 0 ? $"{options.Notice}; {planned.Note}" : options.Notice + planned.Note,
                });
            }
        }

        return new Made(lines, leadsCut, divided, broken, steering);
    }

    private static Coordinate[] Lead(Coordinate[] piece, GuidanceOptions options, LeadRoom? room, ref int cut)
    {
        List<Coordinate> led = [.. piece];
        if (options.LeadIn > 0 && Extension(piece, false, options.LeadIn, room, ref cut) is { } before)
        {
            led.Insert(0, before);
        }

        if (options.LeadOut > 0 && Extension(piece, true, options.LeadOut, room, ref cut) is { } after)
        {
            led.Add(after);
        }

        return [.. led];
    }

    private static CoordinateZ? Extension(Coordinate[] piece, bool atEnd, double length, LeadRoom? room, ref int cut)
    {
        Coordinate end = atEnd ? piece[^1] : piece[0];
        Coordinate inner = end;
        for (int i = 1; i < piece.Length && inner.Distance(end) < EndChord; i++)
        {
            inner = atEnd ? piece[^(i + 1)] : piece[i];
        }

        double d = inner.Distance(end);
        if (!(d > 0))
        {
            return null;
        }

        XY way = new((end.X - inner.X) / d, (end.Y - inner.Y) / d);
        double free = room?.Along(new XY(end.X, end.Y), way, length) ?? length;
        cut += free < length ? 1 : 0;
        return free > 0.01 ? new CoordinateZ(end.X + (free * way.X), end.Y + (free * way.Y), double.NaN) : null;
    }

    private static bool IsStraight(Coordinate[] path, double tolerance)
    {
        Coordinate a = path[0], b = path[^1];
        double length = a.Distance(b);
        if (!(length > 0))
        {
            return false;
        }

        double ux = (b.X - a.X) / length, uy = (b.Y - a.Y) / length, before = 0;
        foreach (Coordinate c in path)
        {
            double along = ((c.X - a.X) * ux) + ((c.Y - a.Y) * uy), aside = ((c.Y - a.Y) * ux) - ((c.X - a.X) * uy);
            if (Math.Abs(aside) > tolerance || along < before - 1e-9)
            {
                return false;
            }

            before = along;
        }

        return true;
    }

    // The next part starts at the last point that leaves the overlap, and always goes on.
    private static List<Coordinate[]> Divide(Coordinate[] points, int most, double overlap)
    {
        List<Coordinate[]> parts = [];
        int start = 0;
        while (points.Length - start > most)
        {
            int end = start + most - 1, next = end - 1;
            for (double shared = points[end].Distance(points[next]); next > start + 1 && shared < overlap; next--)
            {
                shared += points[next].Distance(points[next - 1]);
            }

            parts.Add(points[start..(end + 1)]);
            start = next;
        }

        parts.Add(points[start..]);
        return parts;
    }

    private static LineString Packed(Coordinate[] points, GeometryFactory factory)
    {
        double[] packed = new double[points.Length * 3];
        for (int i = 0; i < points.Length; i++)
        {
            (packed[3 * i], packed[(3 * i) + 1], packed[(3 * i) + 2]) = (points[i].X, points[i].Y, points[i].Z);
        }

        return factory.CreateLineString(new PackedDoubleCoordinateSequence(packed, 3, 0));
    }

    private static GuidanceFigures Count(PlannedPath[] paths, Made[] made)
    {
        int hardest = -1;
        SteeringDemand most = SteeringDemand.None;
        for (int i = 0; i < made.Length; i++)
        {
            hardest = made[i].Steering.CurvatureRate > most.CurvatureRate ? i : hardest;
            most = new SteeringDemand(Math.Max(most.Curvature, made[i].Steering.Curvature), Math.Max(most.CurvatureRate, made[i].Steering.CurvatureRate));
        }

        return new GuidanceFigures
        {
            PlannedLines = paths.Length,
            DividedLines = made.Count(m => m.Divided),
            StraightLines = made.Sum(m => m.Lines.Count(l => l.IsStraight)),
            PointsBefore = paths.Sum(p => p.Line.NumPoints),
            PointsAfter = made.Sum(m => m.Lines.Sum(l => l.Path.NumPoints)),
            MostPoints = made.SelectMany(m => m.Lines).Select(l => l.Path.NumPoints).DefaultIfEmpty(0).Max(),
            LeadsCut = made.Sum(m => m.LeadsCut),
            Steering = most,
            HardestLine = hardest < 0 ? "" : paths[hardest].Id,
        };
    }

    private static List<string> Notes(PlannedPath[] paths, Made[] made, GuidanceOptions options)
    {
        List<string> notes = [];
        int divided = made.Count(m => m.Divided), cut = made.Sum(m => m.LeadsCut);
        if (divided > 0)
        {
            notes.Add(FormattableString.Invariant($"{divided} of {paths.Length} lines have more than {options.MostPoints} points and come in parts that overlap by {options.Overlap:0.#} m or more."));
        }

        if (cut > 0)
        {
            notes.Add(FormattableString.Invariant($"{cut} of {2 * paths.Length} leads are shorter than asked for, since they would leave the field or enter what is kept clear of."));
        }

        string[] gone = [.. paths.Zip(made).Where(p => p.Second.Broken).Select(p => p.First.Id)];
        if (gone.Length > 0)
        {
            notes.Add(FormattableString.Invariant($"{gone.Length} lines bend too tightly to be shifted whole ({string.Join(", ", gone.Take(5))}{(gone.Length > 5 ? " and more" : "")}): they come in pieces, or not at all."));
        }

        return notes;
    }

    private sealed record Made(List<GuidanceLine> Lines, int LeadsCut, bool Divided, bool Broken, SteeringDemand Steering);
}
