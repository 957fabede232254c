using System.Text.Json;
using Keyline.Check;
using Keyline.Layout;

namespace Keyline.Console.Views;

/// <summary>What a check found, as a table or as JSON.</summary>
internal static class CheckText
{
    private static readonly JsonWriterOptions Indented = new() { Indented = true };

    public static void Write(TextWriter output, IReadOnlyList<CheckedLine> lines, LayoutCheckResult result, LayoutOptions limits, double spacing)
    {
        int wide = Math.Max(4, lines.Count == 0 ? 0 : lines.Max(l => l.Id.Length));
        output.WriteLine($"{"line".PadRight(wide)}  length m  steepest %  mean %  within %  to ridge %  radius m  left m  right m  clear m  side deg");
        for (int i = 0; i < lines.Count; i++)
        {
            LineMeasures m = result.Measures[i];
            output.WriteLine($"{lines[i].Id.PadRight(wide)}{SummaryText.Cell(m.Length, "0.0", 10)}{SummaryText.Cell(m.MaximumGrade, "0.00", 12)}{SummaryText.Cell(m.MeanGrade, "0.00", 8)}"
                + $"{SummaryText.Cell(100 * m.WithinGradeShare, "0", 10)}{SummaryText.Cell(100 * m.ToRidgeShare, "0", 12)}{Radius(m.MinimumRadius)}"
                + $"{SummaryText.Cell(m.SpacingLeft, "0.00", 8)}{SummaryText.Cell(m.SpacingRight, "0.00", 9)}{SummaryText.Cell(m.Clearance, "0.0", 9)}{SummaryText.Cell(m.SteepestSideSlope, "0.0", 10)}");
        }

        LayoutFigures all = result.Figures;
        output.WriteLine();
        output.WriteLine($"{SummaryText.Count(all.LineCount, "line")}, {SummaryText.Number(all.TotalLength / 1000, "0.00")} km; "
            + $"{SummaryText.Share(all.WithinGradeShare)} of the length within {limits.RowGrade?.Name ?? SummaryText.Number(limits.MaximumGrade, "0.##") + " %"}.");
        if (double.IsFinite(all.ToRidgeShare))
        {
            output.WriteLine($"{SummaryText.Share(all.DriftingShare)} of the length drifts, {SummaryText.Share(all.ToRidgeShare)} of that toward the ridge.");
        }

        output.WriteLine(Spacing(all, spacing));
        if (double.IsFinite(all.SpacingWithinShare))
        {
            output.WriteLine($"To the next line of the same guide: {SummaryText.Share(all.SpacingWithinShare)} within 2 %; median {SummaryText.Number(all.MedianSpacing, "0.00")} m.");
        }

        if (double.IsFinite(all.Coverage))
        {
            output.WriteLine($"{SummaryText.Share(all.Coverage)} of the workable ground is covered: the field less headland, avoided areas and steep land.");
        }

        if (all.InnerEnds is { } inner)
        {
            output.WriteLine($"{SummaryText.Count(inner, "line end")} out in the workable ground, {SummaryText.Number(all.InnerEndsPerKm, "0.00")} for each km.");
        }

        if (result.Findings.Count == 0)
        {
            output.WriteLine("Every limit holds.");
            return;
        }

        output.WriteLine();
        output.WriteLine($"Not kept everywhere ({SummaryText.Count(result.Findings.Count, "finding")}):");
        foreach (LayoutFinding finding in result.Findings)
        {
            output.WriteLine("  " + finding.Sentence);
        }
    }

    private static string Spacing(LayoutFigures all, double spacing)
    {
        if (double.IsNaN(spacing))
        {
            return "No spacing was given, so nothing is judged by one; give it with --spacing.";
        }

        string asked = SummaryText.Number(spacing, "0.###");
        return double.IsFinite(all.SpacingWithin10Share)
            ? $"{SummaryText.Share(all.SpacingWithin10Share)} of the length has its next line, on either side, within 10 % of the spacing of {asked} m, {SummaryText.Share(all.SpacingWithin25Share)} within 25 %."
            : $"No two lines stand within three spacings of {asked} m.";
    }

    private static string Radius(double radius) => (double.IsFinite(radius) ? SummaryText.Number(radius, "0.0") : "straight").PadLeft(10);

    public static void WriteJson(TextWriter output, IReadOnlyList<CheckedLine> lines, LayoutCheckResult result, double spacing, int exit)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream, Indented))
        {
            json.WriteStartObject();
            Number(json, "spacing_asked_m", spacing);
            json.WriteStartArray("lines");
            for (int i = 0; i < lines.Count; i++)
            {
                LineMeasures m = result.Measures[i];
                json.WriteStartObject();
                json.WriteString("id", lines[i].Id);
                Number(json, "length_m", m.Length);
                Number(json, "grade_max_pct", m.MaximumGrade);
                Number(json, "grade_mean_pct", m.MeanGrade);
                Number(json, "within_grade_share", m.WithinGradeShare);
                Number(json, "to_ridge_share", m.ToRidgeShare);
                Number(json, "drifting_m", m.DriftingLength);
                Number(json, "radius_min_m", m.MinimumRadius);
                Number(json, "spacing_left_m", m.SpacingLeft);
                Number(json, "spacing_right_m", m.SpacingRight);
                Number(json, "clearance_m", m.Clearance);
                Number(json, "side_slope_deg", m.SteepestSideSlope);
                Number(json, "longest_fall_m", m.LongestFall);
                json.WriteEndObject();
            }

            json.WriteEndArray();
            Figures(json, result.Figures);
            json.WriteStartArray("findings");
            foreach (LayoutFinding finding in result.Findings)
            {
                json.WriteStartObject();
                json.WriteString("kind", JsonNamingPolicy.KebabCaseLower.ConvertName(finding.Kind.ToString()));
                json.WriteString("line", finding.LineId);
                Number(json, "x_m", finding.X);
                Number(json, "y_m", finding.Y);
                Number(json, "value", finding.Value);
                Number(json, "limit", finding.Limit);
                Number(json, "length_m", finding.Length);
                json.WriteString("sentence", finding.Sentence);
                json.WriteEndObject();
            }

            json.WriteEndArray();
            json.WriteNumber("exit_code", exit);
            json.WriteEndObject();
        }

        output.WriteLine(System.Text.Encoding.UTF8.GetString(stream.ToArray()));
    }

    private static void Figures(Utf8JsonWriter json, LayoutFigures all)
    {
        json.WriteStartObject("figures");
        json.WriteNumber("lines", all.LineCount);
        Number(json, "total_length_m", all.TotalLength);
        Number(json, "mean_length_m", all.MeanLength);
        Number(json, "within_grade_share", all.WithinGradeShare);
        Number(json, "grade_median_pct", all.MedianGrade);
        Number(json, "grade_95_pct", all.Grade95);
        Number(json, "to_ridge_share", all.ToRidgeShare);
        Number(json, "drifting_share", all.DriftingShare);
        Number(json, "spacing_within_10pct_share", all.SpacingWithin10Share);
        Number(json, "spacing_within_25pct_share", all.SpacingWithin25Share);
        Number(json, "same_guide_median_m", all.MedianSpacing);
        Number(json, "same_guide_within_2pct_share", all.SpacingWithinShare);
        Number(json, "coverage_share", all.Coverage);
        Number(json, "same_guide_05_m", all.Spacing05);
        Number(json, "same_guide_95_m", all.Spacing95);
        Number(json, "length_10_m", all.Length10);
        Number(json, "length_median_m", all.MedianLength);
        Number(json, "short_share", all.ShortShare);
        json.WriteNumber("ends", all.LineEnds);
        Number(json, "inner_ends", all.InnerEnds ?? double.NaN);
        Number(json, "inner_ends_per_km", all.InnerEndsPerKm);
        Number(json, "side_slope_deg", all.SteepestSideSlope);
        Number(json, "radius_min_m", all.MinimumRadius);
        Number(json, "tight_share", all.TightShare);
        json.WriteNumber("crossings", all.Crossings);
        json.WriteEndObject();
    }

    private static void Number(Utf8JsonWriter json, string name, double value)
    {
        if (double.IsFinite(value))
        {
            json.WriteNumber(name, Math.Round(value, 4));
        }
        else
        {
            json.WriteNull(name);
        }
    }
}
