using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Formats;

namespace Keyline.Console.Batch;

/// <summary>What came of a batch.</summary>
/// <param name="Results">Every field of this run, or all of them where the tables were made.</param>
/// <param name="Made">How many were made now.</param>
/// <param name="Folder">The batch's folder as asked for.</param>
/// <param name="Written">The tables; null where none were made.</param>
internal sealed record BatchView(IReadOnlyList<FieldResult> Results, int Made, string Folder, OutputFiles? Written) : IView
{
    private const int MostTold = 10;

    public int ExitCode => Results.All(r => r.Outcome.State == FieldOutcome.Held) ? Console.Cli.ExitCode.Done : Console.Cli.ExitCode.LimitNotKept;

    public void WriteText(UnitText output)
    {
        output.WriteLine($"{Words.Count(Results.Count, "field")}: {Words.Count(Count(FieldOutcome.Held), "plan")} with every limit held, {Words.Number(Count(FieldOutcome.Look), "0")} with something to look at, "
            + $"{Words.Number(Results.Count(r => r.Outcome.HasFailed), "0")} failed, {Words.Number(Count(FieldOutcome.Waiting), "0")} still to be made.");
        output.WriteLine($"{Words.Number(Made, "0")} made now; the others stood from before.");
        FieldResult[] planned = [.. Results.Where(r => r.Report.Length > 0)];
        if (planned.Length > 0)
        {
            output.Line($"Together {planned.Sum(r => r["area_ha"]):0.#} ha, {planned.Sum(r => r["lines"]):0} lines, {planned.Sum(r => r["length_km"]):0.#} km.");
        }

        FieldResult[] failed = [.. Results.Where(r => r.Outcome.HasFailed)];
        if (failed.Length > 0)
        {
            output.WriteLine();
            output.WriteLine("Failed:");
            foreach (FieldResult result in failed.Take(MostTold))
            {
                output.WriteLine($"  {result.Field.Id}: {output.Units.Reworded(result.Outcome.Sentence)}");
            }

            if (failed.Length > MostTold)
            {
                output.WriteLine($"    and {Words.Number(failed.Length - MostTold, "0")} more, in the tables");
            }

            output.WriteLine($"  Mend them and run the same command again; {OptionSpec.Again.Flag} failed tries them as they are.");
        }

        if (Written is null)
        {
            output.WriteLine($"The tables are made by the same command with {OptionSpec.Gather.Flag}, once every share is done.");
        }

        Written?.WriteText(output);
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        json.WriteNumber("made_now", Made);
        JsonText.Sections(json, "fields", Results, result =>
        {
            json.WriteString("id", result.Field.Id);
            json.WriteString("state", result.Outcome.State);
            json.WriteNumber("seconds", result.Outcome.Seconds);
            json.WriteString("sentence", result.Outcome.Sentence);
            for (int i = 0; i < result.Figures.Count; i++)
            {
                JsonText.Number(json, FieldResult.FigureNames[i], result.Figures[i], 4);
            }
        });
        Screen.End(json, ExitCode, Written);
        json.WriteEndObject();
    }

    private int Count(string state) => Results.Count(r => r.Outcome.State == state);
}
