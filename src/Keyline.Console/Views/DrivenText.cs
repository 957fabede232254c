using System.Text.Json.Nodes;
using Keyline.Check;
using Keyline.Driven;
using Keyline.Formats;

namespace Keyline.Console.Views;

/// <summary>What was driven, as a table or as JSON.</summary>
internal static class DrivenText
{
    public static void Write(TextWriter output, DrivenResult result, WrittenPlan plan, DrivenOptions options, bool onGround, int most)
    {
        Told(output, "Not as planned", [.. result.NotAsPlanned], most);
        Told(output, "Steep as planned", [.. result.Stretches.Where(s => s.Kind == DrivenStretchKind.SteepAsPlanned)], most);
        int wide = Math.Max(4, result.Lines.Max(l => l.Id.Length));
        DrivenLine[] driven = [.. result.Lines.Where(l => l.Passes > 0)];
        output.WriteLine($"{"line".PadRight(wide)}  length m  driven m  passes  mean m   rms m  worst m  steepest %  spacing m");
        foreach (DrivenLine line in driven.Take(most))
        {
            output.WriteLine($"{line.Id.PadRight(wide)}{SummaryText.Cell(line.Length, "0.0", 10)}{SummaryText.Cell(line.Driven, "0.0", 10)}{SummaryText.Cell(line.Passes, "0", 8)}{SummaryText.Cell(line.MeanError, "+0.00;-0.00;0.00", 8)}"
                + $"{SummaryText.Cell(line.RootMeanSquareError, "0.00", 8)}{SummaryText.Cell(line.GreatestError, "0.00", 9)}{SummaryText.Cell(line.MaximumGrade, "0.00", 12)}{SummaryText.Cell(line.MedianSpacing, "0.00", 11)}");
        }

        Rest(output, driven.Length - most);
        output.WriteLine();
        foreach (string sentence in Sentences(result, plan, options, onGround))
        {
            output.WriteLine(sentence);
        }

        if (!result.NotAsPlanned.Any())
        {
            output.WriteLine(result.Figures.LinesNotReached > 0 ? "Everything up to here was driven as planned." : "Everything was driven as planned.");
        }
    }

    private static void Told(TextWriter output, string heading, DrivenStretch[] stretches, int most)
    {
        if (stretches.Length == 0)
        {
            return;
        }

        output.WriteLine($"{heading} ({stretches.Length} {(stretches.Length == 1 ? "stretch" : "stretches")}):");
        foreach (DrivenStretch stretch in stretches.Take(most))
        {
            output.WriteLine("  " + stretch.Sentence);
        }

        Rest(output, stretches.Length - most);
        output.WriteLine();
    }

    public static JsonObject Summary(DrivenResult result, int exit)
    {
        DrivenFigures f = result.Figures;
        return new JsonObject
        {
            ["figures"] = new JsonObject
            {
                ["planned_m"] = SummaryText.Json(f.Planned),
                ["driven_m"] = SummaryText.Json(f.Driven),
                ["repeated_m"] = SummaryText.Json(f.Repeated),
                ["on_lines_m"] = SummaryText.Json(f.OnLines),
                ["elsewhere_m"] = SummaryText.Json(f.Elsewhere),
                ["lines_whole"] = f.LinesWhole,
                ["lines_in_part"] = f.LinesInPart,
                ["lines_left"] = f.LinesLeft,
                ["lines_not_reached"] = f.LinesNotReached,
                ["error_mean_m"] = SummaryText.Json(f.MeanError),
                ["error_rms_m"] = SummaryText.Json(f.RootMeanSquareError),
                ["error_95_m"] = SummaryText.Json(f.Error95),
                ["error_max_m"] = SummaryText.Json(f.GreatestError),
                ["within_error_share"] = SummaryText.Json(f.WithinErrorShare),
                ["grade_median_pct"] = SummaryText.Json(f.MedianGrade),
                ["grade_95_pct"] = SummaryText.Json(f.Grade95),
                ["grade_max_pct"] = SummaryText.Json(f.MaximumGrade),
                ["spacing_median_m"] = SummaryText.Json(f.MedianSpacing),
                ["spacing_05_m"] = SummaryText.Json(f.Spacing05),
                ["spacing_95_m"] = SummaryText.Json(f.Spacing95),
                ["spacing_error_95_m"] = SummaryText.Json(f.SpacingError95),
                ["overlap_m2"] = SummaryText.Json(f.OverlapArea),
                ["gap_m2"] = SummaryText.Json(f.GapArea),
            },
            ["shift"] = Shift(result.Shift),
            ["taken_off"] = Shift(result.TakenOff),
            ["lines"] = new JsonArray([.. result.Lines.Select(l => (JsonNode)new JsonObject
            {
                ["id"] = l.Id,
                ["sequence"] = l.Sequence,
                ["length_m"] = SummaryText.Json(l.Length),
                ["driven_m"] = SummaryText.Json(l.Driven),
                ["repeated_m"] = SummaryText.Json(l.Repeated),
                ["passes"] = l.Passes,
                ["error_mean_m"] = SummaryText.Json(l.MeanError),
                ["error_rms_m"] = SummaryText.Json(l.RootMeanSquareError),
                ["error_max_m"] = SummaryText.Json(l.GreatestError),
                ["grade_max_pct"] = SummaryText.Json(l.MaximumGrade),
                ["spacing_median_m"] = SummaryText.Json(l.MedianSpacing),
            })]),
            ["stretches"] = new JsonArray([.. result.Stretches.Select(s => (JsonNode)new JsonObject
            {
                ["kind"] = DrivenGeoJson.WordOf(s.Kind),
                ["line"] = s.LineId,
                ["from_m"] = SummaryText.Json(s.From),
                ["to_m"] = SummaryText.Json(s.To),
                ["worst"] = SummaryText.Json(s.Worst),
                ["sentence"] = s.Sentence,
            })]),
            ["exit_code"] = exit,
        };
    }

