using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.Console.Views;

/// <summary>What came of keyline revise.</summary>
/// <param name="Revision">The plan's lines as they are now.</param>
/// <param name="Before">How many there were.</param>
/// <param name="Written">The files.</param>
internal sealed record ReviseView(LayoutRevision Revision, int Before, OutputFiles Written) : IView
{
    public void WriteText(UnitText output)
    {
        WriteList(output);
        Written.WriteText(output);
    }

    /// <summary>The list of what changed.</summary>
    public void WriteList(UnitText output)
    {
        int same = Revision.Lines.Count(l => !l.IsChanged);
        output.WriteLine($"{Words.Count(Before, "line")} before, {Revision.Lines.Count} now; {same} as they were.");
        foreach (IGrouping<LineChangeKind, LineChange> kind in Revision.Changes.GroupBy(c => c.Kind).OrderBy(g => g.Key))
        {
            output.WriteLine();
            output.WriteLine($"{PlanRevision.WordOf(kind.Key)} ({kind.Count()})");
            foreach (LineChange change in kind)
            {
                output.Sentence("  " + change.Sentence);
            }
        }

        if (Revision.Findings.Count > 0)
        {
            output.WriteLine();
            output.WriteLine($"to look at on ground set free ({Revision.Findings.Count})");
            foreach (Keyline.Check.LayoutFinding finding in Revision.Findings)
            {
                output.Sentence("  " + finding.Sentence);
            }
        }

        output.WriteLine();
        output.WriteLine("Grade and drift of changed lines are to be measured again: keyline check.");
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        json.WriteNumber("lines_before", Before);
        json.WriteNumber("lines", Revision.Lines.Count);
        json.WriteNumber("unchanged", Revision.Lines.Count(l => !l.IsChanged));
        PlanRevision.WriteChanges(json, Revision.Changes);
        Screen.End(json, ExitCode.Done, Written);
        json.WriteEndObject();
    }
}
