using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Console.Views;

namespace Keyline.Console.Tiles;

/// <summary>What a task of a large drainage has done.</summary>
internal sealed record TileView(TileStage Stage, int Made, int Done, int Count, bool IsWhole, string Folder) : IView
{
    public void WriteText(UnitText output)
    {
        output.WriteLine($"{Words.Count(Made, "tile")} {Stage.Done()} now; {Words.Number(Done, "0")} of {Words.Number(Count, "0")} are.");
        output.WriteLine(!IsWhole ? $"When the other tasks have done theirs, {Next}."
            : $"The stage is whole: {Next}.");
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        json.WriteString("stage", Stage.Word());
        json.WriteNumber("made_now", Made);
        json.WriteNumber("done", Done);
        json.WriteNumber("tiles", Count);
        json.WriteBoolean("whole", IsWhole);
        json.WriteString("folder", Path.GetFullPath(Folder));
        Screen.End(json, ExitCode.Done, null);
        json.WriteEndObject();
    }

    private string Next => Stage == TileStage.Finish
        ? $"the tiles lie in {Folder}; {OptionSpec.Gather.Flag} makes one file of each kind"
        : $"{OptionSpec.Stage.Flag} {(Stage + 1).Word()} comes next";
}
