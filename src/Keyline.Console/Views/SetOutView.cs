using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Formats;
using Keyline.SetOut;

namespace Keyline.Console.Views;

/// <summary>The stakes that were set out.</summary>
/// <param name="Lines">The lines with their stakes.</param>
/// <param name="Notes">What there is to say of them.</param>
/// <param name="Written">The files.</param>
internal sealed record SetOutView(IReadOnlyList<StakedLine> Lines, IReadOnlyList<string> Notes, OutputFiles Written) : IView
{
    public void WriteText(UnitText output)
    {
        foreach (StakedLine line in Lines)
        {
            output.Line($"Line {line.Id}: {line.Stakes.Count} stakes on {line.Line.Length:0} m, {Words.Count(line.SetUps.Count, "set-up")} of the level.");
        }

        foreach (string note in Notes)
        {
            output.Sentence(note);
        }

        Written.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        JsonText.Sections(json, "lines", Lines, line =>
        {
            json.WriteString("id", line.Id);
            JsonText.Number(json, "length_m", line.Line.Length, 2);
            json.WriteNumber("stakes", line.Stakes.Count);
            json.WriteNumber("setups", line.SetUps.Count);
        });
        JsonText.Texts(json, "notes", Notes);
        Screen.End(json, ExitCode.Done, Written);
        json.WriteEndObject();
    }
}
