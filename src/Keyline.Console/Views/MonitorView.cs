using System.Globalization;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Fieldwork;
using Keyline.Formats;

namespace Keyline.Console.Views;

/// <summary>What the readings of a trial say.</summary>
/// <param name="Results">The results.</param>
/// <param name="Readings">The readings with what is to be said of them.</param>
/// <param name="Record">The field's record.</param>
/// <param name="Written">The files.</param>
/// <param name="Ground">What two surveys say; null where none were given.</param>
internal sealed record MonitorView(TrialResults Results, FormReadings Readings, FieldRecord Record, OutputFiles Written, SurveyWords? Ground = null) : IView
{
    private const int MostFindings = 12;

    public int ExitCode => Readings.Findings.Any(f => f.IsSetAside) ? Cli.ExitCode.LimitNotKept : Cli.ExitCode.Done;

    public void WriteText(UnitText output)
    {
        if (Results.Measures.Count == 0)
        {
            output.WriteLine("No readings yet: the tables wait to be filled in.");
        }

        foreach (MeasureResult r in Results.Measures)
        {
            output.Sentence(r.Sentence);
            output.WriteLine();
        }

        foreach (TreatmentPair pair in Results.Pairs)
        {
            output.Sentence(pair.Sentence);
        }

        if (Results.Pairs.Count > 0)
        {
            output.WriteLine();
        }

        foreach (string note in Results.Notes)
        {
            output.Sentence(note);
            output.WriteLine();
        }

        foreach (string sentence in Ground?.Sentences() ?? [])
        {
            output.WriteLine(output.Units.Reworded(sentence));
            output.WriteLine();
        }

        foreach (FormFinding f in Readings.Findings.OrderByDescending(f => f.IsSetAside).Take(MostFindings))
        {
            output.Sentence((f.IsSetAside ? "Set aside: " : "") + f.Sentence);
        }

        if (Readings.Findings.Count > MostFindings)
        {
            output.WriteLine($"And {Readings.Findings.Count - MostFindings} more: see results.html.");
        }

        foreach ((DateOnly date, string what) in Record.Due(Results, Readings))
        {
            output.WriteLine($"Due {date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)}: {output.Units.Reworded(what)}");
        }

        Written.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        JsonText.Sections(json, "measures", Results.Measures, r =>
        {
            json.WriteString("measure", r.Measure.Id);
            json.WriteString("treatment", r.Treatment);
            json.WriteString("answer", r.Verdict switch { TrialVerdict.More => "more", TrialVerdict.Less => "less", TrialVerdict.Alike => "alike", _ => "cannot tell" });
            json.WriteString("sentence", r.Sentence);
        });
        JsonText.Texts(json, "set_aside", Readings.Findings.Where(f => f.IsSetAside).Select(f => f.Sentence));
        JsonText.Texts(json, "told", Readings.Findings.Where(f => !f.IsSetAside).Select(f => f.Sentence));
        if (Ground is { } ground)
        {
            JsonText.Texts(json, "ground", ground.Sentences());
        }

        Screen.End(json, ExitCode, Written);
        json.WriteEndObject();
    }
}
