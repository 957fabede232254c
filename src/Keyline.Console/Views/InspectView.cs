using System.Text.Json;
using Keyline.Elevation;
using Keyline.Formats;

namespace Keyline.Console.Views;

/// <summary>What elevation files are, one after the other.</summary>
internal sealed record InspectView(IReadOnlyList<IView> Files) : IView
{
    public void WriteText(UnitText output)
    {
        foreach (IView file in Files)
        {
            file.WriteText(output);
        }
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartArray();
        foreach (IView file in Files)
        {
            file.WriteJson(json);
        }

        json.WriteEndArray();
    }
}

/// <summary>A file that could not be read.</summary>
internal sealed record RefusedFile(string Path, string Sentence) : IView
{
    // It was told where errors are told.
    public void WriteText(UnitText output)
    {
    }

    public void WriteJson(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        json.WriteString("file", Path);
        json.WriteString("refused", Sentence);
        json.WriteEndObject();
    }
}
