using Keyline.Check;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>Lets lines go on along courses over ground set free: through to the line that stops on the other side, to the new edge, or as new lines.</summary>
/// <remarks>
/// <para>Units: metres. A line goes on along a course that passes within <see cref="Beside"/> spacings of its end, and comes over to it by a cosine.</para>
/// <para>Promises: what is laid keeps the least gap to all other lines, stays in the workable ground and turns no tighter than the radius; courses of given lines keep their coordinates but
/// for their last <see cref="Tail"/> metres. Same input, same lines. Cost: courses times the line ends around. Source: ours.</para>
/// </remarks>
internal sealed class LineGrowth
{
    /// <summary>How far beside a line's end a course may pass to be its own, spacings.</summary>
    public const double Beside = 0.6;

    /// <summary>How much of a given line at its end may be smoothed into what follows, metres.</summary>
    public const double Tail = 12;

    private const double Step = 1;
    private const double Along = 10;
    private const double LeastOnward = 0.8;
    private const double ComeOver = 20;
    private const double LeastGain = 2;
    private const double Edge = 0.05;
    private const double ChordTolerance = 0.01;
    private const double Smoothing = 2;
    private const double Slack = 1.03;
    private const int Arm = 3;

    private readonly Func<XY, double> _height;
    private readonly double _spacing;
    private readonly double _radius;
    private readonly double _leastNew;
    private readonly double _gap;
    private readonly AreaClip _freed;
    private readonly AreaClip _workable;
    private readonly Envelope _near;
    private readonly SegmentBins _laid;
    private readonly List<GrowingLine> _lines = [];
    private readonly Dictionary<int, GrowingLine> _owner = [];
    private readonly List<int> _found = [];
    private int _owners;

    public LineGrowth(IReadOnlyList<LineString> lines, Geometry freed, Geometry workable, LayoutOptions options, Func<XY, double> height)
    {
        (_spacing, _radius, _leastNew, _gap, _height) = (options.Spacing, options.MinimumRadius, options.MinimumLength, LayoutRevision.LeastGap * options.Spacing, height);
        _freed = new AreaClip(freed);
        _workable = new AreaClip(workable.Buffer(Edge));
        _near = freed.EnvelopeInternal.Copy();
        _near.ExpandBy(Along + (2 * _spacing));
        _laid = new SegmentBins(workable.EnvelopeInternal, Math.Max(_spacing, 2));
        for (int i = 0; i < lines.Count; i++)
        {
            GrowingLine line = new(i, lines[i].Coordinates, lines[i].IsClosed);
            _lines.Add(line);
            Lay(SampledLine.PathOf(lines[i]), line);
        }
    }

    /// <summary>All lines as they are now.</summary>
    public IReadOnlyList<GrowingLine> Lines => _lines;

    /// <summary>Whether a place lies on ground set free.</summary>
    public bool IsFreed(XY p) => _freed.Covers(p);

    /// <summary>Whether a place is so near ground set free that a line ending there may go on over it.</summary>
    public bool IsNear(XY p) => _near.Contains(p.X, p.Y);

    /// <summary>Whether a course may be driven: on workable ground, clear of all lines but two, and nowhere too tight.</summary>
    public bool[] Drivable(XY[] course, bool closed, GrowingLine? mine, GrowingLine? other, double gap)
    {
        LinePath path = new(course, closed);
        return [.. course.Select((p, i) => _workable.Covers(p) && Clear(p, mine, other, gap) && Math.Abs(path.CurvatureAt(i, Arm)) * _radius <= Slack)];
    }

    /// <summary>Grows along the courses.</summary>
    /// <returns>The given lines that are left, in their order, and the new ones, the longest first.</returns>
    public IReadOnlyList<GrowingLine> Over(IReadOnlyList<LinePath> courses, CancellationToken cancellationToken)
    {
        LinePath[] over = [.. courses.SelectMany(c => PathRuns.Where(c, [.. c.Points.Select(_freed.Covers)])).OrderByDescending(p => p.Length())];

        // Those that run from a line to a line first, then those that let one go on, then the rest.
        for (int ends = 2; ends >= 0; ends--)
        {
            foreach (LinePath run in over)
            {
                cancellationToken.ThrowIfCancellationRequested();
                if (!run.Closed && Match(run) is var (from, to) && (from is null ? 0 : 1) + (to is null ? 0 : 1) == ends)
                {
                    Grow(run, from, to);
                }
                else if (run.Closed && ends == 0)
                {
                    Grow(run, null, null);
                }
            }
        }

        return [.. _lines.Where(l => l.Order >= 0).OrderBy(l => l.Order), .. _lines.Where(l => l.Order < 0)];
    }

