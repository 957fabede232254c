using System.Text.Json;
using System.Text.Json.Nodes;
using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.Console;

/// <summary>The main job: read, design, write, put in place, say what came of it.</summary>
internal static class PlanRun
{
    private static readonly JsonSerializerOptions Indented = new() { WriteIndented = true };

    /// <param name="request">What to make.</param>
    /// <param name="folder">Where to write; put in place by this.</param>
    /// <param name="arguments">For --quiet and --json.</param>
    /// <param name="context">Where to speak.</param>
    public static int Execute(PlanRequest request, OutputFolder folder, Arguments arguments, RunContext context)
    {
        bool quiet = arguments.Has(OptionSpec.Quiet);
        KeylinePlan plan;
        PlanFiles files;
        using (ProgressLine progress = new(context, quiet))
        {
            ElevationSource ground = request.Ground.Read(FieldFiles.Window(request.FieldPath), progress, context.Stop);
            FieldArea field = FieldFiles.Read(request.FieldPath, request.AvoidPath, ground.Crs);
            plan = KeylinePlanner.Design(ground.Grid, field, request.Layout, progress, context.Stop);
            files = new PlanFiles(plan, ground, request);
            files.Write(folder, progress, context.Stop);
        }

        context.Stop.ThrowIfCancellationRequested();
        int exit = plan.Layout.Findings.Count > 0 ? ExitCode.LimitNotKept : ExitCode.Done;
        JsonObject? summary = arguments.Has(OptionSpec.Json) ? Summary(folder, exit) : null;
        folder.Commit();
        if (summary is not null)
        {
            context.Output.WriteLine(summary.ToJsonString(Indented));
        }
        else if (!quiet)
        {
            SummaryText.Write(context.Output, plan, request.SpacingText, files);
            context.Output.WriteLine();
            context.Output.WriteLine($"Written to {folder}:");
            foreach (string name in PlanFiles.Names)
            {
                context.Output.WriteLine("  " + name);
            }
        }

        return exit;
    }

    /// <summary>The content of plan.json, with what is known only now: where the files are, and the exit code.</summary>
    private static JsonObject Summary(OutputFolder folder, int exit)
    {
        using FileStream stream = File.OpenRead(Path.Combine(folder.Partial, PlanFiles.SummaryName));
        JsonObject summary = JsonNode.Parse(stream)!.AsObject();
        summary["exit_code"] = exit;
        summary["folder"] = folder.Target;
        summary["files"] = new JsonArray([.. PlanFiles.Names.Select(name => (JsonNode)name)]);
        return summary;
    }
}
