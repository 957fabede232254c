using System.Text.Json;
using Keyline.Formats;
using Keyline.Report;
using Keyline.SetOut;

namespace Keyline.Console.Views;

/// <summary>What was read on the stakes, held against the plan.</summary>
/// <param name="Check">What came of it.</param>
/// <param name="Read">What was read.</param>
/// <param name="Fitted">Guides fitted to it.</param>
/// <param name="GuidesName">The file they are in.</param>
/// <param name="Written">The files that were written, or null.</param>
internal sealed record LevelView(LevelCheckResult Check, LevelReadingResult Read, IReadOnlyList<(string Id, RefittedGuide Guide)> Fitted, string GuidesName, OutputFiles? Written) : IView
{
    public int ExitCode => Check.Holds ? Console.Cli.ExitCode.Done : Console.Cli.ExitCode.LimitNotKept;

    public void WriteText(UnitText output)
    {
        WriteTable(output);
        Written?.WriteText(output);
    }

    /// <summary>Writes the table and what there is to say of it.</summary>
    public void WriteTable(UnitText output)
    {
        Stakes(output);
        output.WriteLine();
        foreach (FormattableString sentence in Sentences(output.Units))
        {
            output.Line(sentence);
        }
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        JsonText.Sections(json, "stakes", Check.Stakes, stake => Stake(json, stake));
        json.WriteNumber("unread", Read.Unread);
        JsonText.Sections(json, "lines", Check.Lines, line =>
        {
            json.WriteString("id", line.Id);
            Number(json, "common_m", line.Common);
        });
        Number(json, "rms_m", Check.RootMeanSquare);
        Number(json, "tolerance_m", Check.Tolerance);
        JsonText.Sections(json, "refitted", Fitted, fitted =>
        {
            json.WriteString("id", fitted.Id);
            Number(json, "moved_max_m", fitted.Guide.GreatestMove);
            Number(json, "height_rms_m", fitted.Guide.Remaining);
            Number(json, "held_m", fitted.Guide.Held);
        });
        JsonText.Texts(json, "notes", Read.Notes);
        Screen.End(json, ExitCode, Written);
        json.WriteEndObject();
    }

    private static void Stake(Utf8JsonWriter json, CheckedStake s)
    {
        json.WriteString("stake", s.Stake.Name);
        json.WriteString("line", s.Stake.LineId);
        Number(json, "distance_m", s.Stake.Station);
        Number(json, "planned_height_m", s.Stake.Planned);
        Number(json, "height_m", s.Stake.Measured);
        Number(json, "difference_m", s.Difference);
        Number(json, "fall_to_next_pct", s.GradeToNext);
        Number(json, "planned_fall_to_next_pct", s.PlannedGradeToNext);
        json.WriteBoolean("within", s.IsWithin);
        json.WriteBoolean("reversed", s.IsReversed);
    }

    private static void Number(Utf8JsonWriter json, string name, double value) => JsonText.Number(json, name, value, 4);

    private void Stakes(UnitText output)
    {
        int wide = Math.Max(5, Check.Stakes.Max(s => s.Stake.Name.Length));
        string m = output.Symbol(UnitKind.Length);
        output.WriteLine($"{"stake".PadRight(wide)}{"along " + m,9}{"planned " + m,11}{"found " + m,9}{"differs " + m,11}  fall %  planned %");
        foreach (CheckedStake s in Check.Stakes)
        {
            output.WriteLine($"{s.Stake.Name.PadRight(wide)}{output.Cell(s.Stake.Station, UnitKind.Length, "0.0", 9)}{output.Cell(s.Stake.Planned, UnitKind.Length, "0.00", 11)}{output.Cell(s.Stake.Measured, UnitKind.Length, "0.00", 9)}{output.Cell(s.Difference, UnitKind.Length, "+0.00;-0.00;0.00", 11)}{Words.Cell(s.GradeToNext, "0.0;-0.0;0.0", 8)}{Words.Cell(s.PlannedGradeToNext, "0.0;-0.0;0.0", 11)}"
                + (s.IsWithin ? "" : "  off") + (s.IsReversed ? "  runs the other way" : ""));
        }
    }

    private List<FormattableString> Sentences(UnitSystem units)
    {
        int off = Check.Stakes.Count(s => !s.IsWithin), reversed = Check.Stakes.Count(s => s.IsReversed);
        List<FormattableString> all = [.. Read.Notes.Select(note => (FormattableString)$"{units.Reworded(note)}")];
        all.Add($"{Words.Count(Check.Stakes.Count, "stake")} read, {Read.Unread} not. In common they lie {string.Join(", ", Check.Lines.Select(l => units.Say($"{Math.Abs(l.Common):0.00} m {(l.Common < 0 ? "lower" : "higher")} than planned along {l.Id}")))}; that is taken off, since a line's fall does not depend on it.");
        all.Add($"What is left is {Check.RootMeanSquare:0.00} m root mean square; {(off == 0 ? "every stake is" : FormattableString.Invariant($"{off} of {Check.Stakes.Count} {(off == 1 ? "is" : "are")} not"))} within {Check.Tolerance:0.00} m.");
        if (reversed > 0)
        {
            all.Add($"After {(reversed == 1 ? "one" : reversed)} of them water would run the other way than planned: set these out anew, or fit the guides with --refit and --dem.");
        }

        all.AddRange(Fitted.Select(f => (FormattableString)$"Guide {f.Id} was moved by up to {f.Guide.GreatestMove:0.0} m; the measured ground under it then keeps within {f.Guide.Remaining:0.00} m (root mean square) of the planned heights.{Held(f.Guide)}"));
        if (Fitted.Count > 0)
        {
            all.Add($"Lay the field out anew on it: keyline plan ... --pinned {GuidesName}");
        }

        return all;

        string Held(RefittedGuide guide) => guide.Held > 0 ? units.Say($" Along {guide.Held:0} m no place within {GuideRefit.Reach:0} m has the planned height: look at the ground there.") : "";
    }
}
