using System.Text.Json.Nodes;
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
            Dictionary<string, LineString> lines = SetOutCommand.LinesOf(plan).ToDictionary(l => l.Id, l => l.Line);
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

        string[] sentences = Sentences(check, read, fitted);
        if (folder is not null)
        {
            using (StreamWriter text = new(folder.Create(TableName)) { NewLine = "\n" })
            {
                Table(text, check);
                text.WriteLine();
                Array.ForEach(sentences, text.WriteLine);
            }

            context.Stop.ThrowIfCancellationRequested();
            folder.Commit(context);
        }

        int exit = check.Holds ? ExitCode.Done : ExitCode.LimitNotKept;
        if (arguments.Has(OptionSpec.Json))
        {
            context.Output.WriteLine(Summary(check, read, fitted, folder, files, exit).ToJsonString(RasterFolder.Indented));
        }
        else if (!quiet)
        {
            Table(context.Output, check);
            context.Output.WriteLine();
            Array.ForEach(sentences, context.Output.WriteLine);
            if (folder is not null)
            {
                context.Output.WriteLine();
                context.Output.WriteLine($"Written to {folder}:");
                files.ForEach(f => context.Output.WriteLine("  " + folder.NameOf(f)));
            }
        }

        return exit;
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

    private static void Table(TextWriter output, LevelCheckResult check)
    {
        int wide = Math.Max(5, check.Stakes.Max(s => s.Stake.Name.Length));
        output.WriteLine($"{"stake".PadRight(wide)}  along m  planned m  found m  differs m  fall %  planned %");
        foreach (CheckedStake s in check.Stakes)
        {
            output.WriteLine($"{s.Stake.Name.PadRight(wide)}{SummaryText.Cell(s.Stake.Station, "0.0", 9)}{SummaryText.Cell(s.Stake.Planned, "0.00", 11)}{SummaryText.Cell(s.Stake.Measured, "0.00", 9)}{SummaryText.Cell(s.Difference, "+0.00;-0.00;0.00", 11)}{SummaryText.Cell(s.GradeToNext, "0.0;-0.0;0.0", 8)}{SummaryText.Cell(s.PlannedGradeToNext, "0.0;-0.0;0.0", 11)}"
                + (s.IsWithin ? "" : "  off") + (s.IsReversed ? "  runs the other way" : ""));
        }
    }

    private static string[] Sentences(LevelCheckResult check, LevelReadingResult read, List<(string Id, RefittedGuide Guide)> fitted)
    {
        int off = check.Stakes.Count(s => !s.IsWithin), reversed = check.Stakes.Count(s => s.IsReversed);
        List<string> all = [.. read.Notes];
        all.Add(FormattableString.Invariant($"{SummaryText.Count(check.Stakes.Count, "stake")} read, {read.Unread} not. In common they lie {string.Join(", ", check.Lines.Select(l => FormattableString.Invariant($"{Math.Abs(l.Common):0.00} m {(l.Common < 0 ? "lower" : "higher")} than planned along {l.Id}")))}; that is taken off, since a line's fall does not depend on it."));
        all.Add(FormattableString.Invariant($"What is left is {check.RootMeanSquare:0.00} m root mean square; {(off == 0 ? "every stake is" : FormattableString.Invariant($"{off} of {check.Stakes.Count} {(off == 1 ? "is" : "are")} not"))} within {check.Tolerance:0.00} m."));
        if (reversed > 0)
        {
            all.Add(FormattableString.Invariant($"After {(reversed == 1 ? "one" : reversed)} of them water would run the other way than planned: set these out anew, or fit the guides with --refit and --dem."));
        }

        all.AddRange(fitted.Select(f => FormattableString.Invariant($"Guide {f.Id} was moved by up to {f.Guide.GreatestMove:0.0} m; the measured ground under it then keeps within {f.Guide.Remaining:0.00} m (root mean square) of the planned heights.")
            + (f.Guide.Held > 0 ? FormattableString.Invariant($" Along {f.Guide.Held:0} m no place within {GuideRefit.Reach:0} m has the planned height: look at the ground there.") : "")));
        if (fitted.Count > 0)
        {
            all.Add($"Lay the field out anew on it: keyline plan ... --pinned {GuidesName}");
        }

        return [.. all];
    }

    private static JsonObject Summary(LevelCheckResult check, LevelReadingResult read, List<(string Id, RefittedGuide Guide)> fitted, OutputFolder? folder, List<string> files, int exit)
    {
        JsonObject said = new()
        {
            ["stakes"] = new JsonArray([.. check.Stakes.Select(s => (JsonNode)new JsonObject
            {
                ["stake"] = s.Stake.Name,
                ["line"] = s.Stake.LineId,
                ["distance_m"] = SummaryText.Json(s.Stake.Station),
                ["planned_height_m"] = SummaryText.Json(s.Stake.Planned),
                ["height_m"] = SummaryText.Json(s.Stake.Measured),
                ["difference_m"] = SummaryText.Json(s.Difference),
                ["fall_to_next_pct"] = SummaryText.Json(s.GradeToNext),
                ["planned_fall_to_next_pct"] = SummaryText.Json(s.PlannedGradeToNext),
                ["within"] = s.IsWithin,
                ["reversed"] = s.IsReversed,
            })]),
            ["unread"] = read.Unread,
            ["lines"] = new JsonArray([.. check.Lines.Select(l => (JsonNode)new JsonObject { ["id"] = l.Id, ["common_m"] = SummaryText.Json(l.Common) })]),
            ["rms_m"] = SummaryText.Json(check.RootMeanSquare),
            ["tolerance_m"] = SummaryText.Json(check.Tolerance),
            ["refitted"] = new JsonArray([.. fitted.Select(f => (JsonNode)new JsonObject { ["id"] = f.Id, ["moved_max_m"] = SummaryText.Json(f.Guide.GreatestMove), ["height_rms_m"] = SummaryText.Json(f.Guide.Remaining), ["held_m"] = SummaryText.Json(f.Guide.Held) })]),
            ["notes"] = new JsonArray([.. read.Notes.Select(n => (JsonNode)n)]),
            ["exit_code"] = exit,
        };
        if (folder is not null)
        {
            said["folder"] = folder.Target;
            said["files"] = new JsonArray([.. files.Select(f => (JsonNode)folder.NameOf(f))]);
        }

        return said;
    }
}