    private (GrowingEnd? From, GrowingEnd? To) Match(LinePath run)
    {
        GrowingEnd? from = Nearest(run, false, null), to = Nearest(run, true, from?.Line);
        return (from, to);
    }

    // The line that stops where a course begins (or ends), and heads along it.
    private GrowingEnd? Nearest(LinePath run, bool last, GrowingLine? other)
    {
        GrowingEnd? best = null;
        double least = Beside * _spacing;
        XY end = last ? run.Points[^1] : run.Points[0];
        XY outward = last ? run.Tangent(run.Count - 1) : run.Tangent(0) * -1;
        foreach (GrowingLine line in _lines.Where(l => !l.IsClosed && l != other))
        {
            for (int side = 0; side < 2; side++)
            {
                (XY place, XY away) = line.End(side == 1);
                if (!_near.Contains(place.X, place.Y) || away.Dot(outward) > -LeastOnward)
                {
                    continue;
                }

                double along = (place - end).Dot(outward), aside = Math.Abs((place - end).Cross(outward));

                // A line may stop a little before the freed ground, or in it where that was cut generously.
                if (Math.Abs(along) <= Along && aside < least)
                {
                    (best, least) = (new GrowingEnd(line, side == 1), aside);
                }
            }
        }

        return best;
    }

    private void Grow(LinePath run, GrowingEnd? from, GrowingEnd? to)
    {
        XY[]? course = Course(run, from, to);
        if (course is null)
        {
            return;
        }

        // What lies too near another line, off the workable ground or in too tight a bend stays bare.
        bool[] keep = Drivable(course, run.Closed, from?.Line, to?.Line, _gap);
        int first = Array.IndexOf(keep, false), last = Array.LastIndexOf(keep, false);
        if (first < 0 && from is { } a && to is { } b)
        {
            Put(course, a, b);
            return;
        }

        if (from is { } begin && first != 0)
        {
            Put(first < 0 ? course : course[..first], begin, null);
        }

        if (to is { } stop && last != keep.Length - 1)
        {
            XY[] rest = last < 0 ? course : course[(last + 1)..];
            Put([.. Enumerable.Reverse(rest)], stop, null);
        }

        foreach (LinePath piece in PathRuns.Where(new LinePath(course, run.Closed), keep))
        {
            bool taken = !piece.Closed && ((from is not null && piece.Points[0] == course[0]) || (to is not null && piece.Points[^1] == course[^1]));
            if (!taken && piece.Length() >= _leastNew)
            {
                GrowingLine line = new(-1, Thinned(piece.Points), false) { Gained = piece.Length() };
                _lines.Add(line);
                Lay(piece, line);
            }
        }
    }

    // The run, brought over to the ends that it goes on from; null where nothing is left between them.
    private XY[]? Course(LinePath run, GrowingEnd? from, GrowingEnd? to)
    {
        if (from is null && to is null)
        {
            return run.Points;
        }

        XY? begin = from?.Line.End(from.Last).Place, stop = to?.Line.End(to.Last).Place;
        int n = run.Count;

        // Points behind an end are left out, and those between it and the run drawn straight on.
        int i0 = begin is { } b ? Enumerable.Range(0, n).FirstOrDefault(i => (run.Points[i] - b).Dot(run.Tangent(i)) > Step / 2, n) : 0;
        int i1 = stop is { } s ? n - 1 - Enumerable.Range(0, n).FirstOrDefault(i => (s - run.Points[n - 1 - i]).Dot(run.Tangent(n - 1 - i)) > Step / 2, n) : n - 1;
        if (i1 < i0)
        {
            return begin is { } p && stop is { } q && (q - p).Norm < 2 * Along ? Smoothed([p, q], from, to) : null;
        }

        List<XY> points = [];
        double offA = begin is { } e ? (e - run.Points[i0]).Dot(run.Tangent(i0).Left) : 0, offB = stop is { } f ? (f - run.Points[i1]).Dot(run.Tangent(i1).Left) : 0;
        double over = Math.Min(ComeOver, (i1 - i0) * Step);
        if (begin is { } x)
        {
            points.Add(x);
        }

        for (int i = i0; i <= i1; i++)
        {
            double off = (offA * Fade((i - i0) * Step / Math.Max(over, Step))) + (offB * Fade((i1 - i) * Step / Math.Max(over, Step)));
            points.Add(run.Points[i] + (run.Tangent(i).Left * off));
        }

        if (stop is { } y)
        {
            points.Add(y);
        }

        return Smoothed(points, from, to);
    }

