using System.Text.Json;
using Keyline.Check;
using Keyline.Driven;
using Keyline.Formats;
using Keyline.Report;

namespace Keyline.Console.Views;

/// <summary>What was driven.</summary>
/// <param name="Result">What came of it.</param>
/// <param name="PlanNotes">What there is to say of the plan.</param>
/// <param name="Options">What it was held to.</param>
/// <param name="OnGround">Whether grades are of the elevation, not of the track's own heights.</param>
/// <param name="Written">The files that were written, or null.</param>
internal sealed record DrivenView(DrivenResult Result, IReadOnlyList<string> PlanNotes, DrivenOptions Options, bool OnGround, OutputFiles? Written) : IView
{
    // On the screen; the table that is written has them all.
    private const int MostShown = 20;

    public int ExitCode => Result.NotAsPlanned.Any() ? Console.Cli.ExitCode.LimitNotKept : Console.Cli.ExitCode.Done;

    public void WriteText(UnitText output)
    {
        WriteTable(output, MostShown);
        Written?.WriteText(output);
    }

    /// <summary>Writes the table, with so many lines and stretches of a kind at most.</summary>
    public void WriteTable(UnitText output, int most = int.MaxValue)
    {
        Told(output, "Not as planned", [.. Result.NotAsPlanned], most);
        Told(output, "Steep as planned", [.. Result.Stretches.Where(s => s.Kind == DrivenStretchKind.SteepAsPlanned)], most);
        int wide = Math.Max(4, Result.Lines.Max(l => l.Id.Length));
        DrivenLine[] driven = [.. Result.Lines.Where(l => l.Passes > 0)];
        string m = output.Symbol(UnitKind.Length);
        output.WriteLine($"{"line".PadRight(wide)}{"length " + m,10}{"driven " + m,10}  passes{"mean " + m,8}{"rms " + m,8}{"worst " + m,9}  steepest %{"spacing " + m,11}");
        foreach (DrivenLine line in driven.Take(most))
        {
            output.WriteLine($"{line.Id.PadRight(wide)}{output.Cell(line.Length, UnitKind.Length, "0.0", 10)}{output.Cell(line.Driven, UnitKind.Length, "0.0", 10)}{Words.Cell(line.Passes, "0", 8)}{output.Cell(line.MeanError, UnitKind.Length, "+0.00;-0.00;0.00", 8)}"
                + $"{output.Cell(line.RootMeanSquareError, UnitKind.Length, "0.00", 8)}{output.Cell(line.GreatestError, UnitKind.Length, "0.00", 9)}{Words.Cell(line.MaximumGrade, "0.00", 12)}{output.Cell(line.MedianSpacing, UnitKind.Length, "0.00", 11)}");
        }

        Rest(output, driven.Length - most);
        output.WriteLine();
        foreach (FormattableString sentence in Sentences(output.Units))
        {
            output.Line(sentence);
        }

        if (!Result.NotAsPlanned.Any())
        {
            output.WriteLine(Result.Figures.LinesNotReached > 0 ? "Everything up to here was driven as planned." : "Everything was driven as planned.");
        }
    }

    private static void Told(UnitText output, string heading, DrivenStretch[] stretches, int most)
    {
        if (stretches.Length == 0)
        {
            return;
        }

        output.WriteLine($"{heading} ({stretches.Length} {(stretches.Length == 1 ? "stretch" : "stretches")}):");
        foreach (DrivenStretch stretch in stretches.Take(most))
        {
            output.Sentence("  " + stretch.Sentence);
        }

        Rest(output, stretches.Length - most);
        output.WriteLine();
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        WriteMembers(json);
        Screen.End(json, ExitCode, Written);
        json.WriteEndObject();
    }

    /// <summary>Writes what came of it as members of an object.</summary>
    public void WriteMembers(Utf8JsonWriter json)
    {
        Number(json, "error_allowed_m", Options.AllowedError);
        JsonText.Section(json, "figures", () => Figures(json, Result.Figures));
        Shift(json, "shift", Result.Shift);
        Shift(json, "taken_off", Result.TakenOff);
        JsonText.Sections(json, "lines", Result.Lines, line => Line(json, line));
        JsonText.Sections(json, "stretches", Result.Stretches, stretch => Stretch(json, stretch));
    }

    private static void Figures(Utf8JsonWriter json, DrivenFigures f)
    {
        Number(json, "planned_m", f.Planned);
        Number(json, "driven_m", f.Driven);
        Number(json, "repeated_m", f.Repeated);
        Number(json, "on_lines_m", f.OnLines);
        Number(json, "elsewhere_m", f.Elsewhere);
        json.WriteNumber("lines_whole", f.LinesWhole);
        json.WriteNumber("lines_in_part", f.LinesInPart);
        json.WriteNumber("lines_left", f.LinesLeft);
        json.WriteNumber("lines_not_reached", f.LinesNotReached);
        Number(json, "error_mean_m", f.MeanError);
        Number(json, "error_rms_m", f.RootMeanSquareError);
        Number(json, "error_95_m", f.Error95);
        Number(json, "error_max_m", f.GreatestError);
        Number(json, "within_error_share", f.WithinErrorShare);
        Number(json, "grade_median_pct", f.MedianGrade);
        Number(json, "grade_95_pct", f.Grade95);
        Number(json, "grade_max_pct", f.MaximumGrade);
        Number(json, "spacing_median_m", f.MedianSpacing);
        Number(json, "spacing_05_m", f.Spacing05);
        Number(json, "spacing_95_m", f.Spacing95);
        Number(json, "spacing_error_95_m", f.SpacingError95);
        Number(json, "overlap_m2", f.OverlapArea);
        Number(json, "gap_m2", f.GapArea);
    }

