using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>How much sooner the one line must end, or the other begin later, that a turn fits where none does.</summary>
/// <remarks>
/// <para>Units: metres. Promises: with the lines so much shorter a turn or a way round was found that keeps the whole outline on free ground; of those tried, each 2 m up to
/// <see cref="Most"/> at the one end, the other or both, the one that takes least. Cost: a search for each. Source: ours.</para>
/// </remarks>
/// <param name="Sooner">Length to leave at the end of the line that is left.</param>
/// <param name="Later">Length to leave at the start of the line that is entered.</param>
/// <param name="Headland">Width of the headland there then: from where the shanks come out, or go in, to the fence or what is avoided.</param>
internal sealed record TurnMend(double Sooner, double Later, double Headland)
{
    /// <summary>Most that is left of a line, metres.</summary>
    public const double Most = 30;

    private const double Step = 2;

    /// <summary>Looks for one; null where none of up to <see cref="Most"/> helps.</summary>
    public static TurnMend? Find(LineString left, LineString entered, RowChanges changes)
    {
        for (double total = Step; total <= 2 * Most; total += Step)
        {
            for (double later = Math.Max(0, total - Most); later <= Math.Min(total, Most); later += total <= Most ? Math.Max(total / 2, Step) : Most)
            {
                double sooner = total - later;
                if (Shorter(left, sooner, true) is { } first && Shorter(entered, later, false) is { } second && changes.Between(RowEnds.End(first), RowEnds.Start(second)).Fits)
                {
                    return new TurnMend(sooner, later, Math.Max(sooner > 0 ? Room(first.EndPoint, changes.Ground.Field) : 0, later > 0 ? Room(second.StartPoint, changes.Ground.Field) : 0));
                }
            }
        }

        return null;
    }

    /// <summary>The same in words, to follow on a colon.</summary>
    public string Say(string from, string to)
    {
        string[] ways = [.. Sooner > 0 ? [FormattableString.Invariant($"lift {Sooner:0} m before the end of {from}")] : Array.Empty<string>(), .. Later > 0 ? [FormattableString.Invariant($"let down {Later:0} m into {to}")] : Array.Empty<string>()];
        return FormattableString.Invariant($"{string.Join(" and ", ways)} and it turns, or widen the headland there to {Math.Ceiling((2 * Headland) - 1e-6) / 2:0.#} m");
    }

    private static LineString? Shorter(LineString line, double by, bool atEnd)
    {
        if (by <= 0)
        {
            return line;
        }

        if (line.Length < by + Step)
        {
            return null;
        }

        NetTopologySuite.LinearReferencing.LengthIndexedLine measured = new(line);
        return (LineString)(atEnd ? measured.ExtractLine(0, line.Length - by) : measured.ExtractLine(by, line.Length));
    }

    private static double Room(Point at, FieldArea field) => field.Avoided.Select(a => a.Shape.Distance(at)).Append(field.Boundary.Boundary.Distance(at)).Min();
}
