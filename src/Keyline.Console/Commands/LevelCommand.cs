using Keyline.Console.Cli;
using Keyline.Console.Views;
using Keyline.Formats;
using Keyline.SetOut;
using NetTopologySuite.Geometries;

namespace Keyline.Console.Commands;

/// <summary>The way back of <c>keyline setout</c>: what was read in the field, compared with the plan, and guides fitted to it.</summary>
internal static class LevelCommand
{
    private const string GuidesName = "guides-refit.geojson";
    private const string TableName = "levelled.txt";

    public static int Run(string planPath, string readingsPath, Arguments arguments, RunContext context)
    {
        double tolerance = arguments.Above(OptionSpec.Tolerance) ?? LevelCheck.DefaultTolerance;
        GroundRequest? request = arguments.Has(OptionSpec.Dem) ? GroundRequest.From(arguments, "setout") : null;
        bool refits = arguments.Has(OptionSpec.Refit), quiet = arguments.Has(OptionSpec.Quiet);
        foreach (OptionSpec needed in refits ? new[] { OptionSpec.Dem, OptionSpec.Out } : [])
        {
            arguments.Need(needed, "setout", needed == OptionSpec.Dem ? "To fit guides, the elevation model" : "To fit guides, the folder to write");
        }

        using OutputFolder? folder = arguments[OptionSpec.Out] is { } target ? OutputFolder.Begin(target.Text, arguments.Has(OptionSpec.Overwrite), [GuidesName, TableName]) : null;
        LevelReadingResult read = LevelReadings.Read(readingsPath);
        LevelCheckResult check = LevelCheck.Run(read.Stakes, tolerance);
        List<(string Id, RefittedGuide Guide)> fitted = [];
        List<string> files = folder is null ? [] : [TableName];
        using (ProgressLine progress = new(context, quiet))
        {
            ElevationSource? ground = refits ? request!.Read(FieldFiles.Window(planPath), progress, context.Stop) : null;
            WrittenPlan plan = PlanReader.Read(planPath, ground?.Crs);
            Dictionary<string, LineString> lines = SetOutCommand.GuidesAndLines(plan).ToDictionary(l => l.Id, l => l.Line);
            CheckSamePlan(check, lines, plan, readingsPath);
            foreach (IGrouping<string, CheckedStake> line in refits ? check.Stakes.GroupBy(s => s.Stake.LineId) : [])
            {
                fitted.Add((line.Key, GuideRefit.Fit(lines[line.Key], [.. line.Select(s => s.Stake)], check.Lines.Single(l => l.Id == line.Key).Common, ground!.Grid)));
            }

            if (refits)
            {
                files.Add(GuidesName);
                using Stream shapes = folder!.Create(GuidesName);
                StakeFiles.WriteRefitted(shapes, fitted, plan.Crs, new PlanProvenance(Product.Version, [PlanInput.Of("plan", planPath), PlanInput.Of("readings", readingsPath), .. ground!.Files.Select(f => PlanInput.Of("dem", f))], read.Notes), context.Stop);
            }
        }

        LevelView view = new(check, read, fitted, GuidesName, folder is null ? null : new OutputFiles(folder, files));
        if (folder is not null)
        {
            using (StreamWriter text = new(folder.Create(TableName)) { NewLine = "\n" })
            {
                view.WriteTable(UnitText.Metric(text));
            }

            context.Stop.ThrowIfCancellationRequested();
            folder.Commit(context);
        }

        Screen.Show(view, arguments, context);
        return view.ExitCode;
    }

    // A table of another plan would be compared with the wrong lines.
    private static void CheckSamePlan(LevelCheckResult check, Dictionary<string, LineString> lines, WrittenPlan plan, string readingsPath)
    {
        foreach (LevelledStake stake in check.Stakes.Select(s => s.Stake))
        {
            if (!lines.TryGetValue(stake.LineId, out LineString? line) || stake.Station > line.Length + 1)
            {
                throw new UsageException(FormattableString.Invariant(
                    $"{Path.GetFileName(readingsPath)} has stake {stake.Name} at {stake.Station:0.0} m along line {stake.LineId}, which {plan.File} {(line is null ? "does not have" : FormattableString.Invariant($"has with {line.Length:0.0} m"))}: give the plan that the stakes were made from."));
            }
        }
    }
}
