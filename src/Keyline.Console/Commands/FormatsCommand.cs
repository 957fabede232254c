using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Gdal;

namespace Keyline.Console.Commands;

/// <summary><c>keyline formats</c>: what is read and written on this machine.</summary>
internal static class FormatsCommand
{
    public static Command Command { get; } = new("formats", "what can be read and written on this machine", Run)
    {
        About =
        [
            "Lists what is read and written here: by Keyline itself, and by the machine's GDAL where it has one.",
        ],
        Examples = ["keyline formats"],
        Options = [OptionSpec.Json],
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        Screen.Show(new FormatsView(GdalLibrary.IsPresent ? GdalLibrary.Version : null, GdalLibrary.Formats()), arguments, context);
        return ExitCode.Done;
    }
}
