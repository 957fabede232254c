using Keyline.Check;
using Keyline.Field;
using Keyline.Layout.Even;
using Keyline.Layout.Parallels;
using Keyline.Planar;
using NetTopologySuite.Geometries;
using NetTopologySuite.Simplify;

namespace Keyline.Layout;

/// <summary>What a note from the field does to a line.</summary>
public enum LineChangeKind
{
    /// <summary>It steps aside round the thing and goes on as before.</summary>
    Moved,

    /// <summary>It stops at the thing; what is left of it goes on behind, where that is long enough.</summary>
    Cut,

    /// <summary>Nothing of it is left.</summary>
    Gone,

    /// <summary>It runs through over ground set free, together with the line that stopped on the other side.</summary>
    Joined,

    /// <summary>It goes on over ground set free.</summary>
    Longer,

    /// <summary>It lies on ground set free, where no line was.</summary>
    New,
}

/// <summary>What a note from the field did to a line.</summary>
/// <param name="Kind">What was done.</param>
/// <param name="Line">The line's name.</param>
/// <param name="Pieces">Names of what is left of it; none where nothing is.</param>
/// <param name="Lost">Length taken away, metres.</param>
/// <param name="Sentence">The same in one sentence.</param>
public sealed record LineChange(LineChangeKind Kind, string Line, IReadOnlyList<string> Pieces, double Lost, string Sentence)
{
    /// <summary>Length that ground set free added to it, metres.</summary>
    public double Gained { get; init; }
}

/// <summary>A line of a revised layout.</summary>
/// <param name="Id">Its name.</param>
/// <param name="Source">Name of the line it is, or is a piece of; empty for a new line.</param>
/// <param name="Line">Its course, projected metres.</param>
/// <param name="IsChanged">Whether its course is another than it was; where not, the line is the very one that was given.</param>
public sealed record RevisedLine(string Id, string Source, LineString Line, bool IsChanged);

/// <summary>A layout made again only where something was found in the field since: rock, a wet spot, a moved fence.</summary>
/// <remarks>
/// <para>Units: metres. Missing: heights of a line that steps aside are NaN until it is measured on the ground again.</para>
/// <para>Promises: lines clear of what was found keep name, place in the order and every coordinate. A line that meets it steps aside as a
/// line of a fresh layout would (a cosine in, a cosine out, no tighter than the radius, never nearer than
/// 0.55 spacings to another line) where that costs less than two line ends; else it is cut at the setback and its pieces are named after it ("R012a",
/// "R012b"; a single piece keeps the name). Pieces shorter than <see cref="LeastPiece"/> are left out and counted as lost.</para>
/// <para>Cost: lines times notes. Source: the rules of the layout itself.</para>
/// </remarks>
public sealed class LayoutRevision
{
    /// <summary>Shorter pieces are not worth letting the implement down for, metres. Common practice, no source.</summary>
    public const double LeastPiece = 15;

    internal const double LeastGap = LineShaping.LeastGapShare;

    private const double Step = 1;
    private const double ChordTolerance = 0.01;
    private const double OldEdge = 0.05;

    internal LayoutRevision(FieldArea field, IReadOnlyList<RevisedLine> lines, IReadOnlyList<LineChange> changes) => (Field, Lines, Changes) = (field, lines, changes);

    /// <summary>The field with what was found among what is avoided.</summary>
    public FieldArea Field { get; }

    /// <summary>The lines, in their order.</summary>
    public IReadOnlyList<RevisedLine> Lines { get; }

    /// <summary>What changed, in the order of the lines.</summary>
    public IReadOnlyList<LineChange> Changes { get; }

    /// <summary>What was set free in it; null where nothing was.</summary>
    public FreedField? Freed { get; internal init; }

    /// <summary>Ground that may be worked now and could not before, projected metres; null where none was set free.</summary>
    public Geometry? FreedGround { get; internal init; }

    /// <summary>What breaks a limit on or beside ground set free.</summary>
    public IReadOnlyList<LayoutFinding> Findings { get; internal init; } = [];

    /// <summary>Revises a layout.</summary>
    /// <param name="lines">Its lines in their order.</param>
    /// <param name="field">Its field.</param>
    /// <param name="found">What was found: points, lines or areas with their setback.</param>
    /// <param name="spacing">Distance between lines, metres; NaN where it is not known: then no line steps aside.</param>
    /// <param name="minimumRadius">Tightest turn along a line, metres, 0 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">A spacing that is not above 0, or a radius below 0.</exception>
    public static LayoutRevision Of(IReadOnlyList<CheckedLine> lines, FieldArea field, IReadOnlyList<AvoidedArea> found, double spacing, double minimumRadius)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(found);
        if (spacing <= 0)
        {
            throw new ArgumentOutOfRangeException(nameof(spacing), spacing, "Lines lie above 0 m apart.");
        }

        ArgumentOutOfRangeException.ThrowIfNegative(minimumRadius);
        FieldArea revised = FieldWith(field, found);
        AvoidedArea[][] met = [.. lines.Select(l => found.Where(n => n.KeptClear.EnvelopeInternal.Intersects(l.Line.EnvelopeInternal) && n.KeptClear.Intersects(l.Line)).ToArray())];
        Sidestep? aside = double.IsNaN(spacing) || !met.Any(m => m.Length > 0) ? null : new Sidestep(field, found, spacing, minimumRadius, lines);
        List<RevisedLine> left = [];
        List<LineChange> changes = [];
        for (int i = 0; i < lines.Count; i++)
        {
            if (met[i].Length == 0)
            {
                left.Add(new RevisedLine(lines[i].Id, lines[i].Id, lines[i].Line, false));
                continue;
            }

            string why = string.Join(" and ", met[i].Select(n => n.Name.Length > 0 ? n.Name : "a note").Distinct());
            if (aside?.Of(lines[i].Line, i) is (LineString moved, double far))
            {
                left.Add(new RevisedLine(lines[i].Id, lines[i].Id, moved, true));
                changes.Add(new LineChange(LineChangeKind.Moved, lines[i].Id, [lines[i].Id], 0, FormattableString.Invariant($"{lines[i].Id} steps up to {far:0.0} m aside round {why}.")));
                continue;
            }

            Cut(lines[i], met[i], why, left, changes);
        }

