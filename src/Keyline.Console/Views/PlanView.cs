using System.Text.Json;
using Keyline.Check;
using Keyline.Landform;
using Keyline.Layout;

namespace Keyline.Console.Views;

/// <summary>What came of a plan: the short summary that a person reads, or the content of plan.json.</summary>
/// <param name="Plan">The plan.</param>
/// <param name="SpacingText">The spacing as it was asked for.</param>
/// <param name="Certainty">How sure its drift is.</param>
/// <param name="Notes">What to read with it.</param>
/// <param name="Summary">The bytes of plan.json.</param>
/// <param name="Written">The Notes.</param>
internal sealed record PlanView(KeylinePlan Plan, string SpacingText, DriftCertainty Certainty, PlanNotes Notes, byte[] Summary, OutputFiles Written) : IView
{
    private const int NameWidth = 16;

    public int ExitCode => AskedLimits.Hold(Plan.Layout.Findings, Plan.Layout.Figures) ? Console.Cli.ExitCode.Done : Console.Cli.ExitCode.LimitNotKept;

    public void WriteText(UnitText output)
    {
        LayoutFigures figures = Plan.Layout.Figures;
        LayoutOptions options = Plan.Options;
        string name = Plan.Field.Name.Length > 0 ? Plan.Field.Name + ": " : "";
        output.Line($"{name}{Words.Count(figures.LineCount, "rip line")}, {figures.TotalLength / 1000:0.0} km, {SpacingText} apart, on {Plan.Layout.Workable.Area / 10_000:0.0} of {Plan.Field.Boundary.Area / 10_000:0.0} ha.");
        output.WriteLine();
        Row(output, "Grade", $"{Words.Share(figures.WithinGradeShare)} of the length within {options.RowGrade?.Name ?? Words.Number(options.MaximumGrade, "0.##") + " %"}; 95 % of it within {Words.Number(figures.Grade95, "0.0#")} %");
        Row(output, "Drift", double.IsNaN(figures.ToRidgeShare)
            ? (FormattableString)$"no line falls enough along its length to lead water"
            : $"{Words.Share(figures.DriftingShare)} of the length falls along the line, {Words.Share(figures.ToRidgeShare)} of that toward higher ground between valley and ridge (no water routed: keyline water does that)");
        if (double.IsFinite(Certainty.SureLengthShare))
        {
            Row(output, "Sure of it", $"{Words.Share(Certainty.SureLengthShare)} of the drifting length falls the way it seems to with a chance of 9 in 10 or more, given {100 * Certainty.Noise:0.0} cm of noise in the heights");
        }

        Row(output, "Coverage", $"{Words.Share(figures.Coverage)} of the workable ground");
        Row(output, "Spacing", $"{Words.Share(figures.SpacingWithin10Share)} of the length has its next line, on either side, within 10 % of {SpacingText}, {Words.Share(figures.SpacingWithin25Share)} within 25 %; {Words.Share(figures.SpacingWithinShare)} the next line of its guide within 2 %");
        Row(output, "Tightest turn", double.IsFinite(figures.MinimumRadius) ? (FormattableString)$"{figures.MinimumRadius:0.0} m radius" : $"all straight");
        Row(output, "Lines", Plan.Options.Pattern == LinePattern.Even
            ? (FormattableString)$"{figures.MeanLength:0} m long on average, each about a spacing from the next; {Words.Count(Plan.Layout.Guides.Count, "line")} along keylines or pinned lines"
            : $"{figures.MeanLength:0} m long on average, parallel to {Words.Count(Plan.Layout.Guides.Count, "guide")} on {Words.Count(Plan.Layout.GuideLevels, "level")}");
        Row(output, "Driving", $"{Plan.Layout.Driving.DrivenLength / 1000:0.0} km, {Plan.Layout.Driving.TurningLength / 1000:0.0} km of it in {Words.Count(Plan.Layout.Driving.Turns, "turn")}");
        Row(output, "Keypoints", $"{Keypoints()}");
        Section(output, "Left out or noted:", Plan.Layout.Notes);
        Findings(output, Plan.Layout, "plan.json");
        Section(output, "Mind:", Notes.Warnings);
        Section(output, "Taken as given:", Notes.Assumed);
        Section(output, "Before you drive:", Notes.Cautions);
        Written.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        using JsonDocument summary = JsonDocument.Parse(Summary);
        json.WriteStartObject();
        foreach (JsonProperty member in summary.RootElement.EnumerateObject())
        {
            member.WriteTo(json);
        }

        Screen.End(json, ExitCode, Written);
        json.WriteEndObject();
    }

    // What the check found, one of each kind and how many more: limits first, then where the lines stand unevenly.
    private static void Findings(UnitText output, RipLayout layout, string where)
    {
        string? uneven = Words.Unevenness(layout.Figures);
        Kinds(output, "Not kept everywhere", uneven, [.. layout.Findings.Where(f => f.BreaksLimit)], where);
        Kinds(output, "Uneven in places", null, [.. layout.Findings.Where(f => !f.BreaksLimit)], where);
    }

    private static void Kinds(UnitText output, string heading, string? first, IReadOnlyList<LayoutFinding> findings, string where)
    {
        if (findings.Count == 0 && first is null)
        {
            return;
        }

        output.WriteLine();
        output.WriteLine(findings.Count == 0 ? heading + ":" : $"{heading} ({Words.Count(findings.Count, "finding")}; every one is in {where}):");
        if (first is not null)
        {
            output.WriteLine("  " + first);
        }

        foreach (IGrouping<FindingKind, LayoutFinding> kind in findings.GroupBy(f => f.Kind))
        {
            output.Sentence("  " + kind.First().Sentence);
            if (kind.Count() > 1)
            {
                output.WriteLine($"    and {Words.Number(kind.Count() - 1, "0")} more like it");
            }
        }
    }

    private string Keypoints()
    {
        Keypoint[] inside = [.. Plan.Landform.Keypoints.Where(k => Plan.Field.Boundary.Covers(k.Location))];
        int clear = inside.Count(k => k.Class == KeypointClass.Clear);
        string beyond = inside.Length < Plan.Landform.Keypoints.Count ? $"; {Words.Number(Plan.Landform.Keypoints.Count - inside.Length, "0")} more around it" : "";
        return (inside.Length == 0 ? "none in the field" : $"{clear} clear, {inside.Length - clear} weak in the field") + beyond;
    }

    private static void Section(UnitText output, string heading, IEnumerable<string> sentences)
    {
        bool first = true;
        foreach (string sentence in sentences)
        {
            if (first)
            {
                output.WriteLine();
                output.WriteLine(heading);
                first = false;
            }

            output.Sentence("  " + sentence);
        }
    }

    private static void Row(UnitText output, string name, FormattableString value) => output.WriteLine("  " + name.PadRight(NameWidth) + output.Units.Say(value));
}

/// <summary>What whoever reads a plan must read with it.</summary>
/// <param name="Warnings">What to know before trusting it.</param>
/// <param name="Assumed">What was assumed when the inputs were read.</param>
/// <param name="Cautions">What whoever drives must read, short.</param>
internal sealed record PlanNotes(IReadOnlyList<string> Warnings, IReadOnlyList<string> Assumed, IReadOnlyList<string> Cautions);
