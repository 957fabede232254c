using System.Text.Json;
using Keyline.Check;
using Keyline.Console.Cli;
using Keyline.Formats;
using Keyline.Report;

namespace Keyline.Console.Views;

/// <summary>What a check found.</summary>
/// <param name="Lines">The lines.</param>
/// <param name="Result">What they measure.</param>
/// <param name="Limits">What they were held to; its spacing is NaN where none was given.</param>
internal sealed record CheckView(IReadOnlyList<CheckedLine> Lines, LayoutCheckResult Result, LineLimits Limits) : IView
{
    public int ExitCode => AskedLimits.Hold(Result.Findings, Result.Figures) ? Console.Cli.ExitCode.Done : Console.Cli.ExitCode.LimitNotKept;

    public void WriteText(UnitText output)
    {
        int wide = Math.Max(4, Lines.Count == 0 ? 0 : Lines.Max(l => l.Id.Length));
        string m1 = output.Symbol(UnitKind.Length);
        output.WriteLine($"{"line".PadRight(wide)}{"length " + m1,10}  steepest %  mean %  within %  to ridge %{"radius " + m1,10}{"left " + m1,8}{"right " + m1,9}{"clear " + m1,9}  side deg");
        for (int i = 0; i < Lines.Count; i++)
        {
            LineMeasures m = Result.Measures[i];
            output.WriteLine($"{Lines[i].Id.PadRight(wide)}{output.Cell(m.Length, UnitKind.Length, "0.0", 10)}{Words.Cell(m.MaximumGrade, "0.00", 12)}{Words.Cell(m.MeanGrade, "0.00", 8)}"
                + $"{Words.Cell(100 * m.WithinGradeShare, "0", 10)}{Words.Cell(100 * m.ToRidgeShare, "0", 12)}{Radius(output, m.MinimumRadius)}"
                + $"{output.Cell(m.SpacingLeft, UnitKind.Length, "0.00", 8)}{output.Cell(m.SpacingRight, UnitKind.Length, "0.00", 9)}{output.Cell(m.Clearance, UnitKind.Length, "0.0", 9)}{Words.Cell(m.SteepestSideSlope, "0.0", 10)}");
        }

        LayoutFigures all = Result.Figures;
        output.WriteLine();
        output.Line($"{Words.Count(all.LineCount, "line")}, {all.TotalLength / 1000:0.00} km; {Words.Share(all.WithinGradeShare)} of the length within {Limits.RowGrade?.Name ?? Words.Number(Limits.MaximumGrade, "0.##") + " %"}.");
        if (double.IsFinite(all.ToRidgeShare))
        {
            output.WriteLine($"{Words.Share(all.DriftingShare)} of the length falls along the line, {Words.Share(all.ToRidgeShare)} of that toward higher ground between valley and ridge (no water routed).");
        }

        output.Line(Spacing(all, Limits.Spacing));
        if (double.IsFinite(all.SpacingWithinShare))
        {
            output.Line($"To the next line of the same guide: {Words.Share(all.SpacingWithinShare)} within 2 %; median {all.MedianSpacing:0.00} m.");
        }

        if (double.IsFinite(all.Coverage))
        {
            output.WriteLine($"{Words.Share(all.Coverage)} of the workable ground is covered: the field less headland, avoided areas and steep land.");
        }

        if (all.InnerEnds is { } inner)
        {
            output.WriteLine($"{Words.Count(inner, "line end")} out in the workable ground, {output.Units.Number(all.InnerEndsPerKm / 1000, UnitKind.ForEachWay, "0.00")} for each {output.Symbol(UnitKind.Way)}.");
        }

        LayoutFinding[] broken = [.. Result.Findings.Where(f => f.BreaksLimit)];
        LayoutFinding[] places = [.. Result.Findings.Where(f => !f.BreaksLimit)];
        string? uneven = Words.Unevenness(all);
        if (broken.Length == 0 && uneven is null)
        {
            output.WriteLine("Every limit holds.");
        }
        else
        {
            output.WriteLine();
            output.WriteLine(broken.Length == 0 ? "Not kept everywhere:" : $"Not kept everywhere ({Words.Count(broken.Length, "finding")}):");
            Sentences(output, uneven is null ? [] : [uneven]);
            Sentences(output, broken.Select(f => f.Sentence));
        }

        if (places.Length > 0)
        {
            output.WriteLine();
            output.WriteLine($"Uneven in places ({Words.Count(places.Length, "finding")}):");
            Sentences(output, places.Select(f => f.Sentence));
        }
    }

    private static void Sentences(UnitText output, IEnumerable<string> sentences)
    {
        foreach (string sentence in sentences)
        {
            output.Sentence("  " + sentence);
        }
    }

    private static FormattableString Spacing(LayoutFigures all, double spacing)
    {
        if (double.IsNaN(spacing))
        {
            return $"No spacing was given, so nothing is judged by one; give it with --spacing.";
        }

        return double.IsFinite(all.SpacingWithin10Share)
            ? (FormattableString)$"{Words.Share(all.SpacingWithin10Share)} of the length has its next line, on either side, within 10 % of the spacing of {spacing:0.###} m, {Words.Share(all.SpacingWithin25Share)} within 25 %."
            : $"No two lines stand within three spacings of {spacing:0.###} m.";
    }

    private static string Radius(UnitText output, double radius) => double.IsFinite(radius) ? output.Cell(radius, UnitKind.Length, "0.0", 10) : "straight".PadLeft(10);

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        Number(json, "spacing_asked_m", Limits.Spacing);
        JsonText.Sections(json, "lines", Lines.Zip(Result.Measures), line => Line(json, line.First.Id, line.Second));
        JsonText.Section(json, "figures", () => Figures(json, Result.Figures));
        JsonText.Sections(json, "findings", Result.Findings, finding => Finding(json, finding));
        Screen.End(json, ExitCode, null);
        json.WriteEndObject();
    }

    private static void Line(Utf8JsonWriter json, string id, LineMeasures m)
    {
        json.WriteString("id", id);
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
    }

    private static void Finding(Utf8JsonWriter json, LayoutFinding finding)
    {
        json.WriteString("kind", JsonNamingPolicy.KebabCaseLower.ConvertName(finding.Kind.ToString()));
        json.WriteString("line", finding.LineId);
        Number(json, "x_m", finding.X);
        Number(json, "y_m", finding.Y);
        Number(json, "value", finding.Value);
        Number(json, "limit", finding.Limit);
        Number(json, "length_m", finding.Length);
        json.WriteString("side", FindingWords.SideOf(finding));
        json.WriteString("sentence", finding.Sentence);
    }

    private static void Figures(Utf8JsonWriter json, LayoutFigures all)
    {
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
    }

    private static void Number(Utf8JsonWriter json, string name, double value) => JsonText.Number(json, name, value, 4);
}
