using System.Text.Json;
using Keyline.Formats;
using Keyline.Guidance;

namespace Keyline.Console.Views;

/// <summary>What came of lines for guidance.</summary>
/// <param name="Set">The lines.</param>
/// <param name="Back">What was read back.</param>
/// <param name="Sentences">What a person is told.</param>
/// <param name="ExitCode">The command's exit code.</param>
/// <param name="Written">The files.</param>
internal sealed record GuidanceView(GuidanceSet Set, IReadOnlyList<RoundTrip> Back, IReadOnlyList<string> Sentences, int ExitCode, OutputFiles Written) : IView
{
    public void WriteText(UnitText output)
    {
        foreach (string sentence in Sentences)
        {
            output.Sentence(sentence);
        }

        Written.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        GuidanceFigures f = Set.Figures;
        json.WriteStartObject();
        json.WriteNumber("lines", f.PlannedLines);
        json.WriteNumber("lines_written", Set.Lines.Count);
        json.WriteNumber("divided_lines", f.DividedLines);
        json.WriteNumber("straight_lines", f.StraightLines);
        json.WriteNumber("points_before", f.PointsBefore);
        json.WriteNumber("points", f.PointsAfter);
        json.WriteNumber("most_points", f.MostPoints);
        json.WriteNumber("leads_cut", f.LeadsCut);
        JsonText.Number(json, "radius_min_m", 1 / f.Steering.Curvature, 6);
        JsonText.Number(json, "curvature_rate_max_per_m2", f.Steering.CurvatureRate, 6);
        json.WriteString("hardest_line", f.HardestLine);
        JsonText.Sections(json, "read_back", Back, back =>
        {
            json.WriteString("file", GuidanceFiles.NamesOf(back.Format)[0]);
            json.WriteNumber("lines", back.Lines);
            JsonText.Texts(json, "missing", back.Missing);
            JsonText.Number(json, "from_prepared_m", back.FromPrepared, 6);
            JsonText.Number(json, "from_planned_m", back.FromPlanned, 6);
        });
        JsonText.Texts(json, "notes", Set.Notes);
        Screen.End(json, ExitCode, Written);
        json.WriteEndObject();
    }
}
