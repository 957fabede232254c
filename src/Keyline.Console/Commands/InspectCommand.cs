using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Elevation;
using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.Console.Commands;

/// <summary><c>keyline inspect</c>: what elevation files are, and whether they are good enough.</summary>
internal static class InspectCommand
{
    // The spacing of a subsoiler's passes where nothing else is asked for: common practice, no source.
    private const double UsualSpacing = 3.048;

    public static Command Command { get; } = new("inspect", "what elevation files are, and whether they are good enough", Run)
    {
        About =
        [
            "Says what elevation files are: size, place, units, datum, range, holes, noise, whether trees and",
            "buildings are left in, and whether they are good enough for lines at the spacing and fall.",
            "Ends with exit code 3 where a file is not good enough.",
        ],
        Examples =
        [
            "keyline inspect dem.tif",
            "keyline inspect tiles shots.csv --crs EPSG:32614 --spacing \"10 ft\" --fall 0.4",
        ],
        Options =
        [
            OptionSpec.Spacing with { Help = "distance between lines that the elevation must serve (default 10 ft)" },
            OptionSpec.Fall with { Help = "fall along them that it must show (default 0.5)" },
            OptionSpec.Crs, OptionSpec.HeightUnit, OptionSpec.Missing, OptionSpec.Surface, OptionSpec.Cell, OptionSpec.KeepSuspects, OptionSpec.Threads, OptionSpec.UnitsOnScreen, OptionSpec.Json,
        ],
        Operand = "FILE",
        Note = $"Lengths carry their unit ({Quantity.Units}). Nothing is mended or written.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        if (arguments.Files.Count == 0)
        {
            throw new UsageException("No file to inspect: name one or more, as in keyline inspect dem.tif.");
        }

        double spacing = arguments.Above(OptionSpec.Spacing) ?? UsualSpacing;
        double fall = arguments.AtLeastNothing(OptionSpec.Fall, LayoutOptions.DefaultDesignFall);
        int exit = ExitCode.Done;
        List<IView> files = [];
        foreach (string path in arguments.Files)
        {
            try
            {
                ElevationSource source = GroundRequest.Of([path], "the command", arguments).ReadUnmended(context.Stop);
                GroundReport report = GroundInspection.Inspect(source.Grid, context.Stop);
                IReadOnlyList<GroundJudgement> judgements = GroundSuitability.Judge(report, spacing, fall);
                exit = exit == ExitCode.Done && judgements.Any(j => j.Grade == GroundGrade.NotGoodEnough) ? ExitCode.LimitNotKept : exit;
                files.Add(InspectedFile.Of(path, source, report, judgements));
            }
            catch (Exception error) when (error is KeylineException or UsageException && arguments.Files.Count > 1)
            {
                // The others are still wanted.
                exit = ExitCode.BadInput;
                files.Add(new RefusedFile(path, error.Message));
                context.Error.WriteLine(error.Message.ReplaceLineEndings(" "));
            }
        }

        Screen.Show(new InspectView(files), arguments, context);
        return exit;
    }
}
