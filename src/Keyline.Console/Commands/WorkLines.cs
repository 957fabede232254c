using Keyline.Console.Cli;
using Keyline.Field;
using Keyline.Fieldwork;
using Keyline.Formats;
using Keyline.Layout;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>What of a plan is driven: its lines as they are after what was found since, with what is to be minded of each, and those along the fence.</summary>
/// <param name="Lines">The lines in the plan's order.</param>
/// <param name="Field">The field with all that is avoided.</param>
/// <param name="Changes">What was changed for what was found.</param>
/// <param name="Headland">Lines along the fence, for the end; none where they were not asked for.</param>
internal sealed record WorkLines(IReadOnlyList<WorkLine> Lines, FieldArea Field, IReadOnlyList<LineChange> Changes, IReadOnlyList<WorkLine> Headland)
{
    // Room between the machine and the fence on the outermost round.
    private const double FromFence = 0.5;

    // What is drawn to a centimetre is not held to a millimetre.
    private const double Slack = 0.02;

    /// <summary>Reads them.</summary>
    public static WorkLines Of(WrittenPlan plan, string path, Machine machine, Arguments arguments)
    {
        FieldArea field = plan.Field ?? throw new UsageException($"{plan.File} holds no outline of a field, so no turn can be kept in it: give the plan.geojson that keyline plan wrote.");
        ShankSet shanks = new(machine.Implement.Shanks, machine.Implement.Shanks > 1 ? machine.Implement.ShankSpacing : 1);
        FieldNotes? noted = arguments.File(OptionSpec.FieldNotes, "file of notes") is { } notes ? FieldFiles.ReadNotes(notes, plan.Crs) : null;
        if (noted is { Freed.Count: > 0 })
        {
            throw new UsageException($"{arguments[OptionSpec.FieldNotes]!.Where} sets ground free, where lines are to be laid first: make the plan again there with keyline revise, and give its folder here.");
        }

        AvoidedArea[] found = [.. noted?.Found ?? [], .. LocatedOptions.Read(arguments, plan.Crs, shanks)];
        LayoutRevision revision = ReviseCommand.Revised(plan, field, found);
        IReadOnlyDictionary<string, IReadOnlyList<string>> findings = PlanFindings.Beside(path);
        WorkLine[] lines = [.. revision.Lines.Select(l => new WorkLine(l.Id, l.Line, string.Join(", ", [.. WorkFiles.ToBewareOf(findings, l.Source), .. HandDug(l.Line, revision.Field, shanks)])))];
        return new WorkLines(lines, revision.Field, revision.Changes, arguments.Has(OptionSpec.RipHeadland) ? AlongFence(plan, revision.Field, machine, shanks) : []);
    }

    private static IEnumerable<string> HandDug(LineString line, FieldArea field, ShankSet shanks) =>
        field.Avoided.Where(a => a.HandDig > 0 && a.Shape.Distance(line) < a.HandDig + LocatedOptions.Beside(shanks) - Slack).Select(a => $"shanks in the hand-dig zone of {a.Name}").Distinct();

    private static WorkLine[] AlongFence(WrittenPlan plan, FieldArea field, Machine machine, ShankSet shanks)
    {
        double spacing = double.IsNaN(plan.Spacing) ? machine.PassSpacing : plan.Spacing;
        double fromFence = (Math.Max(machine.Implement.WidthOverAll, machine.Tractor.Width) / 2) + FromFence;
        return !(spacing > 0) ? [] : [.. HeadlandLines.Of(field, plan.Headland, spacing, fromFence, machine.Implement.RadiusInGround, plan.Steep)
            .Select((l, i) => new WorkLine(FormattableString.Invariant($"H{i + 1:00}"), l, string.Join(", ", HandDug(l, field, shanks)), true))];
    }
}