        return new LayoutRevision(revised, left, changes);
    }

    /// <summary>A field with what was found among what is avoided in it.</summary>
    /// <param name="field">The field.</param>
    /// <param name="found">What was found.</param>
    public static FieldArea FieldWith(FieldArea field, IReadOnlyList<AvoidedArea> found)
    {
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(found);
        return new FieldArea(field.Boundary, field.Avoided.Concat(found), field.Name) { Gate = field.Gate, Outlets = field.Outlets, PinnedGuides = field.PinnedGuides };
    }

    private static void Cut(CheckedLine line, AvoidedArea[] met, string why, List<RevisedLine> left, List<LineChange> changes)
    {
        Geometry rest = met.Aggregate((Geometry)line.Line, (g, n) => g.Difference(n.KeptClear));
        LineString[] pieces = [.. Parts(rest).Where(p => p.Length >= LeastPiece)];
        string[] names = [.. pieces.Select((_, k) => pieces.Length == 1 ? line.Id : line.Id + Letters(k))];
        left.AddRange(pieces.Select((p, k) => new RevisedLine(names[k], line.Id, p, true)));
        double lost = line.Line.Length - pieces.Sum(p => p.Length);
        changes.Add(new LineChange(pieces.Length == 0 ? LineChangeKind.Gone : LineChangeKind.Cut, line.Id, names, lost, pieces.Length == 0
            ? FormattableString.Invariant($"{line.Id} is left out for {why}: no piece of {LeastPiece:0} m remains.")
            : FormattableString.Invariant($"{line.Id} loses {(lost < 0.95 ? "less than 1" : FormattableString.Invariant($"{lost:0}"))} m to {why}{(pieces.Length > 1 ? " and is now " + string.Join(", ", names) : "")}.")));
    }

    // a to z, then za, zb and so on.
    private static string Letters(int k) => new string('z', k / 26) + (char)('a' + (k % 26));

    private static IEnumerable<LineString> Parts(Geometry shape) => shape switch
    {
        LineString { IsEmpty: false } line => [line],
        GeometryCollection many => many.Geometries.SelectMany(Parts),
        _ => [],
    };

    /// <summary>Lines that step aside where there is room between their neighbours.</summary>
    private sealed class Sidestep
    {
        private readonly AreaClip? _inside;
        private readonly StepAround _around;
        private readonly SegmentBins _others;
        private readonly double _gap;

        public Sidestep(FieldArea field, IReadOnlyList<AvoidedArea> found, double spacing, double minimumRadius, IReadOnlyList<CheckedLine> lines)
        {
            _gap = LeastGap * spacing;
            LayoutOptions options = new() { Spacing = spacing, MinimumRadius = minimumRadius };
            _around = new StepAround(new FieldArea(field.Boundary, found), options, 1 - LeastGap);

            // What was avoided before is met by lines that run along it, so a little of its edge is let go.
            Geometry free = field.Boundary.Buffer(OldEdge);
            free = field.Avoided.Select(a => a.KeptClear.Buffer(-OldEdge)).Concat(found.Select(n => n.KeptClear)).Aggregate(free, (g, taken) => taken.IsEmpty ? g : g.Difference(taken));
            _inside = free.IsEmpty ? null : new AreaClip(free);
            _others = new SegmentBins(field.Boundary.EnvelopeInternal, Math.Max(spacing, 2));
            for (int i = 0; i < lines.Count; i++)
            {
                _others.Add(SampledLine.PathOf(lines[i].Line), i);
            }
        }

        // The line round what it met, and how far it goes aside; null where it has to stop.
        public (LineString Line, double Far)? Of(LineString line, int number)
        {
            if (_inside is null)
            {
                return null;
            }

            LinePath whole = SampledLine.PathOf(line).Resample(Step);
            List<LinePath> pieces = _inside.Inside(whole, 0);
            if (whole.Closed || pieces.Count < 2 || _around.Join(whole, pieces, _inside, 0) is not [{ } stepped])
            {
                return null;
            }

            SegmentBins own = new(line.EnvelopeInternal, 2 * Step);
            own.Add(whole, 0);
            LineString drawn = line.Factory.CreateLineString(stepped.ToCoordinates());
            double far = 0;
            List<int> near = [];
            foreach (XY p in stepped.Points.Where(p => !own.AnyWithin(p, ChordTolerance)))
            {
                _others.Collect(p, _gap, near);
                if (near.Any(s => _others.Segment(s) is var other && other.Owner != number && SegmentBins.SquareDistance(p, other.Start, other.End) < (_gap - ChordTolerance) * (_gap - ChordTolerance)))
                {
                    return null;
                }

                far = Math.Max(far, line.Distance(line.Factory.CreatePoint(new Coordinate(p.X, p.Y))));
            }

            _others.Add(stepped, number);
            return ((LineString)DouglasPeuckerSimplifier.Simplify(drawn, ChordTolerance), far);
        }
    }
}