    private static void Line(Utf8JsonWriter json, DrivenLine l)
    {
        json.WriteString("id", l.Id);
        json.WriteNumber("sequence", l.Sequence);
        Number(json, "length_m", l.Length);
        Number(json, "driven_m", l.Driven);
        Number(json, "repeated_m", l.Repeated);
        json.WriteNumber("passes", l.Passes);
        Number(json, "error_mean_m", l.MeanError);
        Number(json, "error_rms_m", l.RootMeanSquareError);
        Number(json, "error_max_m", l.GreatestError);
        Number(json, "grade_max_pct", l.MaximumGrade);
        Number(json, "spacing_median_m", l.MedianSpacing);
    }

    private static void Stretch(Utf8JsonWriter json, DrivenStretch s)
    {
        json.WriteString("kind", DrivenGeoJson.WordOf(s.Kind));
        json.WriteString("line", s.LineId);
        Number(json, "from_m", s.From);
        Number(json, "to_m", s.To);
        Number(json, "worst", s.Worst);
        json.WriteString("sentence", s.Sentence);
    }

    private static void Shift(Utf8JsonWriter json, string name, SteadyShift? shift)
    {
        if (shift is not { } s)
        {
            json.WriteNull(name);
            return;
        }

        JsonText.Section(json, name, () =>
        {
            Number(json, "east_m", s.East);
            Number(json, "north_m", s.North);
            Number(json, "right_m", s.Right);
            Number(json, "remaining_rms_m", s.Remaining);
        });
    }

    private static void Number(Utf8JsonWriter json, string name, double value) => JsonText.Number(json, name, value, 4);

    private IEnumerable<FormattableString> Sentences(UnitSystem units)
    {
        DrivenFigures f = Result.Figures;
        foreach (string note in PlanNotes)
        {
            yield return $"{units.Reworded(note)}";
        }

        yield return $"{Words.Share(f.Driven / f.Planned)} of {f.Planned / 1000:0.00} km was driven: {Words.Count(f.LinesWhole, "line")} whole, {f.LinesInPart} in part, {f.LinesLeft} not at all{(f.LinesNotReached > 0 ? FormattableString.Invariant($", {f.LinesNotReached} not yet reached") : "")}; {f.Repeated:0} m more than once; {f.Elsewhere:0} m beside the lines, turning and under way.";
        if (f.LinesWhole + f.LinesInPart == 0)
        {
            yield return $"No part of the track lies within {Options.UsedReach:0.##} m of a planned line and along it: check that track and plan are of the same field and datum.";
            yield break;
        }

        yield return $"Cross-track error {f.MeanError:+0.00;-0.00;0.00} m in the mean (right of travel is above 0), {f.RootMeanSquareError:0.00} m root mean square, 95 % of the length within {f.Error95:0.00} m; {Words.Share(f.WithinErrorShare)} within the {Options.AllowedError:0.00} m allowed.";
        if (Result.TakenOff is { } off)
        {
            yield return $"That is once a displacement of the whole track was taken off: it lay {Where(off)}.";
        }
        else if (Result.Shift is { } s)
        {
            yield return $"Most of it is one thing: the whole track lies {Where(s)} ({s.Remaining:0.00} m is left without that). Check {(s.Right != 0 ? "the place of antenna and implement, or side draft" : "datum and correction service")}; --without-shift judges the rest.";
        }

        if (double.IsFinite(f.MedianSpacing))
        {
            yield return $"Passes along neighbouring lines are {f.MedianSpacing:0.00} m apart in the median, 90 % of the length from {f.Spacing05:0.00} to {f.Spacing95:0.00} m; 95 % within {f.SpacingError95:0.00} m of what was planned there; {f.OverlapArea:0} m2 lie in strips narrower than planned, {f.GapArea:0} m2 in strips wider.";
        }

        if (double.IsFinite(f.MaximumGrade))
        {
            yield return $"Grades along the passes over {LineMeasures.GradeBase:0} m: {f.MedianGrade:0.0} % in the median, 95 % of the length within {f.Grade95:0.0} %, {f.MaximumGrade:0.0} % at the steepest.{(OnGround ? "" : " They are of the track's own heights, which wander by centimetres at best: give the elevation with --dem to judge them by the ground.")}";
        }
        else
        {
            yield return $"The track has no heights, so grades are not known: give the elevation with --dem.";
        }
    }

    private static FormattableString Where(SteadyShift s) => s.Right != 0
        ? (FormattableString)$"{Math.Abs(s.Right):0.00} m to the {(s.Right > 0 ? "right" : "left")} of travel whichever way it was driven"
        : $"{Math.Abs(s.East):0.00} m {(s.East < 0 ? "west" : "east")} and {Math.Abs(s.North):0.00} m {(s.North < 0 ? "south" : "north")} of the plan";

    private static void Rest(TextWriter output, int more)
    {
        if (more > 0)
        {
            output.WriteLine($"  and {more} more (all with --json, or in driven.txt with --out)");
        }
    }
}
