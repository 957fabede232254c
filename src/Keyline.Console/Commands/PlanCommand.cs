using Keyline.Console.Cli;

namespace Keyline.Console.Commands;

/// <summary><c>keyline plan</c>.</summary>
internal static class PlanCommand
{
    public static Command Command { get; } = new("plan", "make a plan: lines, map and tractor guidance", Run)
    {
        About =
        [
            "Makes a plan: reads the ground, lays out the lines, checks them, and writes a folder with",
            "plan.geojson (everything drawn), plan.json (the figures), plan.png (the map) and",
            "guidance/ (waypoints.csv and lines.gpx for the tractor).",
        ],
        Examples =
        [
            "keyline plan --dem dem.tif --field field.geojson --spacing \"10 ft\" --out plan",
            "keyline plan --job job.json --out plan --overwrite",
        ],
        Options = [.. OptionSpec.JobOptions, OptionSpec.Job, OptionSpec.Overwrite, OptionSpec.Threads, OptionSpec.Quiet, OptionSpec.Json],
        Note = $"Lengths carry their unit ({Quantity.Units}). Percent signs may be left out.",
    };

    private static int Run(Arguments arguments, RunContext context)
    {
        if (arguments[OptionSpec.Job] is { } job)
        {
            JobFile.AddTo(arguments, job.Text);
        }

        PlanRequest request = PlanRequest.From(arguments);
        using OutputFolder folder = OutputFolder.Begin(request.OutPath, arguments.Has(OptionSpec.Overwrite), PlanFiles.AllNames);
        return PlanRun.Execute(request, folder, arguments, context);
    }
}