    /// <summary>A course smoothed together with the tails of the lines it joins, which it begins and ends with.</summary>
    public XY[] Smoothed(List<XY> points, GrowingEnd? from, GrowingEnd? to)
    {
        XY[] before = from is null ? [] : CutTail(from), after = to is null ? [] : [.. Enumerable.Reverse(CutTail(to))];
        LinePath whole = new LinePath([.. before, .. points, .. after], false).Resample(Step);
        LinePath fair = PathFairing.Fair(whole.Smooth(Smoothing / Step), _radius);
        return fair.Points;
    }

    // The last metres of a line, up to its end but without it, in its direction out. They are put back by whoever lays the course.
    private static XY[] CutTail(GrowingEnd meeting)
    {
        List<XY> tail = [];
        List<Coordinate> at = meeting.Line.At;
        double far = 0;
        for (int k = 1; k < at.Count && far < Tail; k++)
        {
            Coordinate c = meeting.Last ? at[^(k + 1)] : at[k], outer = meeting.Last ? at[^k] : at[k - 1];
            double length = c.Distance(outer);
            double share = Math.Min(1, (Tail - far) / Math.Max(length, 1e-9));
            tail.Add(new XY(outer.X + ((c.X - outer.X) * share), outer.Y + ((c.Y - outer.Y) * share)));
            far += length;
        }

        tail.Reverse();
        return [.. tail];
    }

    private static double Fade(double share) => share >= 1 ? 0 : 0.5 * (1 + Math.Cos(Math.PI * share));

    /// <summary>Lays a course that begins with the tail of the one line, and ends with that of the other where there is one.</summary>
    public void Put(XY[] course, GrowingEnd from, GrowingEnd? to)
    {
        GrowingLine line = from.Line;
        double before = Length(line.At) + (to is null ? 0 : Length(to.Line.At));
        if (!from.Last)
        {
            line.Turn();
        }

        if (to is { Last: true })
        {
            to.Line.Turn();
        }

        List<Coordinate> mine = WithoutTail(line.At, true), rest = to is null ? [] : WithoutTail(to.Line.At, false);
        Coordinate[] laid = Thinned(course);
        double gain = Length([.. mine, .. laid, .. rest]) - before;
        if (to is null && gain < LeastGain)
        {
            return;
        }

        if (mine.Count > 0 && mine[^1].Distance(laid[0]) < ChordTolerance)
        {
            mine.RemoveAt(mine.Count - 1);
        }

        if (rest.Count > 0 && rest[0].Distance(laid[^1]) < ChordTolerance)
        {
            rest.RemoveAt(0);
        }

        line.At.Clear();
        line.At.AddRange(mine);
        to?.Line.At.Clear();
        to?.Line.At.AddRange(rest);
        line.Append(laid, to?.Line);
        line.Gained += Math.Max(gain, 0);
        Lay(new LinePath(course, false), line);
        if (to is not null)
        {
            _lines.Remove(to.Line);
            foreach (int owner in _owner.Where(o => o.Value == to.Line).Select(o => o.Key).ToArray())
            {
                _owner[owner] = line;
            }
        }
    }

    private static List<Coordinate> WithoutTail(List<Coordinate> at, bool last)
    {
        List<Coordinate> left = [.. last ? at : Enumerable.Reverse(at)];
        double far = 0;
        while (left.Count > 1 && far + left[^1].Distance(left[^2]) <= Tail + ChordTolerance)
        {
            far += left[^1].Distance(left[^2]);
            left.RemoveAt(left.Count - 1);
        }

        if (left.Count > 1 && far < Tail - ChordTolerance)
        {
            left.RemoveAt(left.Count - 1);
        }

        if (!last)
        {
            left.Reverse();
        }

        return left;
    }

    private Coordinate[] Thinned(XY[] course)
    {
        Coordinate[] thin = NetTopologySuite.Simplify.DouglasPeuckerLineSimplifier.Simplify(new LinePath(course, false).ToCoordinates(), ChordTolerance);
        return [.. thin.Select(c => new CoordinateZ(c.X, c.Y, _height(new XY(c.X, c.Y))))];
    }

    private static double Length(List<Coordinate> at) => Enumerable.Range(1, Math.Max(at.Count - 1, 0)).Sum(i => at[i - 1].Distance(at[i]));

    private bool Clear(XY p, GrowingLine? mine, GrowingLine? other, double gap)
    {
        _laid.Collect(p, gap, _found);
        return _found.TrueForAll(s => _laid.Segment(s) is var segment && _owner[segment.Owner] is var line && (line == mine || line == other || SegmentBins.SquareDistance(p, segment.Start, segment.End) >= gap * gap));
    }

    private void Lay(LinePath path, GrowingLine line)
    {
        _owner[_owners] = line;
        _laid.Add(path, _owners++);
    }

}
