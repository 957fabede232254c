using System.Globalization;
using System.Text.Json.Nodes;
using Keyline.Check;
using Keyline.Console.Commands;
using Keyline.Landform;
using Keyline.Layout;

namespace Keyline.Console.Views;

/// <summary>The short summary that a person reads after a plan.</summary>
internal static class SummaryText
{
    private const int NameWidth = 16;

    public static void Write(TextWriter output, KeylinePlan plan, string spacingText, PlanFiles files)
    {
        LayoutFigures figures = plan.Layout.Figures;
        LayoutOptions options = plan.Options;
        string name = plan.Field.Name.Length > 0 ? plan.Field.Name + ": " : "";
        output.WriteLine($"{name}{Count(figures.LineCount, "rip line")}, {Number(figures.TotalLength / 1000, "0.0")} km, {spacingText} apart, "
            + $"on {Number(plan.Layout.Workable.Area / 10_000, "0.0")} of {Number(plan.Field.Boundary.Area / 10_000, "0.0")} ha.");
        output.WriteLine();
        Row(output, "Grade", $"{Share(figures.WithinGradeShare)} of the length within {options.RowGrade?.Name ?? Number(options.MaximumGrade, "0.##") + " %"}; 95 % of it within {Number(figures.Grade95, "0.0#")} %");
        Row(output, "Drift", double.IsNaN(figures.ToRidgeShare)
            ? "nothing drifts"
            : $"{Share(figures.DriftingShare)} of the length drifts, {Share(figures.ToRidgeShare)} of that toward the ridge");
        if (double.IsFinite(files.Certainty.SureLengthShare))
        {
            Row(output, "Sure of it", $"{Share(files.Certainty.SureLengthShare)} of the drifting length falls the way it seems to with a chance of 9 in 10 or more, given {Number(100 * files.Certainty.Noise, "0.0")} cm of noise in the heights");
        }

        Row(output, "Coverage", Share(figures.Coverage) + " of the workable ground");
        Row(output, "Spacing", $"{Share(figures.SpacingWithin10Share)} of the length has its next line, on either side, within 10 % of {spacingText}, {Share(figures.SpacingWithin25Share)} within 25 %; {Share(figures.SpacingWithinShare)} the next line of its guide within 2 %");
        Row(output, "Tightest turn", double.IsFinite(figures.MinimumRadius) ? Number(figures.MinimumRadius, "0.0") + " m radius" : "all straight");
        Row(output, "Lines", plan.Options.Pattern == LinePattern.Even
            ? $"{Number(figures.MeanLength, "0")} m long on average, each about a spacing from the next; {Count(plan.Layout.Guides.Count, "line")} along keylines or pinned lines"
            : $"{Number(figures.MeanLength, "0")} m long on average, parallel to {Count(plan.Layout.Guides.Count, "guide")} on {Count(plan.Layout.GuideLevels, "level")}");
        Row(output, "Driving", $"{Number(plan.Layout.Driving.DrivenLength / 1000, "0.0")} km, {Number(plan.Layout.Driving.TurningLength / 1000, "0.0")} km of it in {Count(plan.Layout.Driving.Turns, "turn")}");
        Row(output, "Keypoints", Keypoints(plan));
        Section(output, "Left out or noted:", plan.Layout.Notes);
        Findings(output, plan.Layout.Findings, "plan.json");
        Section(output, "Mind:", files.Warnings);
        Section(output, "Taken as given:", files.Assumed);
        Section(output, "Before you drive:", files.Cautions);
    }

    /// <summary>What the check found, one of each kind and how many more.</summary>
    public static void Findings(TextWriter output, IReadOnlyList<LayoutFinding> findings, string where)
    {
        if (findings.Count == 0)
        {
            return;
        }

        output.WriteLine();
        output.WriteLine($"Not kept everywhere ({Count(findings.Count, "finding")}; every one is in {where}):");
        foreach (IGrouping<FindingKind, LayoutFinding> kind in findings.GroupBy(f => f.Kind))
        {
            output.WriteLine("  " + kind.First().Sentence);
            if (kind.Count() > 1)
            {
                output.WriteLine($"    and {Number(kind.Count() - 1, "0")} more like it");
            }
        }
    }

    public static string Count(int number, string thing) => number == 1 ? "1 " + thing : Number(number, "0") + " " + thing + "s";

    /// <summary>A share in percent, rounded down so that 100 % means all of it.</summary>
    public static string Share(double share) =>
        double.IsFinite(share) ? Number(Math.Floor((share * 1000) + 1e-6) / 10, "0.0") + " %" : "none";

    public static string Number(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture);

    /// <summary>A cell of a table: a dash where there is no number.</summary>
    public static string Cell(double value, string format, int width) => (double.IsFinite(value) ? Number(value, format) : "-").PadLeft(width);

    /// <summary>A number of a JSON summary, to some decimals; null where it is not finite.</summary>
    public static JsonValue? Json(double value, int decimals = 4) => double.IsFinite(value) ? JsonValue.Create(Math.Round(value, decimals)) : null;

    private static string Keypoints(KeylinePlan plan)
    {
        Keypoint[] inside = [.. plan.Landform.Keypoints.Where(k => plan.Field.Boundary.Covers(k.Location))];
        int clear = inside.Count(k => k.Class == KeypointClass.Clear);
        string beyond = inside.Length < plan.Landform.Keypoints.Count ? $"; {Number(plan.Landform.Keypoints.Count - inside.Length, "0")} more around it" : "";
        return (inside.Length == 0 ? "none in the field" : $"{clear} clear, {inside.Length - clear} weak in the field") + beyond;
    }

    private static void Section(TextWriter output, string heading, IEnumerable<string> sentences)
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

            output.WriteLine("  " + sentence);
        }
    }

    private static void Row(TextWriter output, string name, string value) => output.WriteLine("  " + name.PadRight(NameWidth) + value);
}