    private static IEnumerable<string> Sentences(DrivenResult result, WrittenPlan plan, DrivenOptions options, bool onGround)
    {
        DrivenFigures f = result.Figures;
        foreach (string note in plan.Notes)
        {
            yield return note;
        }

        yield return FormattableString.Invariant($"{SummaryText.Share(f.Driven / f.Planned)} of {f.Planned / 1000:0.00} km was driven: {SummaryText.Count(f.LinesWhole, "line")} whole, {f.LinesInPart} in part, {f.LinesLeft} not at all{(f.LinesNotReached > 0 ? FormattableString.Invariant($", {f.LinesNotReached} not yet reached") : "")}; {f.Repeated:0} m more than once; {f.Elsewhere:0} m beside the lines, turning and under way.");
        if (f.LinesWhole + f.LinesInPart == 0)
        {
            yield return FormattableString.Invariant($"No part of the track lies within {options.UsedReach:0.##} m of a planned line and along it: check that track and plan are of the same field and datum.");
            yield break;
        }

        yield return FormattableString.Invariant($"Cross-track error {f.MeanError:+0.00;-0.00;0.00} m in the mean (right of travel is above 0), {f.RootMeanSquareError:0.00} m root mean square, 95 % of the length within {f.Error95:0.00} m; {SummaryText.Share(f.WithinErrorShare)} within the {options.AllowedError:0.00} m allowed.");
        if (result.TakenOff is { } off)
        {
            yield return $"That is once a displacement of the whole track was taken off: it lay {Where(off)}.";
        }
        else if (result.Shift is { } s)
        {
            yield return FormattableString.Invariant($"Most of it is one thing: the whole track lies {Where(s)} ({s.Remaining:0.00} m is left without that). Check {(s.Right != 0 ? "the place of antenna and implement, or side draft" : "datum and correction service")}; --without-shift judges the rest.");
        }

        if (double.IsFinite(f.MedianSpacing))
        {
            yield return FormattableString.Invariant($"Passes along neighbouring lines are {f.MedianSpacing:0.00} m apart in the median, 90 % of the length from {f.Spacing05:0.00} to {f.Spacing95:0.00} m; 95 % within {f.SpacingError95:0.00} m of what was planned there; {f.OverlapArea:0} m2 lie in strips narrower than planned, {f.GapArea:0} m2 in strips wider.");
        }

        if (double.IsFinite(f.MaximumGrade))
        {
            yield return FormattableString.Invariant($"Grades along the passes over {LineMeasures.GradeBase:0} m: {f.MedianGrade:0.0} % in the median, 95 % of the length within {f.Grade95:0.0} %, {f.MaximumGrade:0.0} % at the steepest.")
                + (onGround ? "" : " They are of the track's own heights, which wander by centimetres at best: give the elevation with --dem to judge them by the ground.");
        }
        else
        {
            yield return "The track has no heights, so grades are not known: give the elevation with --dem.";
        }
    }

    private static string Where(SteadyShift s) => s.Right != 0
        ? FormattableString.Invariant($"{Math.Abs(s.Right):0.00} m to the {(s.Right > 0 ? "right" : "left")} of travel whichever way it was driven")
        : FormattableString.Invariant($"{Math.Abs(s.East):0.00} m {(s.East < 0 ? "west" : "east")} and {Math.Abs(s.North):0.00} m {(s.North < 0 ? "south" : "north")} of the plan");

    private static JsonObject? Shift(SteadyShift? shift) => shift is { } s
        ? new JsonObject { ["east_m"] = SummaryText.Json(s.East), ["north_m"] = SummaryText.Json(s.North), ["right_m"] = SummaryText.Json(s.Right), ["remaining_rms_m"] = SummaryText.Json(s.Remaining) }
        : null;

    private static void Rest(TextWriter output, int more)
    {
        if (more > 0)
        {
            output.WriteLine($"  and {more} more (all with --json, or in driven.txt with --out)");
        }
    }
}
