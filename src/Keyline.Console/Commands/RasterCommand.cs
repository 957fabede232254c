using System.Globalization;
using System.Text.Json.Nodes;
using Keyline.Console.Cli;
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
    /// <param name="work">Writes the files; returns the settings used, for the list.</param>
    public static int Run(
        string command,
        string list,
        IReadOnlyCollection<string> names,
        Arguments arguments,
        RunContext context,
        Func<ElevationSource, RasterFolder, ProgressLine, JsonObject> work) => Run(command, list, names, arguments, context, null, work);

    /// <summary>Runs one over a part of the ground.</summary>
    /// <param name="command">Its name.</param>
    /// <param name="list">Name of the list of files it writes.</param>
    /// <param name="names">Every file it may write.</param>
    /// <param name="arguments">Its options.</param>
    /// <param name="context">Where to speak.</param>
    /// <param name="window">The ground wanted; null for all of it.</param>
    /// <param name="work">Writes the files; returns the settings used, for the list.</param>
    public static int Run(
        string command,
        string list,
        IReadOnlyCollection<string> names,
        Arguments arguments,
        RunContext context,
        GroundWindow? window,
        Func<ElevationSource, RasterFolder, ProgressLine, JsonObject> work)
    {
        GroundRequest request = GroundRequest.From(arguments, command);
        Setting target = arguments.Need(OptionSpec.Out, command, "The folder to write");
        using OutputFolder folder = OutputFolder.Begin(target.Text, arguments.Has(OptionSpec.Overwrite), names);
        JsonObject made;
        using (ProgressLine progress = new(context, arguments.Has(OptionSpec.Quiet)))
        {
            ElevationSource ground = request.Read(window, progress, context.Stop);
            RasterFolder rasters = new(folder, RasterOrigin.Of(ground), progress, context.Stop);
            JsonObject settings = work(ground, rasters, progress);
            made = rasters.Finish(list, settings);
        }

        return Commit(made, folder, arguments, context);
    }

    /// <summary>Puts a finished folder in place and says what is in it.</summary>
    public static int Commit(JsonObject made, OutputFolder folder, Arguments arguments, RunContext context)
    {
        context.Stop.ThrowIfCancellationRequested();
        folder.Commit(context);
        if (arguments.Has(OptionSpec.Json))
        {
            made["exit_code"] = ExitCode.Done;
            made["folder"] = folder.Target;
            context.Output.WriteLine(made.ToJsonString(RasterFolder.Indented));
        }
        else if (!arguments.Has(OptionSpec.Quiet))
        {
            Say(context.Output, made, folder);
        }

        return ExitCode.Done;
    }

    private static void Say(TextWriter output, JsonObject made, OutputFolder folder)
    {
        JsonNode grid = made["grid"]!;
        output.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{made["dem"]![0]!["file"]}{(made["dem"]!.AsArray().Count > 1 ? " and others" : "")}: {grid["rows"]} rows by {grid["columns"]} columns of {(double)grid["cell_m"]!:0.###} m, {made["crs"]!["name"]}"));
        foreach (JsonNode? note in made["notes"]!.AsArray())
        {
            output.WriteLine("Note: " + note);
        }

        output.WriteLine();
        output.WriteLine($"Written to {folder}:");
        foreach (JsonNode? file in made["files"]!.AsArray())
        {
            if (file!["picture"] is not null)
            {
                continue;
            }

            string range = file!["count"] is { } count
                ? string.Create(CultureInfo.InvariantCulture, $"{count} of them")
                : file["least"] is null ? "nothing there"
                : string.Create(CultureInfo.InvariantCulture, $"{(double)file["least"]!:G5} to {(double)file["greatest"]!:G5} {file["unit"]}");
            output.WriteLine($"  {folder.NameOf((string)file["file"]!),-24} {file["what"]}: {range.TrimEnd()}");
        }

        int pictures = made["files"]!.AsArray().Count(file => file!["picture"] is not null);
        if (pictures > 0)
        {
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {"profiles/",-24} long profiles: {pictures} of them"));
        }
    }
}
