using Keyline.Field;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>What a note from the field did to a line.</summary>
/// <param name="Line">The line's name.</param>
/// <param name="Pieces">Names of what is left of it; none where nothing is.</param>
/// <param name="Lost">Length taken away, metres.</param>
/// <param name="Sentence">The same in one sentence.</param>
public sealed record LineChange(string Line, IReadOnlyList<string> Pieces, double Lost, string Sentence);

/// <summary>A plan revised for what was found in the field since: rock, a wet spot, a moved fence.</summary>
/// <remarks>
/// <para>Units: metres. Promises: lines clear of the notes stay as they are, in their order and with their names; a line that enters one is cut at its
/// setback, and its pieces are named after it ("R012a", "R012b"); pieces shorter than <see cref="LeastPiece"/> are left out and counted as lost. The plan is not laid
/// out anew around the note: that is for the planner, with the note as an avoided area.</para>
/// <para>Cost: lines times notes. Source: geometry.</para>
/// </remarks>
public sealed class FieldRevision
{
    /// <summary>Shorter pieces are not worth letting the implement down for, metres. Common practice, no source.</summary>
    public const double LeastPiece = 15;

    private FieldRevision(FieldArea field, IReadOnlyList<WorkLine> lines, IReadOnlyList<LineChange> changes) => (Field, Lines, Changes) = (field, lines, changes);

    /// <summary>The field with the notes among what is avoided.</summary>
    public FieldArea Field { get; }

    /// <summary>The lines that are left, in their order.</summary>
    public IReadOnlyList<WorkLine> Lines { get; }

    /// <summary>What changed, in the order of the lines.</summary>
    public IReadOnlyList<LineChange> Changes { get; }

    /// <summary>Revises a plan.</summary>
    /// <param name="lines">Its lines.</param>
    /// <param name="field">Its field.</param>
    /// <param name="notes">What was found: points, lines or areas with their setback.</param>
    public static FieldRevision Of(IReadOnlyList<WorkLine> lines, FieldArea field, IReadOnlyList<AvoidedArea> notes)
    {
        ArgumentNullException.ThrowIfNull(lines);
        ArgumentNullException.ThrowIfNull(field);
        ArgumentNullException.ThrowIfNull(notes);
        FieldArea revised = new(field.Boundary, field.Avoided.Concat(notes), field.Name) { Gate = field.Gate, Outlets = field.Outlets, PinnedGuides = field.PinnedGuides };
        List<WorkLine> left = [];
        List<LineChange> changes = [];
        foreach (WorkLine line in lines)
        {
            AvoidedArea[] met = [.. notes.Where(n => n.KeptClear.EnvelopeInternal.Intersects(line.Line.EnvelopeInternal) && n.KeptClear.Intersects(line.Line))];
            if (met.Length == 0)
            {
                left.Add(line);
                continue;
            }

            Geometry rest = met.Aggregate((Geometry)line.Line, (g, n) => g.Difference(n.KeptClear));
            LineString[] pieces = [.. Parts(rest).Where(p => p.Length >= LeastPiece)];
            string[] names = [.. pieces.Select((_, i) => pieces.Length == 1 ? line.Id : line.Id + (char)('a' + Math.Min(i, 25)))];
            left.AddRange(pieces.Select((p, i) => line with { Id = names[i], Line = p }));
            double lost = line.Line.Length - pieces.Sum(p => p.Length);
            string why = string.Join(" and ", met.Select(n => n.Name.Length > 0 ? n.Name : "a note").Distinct());
            changes.Add(new LineChange(line.Id, names, lost, pieces.Length == 0
                ? FormattableString.Invariant($"{line.Id} is left out for {why}: no piece of {LeastPiece:0} m remains.")
                : FormattableString.Invariant($"{line.Id} loses {lost:0} m to {why}{(pieces.Length > 1 ? " and is now " + string.Join(", ", names) : "")}.")));
        }

        return new FieldRevision(revised, left, changes);
    }

    private static IEnumerable<LineString> Parts(Geometry shape) => shape switch
    {
        LineString { IsEmpty: false } line => [line],
        GeometryCollection many => many.Geometries.SelectMany(Parts),
        _ => [],
    };
}
