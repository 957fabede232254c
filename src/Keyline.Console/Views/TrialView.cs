using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Fieldwork;
using Keyline.Formats;

namespace Keyline.Console.Views;

/// <summary>The trial that was laid out.</summary>
/// <param name="Design">The design.</param>
/// <param name="Written">The files.</param>
internal sealed record TrialView(TrialDesign Design, OutputFiles Written) : IView
{
    public int ExitCode => Design.Kind == TrialKind.Randomised ? Cli.ExitCode.Done : Cli.ExitCode.LimitNotKept;

    public void WriteText(UnitText output)
    {
        output.WriteLine(Design.Kind == TrialKind.Randomised
            ? FormattableString.Invariant($"A trial of {Design.Blocks.Count} blocks and {Design.WholePlots} plots, seed {Design.Options.Seed}.")
            : "No trial: a monitored comparison.");
        foreach (string note in Design.Notes)
        {
            output.WriteLine();
            output.Sentence(note);
        }

        output.WriteLine();
        foreach (TrialBlock block in Design.Blocks)
        {
            output.WriteLine($"  block {block.Number}: {string.Join(", ", Design.Plots.Where(p => p.Block == block.Number).Select(p => $"{p.Id} {p.Treatment}{(p.Split.Length > 0 ? " " + p.Split : "")}"))}");
        }

        Written.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        json.WriteString("kind", Design.Kind == TrialKind.Randomised ? "randomised" : "monitored");
        json.WriteNumber("seed", Design.Options.Seed);
        json.WriteNumber("blocks", Design.Blocks.Count);
        json.WriteNumber("blocks_wanted", Design.BlocksWanted);
        JsonText.Sections(json, "plots", Design.Plots, p =>
        {
            json.WriteString("id", p.Id);
            json.WriteNumber("block", p.Block);
            json.WriteString("treatment", p.Treatment);
            json.WriteString("split", p.Split);
        });
        json.WriteNumber("points", Design.Points.Count);
        JsonText.Texts(json, "notes", Design.Notes);
        Screen.End(json, ExitCode, Written);
        json.WriteEndObject();
    }
}
