using System.Globalization;
using Keyline.Check;
using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A revised layout with lines over the ground that notes set free.</summary>
/// <remarks>
/// <para>Units: metres. Two lines that meet over it become one: under their old name where they are all that was left of one line ("R012a" and "R012b" are "R012" again), else under the name of
/// the first. New lines are numbered behind the highest number there is. All other lines stay the very ones that were given.</para>
/// <para>Cost: that of <see cref="FreedLines"/>, and of checking the layout once. Source: ours.</para>
/// </remarks>
public static class FreedRevision
{
    // Findings this near freed ground are told, spacings.
    private const double Near = 2;

    /// <summary>Lays lines over ground set free.</summary>
    /// <param name="revision">The layout, revised for what was found.</param>
    /// <param name="freed">What was set free in the field.</param>
    /// <param name="survey">The field as it is now, surveyed: with what was set free, and with what was found.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static LayoutRevision Of(LayoutRevision revision, FreedField freed, FieldSurvey survey, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(revision);
        ArgumentNullException.ThrowIfNull(freed);
        ArgumentNullException.ThrowIfNull(survey);
        IReadOnlyList<RevisedLine> lines = revision.Lines;
        LayoutOptions options = survey.Options;
        LineString[] drawn = [.. lines.Select(l => l.Line)];
        Geometry ground = FreedLines.Ground(revision.Field, survey.Field, survey.Workable, options.Headland);
        if (ground.IsEmpty)
        {
            return new LayoutRevision(survey.Field, lines, revision.Changes) { Freed = freed, FreedGround = ground };
        }

        LineGrowth growth = new(drawn, ground, survey.Workable, options, p => survey.HeightAt(p.X, p.Y));
        LineBridges.Join(growth, [.. lines.Select(l => Stem(l.Id))], options.Spacing, cancellationToken);
        drawn = [.. growth.Lines.Select(l => survey.Field.Boundary.Factory.CreateLineString(l.Drawn()))];
        IReadOnlyList<GrowingLine> grown = growth.Over(FreedLines.Courses(drawn, ground, survey, cancellationToken), cancellationToken);
        List<RevisedLine> now = [];
        List<LineChange> changes = [.. revision.Changes];
        HashSet<string> left = [.. grown.SelectMany(g => g.Members.Count > 1 ? [] : g.Members).Select(m => lines[m].Id)];
        (string stem, int number, int digits) = Numbering(lines.Select(l => l.Id));
        foreach (GrowingLine line in grown)
        {
            if (!line.IsChanged)
            {
                now.Add(lines[line.Order]);
                continue;
            }

            LineString course = survey.Field.Boundary.Factory.CreateLineString(line.Drawn());
            if (line.Order < 0)
            {
                string name = stem + (++number).ToString("D" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
                now.Add(new RevisedLine(name, "", course, true));
                changes.Add(new LineChange(LineChangeKind.New, name, [name], 0, FormattableString.Invariant($"{name} is new, {course.Length:0} m.")) { Gained = course.Length });
                continue;
            }

            string[] of = [.. line.Members.Order().Select(m => lines[m].Id)];
            string id = of.Length > 1 ? NameOf(of, left) : of[0];
            left.Add(id);
            now.Add(new RevisedLine(id, lines[line.Order].Source, course, true));
            changes.Add(new LineChange(of.Length > 1 ? LineChangeKind.Joined : LineChangeKind.Longer, lines[line.Order].Source, [id], 0, of.Length > 1
                ? FormattableString.Invariant($"{string.Join(" and ", of)} run through as {id}, with {line.Gained:0} m more.")
                : FormattableString.Invariant($"{id} is {line.Gained:0} m longer.")) { Gained = line.Gained });
            foreach (int other in line.Members.Order().Skip(1).Where(m => lines[m].Source != lines[line.Order].Source))
            {
                changes.Add(new LineChange(LineChangeKind.Joined, lines[other].Source, [id], 0, FormattableString.Invariant($"{lines[other].Id} is part of {id} now.")));
            }
        }

        return new LayoutRevision(survey.Field, now, changes) { Freed = freed, FreedGround = ground, Findings = Findings(now, ground, survey, cancellationToken) };
    }

    private static LayoutFinding[] Findings(List<RevisedLine> lines, Geometry ground, FieldSurvey survey, CancellationToken cancellationToken)
    {
        HashSet<string> changed = [.. lines.Where(l => l.IsChanged).Select(l => l.Id)];
        Geometry near = ground.Buffer(Near * survey.Options.Spacing);
        LayoutCheckResult check = LayoutCheck.Run([.. lines.Select(l => new CheckedLine(l.Id, "", l.Line))], survey.Reading.Ground, survey.Land, survey.Field, survey.Workable, survey.Options.Limits, survey.Position, cancellationToken);
        return [.. check.Findings.Where(f => changed.Contains(f.LineId) && near.Contains(near.Factory.CreatePoint(new Coordinate(f.X, f.Y))))];
    }

    // The name from before the cut, where these are all the pieces of it.
    private static string NameOf(string[] pieces, HashSet<string> left)
    {
        string stem = Stem(pieces[0]);
        bool whole = stem != pieces[0] && pieces.All(p => Stem(p) == stem && p != stem) && !left.Contains(stem) && !left.Any(n => n != stem && Stem(n) == stem);
        return whole ? stem : pieces[0];
    }

    // The name without the letters of a piece; a name that is none of a piece is its own stem.
    private static string Stem(string name)
    {
        string stem = name.TrimEnd([.. Enumerable.Range('a', 26).Select(c => (char)c)]);
        return stem.Length > 0 && char.IsAsciiDigit(stem[^1]) ? stem : name;
    }

    // How lines are numbered: what stands before the number, the highest, and how many digits it has.
    private static (string Stem, int Highest, int Digits) Numbering(IEnumerable<string> names)
    {
        (string Stem, int Number, int Digits) best = ("R", 0, 3);
        foreach (string name in names.Select(Stem))
        {
            int at = name.Length;
            while (at > 0 && char.IsAsciiDigit(name[at - 1]) && name.Length - at < 8)
            {
                at--;
            }

            if (at < name.Length && int.Parse(name.AsSpan(at), CultureInfo.InvariantCulture) is int number && number > best.Number)
            {
                best = (name[..at], number, name.Length - at);
            }
        }

        return best;
    }
}
