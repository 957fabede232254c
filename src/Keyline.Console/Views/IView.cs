using System.Text;
using System.Text.Json;
using Keyline.Console.Cli;
using Keyline.Formats;

namespace Keyline.Console.Views;

/// <summary>What came of a command: one typed result, shown as text or as JSON.</summary>
internal interface IView
{
    /// <summary>Writes it for a person, in the units asked for.</summary>
    void WriteText(UnitText output);

    /// <summary>Writes it as one JSON value.</summary>
    void WriteJson(Utf8JsonWriter json);
}

/// <summary>The files that a command put in place, by the names they got there.</summary>
internal sealed record OutputFiles(OutputFolder Folder, IReadOnlyList<string> Names)
{
    public void WriteText(TextWriter output) => WriteText(output, Names.Select(Folder.NameOf));

    /// <summary>Says where the files are, with a line for each.</summary>
    public void WriteText(TextWriter output, IEnumerable<string> lines)
    {
        output.WriteLine();
        output.WriteLine($"Written to {Folder}:");
        foreach (string line in lines)
        {
            output.WriteLine("  " + line);
        }
    }
}

/// <summary>Shows results.</summary>
internal static class Screen
{
    /// <summary>Shows a result as asked for: as JSON, as text, or not at all.</summary>
    /// <param name="view">The result.</param>
    /// <param name="arguments">What was asked for.</param>
    /// <param name="context">Where to speak.</param>
    public static void Show(IView view, Arguments arguments, RunContext context)
    {
        if (arguments.Has(OptionSpec.Json))
        {
            using MemoryStream stream = new();
            using (Utf8JsonWriter json = new(stream, JsonText.Readable))
            {
                view.WriteJson(json);
            }

            context.Output.WriteLine(Encoding.UTF8.GetString(stream.GetBuffer(), 0, (int)stream.Length));
        }
        else if (!arguments.Has(OptionSpec.Quiet))
        {
            view.WriteText(new UnitText(context.Output, UnitChoice.From(arguments)));
        }
    }

    /// <summary>The last members of a result: its exit code, and where its files are.</summary>
    public static void End(Utf8JsonWriter json, int exit, OutputFiles? written)
    {
        json.WriteNumber("exit_code", exit);
        if (written is not null)
        {
            json.WriteString("folder", written.Folder.Target);
            JsonText.Texts(json, "files", written.Names.Select(written.Folder.NameOf));
        }
    }
}
