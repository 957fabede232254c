using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Formats;

namespace Keyline.Console.Commands;

/// <summary>What the commands that write a folder of rasters have in common: read, let the command work, put in place, say.</summary>
internal static class RasterCommand
{
    /// <summary>Runs one.</summary>
    /// <param name="command">Its name.</param>
    /// <param name="list">Name of the list of files it writes.</param>
    /// <param name="names">Every file it may write.</param>
    /// <param name="arguments">Its options.</param>
    /// <param name="context">Where to speak.</param>
    /// <param name="course">Its stages with the share of the time each takes, reading and writing among them.</param>
    /// <param name="work">Writes the files; returns the settings used, for the list.</param>
    public static int Run(
        string command,
        string list,
        IReadOnlyCollection<string> names,
        Arguments arguments,
        RunContext context,
        IReadOnlyList<(string Stage, double Weight)> course,
        Func<ElevationSource, RasterFolder, ProgressLine, IRasterSettings> work) => Run(command, list, names, arguments, context, course, null, work);

    /// <summary>Runs one over a part of the ground.</summary>
    /// <param name="command">Its name.</param>
    /// <param name="list">Name of the list of files it writes.</param>
    /// <param name="names">Every file it may write.</param>
    /// <param name="arguments">Its options.</param>
    /// <param name="context">Where to speak.</param>
    /// <param name="course">Its stages with the share of the time each takes, reading and writing among them.</param>
    /// <param name="window">The ground wanted; null for all of it.</param>
    /// <param name="work">Writes the files; returns the settings used, for the list.</param>
    public static int Run(
        string command,
        string list,
        IReadOnlyCollection<string> names,
        Arguments arguments,
        RunContext context,
        IReadOnlyList<(string Stage, double Weight)> course,
        GroundWindow? window,
        Func<ElevationSource, RasterFolder, ProgressLine, IRasterSettings> work)
    {
        GroundRequest request = GroundRequest.From(arguments, command);
        Setting target = arguments.Need(OptionSpec.Out, command, "The folder to write");
        using OutputFolder folder = OutputFolder.Begin(target.Text, arguments.Has(OptionSpec.Overwrite), names);
        RasterView made;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet), course))
        {
            ElevationSource ground = request.Read(window, progress, context.Stop);
            RasterFolder rasters = new(folder, RasterOrigin.Of(ground), progress, context.Stop);
            made = rasters.Finish(list, work(ground, rasters, progress));
        }

        return Commit(made, folder, arguments, context);
    }

    /// <summary>Puts a finished folder in place and says what is in it.</summary>
    public static int Commit(RasterView made, OutputFolder folder, Arguments arguments, RunContext context)
    {
        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        Screen.Show(made, arguments, context);
        return ExitCode.Done;
    }
}
