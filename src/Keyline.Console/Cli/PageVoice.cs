using System.Text;
using Keyline.Report;

namespace Keyline.Console.Cli;

/// <summary>How pages and sheets are said: their language and units, from the options.</summary>
/// <param name="Language">Of the pages; the screen speaks English.</param>
/// <param name="Units">Of the pages.</param>
internal sealed record PageVoice(string Language, UnitSystem Units)
{
    /// <summary>The voice that was asked for.</summary>
    public static PageVoice From(Arguments arguments) => new(arguments.Word(OptionSpec.Language, [.. PageTongue.Languages]), UnitChoice.From(arguments));

    /// <summary>A page in that voice.</summary>
    public string Said(string page) => PageTongue.Said(page, Language, Units);

    /// <summary>Writes a page.</summary>
    /// <param name="folder">Where to.</param>
    /// <param name="name">The file.</param>
    /// <param name="write">Writes it in English and metric units.</param>
    public void Write(OutputFolder folder, string name, Action<Stream> write)
    {
        using MemoryStream page = new();
        write(page);
        using Stream stream = folder.Create(name);
        stream.Write(Encoding.UTF8.GetBytes(Said(Encoding.UTF8.GetString(page.GetBuffer(), 0, (int)page.Length))));
    }
}
